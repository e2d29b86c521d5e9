//! A note that people write in together, of a bed or of a task: what two people write at once is kept from both.

use leptos::prelude::*;
use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::{DocumentName, Edit};

use crate::parts::{Act, Acts, Form, Heading, Note, NoteField, SendButton, use_toasts};
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::pen::paragraphs;
use crate::state::use_book;

/// The note, to be read and written.
#[component]
pub fn SharedNote(
    /// Of what.
    of: NoteOf,
    /// In which document it stands.
    document: DocumentName,
    /// Its words, as they are shown.
    note: Memo<String>,
    /// Why this person may not write in it, if so.
    refused: Signal<Option<String>>,
) -> impl IntoView {
    let words = Signal::derive(move || {
        let words = if note.read().is_empty() {
            "Write a note"
        } else {
            "Write in the note"
        };
        words.to_owned()
    });
    let writing = RwSignal::new(false);
    let form = move || view! { <Writing of=of document=document note=note writing=writing /> };
    view! {
        <Heading text="Note" />
        <Show when=move || !writing.get() fallback=form>
            {move || paragraphs(&note.read())}
            <Acts><Act words=words on_press=move |()| writing.set(true) refused=refused /></Acts>
        </Show>
    }
}

// The text is edited against what it was when the writing began; that is what the others' words are merged with.
#[component]
fn Writing(
    of: NoteOf,
    document: DocumentName,
    note: Memo<String>,
    writing: RwSignal<bool>,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let base: StoredValue<NoteBase> = StoredValue::new(book.note_base(of, document));
    let begun = StoredValue::new(note.get_untracked());
    let text = RwSignal::new(note.get_untracked());
    let others_wrote = move || begun.with_value(|begun| note.with(|note| note != begun));
    let wrong = Wrong::new(&["note"]);
    let send = move |()| {
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
    view! {
        <Form on_send=send>
            <NoteField
                label="Note" value=text error=wrong.at("note")
                help="Everybody can read it. What two people write at the same time is kept from both."
            />
            <Show when=others_wrote>
                <Note>"Somebody else wrote in this note meanwhile. Their words and yours will both stand."</Note>
            </Show>
            <WrongWhole wrong=wrong />
            <div class="acts-inline">
                <SendButton words="Keep the note" />
                <Act words="Leave it" on_press=move |()| writing.set(false) />
            </div>
        </Form>
    }
}
