//! Where the rota leaves a crop too long in the two weeks that are shown, and the turns that would close it.

use leptos::prelude::*;
use selion_core::policy::Action;

use super::put_up::{Offer, PutUp};
use crate::parts::{act, acts, heading, line, lines, working};
use crate::piece::{Piece, each, el, memo, pieces, row, when};
use crate::plain::gap_rows::{GapRow, gaps};
use crate::state::use_book;

/// The gaps of this week and the next, bed by bed.
pub fn rota_gaps(putting_up: PutUp) -> Piece {
    let book = use_book();
    let rows = memo(move || gaps(&book.garden.read(), book.today.get()));
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("Too long between turns"),
                lines().child(each(
                    move || rows.get(),
                    move |gap| row(format!("{} {}", gap.planting, gap.words), move || one(
                        gap, putting_up
                    ))
                ))
            ]
        },
    )
    .into()
}

fn one(gap: GapRow, putting_up: PutUp) -> Piece {
    let book = use_book();
    let offer = gap.offer.map(|(bed, first, every, count)| Offer {
        bed,
        first,
        every,
        count,
    });
    let words = if offer.is_some_and(|offer| offer.count > 1) {
        "Offer turns"
    } else {
        "Offer a turn"
    };
    let spoken = format!("{words}: {}, {}", gap.label, gap.crop);
    let open = move || putting_up.open(offer);
    pieces![
        line(gap.crop).bed(gap.label).small(gap.words),
        el("li")
            .class("under")
            .child(working("Working", (&gap.working).into()))
            .child(when(
                move || offer.is_some() && book.may(Action::KeepTurns, false),
                move || acts().child(act(words, open).spoken(spoken.clone()))
            ))
    ]
}
