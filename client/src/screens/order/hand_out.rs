//! On the day: who takes what home, ticked off by anybody, with or without a signal.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::policy::Action;

use super::Shown;
use super::preview::Answer;
use crate::parts::{ActKind, TagKind, act, heading, line, lines, tag};
use crate::piece::{Piece, derived, memo, pieces, when};
use crate::plain::hand_out_rows::{self, HandOutRow};
use crate::screens::looker::Looker;
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The list.
pub(super) fn hand_out(shown: Shown, answer: Answer, looker: Looker) -> Piece {
    let rows = memo(move || {
        let me = looker.me();
        let rows = answer.with(|answer| {
            let standing = answer.as_ref()?;
            shown.with(|order| hand_out_rows::rows(order, standing, me))
        });
        rows.unwrap_or_default()
    });
    let count = derived(move || rows.with(|rows| hand_out_rows::taken_words(rows)));
    let listed = move || {
        let rows = rows.get().into_iter();
        rows.map(|row| one(shown, row)).collect::<Piece>()
    };
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("On the day"),
                lines().child(line(count).bed("list")).child(listed)
            ]
        },
    )
    .into()
}

fn one(shown: Shown, row: HandOutRow) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let HandOutRow {
        line: of,
        payer,
        name,
        what,
        taken,
        mine,
    } = row;
    let tick = move || {
        let edit = Edit::HandOut {
            order: shown.order,
            line: of,
            payer,
            on: book.today.get_untracked(),
            taken: !taken,
        };
        let said = if taken {
            "Not taken home after all."
        } else {
            "Ticked off."
        };
        pen.write(shown.document(), edit, said);
    };
    let (words, verb) = if taken {
        ("Take back", "Take the tick back")
    } else {
        ("Tick off", "Tick off")
    };
    let spoken = format!("{verb}: {name}, {what}");
    let may_tick = move || book.may(Action::HandOut, false);
    Piece::from(
        line(name)
            .bed(if taken { "has it" } else { "" })
            .small(what)
            .mine(mine)
            .done(taken)
            .child(taken.then(|| tag("taken", TagKind::Done)))
            .child(when(may_tick, move || {
                act(words, tick).spoken(spoken.clone()).kind(ActKind::Bare)
            })),
    )
}
