//! Which beds take part in a load or a job.

use std::collections::BTreeSet;

use leptos::prelude::*;
use selion_core::document::ids::BedId;

use crate::parts::check_field;
use crate::piece::{Piece, each, el, memo, row, signal_of, watch};
use crate::plain::ground_rows;
use crate::plain::wording::counted;
use crate::state::use_book;

/// A box to tick for each bed; ticked beds take part.
pub fn beds_taking_part(left_out: RwSignal<BTreeSet<BedId>>) -> Piece {
    let book = use_book();
    let beds = memo(move || {
        let garden = book.garden.read();
        garden
            .open_beds()
            .into_iter()
            .map(|(id, bed)| {
                let holders = ground_rows::holders(&garden, bed, book.me.get());
                (id, format!("{} · {holders}", bed.label))
            })
            .collect::<Vec<_>>()
    });
    let summary = move || {
        let out = beds
            .read()
            .iter()
            .filter(|(bed, _)| left_out.read().contains(bed))
            .count();
        match out {
            0 => "All beds take part".to_owned(),
            out => format!("{} left out", counted(out, "bed", "beds")),
        }
    };
    let one = move |bed: BedId, label: String| {
        let takes_part = signal_of(!left_out.read_untracked().contains(&bed));
        watch(move || {
            let takes_part = takes_part.get();
            // Only a change is written, or the form would go round in a circle.
            if takes_part == left_out.read_untracked().contains(&bed) {
                left_out.update(|beds| {
                    if takes_part {
                        beds.remove(&bed);
                    } else {
                        beds.insert(bed);
                    }
                });
            }
        });
        check_field(label, takes_part)
    };
    el("details")
        .class("more")
        .child(el("summary").child(summary))
        .child(
            el("fieldset")
                .class("field")
                .child(el("legend").child("Beds that take part"))
                .child(each(
                    move || beds.get(),
                    move |(bed, label)| row(bed, move || one(bed, label)),
                )),
        )
        .into()
}
