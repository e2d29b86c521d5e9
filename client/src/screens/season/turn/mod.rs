//! The turn of the year as a checklist: open the next year, ask about what is unfinished, carry balances, close.
//!
//! Each step stands by itself and may be done on another day. All of it goes through the outbox, so it works without signal.

mod beds;
mod close;
mod tasks;

use leptos::prelude::*;
use selion_core::document::season_turn::{YearEnd, of_year};
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use self::beds::{picking_turns, plantings};
use self::close::{balances, close, closed_years};
use self::tasks::tasks;
use crate::parts::{
    ActKind, NoteKind, TagKind, act, act_link, acts, empty, heading, note, page_head, tag,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, when};
use crate::plain::turn_of_year::{self, Next, Written};
use crate::screens::pen::use_pen;
use crate::state::{Book, use_book};

/// The screen at `/season/turn`.
pub fn turn_screen() -> Piece {
    let book = use_book();
    let label = derived(move || format!("Season · {}", book.garden_name()));
    let year = memo(move || turn_of_year::year_of(&book.garden.read()));
    let title = derived(move || match year.get() {
        Some(year) => format!("From {year} to {}", year + 1),
        None => "The turn of the year".to_owned(),
    });
    pieces![
        page_head(label, title).back("/season", "The year"),
        live(
            move || match (year.get(), book.why_not(Action::KeepGarden, false)) {
                (_, Some(refused)) => not_yours(refused),
                (None, None) => no_year(),
                (Some(year), None) => checklist(year),
            }
        ),
        closed_years()
    ]
}

fn not_yours(refused: String) -> Piece {
    empty("Coordinators turn the year")
        .child(el("p").child(refused))
        .child(act_link("/season", "To the year"))
        .into()
}

fn no_year() -> Piece {
    empty("No year is open")
        .child(el("p").child(
            "A year is opened under Garden; then its tasks, plantings and loads can be written.",
        ))
        .child(act_link("/garden", "To the garden").kind(ActKind::Main))
        .into()
}

/// What every step of a year reads.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turning {
    book: Book,
    year: i16,
    end: Memo<YearEnd>,
    next: Memo<Next>,
}

fn checklist(year: i16) -> Piece {
    let book = use_book();
    let turning = Turning {
        book,
        year,
        end: memo(move || of_year(&book.garden.read(), year)),
        next: memo(move || turn_of_year::next_of(&book.garden.read(), year)),
    };
    let still_runs = move || book.today.get().year() <= year;
    pieces![
        el("p").child(
            "Six steps, in any order and on any day. What each has left is asked anew whenever the page is opened."
        ),
        when(still_runs, move || note().child(format!(
            "{year} still runs: until it is closed everything can be written as always."
        ))),
        open_next(turning),
        tasks(turning),
        picking_turns(turning),
        plantings(turning),
        balances(turning),
        close(turning)
    ]
}

/// The head of a step with how it stands.
pub(super) fn step(
    number: usize,
    words: &'static str,
    left: impl Fn() -> usize + Send + Sync + Copy + 'static,
) -> Piece {
    let state = move || {
        if left() == 0 {
            tag("done", TagKind::Done)
        } else {
            tag(format!("{} open", left()), TagKind::Wait)
        }
    };
    heading(format!("{number} · {words} "))
        .class("step")
        .child(live(state))
        .into()
}

fn open_next(turning: Turning) -> Piece {
    let pen = use_pen();
    let Turning { year, next, .. } = turning;
    let open = move || {
        let edit = Edit::OpenYear { year: year + 1 };
        let said = format!("{} is open.", year + 1);
        pen.write(DocumentName::Ground, edit, said);
    };
    pieces![
        step(1, "Open the next year", move || usize::from(
            next.get() == Next::NotOpen
        )),
        live(move || {
            match next.get() {
            Next::NotOpen => pieces![
                el("p").child(format!(
                    "{} gets its own tasks, plantings, pickings, loads and ledger. Both years can be written in side by side. An opened year stays: this is not undone.",
                    year + 1
                )),
                acts().child(act(format!("Open {}", year + 1), open).kind(ActKind::Main))
            ],
            Next::OnItsWay => note()
                .kind(NoteKind::Mind)
                .child(format!(
                    "{} is opened on this phone and begins once the garden has heard of it, which needs a signal. Until then nothing can be carried into it; all else goes on.",
                    year + 1
                ))
                .into(),
            Next::Here => el("p").child(format!("{} is open.", year + 1)).into(),
        }
        })
    ]
}

/// What came of several edits.
#[derive(Clone, Debug)]
pub(super) struct Said {
    trouble: Option<String>,
}

impl Said {
    /// The words when all stood, or why one did not.
    pub(super) fn words(&self, done: impl Into<String>) -> String {
        self.trouble.clone().unwrap_or_else(|| done.into())
    }
}

/// Writes several edits, one after the other; those behind one that cannot stand are written all the same.
pub(super) fn write_all(book: Book, edits: Vec<Written>) -> Said {
    let mut trouble = None;
    for (document, edit) in edits {
        if let Err(refused) = book.write(document, edit) {
            trouble = Some(refused.message);
        }
    }
    Said { trouble }
}
