//! The last four weeks drawn, and the table that says the same.

use leptos::prelude::*;

use crate::parts::{FigureRow, figures, heading};
use crate::piece::{El, Piece, derived, el, memo, pieces, svg, when};
use crate::plain::weather_plot::{HIGH, Mark, Plot, WIDE, plot};
use crate::plain::weather_rows::{HEADS, last_days, table};
use crate::state::use_book;

pub(super) fn last_weeks() -> Piece {
    let book = use_book();
    let days = memo(move || last_days(&book.garden.read(), book.today.get()));
    let has_some = move || days.with(|days| days.iter().any(|(_, day)| day.readings > 0));
    let rows = derived(move || {
        let (today, units) = (book.today.get(), book.units());
        let row = |cells: [String; 5]| FigureRow {
            cells: cells.to_vec(),
            mine: false,
        };
        let rows = days.with(|days| table(days, today, units));
        rows.into_iter().map(row).collect::<Vec<_>>()
    });
    let heads = || HEADS.map(ToOwned::to_owned).to_vec();
    when(has_some, move || {
        pieces![
            heading("The last four weeks"),
            move || drawing(days.with(|days| plot(days, book.units()))),
            el("details")
                .class("more")
                .child(el("summary").child("The same as a table"))
                .child(figures(
                    "Day by day, on average of the gauges",
                    heads(),
                    rows
                ))
        ]
    })
    .into()
}

fn drawing(plot: Plot) -> El {
    let Plot {
        warmth,
        rain,
        scales,
        days,
        words,
    } = plot;
    let mark = |class: &'static str| {
        move |mark: Mark| {
            svg("rect")
                .class(class)
                .attr("x", mark.x.to_string())
                .attr("y", mark.y.to_string())
                .attr("width", mark.wide.to_string())
                .attr("height", mark.high.to_string())
        }
    };
    let at = |x: i64, y: i64, class: &'static str, words: String| {
        svg("text")
            .class(class)
            .attr("x", x.to_string())
            .attr("y", y.to_string())
            .child(words)
    };
    let scale = scales.into_iter().map(|scale| {
        svg("g")
            .child(
                svg("line")
                    .attr("x1", "60")
                    .attr("x2", WIDE.to_string())
                    .attr("y1", scale.y.to_string())
                    .attr("y2", scale.y.to_string()),
            )
            .child(at(54, scale.y + 5, "scale", scale.figure))
    });
    let named = days
        .into_iter()
        .map(|(x, words)| at(x, HIGH - 8, "day", words));
    el("figure")
        .class("weather-plot")
        .child(
            svg("svg")
                .attr("viewBox", format!("0 0 {WIDE} {HIGH}"))
                .attr("role", "img")
                .attr("aria-label", words.clone())
                .child(scale.collect::<Piece>())
                .child(warmth.into_iter().map(mark("warmth")).collect::<Piece>())
                .child(rain.into_iter().map(mark("rain")).collect::<Piece>())
                .child(named.collect::<Piece>()),
        )
        .child(el("figcaption").child(
            "Above, from the coldest to the warmest of each day; below, its rain. A day that nobody wrote down stays empty.",
        ))
}
