//! One task as a line, as the week and the work screen list it.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TaskId;
use selion_core::document::records::Standing;
use selion_core::policy::Action;

use super::claims::use_claims;
use crate::browser::page;
use crate::parts::{Squares, TagKind, act, line, places, tag};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, when};
use crate::plain::tasks::TaskLine;
use crate::plain::wording::{stand_by, taken_of};
use crate::state::use_book;

/// The id of the list that tasks are claimed from. A line that was claimed leaves it, and the focus stays with the list.
pub const NEEDS_PEOPLE: &str = "needs-people";

/// What a task's line adds or leaves out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowKind {
    /// Everything, to be read.
    #[default]
    Whole,
    /// With a button to claim it while a place is free.
    Claimable,
    /// Without its day, which stands in the heading above.
    UnderItsDay,
}

/// A task's line; the whole of it leads to the task.
pub fn task_row(task: TaskId, kind: RowKind) -> Piece {
    let book = use_book();
    let shown =
        memo(move || TaskLine::of(&book.garden.read(), task, book.me.get(), book.today.get()));
    let of = move |read: fn(&TaskLine) -> String| {
        derived(move || {
            shown
                .with(|line| line.as_ref().map(read))
                .unwrap_or_default()
        })
    };
    let is = move |read: fn(&TaskLine) -> bool| shown.with(|line| line.as_ref().is_some_and(read));
    let small: fn(&TaskLine) -> String = if kind == RowKind::UnderItsDay {
        |line| line.time.clone()
    } else {
        |line| line.small.clone()
    };
    line(of(|line| line.title.clone()))
        .bed(of(|line| line.bed.clone()))
        .small(of(small))
        .href(format!("/task/{task}"))
        .mine(move || is(|line| line.mine.is_some()))
        .done(move || is(|line| line.done))
        .child(figure(task, shown, kind == RowKind::Claimable))
        .into()
}

// How it stands: its places, and in a word what else there is to know.
fn figure(task: TaskId, line: Memo<Option<TaskLine>>, claimable: bool) -> Piece {
    let book = use_book();
    let claims = use_claims();
    let squares = move || {
        line.with(|line| {
            line.as_ref().map_or_else(Squares::default, |line| Squares {
                total: line.places,
                held: line.taken,
                mine: matches!(line.mine, Some((_, Standing::Holds | Standing::Done))),
                standing_by: line.standing_by,
            })
        })
    };
    let can_claim = move || {
        claimable
            && line.with(|line| {
                line.as_ref()
                    .is_some_and(|line| line.needs_people() && line.mine.is_none())
            })
    };
    let claim = move || {
        claims.claim(Claimable::Task(task));
        page::focus_in_place(NEEDS_PEOPLE);
    };
    let spoken = move || {
        line.with_untracked(|line| line.as_ref().map(|line| format!("Claim: {}", line.title)))
            .unwrap_or_default()
    };
    let state = move || tag_of(&line.get()?, book.waits(&task));
    // Where a word says how it stands, the squares are count enough.
    let count = move || {
        let Squares { held, total, .. } = squares();
        state().is_none().then(|| taken_of(held, total))
    };
    pieces![
        places(squares),
        move || state().map(|(word, kind)| tag(word, kind)),
        when(can_claim, move || act("Claim", claim)
            .spoken(spoken())
            .refused(move || book.why_not(Action::Claim, false)))
        .otherwise(move || el("small").child(count))
    ]
}

fn tag_of(line: &TaskLine, waits: bool) -> Option<(String, TagKind)> {
    if waits {
        Some(("waiting".to_owned(), TagKind::Wait))
    } else if line.done {
        Some(("done".to_owned(), TagKind::Done))
    } else if let Some((_, Standing::StandsBy(steps))) = line.mine {
        Some((stand_by(steps), TagKind::Wait))
    } else if line.late {
        Some(("late".to_owned(), TagKind::Stop))
    } else {
        None
    }
}
