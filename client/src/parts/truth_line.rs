//! The line at the top that always tells the truth.

use leptos::prelude::*;

use crate::piece::{El, Piece, el, svg};
use crate::plain::truth::{Truth, TruthKind};

/// The truth line. The sentence is read out when it changes; the right end, which may be a clock, is not.
pub fn truth_line(truth: RwSignal<Truth>) -> Piece {
    let class = move || match truth.read().kind {
        TruthKind::InStep => "truth",
        TruthKind::Waiting => "truth waiting",
        TruthKind::Aside => "truth aside",
        TruthKind::NoSignal => "truth silent",
    };
    let right = move || {
        let Truth { right, href, .. } = truth.get();
        match href {
            Some(href) => Piece::from(el("a").attr("href", href).child(right)),
            None => right.into(),
        }
    };
    el("div")
        .class(class)
        .child(move || mark(truth.read().kind))
        .child(
            el("span")
                .attr("role", "status")
                .attr("aria-live", "polite")
                .child(move || truth.read().sentence.clone()),
        )
        .child(el("span").class("right").child(right))
        .into()
}

// Each kind has its own shape, so that nothing depends on colour.
fn mark(kind: TruthKind) -> El {
    let (outlined, filled) = match kind {
        TruthKind::InStep => ("", "M1 1H13V13H1Z"),
        TruthKind::Waiting => ("M2 2H12V12H2Z", "M1 13 13 1V13Z"),
        TruthKind::Aside => ("", "M7 1 13 13H1Z"),
        TruthKind::NoSignal => ("M2 2H12V12H2Z", ""),
    };
    svg("svg")
        .class("mark")
        .attr("viewBox", "0 0 14 14")
        .attr("aria-hidden", "true")
        .child(
            svg("path")
                .attr("d", outlined)
                .attr("fill", "none")
                .attr("stroke", "currentColor")
                .attr("stroke-width", "2"),
        )
        .child(svg("path").attr("d", filled).attr("fill", "currentColor"))
}
