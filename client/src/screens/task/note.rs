//! The note of a task, in which everybody can write.

use leptos::prelude::*;
use selion_core::document::DocumentName;
use selion_core::document::edit::NoteOf;
use selion_core::document::ids::TaskId;
use selion_core::policy::Action;

use crate::screens::note::SharedNote;
use crate::state::use_book;

/// The note, to be read and written.
#[component]
pub fn TaskNote(
    /// Of which task.
    task: TaskId,
) -> impl IntoView {
    let book = use_book();
    let note = Memo::new(move |_| {
        let garden = book.garden.read();
        garden
            .task(task)
            .map(|(_, task)| task.note.clone())
            .unwrap_or_default()
    });
    let year = book
        .garden
        .read_untracked()
        .task(task)
        .map(|(year, _)| year);
    let document = year.map_or_else(|| book.season(), DocumentName::Season);
    let refused = Signal::derive(move || book.why_not(Action::NoteTask, true));
    view! { <SharedNote of=NoteOf::Task(task) document=document note=note refused=refused /> }
}
