//! What is put down anew: of the usual size beside all, or drawn corner by corner.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::ids::{BedId, StructureId};
use selion_core::document::records::StructureKind;

use super::{Desk, pencil};
use crate::parts::{ActKind, Choice, act, acts, form, heading, select_field, text_field};
use crate::piece::{Piece, el, memo, pieces, signal_of, when};
use crate::plain::draw::Thing;
use crate::plain::draw::change::{free_label, new_structure, usual_outline};
use crate::plain::draw::pencil::What;

const BED: &str = "bed";
const FENCE: &str = "fence";

/// What the menu offers, by key.
fn what(key: &str) -> What {
    match key {
        BED => What::Bed,
        FENCE => What::Fence,
        other => {
            let kind = StructureKind::ALL
                .into_iter()
                .find(|kind| kind.key() == other);
            What::Structure(kind.unwrap_or_default())
        }
    }
}

fn choices() -> Vec<Choice> {
    let kinds = StructureKind::ALL.map(|kind| Choice::new(kind.key(), kind.shown()));
    [Choice::new(BED, "Bed"), Choice::new(FENCE, "Fence line")]
        .into_iter()
        .chain(kinds)
        .collect()
}

pub(super) fn put_down(desk: Desk) -> Piece {
    let chosen = signal_of(BED.to_owned());
    let may_be_usual = memo(move || what(&chosen.read()) != What::Fence);
    let usual = move || put_usual(desk, what(&chosen.read_untracked()));
    let by_corners = move || pencil::begin(desk, what(&chosen.read_untracked()));
    pieces![
        heading("Put down"),
        form(by_corners)
            .child(
                el("div")
                    .class("pair")
                    .child(select_field("What", chosen, choices()))
                    .child(text_field("Called", desk.called))
            )
            .child(
                acts()
                    .child(act("Draw it", by_corners).kind(ActKind::Main))
                    .child(when(
                        move || may_be_usual.get(),
                        move || act("Of the usual size", usual)
                    ))
            )
    ]
}

/// East of all that is there, in a size that such a thing often has.
fn put_usual(desk: Desk, what: What) {
    let units = untrack(|| desk.book.units());
    let label = desk.called.get_untracked().trim().to_owned();
    let (edit, thing) = {
        let garden = desk.book.garden.read_untracked();
        if let What::Structure(kind) = what {
            let structure = desk.book.fresh(StructureId::fresh);
            let edit = new_structure(&garden, units, structure, kind, &label);
            (edit, Thing::Structure(structure))
        } else {
            let bed = desk.book.fresh(BedId::fresh);
            let edit = usual_outline(&garden, units, None).map(|outline| Edit::AddBed {
                bed,
                label: if label.is_empty() {
                    free_label(&garden)
                } else {
                    label
                },
                outline,
                holders: selion_core::ordered::Map::new(),
            });
            (edit, Thing::Bed(bed))
        }
    };
    if desk.write_if(edit, "Put down, to the east of all.") {
        desk.called.set(String::new());
        desk.pick(Some(thing));
    }
}
