//! Which beds take part in a load or a job.

use std::collections::BTreeSet;

use leptos::prelude::*;
use selion_core::document::ids::BedId;

use crate::parts::CheckField;
use crate::plain::ground_rows;
use crate::plain::wording::counted;
use crate::state::use_book;

/// A box to tick for each bed; ticked beds take part.
#[component]
pub fn BedsTakingPart(
    /// The beds that do not.
    left_out: RwSignal<BTreeSet<BedId>>,
) -> impl IntoView {
    let book = use_book();
    let beds = Memo::new(move |_| {
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
    let one = move |(bed, label): (BedId, String)| {
        let takes_part = RwSignal::new(!left_out.read_untracked().contains(&bed));
        Effect::new(move |_| {
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
        view! { <CheckField label=label value=takes_part /> }
    };
    view! {
        <details class="more">
            <summary>{summary}</summary>
            <fieldset class="field">
                <legend>"Beds that take part"</legend>
                <For each=move || beds.get() key=|(bed, _)| *bed children=one />
            </fieldset>
        </details>
    }
}
