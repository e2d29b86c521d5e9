//! The note of a bed, in which whoever holds it writes.

use leptos::prelude::*;
use selion_core::document::DocumentName;
use selion_core::document::edit::NoteOf;
use selion_core::document::ids::BedId;
use selion_core::policy::Action;

use crate::screens::note::SharedNote;
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
    view! { <SharedNote of=NoteOf::Bed(bed) document=DocumentName::Ground note=note refused=refused /> }
}
