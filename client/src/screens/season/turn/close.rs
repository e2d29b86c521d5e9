//! The money of the year, closing it, and the years that were closed.

use leptos::prelude::*;
use selion_core::document::season_turn::YearEnd;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use super::{Turning, step};
use crate::parts::{ActKind, act, act_link, acts, confirm, heading, line, lines, note};
use crate::piece::{Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::turn_of_year::{self, MoneyRow, Next, closing_words};
use crate::screens::pen::use_pen;
use crate::state::use_book;

pub(super) fn balances(turning: Turning) -> Piece {
    let Turning {
        book, year, end, ..
    } = turning;
    let rows = memo(move || end.with(|end| turn_of_year::money(&book.garden.read(), year, end)));
    let carried = move || end.with(|end| end.carried_over);
    let one = |row: MoneyRow| Piece::from(line(row.what).small(row.small).href(row.href));
    pieces![
        step(5, "Loads, jobs and balances", move || {
            rows.read().len() + usize::from(!carried())
        }),
        lines().child(move || rows.get().into_iter().map(one).collect::<Piece>()),
        live(move || if carried() {
            el("p").child(format!(
                "The balances of {year} are carried over into {}.",
                year + 1
            ))
        } else {
            el("p").child(format!(
                "Once loads are closed and entries confirmed, the balances are carried over into {}; that step stands at the foot of the settling page.",
                year + 1
            ))
        }),
        acts().child(act_link("/settle", "To settling up and carrying over"))
    ]
}

pub(super) fn close(turning: Turning) -> Piece {
    let Turning {
        book,
        year,
        end,
        next,
    } = turning;
    let pen = use_pen();
    let asking = signal_of(false);
    let refused = derived(move || {
        let words = format!(
            "Open {} first, so that there is a year to work in.",
            year + 1
        );
        (next.get() == Next::NotOpen).then_some(words)
    });
    let is_clear = move || end.with(YearEnd::is_clear);
    let close = move || {
        let said = format!("{year} is closed.");
        let undo = Edit::OpenYear { year };
        pen.write_with_undo(DocumentName::Ground, Edit::CloseYear { year }, said, undo);
    };
    let waits = move || !book.waiting.read().is_empty();
    pieces![
        heading("6 · Close the year"),
        live(move || if is_clear() {
            el("p").child(format!("Nothing of {year} is left open."))
        } else {
            el("p").child(
                "It can be closed with something left open; what that is stands in the question.",
            )
        }),
        when(waits, || {
            note().child(
            "Something on this phone is not sent yet. What other phones have not sent by then is set aside there, with the reason."
        )
        }),
        acts().child(
            act(format!("Close {year}"), move || asking.set(true))
                .kind(ActKind::Main)
                .refused(refused)
        ),
        confirm(asking, format!("Close {year}?"))
            .follows(move || end.with(|end| closing_words(end, year)))
            .yes(format!("Close {year}"), close)
    ]
}

/// Years that were closed, each with the way to open it again.
pub(super) fn closed_years() -> Piece {
    let book = use_book();
    let pen = use_pen();
    let years = memo(move || turn_of_year::closed_years(&book.garden.read()));
    let one = move |year: i16| {
        let open = move || {
            let undo = Edit::CloseYear { year };
            let said = format!("{year} is open again.");
            pen.write_with_undo(DocumentName::Ground, Edit::OpenYear { year }, said, undo);
        };
        let again = when(
            move || book.may(Action::KeepGarden, false),
            move || {
                act("Open again", open)
                    .spoken(format!("Open {year} again"))
                    .kind(ActKind::Bare)
            },
        );
        Piece::from(
            line(year.to_string())
                .bed("closed")
                .small("Can be looked at; nothing is written into it")
                .href(format!("/season?year={year}"))
                .child(again),
        )
    };
    when(
        move || !years.read().is_empty(),
        move || {
            pieces![
                heading("Closed years"),
                lines().child(move || years.get().into_iter().map(one).collect::<Piece>())
            ]
        },
    )
    .into()
}
