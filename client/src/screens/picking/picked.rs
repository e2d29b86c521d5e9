//! What was picked this week, with a way to strike a mistake out, and the totals.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::quantities::{Units, Week};

use crate::parts::{FigureRow, empty, figures, heading, lines};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, when};
use crate::plain::pickings::{CropTotal, picked_in, totals};
use crate::plain::wording::capital;
use crate::screens::harvest::entry::{entry_row, use_strike};
use crate::state::use_book;

/// The pickings of a week.
pub fn picked(week: Memo<Week>) -> Piece {
    let book = use_book();
    let pickings = memo(move || {
        let garden = book.garden.read();
        picked_in(&garden, week.get())
            .into_iter()
            .map(|(id, picking)| (id, Arc::clone(picking)))
            .collect::<Vec<_>>()
    });
    let (strike, asks) = use_strike();
    pieces![
        el("div")
            .class("split")
            .child(
                el("div").child(heading("Picked this week")).child(
                    when(
                        move || !pickings.read().is_empty(),
                        move || lines().child(each(
                            move || pickings.get(),
                            move |(id, picking)| row(id, move || entry_row(id, picking, strike))
                        ))
                    )
                    .otherwise(|| empty("Nothing was written down this week")
                        .child(el("p").child("Picking by picking the season adds up here.")))
                )
            )
            .child(el("div").child(totals_of(week))),
        asks
    ]
}

fn totals_of(week: Memo<Week>) -> Piece {
    let book = use_book();
    let both = memo(move || totals(&book.garden.read(), week.get()));
    let crop_row = |units: Units, total: &CropTotal| {
        let shown = |count: i64| match count {
            0 => "\u{2013}".to_owned(),
            count => total.unit.show(count, units),
        };
        FigureRow {
            cells: vec![
                capital(&total.crop),
                shown(total.week),
                shown(total.given_away),
                shown(total.season),
            ],
            mine: false,
        }
    };
    let all = move |totals: &[CropTotal]| {
        let units = book.units();
        totals
            .iter()
            .map(|total| crop_row(units, total))
            .collect::<Vec<_>>()
    };
    let rows = derived(move || both.with(|(crops, _)| all(crops)));
    let whole = derived(move || both.with(|(_, whole)| all(whole)));
    let heads = || {
        ["Crop", "Week", "Given away", "Season"]
            .map(str::to_owned)
            .to_vec()
    };
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("Totals"),
                figures("This week and this year", heads(), rows)
                    .whole(whole)
                    .stacks(true),
                el("p").child(el("a").attr("href", "/harvest").child("The whole season"))
            ]
        },
    )
    .into()
}
