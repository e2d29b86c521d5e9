//! Marks on and around a plan: labels, hatches, north, scale bar, and the title block below.

use selion_core::quantities::Units;

use crate::piece::{El, Given, Memo, Piece, Words, el, svg};
use crate::plain::scale_bar;

/// A short label on a plate, such as a bed's, with its middle at a place in millimetres on the sheet. It keeps its size on
/// the screen.
pub fn plate(at: (f64, f64), words: impl Into<String>) -> El {
    let words = words.into();
    let width = 12.0 + 9.5 * letters(&words);
    let plate = svg("g")
        .class("plate pinned")
        .child(
            svg("rect")
                .attr("x", (-width / 2.0).to_string())
                .attr("y", "-11")
                .attr("width", width.to_string())
                .attr("height", "22"),
        )
        .child(
            svg("text")
                .attr("font-size", "15")
                .attr("y", "1")
                .child(words),
        );
    svg("g").attr("transform", set_at(at)).child(plate)
}

/// A small word on the drawing, such as "gate 12 ft", with its middle at a place in millimetres on the sheet. It keeps its
/// size on the screen.
pub fn remark(at: (f64, f64), words: impl Into<Piece>) -> El {
    let remark = svg("text").class("remark pinned").attr("font-size", "12");
    svg("g")
        .attr("transform", set_at(at))
        .child(remark.child(words))
}

/// The block under a plan or a screen's head: each figure with its name above it.
pub fn title_block(entries: impl Into<Given<Vec<(String, String)>>>) -> El {
    title_block_of(entries.into())
}

fn title_block_of(entries: Given<Vec<(String, String)>>) -> El {
    let block = |(name, figure): (String, String)| {
        el("div")
            .child(el("dt").child(name))
            .child(el("dd").child(figure))
    };
    el("dl")
        .class("titleblock")
        .child(move || entries.get().into_iter().map(block).collect::<Piece>())
}

/// What stands in a bed, as a pattern: `fill="url(#hatch-cover)"` and so on. Patterns keep their size on the screen, so
/// they are told how many millimetres of ground a pixel shows.
pub(super) fn hatches(scale: Memo<f64>) -> El {
    let plain = move || format!("scale({:.3})", scale.get());
    let slanted = move || format!("scale({:.3}) rotate(45)", scale.get());
    let counter = move || format!("scale({:.3}) rotate(-45)", scale.get());
    let pattern = |id: &'static str, width: &'static str, height: &'static str, turned: Words| {
        svg("pattern")
            .id(id)
            .attr("width", width)
            .attr("height", height)
            .attr("patternUnits", "userSpaceOnUse")
            .attr("patternTransform", turned)
    };
    let ink = |class: &'static str, path: &'static str| svg("path").class(class).attr("d", path);
    let dot = svg("circle")
        .class("hatch-dot")
        .attr("cx", "2")
        .attr("cy", "2")
        .attr("r", "0.9");
    svg("defs")
        .child(pattern("hatch-cover", "7", "7", slanted.into()).child(ink("hatch-ink", "M0 0V7")))
        .child(
            pattern("hatch-green", "10", "9", plain.into()).child(ink("hatch-ink", "M2 7L4 2L6 7")),
        )
        .child(pattern("hatch-rows", "5", "5", plain.into()).child(ink("hatch-soft", "M0 2.5H5")))
        .child(pattern("hatch-bare", "9", "9", plain.into()).child(dot))
        .child(
            pattern("hatch-mulch", "8", "5", plain.into())
                .child(ink("hatch-soft", "M0 4q2-3 4 0t4 0")),
        )
        .child(
            pattern("hatch-path", "12", "12", plain.into())
                .child(ink("hatch-soft", "M2 3h3M8 9h3")),
        )
        .child(
            pattern("hatch-water", "16", "8", plain.into())
                .child(ink("hatch-ink", "M0 5q4-5 8 0t8 0")),
        )
        .child(
            pattern("hatch-compost", "8", "8", slanted.into())
                .child(ink("hatch-ink", "M0 0V8M0 0H8")),
        )
        .child(
            pattern("hatch-building", "12", "12", slanted.into())
                .child(ink("hatch-ink", "M0 0V12")),
        )
        .child(pattern("hatch-shade", "6", "6", counter.into()).child(ink("hatch-soft", "M0 0V6")))
}

/// The north mark, turned from up with the clock by so many degrees.
pub(super) fn north_mark(turned: Given<f64>) -> El {
    let needle = svg("path")
        .class("solid")
        .attr("d", "M16 2L22 28L16 23L10 28Z");
    svg("svg")
        .class("over north")
        .attr("viewBox", "0 0 32 44")
        .attr("role", "img")
        .attr("aria-label", "North")
        .child(
            svg("g")
                .attr("transform", move || {
                    format!("rotate({:.1} 16 18)", turned.get())
                })
                .child(needle),
        )
        .child(svg("text").attr("x", "16").attr("y", "42").child("N"))
}

/// The scale bar, for so many millimetres of ground to a pixel.
pub(super) fn scale_bar_mark(scale: Memo<f64>, units: Given<Units>) -> Piece {
    const MOST_PIXELS: f64 = 150.0;
    const MARGIN: f64 = 6.0;
    let words = |x: f64, words: Words| {
        let text = svg("text").attr("x", x.to_string()).attr("y", "15");
        text.child(words)
    };
    let bar = move || {
        let bar = scale_bar::choose(scale.get(), MOST_PIXELS, units.get())?;
        let (length, half) = (bar.pixels, bar.pixels / 2.0);
        let edge = format!("-{MARGIN} 0 {:.1} 34", length + 2.0 * MARGIN + 34.0);
        let ticks = format!("M0 26H{length:.1}M0 21V31M{half:.1} 23V29M{length:.1} 21V31");
        let said = format!("The scale bar is {} long", bar.end);
        let middle = (length > 80.0).then_some(bar.middle);
        let drawn = svg("svg")
            .class("scale-bar")
            .attr("viewBox", edge)
            .attr("role", "img")
            .attr("aria-label", said)
            .child(svg("path").attr("d", ticks));
        Some(
            drawn
                .child(words(-3.0, "0".into()))
                .child(words(half - 7.0, middle.into()))
                .child(words(length - 12.0, bar.end.into())),
        )
    };
    bar.into()
}

fn set_at((x, y): (f64, f64)) -> String {
    format!("translate({x:.0} {y:.0})")
}

fn letters(text: &str) -> f64 {
    u32::try_from(text.chars().count()).map_or(0.0, f64::from)
}
