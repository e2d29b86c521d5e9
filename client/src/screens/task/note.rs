//! The note of a task, in which everybody can write.

use leptos::prelude::*;
use selion_core::document::DocumentName;
use selion_core::document::edit::NoteOf;
use selion_core::document::ids::TaskId;
use selion_core::policy::Action;

use crate::piece::{Piece, derived, memo};
use crate::screens::note::shared_note;
use crate::state::use_book;

/// The note, to be read and written.
pub fn task_note(task: TaskId) -> Piece {
    let book = use_book();
    let note = memo(move || {
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
    let refused = derived(move || book.why_not(Action::NoteTask, true));
    shared_note(NoteOf::Task(task), document, note, refused)
}
