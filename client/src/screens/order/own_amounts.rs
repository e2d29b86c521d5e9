//! Amounts bed by bed, such as from each bed's soil test.

use std::collections::{BTreeMap, BTreeSet};

use leptos::prelude::*;
use selion_core::document::ids::BedId;

use crate::parts::amount_field;
use crate::piece::{Piece, derived, each, el, memo, row, signal_of, watch};
use crate::plain::ground_rows;
use crate::plain::order_form::mass_unit;
use crate::state::use_book;

/// A field for each bed that takes part, with its amount.
pub fn own_amounts(
    own: RwSignal<BTreeMap<BedId, String>>,
    left_out: RwSignal<BTreeSet<BedId>>,
    wrong_at: impl Fn(BedId) -> Signal<Option<String>> + Copy + 'static,
) -> Piece {
    let book = use_book();
    let beds = memo(move || {
        let garden = book.garden.read();
        let left_out = left_out.read();
        let mut beds = Vec::new();
        for (id, bed) in garden.open_beds() {
            if !left_out.contains(&id) {
                let holders = ground_rows::holders(&garden, bed, book.me.get());
                beds.push((id, format!("{} · {holders}", bed.label)));
            }
        }
        beds
    });
    let unit = derived(move || mass_unit(book.units()).to_owned());
    let one = move |bed: BedId, label: String| {
        let text = own.read_untracked().get(&bed).cloned().unwrap_or_default();
        let text = signal_of(text);
        watch(move || {
            let text = text.get();
            // Only a change is written, or the form would go round in a circle.
            if own.read_untracked().get(&bed) != Some(&text) {
                own.update(|own| {
                    own.insert(bed, text);
                });
            }
        });
        amount_field(label, text, unit).error(wrong_at(bed))
    };
    el("fieldset")
        .class("field by-bed")
        .child(el("legend").child("Amount for each bed"))
        .child(el("p").class("help").child(
            "As its own soil asks for. Change what should be otherwise; an empty field is nothing.",
        ))
        .child(each(
            move || beds.get(),
            move |(bed, label)| row(bed, move || one(bed, label)),
        ))
        .into()
}
