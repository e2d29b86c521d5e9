//! A bed drawn to scale with the rows of its plantings.

use leptos::prelude::*;
use selion_core::document::ids::BedId;

use crate::parts::{plan, plate, remark};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, svg};
use crate::plain::drawing;
use crate::plain::plant_form::sides::sides;
use crate::plain::plantings::drawn::Drawn;
use crate::plain::viewport::Extent;
use crate::state::use_book;

/// Shown where a bed is not there.
const NOWHERE: Extent = Extent {
    left: 0.0,
    top: 0.0,
    width: 1_000.0,
    height: 1_000.0,
};

/// The bed with these plantings; with the numbers of its sides where somebody chooses by them.
pub fn bed_sketch(bed: BedId, drawn: Memo<Vec<Drawn>>, numbered: bool) -> Piece {
    let book = use_book();
    let (scale, tell_scale) = signal(1.0);
    let outline = memo(move || {
        let garden = book.garden.read();
        garden.beds.get(&bed).map(|bed| bed.outline.clone())
    });
    let extent = memo(move || {
        outline.with(|outline| {
            outline
                .as_ref()
                .map_or(NOWHERE, |outline| drawing::extent(outline.bounds()))
        })
    });
    let label = derived(move || {
        let names: Vec<String> = drawn.read().iter().map(|it| it.name.clone()).collect();
        let label = book.garden.read().label_of(Some(bed)).to_owned();
        if names.is_empty() {
            format!("Bed {label}, nothing drawn in it")
        } else {
            format!("Bed {label} with the rows of: {}", names.join(", "))
        }
    });
    let north = derived(move || {
        let degrees = book.profile().map_or(0, |profile| profile.north_degrees);
        f64::from(i32::try_from(degrees).unwrap_or(0))
    });
    let edge = move || {
        outline.with(|outline| {
            let path = drawing::outline_path(outline.as_ref()?);
            Some(svg("path").class("outline").attr("d", path))
        })
    };
    let numbers = move || {
        let units = book.units();
        outline.with(|outline| {
            let sides = outline.as_ref().map(|outline| sides(outline, units));
            let shown = sides.into_iter().flatten().filter(|_| numbered);
            shown
                .map(|side| plate(side.at, side.number.to_string()).class("small"))
                .collect::<Piece>()
        })
    };
    el("div")
        .class("sketch")
        .child(
            plan(label, extent, memo(move || book.units()))
                .north(north)
                .tell_scale(tell_scale)
                .child(pieces![
                    edge,
                    move || drawn
                        .get()
                        .into_iter()
                        .map(|one| planting_drawn(one, scale))
                        .collect::<Piece>(),
                    numbers,
                    move || names_of(&drawn.read())
                ]),
        )
        .into()
}

/// One planting: its rows once they can be told apart, else its ground hatched; a single path either way.
pub fn planting_drawn(drawn: Drawn, scale: ReadSignal<f64>) -> Piece {
    let drawn = StoredValue::new(drawn);
    let has_rows = memo(move || drawn.with_value(|drawn| drawn.has_rows(scale.get())));
    let class = move || {
        let kind = drawn.with_value(|drawn| drawn.kind);
        if has_rows.get() {
            kind.class()
        } else {
            "stand"
        }
    };
    let fill = move || {
        let kind = drawn.with_value(|drawn| drawn.kind);
        (!has_rows.get()).then(|| kind.hatch())
    };
    // Asked anew only when the rows come or go, not with every step of the scale.
    let path = move || {
        let near = has_rows.get();
        drawn.with_value(|drawn| {
            if near {
                drawn.rows()
            } else {
                drawn.ground.clone()
            }
        })
    };
    svg("path")
        .class(class)
        .attr("fill", fill)
        .attr("d", path)
        .attr("fill-rule", "evenodd")
        .into()
}

/// What each of them is called, where it is; the sowings of a series are named once.
fn names_of(drawn: &[Drawn]) -> Piece {
    let is_first = |(place, one): &(usize, &Drawn)| {
        let mut before = drawn.iter().take(*place);
        before.all(|other| other.name != one.name)
    };
    drawn
        .iter()
        .enumerate()
        .filter(is_first)
        .map(|(_, one)| one)
        .map(|one| remark(one.at, one.name.clone()))
        .collect()
}
