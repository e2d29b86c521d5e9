//! An invented plan, for looking at the plan's parts.

use leptos::prelude::*;
use selion_core::geometry::{Line as GroundLine, Outline, Point};
use selion_core::quantities::Units;

use crate::parts::{line, lines, plan, plate, remark, title_block};
use crate::piece::{Piece, el, signal_of, svg};
use crate::plain::drawing;
use crate::plain::viewport::Extent;

struct Bed {
    label: &'static str,
    /// South-western corner, width and depth, in millimetres.
    place: [i64; 4],
    /// What stands in it, where it is not rows.
    hatch: Option<&'static str>,
}

const fn bed(label: &'static str, place: [i64; 4], hatch: Option<&'static str>) -> Bed {
    Bed {
        label,
        place,
        hatch,
    }
}

const BEDS: [Bed; 7] = [
    bed("A1", [2000, 18000, 4500, 6000], None),
    bed("A2", [7500, 18000, 4500, 6000], None),
    bed("A3", [13000, 18000, 4500, 6000], Some("url(#hatch-cover)")),
    bed("B1", [2000, 10500, 4500, 6000], Some("url(#hatch-mulch)")),
    bed("B2", [7500, 10500, 4500, 6000], Some("url(#hatch-bare)")),
    bed("C4", [18500, 10500, 4000, 13500], None),
    bed("D1", [2000, 5000, 10000, 4000], None),
];

const FENCE: &str = "LINESTRING(12500 1000,1000 1000,1000 25000,23500 25000,23500 1000,15500 1000)";

const GROUND: Extent = Extent {
    left: 0.0,
    top: -26_000.0,
    width: 24_500.0,
    height: 26_000.0,
};

/// A plan with its title block and the list that says the same.
pub fn sample_plan() -> Piece {
    let chosen = signal_of("");
    let beds = BEDS
        .iter()
        .filter_map(move |bed| drawn(bed, chosen))
        .collect::<Piece>();
    let fence = GroundLine::parse(FENCE)
        .map(|line| drawing::line_path(&line))
        .unwrap_or_default();
    let entries = [("Beds", "7, of which yours C4"), ("Area", "2,500 sq ft")];
    let entries = entries
        .map(|(name, figure)| (name.to_owned(), figure.to_owned()))
        .to_vec();
    el("div")
        .class("split")
        .child(
            el("div")
                .child(
                    plan(
                        "Plan of the ground: 7 beds, fence on four sides, gate south",
                        || GROUND,
                        || Units::UsCustomary,
                    )
                    .north(12.0)
                    .child(svg("path").class("fence").attr("d", fence))
                    .child(beds)
                    .child(remark((14_000.0, -600.0), "gate 10 ft")),
                )
                .child(title_block(entries)),
        )
        .child(
            lines()
                .child(
                    line("Bush beans, rows 4 ft apart")
                        .bed("C4")
                        .small("second sowing due 14 June")
                        .mine(true)
                        .href("/bed/4")
                        .child("360")
                        .child(el("small").child("sq ft")),
                )
                .child(
                    line("Buckwheat, to be cut by 20 June")
                        .bed("A3")
                        .small("common bed")
                        .href("/bed/3")
                        .child("192")
                        .child(el("small").child("sq ft")),
                ),
        )
        .into()
}

fn drawn(bed: &Bed, chosen: RwSignal<&'static str>) -> Option<Piece> {
    let &Bed {
        label,
        place,
        hatch,
    } = bed;
    let outline = rectangle(place)?;
    let path = drawing::outline_path(&outline);
    let rows = if hatch.is_none() {
        rows(place)
    } else {
        String::new()
    };
    let by_key = move |event: leptos::ev::KeyboardEvent| {
        if event.key() == "Enter" {
            chosen.set(label);
        }
    };
    Some(
        svg("g")
            .class("bed")
            .class_if("mine", label == "C4")
            .class_if("chosen", move || chosen.get() == label)
            .attr("role", "button")
            .attr("tabindex", "0")
            .attr("aria-label", format!("Bed {label}"))
            .on("click", move || chosen.set(label))
            .on_event("keydown", by_key)
            .child(svg("path").class("outline").attr("d", path.clone()))
            .child(hatch.map(|hatch| {
                svg("path")
                    .class("outline")
                    .attr("d", path)
                    .attr("fill", hatch)
            }))
            .child(svg("path").class("row-line").attr("d", rows))
            .child(plate(drawing::place(outline.label_point()), label))
            .into(),
    )
}

fn rectangle([west, south, width, depth]: [i64; 4]) -> Option<Outline> {
    let (east, north) = (west + width, south + depth);
    let corners = [(west, south), (east, south), (east, north), (west, north)];
    Outline::new(
        corners.map(|(x, y)| Point::from_mm(x, y)).to_vec(),
        Vec::new(),
    )
    .ok()
}

// Rows 900 mm apart, as far as they fit.
fn rows([west, south, width, depth]: [i64; 4]) -> String {
    let (from, to) = (-(south + depth - 250), -(south + 250));
    let mut rows = Vec::new();
    let mut x = west + 450;
    while x < west + width {
        rows.push(format!("M{x} {from}V{to}"));
        x += 900;
    }
    rows.concat()
}
