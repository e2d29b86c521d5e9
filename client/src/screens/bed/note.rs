//! The note of a bed: whoever holds it writes here, and what two people write at once is kept from both.

use leptos::prelude::*;
use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::BedId;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{Act, Acts, Form, Heading, Note, NoteField, SendButton, use_toasts};
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::pen::paragraphs;
use crate::state::use_book;

/// The note, to be read and written.
#[component]
pub fn BedNote(
    /// Of which bed.
    bed: BedId,
) -> impl IntoView {
    let book = use_book();
    let note = Memo::new(move |_| {
        let garden = book.garden.read();
        garden
            .beds
            .get(&bed)
            .map(|bed| bed.note.clone())
            .unwrap_or_default()
    });
    let refused = Signal::derive(move || {
        let me = book.me.get();
        let garden = book.garden.read();
        let bed = garden.beds.get(&bed);
        let own = me.is_some_and(|me| bed.is_some_and(|bed| bed.is_held_by(me)));
        book.why_not(Action::NoteBed, own)
    });
    let words = Signal::derive(move || {
        let words = if note.read().is_empty() {
            "Write a note"
        } else {
            "Write in the note"
        };
        words.to_owned()
    });
    let writing = RwSignal::new(false);
    view! {
        <Heading text="Note" />
        <Show when=move || !writing.get() fallback=move || view! { <Writing bed=bed note=note writing=writing /> }>
            {move || paragraphs(&note.read())}
            <Acts><Act words=words on_press=move |()| writing.set(true) refused=refused /></Acts>
        </Show>
    }
}

// The text is edited against what it was when the writing began; that is what the others' words are merged with.
#[component]
fn Writing(bed: BedId, note: Memo<String>, writing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let of = NoteOf::Bed(bed);
    let base: StoredValue<NoteBase> = StoredValue::new(book.note_base(of, DocumentName::Ground));
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
        if wrong.write(book, DocumentName::Ground, edit) {
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
            <SendButton words="Keep the note" />
            <Act words="Leave it" on_press=move |()| writing.set(false) />
        </Form>
    }
}
