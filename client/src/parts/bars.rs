//! Bars of four parts, told apart by hatching. A table beside them says the same, so a screen reader passes them by.

use crate::piece::{El, Given, Piece, el, svg};

/// The parts of a bar, in their order, by the class that draws them.
const MARKS: [&str; 4] = ["bar-kept", "bar-shared", "bar-given", "bar-lost"];

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// What it is of.
    pub name: String,
    /// What it comes to, with its unit.
    pub figure: String,
    /// How long each part is, in tenths of a percent of the whole width.
    pub parts: [i64; 4],
}

/// Bars below each other, all to one scale.
pub fn bars(bars: impl Into<Given<Vec<Bar>>>) -> Piece {
    let bars = bars.into();
    let each = move || bars.get().into_iter().map(one).collect::<Piece>();
    el("div")
        .class("bars")
        .attr("aria-hidden", "true")
        .child(each)
        .into()
}

fn one(bar: Bar) -> Piece {
    let percent = |tenths: i64| format!("{}.{}%", tenths.div_euclid(10), tenths.rem_euclid(10));
    let mut from = 0;
    let part = |(length, class): (i64, &'static str)| {
        let begins = from;
        from += length;
        (length > 0).then(|| {
            svg("rect")
                .class(class)
                .attr("x", percent(begins))
                .attr("y", "3")
                .attr("width", percent(length))
                .attr("height", "16")
        })
    };
    let parts: Vec<Option<El>> = bar.parts.into_iter().zip(MARKS).map(part).collect();
    Piece::Several(vec![
        el("span").child(bar.name).into(),
        svg("svg").child(parts).into(),
        el("span").child(bar.figure).into(),
    ])
}

/// What the hatches mean. It carries the patterns, so it stands once on a page that has bars.
pub fn bar_key(names: [&'static str; 4]) -> Piece {
    let pattern = |id: &'static str, size: &'static str, turned: Option<&'static str>| {
        svg("pattern")
            .id(id)
            .attr("width", size)
            .attr("height", size)
            .attr("patternUnits", "userSpaceOnUse")
            .attr("patternTransform", turned)
    };
    let line = svg("path").class("bar-ink").attr("d", "M0 0V6");
    let dot = svg("circle").class("bar-dot");
    let dot = dot.attr("cx", "2").attr("cy", "2").attr("r", "1.1");
    let mut patterns = Some(
        svg("defs")
            .child(pattern("bar-kept", "6", Some("rotate(45)")).child(line))
            .child(pattern("bar-shared", "5", None).child(dot)),
    );
    let mark = |(name, class): (&'static str, &'static str)| {
        let box_of = svg("rect").class(class).attr("x", "1").attr("y", "1");
        let drawn = svg("svg")
            .class("key-mark")
            .attr("viewBox", "0 0 22 14")
            .attr("aria-hidden", "true")
            .child(patterns.take())
            .child(box_of.attr("width", "20").attr("height", "12"));
        el("span").child(drawn).child(name)
    };
    let marks: Piece = names.into_iter().zip(MARKS).map(mark).collect();
    el("p").class("key").child(marks).into()
}
