//! The note of a bed, in which whoever holds it writes.

use leptos::prelude::*;
use selion_core::document::DocumentName;
use selion_core::document::edit::NoteOf;
use selion_core::document::ids::BedId;
use selion_core::policy::Action;

use crate::piece::{Piece, derived, memo};
use crate::screens::note::shared_note;
use crate::state::use_book;

/// The note, to be read and written.
pub fn bed_note(bed: BedId) -> Piece {
    let book = use_book();
    let note = memo(move || {
        let garden = book.garden.read();
        garden
            .beds
            .get(&bed)
            .map(|bed| bed.note.clone())
            .unwrap_or_default()
    });
    let refused = derived(move || {
        let me = book.me.get();
        let garden = book.garden.read();
        let bed = garden.beds.get(&bed);
        let own = me.is_some_and(|me| bed.is_some_and(|bed| bed.is_held_by(me)));
        book.why_not(Action::NoteBed, own)
    });
    shared_note(NoteOf::Bed(bed), DocumentName::Ground, note, refused)
}
