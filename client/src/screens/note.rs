//! A note that people write in together, of a bed or of a task: what two people write at once is kept from both.

use leptos::prelude::*;
use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::{DocumentName, Edit};

use crate::later::{Later, later_part};
use crate::parts::{act, acts, form, heading, note, note_field, send_button, use_toasts};
use crate::piece::{Memo, Piece, derived, el, pieces, signal_of, when};
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::paragraphs;
use crate::state::use_book;

/// The note, to be read and written.
pub fn shared_note(
    of: NoteOf,
    document: DocumentName,
    note: Memo<String>,
    refused: Signal<Option<String>>,
) -> Piece {
    let words = derived(move || {
        let words = if note.read().is_empty() {
            "Write a note"
        } else {
            "Write in the note"
        };
        words.to_owned()
    });
    let is_writing = signal_of(false);

    pieces![
        heading("Note"),
        when(
            move || !is_writing.get(),
            move || pieces![
                move || paragraphs(&note.read()),
                acts().child(act(words, move || is_writing.set(true)).refused(refused))
            ]
        )
        .otherwise(move || later_part(Later::Note(of, document, note, is_writing)))
    ]
}

/// The note while somebody writes in it. The text is edited against what it was when the writing began; that is what the
/// others' words are merged with.
pub fn writing(
    of: NoteOf,
    document: DocumentName,
    shown: Memo<String>,
    writing: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let base: StoredValue<NoteBase> = StoredValue::new(book.note_base(of, document));
    let begun = StoredValue::new(shown.get_untracked());
    let text = signal_of(shown.get_untracked());
    let others_wrote = move || begun.with_value(|begun| shown.with(|shown| shown != begun));
    let wrong = Wrong::new(&["note"]);
    let send = move || {
        wrong.clear();
        let edit = Edit::WriteNote {
            of,
            text: text.get_untracked(),
            base: base.get_value(),
        };
        if wrong.write(book, document, edit) {
            toasts.say("The note is written.");
            writing.set(false);
        }
    };
    form(send)
        .child(note_field("Note", text).error(wrong.at("note")).help(
            "Everybody can read it. What two people write at the same time is \
             kept from both.",
        ))
        .child(when(others_wrote, move || {
            note().child(
                "Somebody else wrote in this note meanwhile. Their words and yours \
                 will both stand.",
            )
        }))
        .child(wrong_whole(wrong))
        .child(
            el("div")
                .class("acts-inline")
                .child(send_button("Keep the note"))
                .child(act("Leave it", move || writing.set(false))),
        )
        .into()
}
