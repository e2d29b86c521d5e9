//! What grows in a bed, as far as its soil is concerned: this year, and next year.

use leptos::prelude::*;
use selion_core::document::bed_soil;
use selion_core::document::ids::BedId;
use selion_core::document::records::BedCrops;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::policy::Action;
use selion_core::soil::targets::CROPS;

use crate::parts::{
    act, acts, check_field, form, heading, line, lines, send_button, sheet, use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of};
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::use_book;

/// A crop with whether it is ticked.
type Ticked = Vec<(&'static str, RwSignal<bool>)>;

/// The lines, and the sheet that changes them.
pub fn crops_of_bed(bed: BedId) -> Piece {
    let book = use_book();
    let changing = signal_of(false);
    let crops = memo(move || bed_soil::crops(&book.garden.read(), bed, book.today.get().year()));
    let named = move |crops: &Map<String, bool>| {
        let names = BedCrops::chosen(crops);
        if names.is_empty() {
            "Not said: taken as mixed vegetables".to_owned()
        } else {
            names.join(", ")
        }
    };
    let now = derived(move || crops.with(|crops| named(&crops.now)));
    let next = derived(move || crops.with(|crops| BedCrops::chosen(&crops.next_year).join(", ")));
    let holds = move || {
        let garden = book.garden.read();
        let bed = garden.open_bed(bed);
        book.me
            .get()
            .zip(bed)
            .is_some_and(|(me, bed)| bed.is_held_by(me))
    };
    pieces![
        heading("What grows here"),
        lines().child(line(now).bed("now")).child(
            line(next)
                .bed("next")
                .small("Next year; before potatoes no lime goes on")
        ),
        acts().child(
            act("Change what grows here", move || changing.set(true))
                .refused(move || book.why_not(Action::SetBedCrops, holds()))
        ),
        sheet(changing, "What grows here", move || crops_form(
            bed, changing
        ))
    ]
}

fn crops_form(bed: BedId, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&[]);
    let stands = untrack(|| bed_soil::crops(&book.garden.read(), bed, book.today.get().year()));
    let now = ticked(&stands.now);
    let next = ticked(&stands.next_year);
    let fields = |of: &Ticked| {
        let boxes = of
            .iter()
            .map(|(crop, ticked)| check_field(*crop, *ticked).into())
            .collect();
        Piece::Several(boxes)
    };
    let (now_fields, next_fields) = (fields(&now), fields(&next));
    let send = move || {
        wrong.clear();
        let edit = Edit::SetBedCrops {
            bed,
            now: chosen(&now),
            next_year: chosen(&next),
        };
        let year = book.today.get_untracked().year();
        if wrong.write(book, DocumentName::Season(year), edit) {
            toasts.say("Kept.");
            changing.set(false);
        }
    };
    form(send)
        .child(el("h3").child("This year"))
        .child(now_fields)
        .child(el("h3").child("Next year"))
        .child(next_fields)
        .child(wrong_whole(wrong))
        .child(send_button("Keep it"))
        .into()
}

fn ticked(stands: &Map<String, bool>) -> Ticked {
    CROPS
        .iter()
        .map(|crop| {
            let grows = stands.get(crop.crop).copied().unwrap_or(false);
            (crop.crop, signal_of(grows))
        })
        .collect()
}

fn chosen(ticked: &Ticked) -> Map<String, bool> {
    let mut chosen = Map::new();
    for (crop, grows) in ticked {
        if grows.get_untracked() {
            chosen.insert((*crop).to_owned(), true);
        }
    }
    chosen
}
