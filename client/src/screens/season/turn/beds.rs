//! Picking turns and plantings that the year leaves open.

use leptos::prelude::*;
use selion_core::document::ids::PlantingId;
use selion_core::document::season_turn::YearEnd;
use selion_core::document::{DocumentName, Edit};

use super::{Turning, step, write_all};
use crate::parts::{ActKind, Line, act, acts, confirm, line, lines, use_toasts};
use crate::piece::{Memo, Piece, el, memo, pieces, signal_of, when};
use crate::plain::turn_of_year::{self, PlantingRow, TurnRow, Written, out_of_plan};
use crate::screens::pen::use_pen;

pub(super) fn picking_turns(turning: Turning) -> Piece {
    let Turning {
        book, year, end, ..
    } = turning;
    let toasts = use_toasts();
    let asking = signal_of(false);
    let rows = memo(move || {
        let open = end.with(|end| end.turns.clone());
        turn_of_year::turns(&book.garden.read(), year, &open, book.today.get())
    });
    let call_off = move || {
        let on = book.today.get_untracked();
        let ended = rows.get_untracked().into_iter().map(|row| {
            let edit = Edit::EndTurn { turn: row.turn, on };
            (DocumentName::Season(year), edit)
        });
        let said = write_all(book, ended.collect());
        toasts.say(said.words("The turns are called off."));
    };
    let one = |row: TurnRow| {
        Piece::from(
            line(row.what)
                .bed(row.bed)
                .small(row.small)
                .href(format!("/picking?turn={}", row.turn)),
        )
    };
    pieces![
        step(3, "Open picking turns", move || end.with(|end| end.turns.len())),
        when(
            move || !rows.read().is_empty(),
            move || pieces![
                lines().child(move || rows.get().into_iter().map(one).collect::<Piece>()),
                el("p").class("help").child(
                    "Say on a turn that it was picked, or call off all that are left."
                ),
                acts().child(act("Call all of them off", move || asking.set(true)))
            ]
        )
        .otherwise(|| el("p").child("Every turn is picked or called off.")),
        confirm(asking, "Call off all open picking turns?")
            .follows("They stay in the records as called off. A turn that is called off is not put up again; a new one can be.")
            .yes("Call them off", call_off)
            .grave()
    ]
}

/// Plantings that were never sown are asked about, those that stand are told.
pub(super) fn plantings(turning: Turning) -> Piece {
    let Turning {
        book, year, end, ..
    } = turning;
    let of = move |which: fn(&YearEnd) -> &[PlantingId]| {
        memo(move || {
            let found = end.with(|end| which(end).to_vec());
            turn_of_year::plantings(&book.garden.read(), year, &found)
        })
    };
    let never = of(|end| &end.never_sown);
    pieces![
        step(4, "Plantings never sown", move || never.read().len()),
        when(
            move || !never.read().is_empty(),
            move || never_sown(turning, never)
        )
        .otherwise(|| el("p").child("Everything that was planned was sown or taken out.")),
        still_standing(year, of(|end| &end.standing))
    ]
}

fn never_sown(turning: Turning, never: Memo<Vec<PlantingRow>>) -> Piece {
    let Turning { book, year, .. } = turning;
    let (pen, toasts) = (use_pen(), use_toasts());
    let take_out = move |row: &PlantingRow| {
        let on = book.today.get_untracked();
        let (document, edit) = out_of_plan(year, row.planting, Some(on));
        let (_, undo) = out_of_plan(year, row.planting, None);
        let said = format!("{} is out of the plan of {}.", row.crop, row.bed);
        pen.write_with_undo(document, edit, said, undo);
    };
    let take_all_out = move || {
        let on = Some(book.today.get_untracked());
        let rows = never.get_untracked();
        let all = |on| -> Vec<Written> {
            let rows = rows.iter();
            rows.map(|row| out_of_plan(year, row.planting, on))
                .collect()
        };
        let back = all(None);
        let said = write_all(book, all(on)).words("They are out of the plan.");
        toasts.say_with_undo(said, move || {
            toasts.say(write_all(book, back.clone()).words("They are in the plan again."));
        });
    };
    let one = move |row: PlantingRow| {
        let spoken = format!("Take out: {} in {}", row.crop, row.bed);
        let shown = row.clone();
        let take = act("Take out", move || take_out(&shown)).spoken(spoken);
        Piece::from(planting_line(row).child(take.kind(ActKind::Bare)))
    };
    pieces![
        lines().child(move || never.get().into_iter().map(one).collect::<Piece>()),
        el("p").class("help").child(
            "What was sown after all is said so on its sheet; the rest did not happen and would stand in the way of rotation."
        ),
        acts().child(act("Take all of them out of the plan", take_all_out))
    ]
}

fn planting_line(row: PlantingRow) -> Line {
    line(row.crop)
        .bed(row.bed)
        .small(row.small)
        .href(format!("/planting/{}", row.planting))
}

fn still_standing(year: i16, standing: Memo<Vec<PlantingRow>>) -> Piece {
    let one = |row| Piece::from(planting_line(row));
    when(
        move || !standing.read().is_empty(),
        move || pieces![
            el("h3").child("Still in the ground"),
            lines().child(move || standing.get().into_iter().map(one).collect::<Piece>()),
            el("p").class("help").child(format!(
                "What stands the winter stays and is shown in {} too. What is gone is said to be cleared on its sheet, while {year} is open.",
                year + 1
            ))
        ]
    )
    .into()
}
