//! Changing a planting: what, when, where in its bed, how its rows lie.

use leptos::prelude::*;
use selion_core::document::Edit;

use super::Shown;
use crate::parts::{form, send_button, sheet, use_toasts};
use crate::piece::{Piece, memo, signal_of};
use crate::plain::plant_form::{PlantTyped, Wrong, read};
use crate::plain::plantings::change::{back, changes};
use crate::screens::form::{Wrong as WrongForm, wrong_whole};
use crate::screens::plant::fields::{Draft, change_fields};
use crate::state::use_book;

/// The sheet.
pub fn change_sheet(shown: Shown, changing: RwSignal<bool>) -> Piece {
    sheet(changing, "Change the planting", move || {
        change_form(shown, changing)
    })
}

fn change_form(shown: Shown, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let Some((_, record)) = shown.record_untracked() else {
        return Piece::Nothing;
    };
    let bed = record.bed;
    let draft = Draft::of_stood(PlantTyped::of(&record, untrack(|| book.units())));
    let found = memo(move || {
        let books = shown.shelf.read();
        let books = books.as_ref().as_ref().ok()?;
        Some(read(
            &book.garden.read(),
            books,
            bed,
            &draft.typed(),
            book.units(),
        ))
    });
    let tried = signal_of(false);
    let whole = WrongForm::new(&[]);
    let wrong = memo(move || {
        found.with(|found| match found {
            Some(Err(wrong)) if tried.get() => wrong.clone(),
            _ => Wrong::new(),
        })
    });
    let send = move || {
        whole.clear();
        tried.set(true);
        let Some(Ok(planned)) = found.get_untracked() else {
            return whole.refused("Not changed yet: see what is marked above.");
        };
        let Some((document, (_, stood))) = shown.document().zip(shown.record_untracked()) else {
            return;
        };
        let set = changes(&stood, &planned, untrack(|| draft.keeps_ground()));
        if set.is_empty() {
            return changing.set(false);
        }
        let planting = shown.id;
        let undo = Edit::ChangePlanting {
            planting,
            set: back(&stood, &set),
        };
        if whole.write(book, document, Edit::ChangePlanting { planting, set }) {
            changing.set(false);
            toasts.say_with_undo("Changed.", move || {
                if let Err(refused) = book.write(document, undo.clone()) {
                    toasts.say(refused.message);
                }
            });
        }
    };
    form(send)
        .child(change_fields(bed, draft, wrong, shown.shelf))
        .child(wrong_whole(whole))
        .child(send_button("Keep it"))
        .into()
}
