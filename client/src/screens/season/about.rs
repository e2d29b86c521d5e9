//! What stands around the year: its figures, whether it is closed, where its frost lines come from, what to do where it is empty.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::policy::Action;

use super::{Asked, Shown};
use crate::parts::{NoteKind, WorkingText, act_link, acts, empty, note, title_block, working};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, when};
use crate::plain::wording::{counted, margin_day};
use crate::plain::year_rows::{choose, count};

/// A year that is closed is looked at and not changed.
pub(super) fn closed_words(asked: Asked) -> Piece {
    let book = asked.book;
    let closed = memo(move || {
        let year = asked.year();
        let is_open = choose::is_open(&book.garden.read(), year);
        (!asked.looks_back && !is_open).then_some((year, year < book.today.get().year()))
    });
    live(move || {
        closed.get().map(|(year, is_past)| {
            let words = if is_past {
                format!(
                    "{year} is closed: it can be looked at, and nothing more is written into it."
                )
            } else {
                format!("{year} is not open yet; a coordinator opens it under Garden.")
            };
            note().child(words)
        })
    })
}

pub(super) fn facts(shown: Memo<Option<Shown>>) -> Piece {
    let entries = derived(move || {
        shown.with(|shown| {
            let Some(shown) = shown else {
                return Vec::new();
            };
            let (plantings, planted) = count(&shown.bands);
            let beds = format!("{planted} of {}", counted(shown.bands.len(), "bed", "beds"));
            let mut facts = vec![("Plantings", plantings.to_string()), ("In", beds)];
            if let Some(frost) = &shown.view.frost {
                facts.push(("Last frost", margin_day(frost.last_day())));
                facts.push(("First frost", margin_day(frost.first_day())));
            }
            let named = |(name, figure): (&str, String)| (name.to_owned(), figure);
            facts.into_iter().map(named).collect()
        })
    });
    title_block(entries).into()
}

pub(super) fn nothing_planned(asked: Asked, shown: Memo<Option<Shown>>) -> Piece {
    let is_empty =
        memo(move || shown.with(|shown| shown.as_ref().is_some_and(|it| count(&it.bands).0 == 0)));
    let words = move || {
        let year = asked.year();
        match (asked.choice().is_everything(), asked.looks_back) {
            (false, _) => "Nothing of it stands in these beds".to_owned(),
            (true, true) => "Nothing was planned yet on that day".to_owned(),
            (true, false) => format!("Nothing is planned for {year} yet"),
        }
    };
    when(
        move || is_empty.get(),
        move || {
            let help = if asked.plans() {
                "A planting is put into the plan from the sheet of its bed; it then stands here as a bar."
            } else {
                "Another year, other beds or another crop are chosen above."
            };
            empty(words()).child(el("p").child(help))
        },
    )
    .into()
}

/// Where the frost lines come from, or what to do so that there are any.
pub(super) fn frost_words(asked: Asked, shown: Memo<Option<Shown>>) -> Piece {
    let book = asked.book;
    live(move || {
        let view = shown.with(|shown| shown.as_ref().map(|shown| Arc::clone(&shown.view)))?;
        let Some(frost) = &view.frost else {
            return Some(no_frost(book.may(Action::KeepGarden, false)));
        };
        let chance = frost.last.result.chance;
        let words = format!(
            "The frost lines stand where frost comes later in spring, or earlier in fall, in {chance} years of 100."
        );
        Some(pieces![
            el("p").class("help").child(words),
            working(
                "How the last frost comes about",
                WorkingText::from(&frost.last)
            ),
            working(
                "How the first frost comes about",
                WorkingText::from(&frost.first)
            )
        ])
    })
}

fn no_frost(may_enter: bool) -> Piece {
    let who = if may_enter {
        "Enter those of the nearest station under Garden"
    } else {
        "A coordinator enters those of the nearest station under Garden"
    };
    let words = format!(
        "{who}; then they stand as lines in the year, frost ends what it kills, and free weeks are pointed out with what fits them."
    );
    pieces![
        note()
            .kind(NoteKind::Mind)
            .lead("The garden has no frost dates yet.")
            .child(words),
        acts().child(act_link("/garden", "To the garden"))
    ]
}
