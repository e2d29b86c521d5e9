//! One task as a line, as the week and the work screen list it.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TaskId;
use selion_core::document::records::Standing;
use selion_core::policy::Action;

use super::claims::use_claims;
use crate::browser::page;
use crate::parts::{Act, Line, Places, Tag, TagKind};
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
#[component]
pub fn TaskRow(
    /// Which task.
    task: TaskId,
    /// What the line adds or leaves out.
    #[prop(optional)]
    kind: RowKind,
) -> impl IntoView {
    let book = use_book();
    let line = Memo::new(move |_| {
        TaskLine::of(&book.garden.read(), task, book.me.get(), book.today.get())
    });
    let of = move |read: fn(&TaskLine) -> String| {
        Signal::derive(move || {
            line.with(|line| line.as_ref().map(read))
                .unwrap_or_default()
        })
    };
    let is = move |read: fn(&TaskLine) -> bool| line.with(|line| line.as_ref().is_some_and(read));
    let small: fn(&TaskLine) -> String = if kind == RowKind::UnderItsDay {
        |line| line.time.clone()
    } else {
        |line| line.small.clone()
    };
    view! {
        <Line
            bed=of(|line| line.bed.clone())
            what=of(|line| line.title.clone())
            small=of(small)
            href=format!("/task/{task}")
            mine=Signal::derive(move || is(|line| line.mine.is_some()))
            done=Signal::derive(move || is(|line| line.done))
        >
            <Figure task=task line=line claimable=kind == RowKind::Claimable />
        </Line>
    }
}

// How it stands: its places, and in a word what else there is to know.
#[component]
fn Figure(task: TaskId, line: Memo<Option<TaskLine>>, claimable: bool) -> impl IntoView {
    let book = use_book();
    let claims = use_claims();
    let number = move |read: fn(&TaskLine) -> usize| {
        Signal::derive(move || line.with(|line| line.as_ref().map_or(0, read)))
    };
    let total = number(|line| line.places);
    let held = number(|line| line.taken);
    let mine = Signal::derive(move || {
        let mine = line.with(|line| line.as_ref().and_then(|line| line.mine));
        matches!(mine, Some((_, Standing::Holds | Standing::Done)))
    });
    let can_claim = move || {
        claimable
            && line.with(|line| {
                line.as_ref()
                    .is_some_and(|line| line.needs_people() && line.mine.is_none())
            })
    };
    let claim = move |()| {
        claims.claim(Claimable::Task(task));
        page::focus_in_place(NEEDS_PEOPLE);
    };
    let spoken = move || {
        line.with_untracked(|line| line.as_ref().map(|line| format!("Claim: {}", line.title)))
            .unwrap_or_default()
    };
    let state = move || tag_of(&line.get()?, book.waits(&task));
    // Where a word says how it stands, the squares are count enough.
    let count = move || state().is_none().then(|| taken_of(held.get(), total.get()));
    let tag = move || {
        let (word, kind) = state()?;
        Some(view! { <Tag word=word kind=kind /> })
    };
    view! {
        <Places total=total held=held mine=mine standing_by=number(|line| line.standing_by) />
        {tag}
        <Show when=can_claim fallback=move || view! { <small>{count}</small> }>
            <Act
                words="Claim" spoken=spoken() on_press=claim
                refused=Signal::derive(move || book.why_not(Action::Claim, false))
            />
        </Show>
    }
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
