//! The note of a task: everybody can write in it, and what two people write at once is kept from both.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::TaskId;
use selion_core::policy::Action;

use crate::parts::{Act, Acts, Form, Heading, Note, NoteField, SendButton, use_toasts};
use crate::screens::form::{Wrong, WrongWhole};
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
    let writing = RwSignal::new(false);
    let paragraphs = move || {
        note.get()
            .lines()
            .filter(|line| !line.trim().is_empty())
            .map(|line| view! { <p>{line.to_owned()}</p> })
            .collect_view()
    };
    view! {
        <Heading text="Note" />
        <Show when=move || !writing.get() fallback=move || view! { <Writing task=task note=note writing=writing /> }>
            {paragraphs}
            <Acts>
                <Act
                    words=Signal::derive(move || {
                        if note.read().is_empty() { "Write a note" } else { "Write in the note" }.to_owned()
                    })
                    on_press=move |()| writing.set(true)
                    refused=Signal::derive(move || book.why_not(Action::NoteTask, true))
                />
            </Acts>
        </Show>
    }
}

// The text is edited against what it was when the writing began; that is what the others' words are merged with.
#[component]
fn Writing(task: TaskId, note: Memo<String>, writing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let of = NoteOf::Task(task);
    let document = book.garden.read_untracked().task(task).map_or_else(
        || book.season(),
        |(year, _)| selion_core::document::DocumentName::Season(year),
    );
    let base: StoredValue<NoteBase> = StoredValue::new(book.note_base(of, document));
    let begun_with = note.get_untracked();
    let text = RwSignal::new(begun_with.clone());
    let begun_with = StoredValue::new(begun_with);
    let others_wrote = move || begun_with.with_value(|begun| note.with(|note| note != begun));
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
                help="Everybody can write here. What two people write at the same time is kept from both."
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
