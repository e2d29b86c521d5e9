//! What the structure in hand is: its kind, its name, and what its kind asks for.

use leptos::prelude::*;
use selion_core::document::records::{StructureFacts, StructureKind};
use selion_core::document::signs;

use super::Desk;
use crate::parts::{
    Choice, WorkingText, amount_field, form, heading, select_field, send_button, text_field,
    working,
};
use crate::piece::{Piece, derived, el, live, memo, pieces, signal_of, watch, when};
use crate::plain::bed_form::length_unit;
use crate::plain::draw::Thing;
use crate::plain::draw::facts::{FactsTyped, said};
use crate::plain::wording::capital;
use crate::screens::form::{Wrong, wrong_whole};

/// What belongs to a structure only; nothing while something else is in hand.
pub(super) fn structure_panel(desk: Desk) -> Piece {
    let is_structure = memo(move || matches!(desk.picked.get(), Some(Thing::Structure(_))));
    when(
        move || is_structure.get(),
        move || pieces![facts_form(desk), shade(desk)],
    )
    .into()
}

fn north(desk: Desk) -> i64 {
    desk.book
        .profile()
        .map_or(0, |profile| profile.north_degrees)
}

/// The record as it stands, with its label.
fn stands(desk: Desk) -> Option<(String, StructureFacts)> {
    let Thing::Structure(structure) = desk.picked.get()? else {
        return None;
    };
    let garden = desk.book.garden.read();
    let record = garden.structures.get(&structure)?;
    Some((record.label.clone(), record.what))
}

/// The form as it is being typed.
#[derive(Clone, Copy)]
struct Draft {
    label: RwSignal<String>,
    kind: RwSignal<String>,
    height: RwSignal<String>,
    facing: RwSignal<String>,
    reach: RwSignal<String>,
    fall: RwSignal<String>,
}

impl Draft {
    fn new() -> Self {
        let [label, kind, height, facing, reach, fall] =
            std::array::from_fn(|_| signal_of(String::new()));
        Self {
            label,
            kind,
            height,
            facing,
            reach,
            fall,
        }
    }

    fn set(self, label: String, typed: FactsTyped) {
        self.label.set(label);
        self.kind.set(typed.kind.key().to_owned());
        self.height.set(typed.height);
        self.facing.set(typed.facing);
        self.reach.set(typed.reach);
        self.fall.set(typed.fall);
    }

    fn kind(self) -> StructureKind {
        let key = self.kind.read();
        let kind = StructureKind::ALL
            .into_iter()
            .find(|kind| kind.key() == *key);
        kind.unwrap_or_default()
    }

    fn typed(self) -> FactsTyped {
        FactsTyped {
            kind: untrack(|| self.kind()),
            height: self.height.get_untracked(),
            facing: self.facing.get_untracked(),
            reach: self.reach.get_untracked(),
            fall: self.fall.get_untracked(),
        }
    }
}

fn facts_form(desk: Desk) -> Piece {
    let draft = Draft::new();
    let wrong = Wrong::new(&["label", "height", "direction", "reach", "fall"]);
    let now = memo(move || stands(desk));
    watch(move || {
        let units = desk.book.units();
        if let Some((name, what)) = now.get() {
            draft.set(name, FactsTyped::of(what, north(desk), units));
        }
    });
    let chosen = memo(move || draft.kind());
    let kinds: Vec<Choice> = StructureKind::ALL
        .map(|kind| Choice::new(kind.key(), kind.shown()))
        .to_vec();
    pieces![
        heading("What it is"),
        form(move || send(desk, draft, wrong))
            .child(
                el("div")
                    .class("pair")
                    .child(select_field("Kind", draft.kind, kinds))
                    .child(text_field("Called", draft.label).error(wrong.at("label")))
            )
            .child(live(move || of_the_kind(desk, draft, wrong, chosen.get())))
            .child(wrong_whole(wrong))
            .child(send_button("Write it down"))
    ]
}

fn send(desk: Desk, draft: Draft, wrong: Wrong) {
    wrong.clear();
    let Some(thing) = desk.picked.get_untracked() else {
        return;
    };
    let (units, north) = untrack(|| (desk.book.units(), north(desk)));
    let edit = draft.typed().read(north, units).and_then(|what| {
        let garden = desk.book.garden.read_untracked();
        said(&garden, thing, &draft.label.read_untracked(), what)
    });
    match edit {
        Ok(Some(edit)) => {
            desk.write(edit, "Written.");
        }
        Ok(None) => desk.pen.say("It is so already."),
        Err(bad) => wrong.bad(&bad),
    }
}

/// The fields that only this kind has.
fn of_the_kind(desk: Desk, draft: Draft, wrong: Wrong, kind: StructureKind) -> Piece {
    let unit = derived(move || length_unit(desk.book.units()).to_owned());
    let direction = |help: &'static str| {
        amount_field("Direction", draft.facing, "°")
            .help(help)
            .error(wrong.at("direction"))
    };
    match kind {
        StructureKind::Tree => pieces![
            amount_field("Height", draft.height, unit)
                .help("With it and the garden’s latitude the shade is worked out.")
                .error(wrong.at("height")),
            el("details")
                .class("more")
                .child(el("summary").child("Shade as you have seen it"))
                .child(
                    el("div")
                        .class("form")
                        .child(direction(
                            "Where it falls, clockwise from north; NE will do. It is used while no height is known."
                        ))
                        .child(amount_field("Reach", draft.reach, unit).error(wrong.at("reach")))
                )
        ],
        StructureKind::Slope => pieces![
            direction("Where the ground falls, clockwise from north; SW will do."),
            amount_field("Falls by", draft.fall, "%")
                .help("Metres down on a hundred metres; feet on a hundred feet are the same.")
                .error(wrong.at("fall"))
        ],
        StructureKind::Other
        | StructureKind::Building
        | StructureKind::Path
        | StructureKind::Water
        | StructureKind::Compost => Piece::Nothing,
    }
}

/// The shade of the tree in hand, with its working.
fn shade(desk: Desk) -> Piece {
    let sign = memo(move || {
        let Thing::Structure(structure) = desk.picked.get()? else {
            return None;
        };
        let garden = desk.book.garden.read();
        let record = garden.structures.get(&structure)?;
        let sign = signs::of(&garden, record, desk.hour.when());
        (!sign.words.is_empty()).then_some(sign)
    });
    live(move || {
        sign.get().map(|sign| {
            pieces![
                el("p").child(capital(&sign.words) + "."),
                sign.working
                    .map(|shade| working("How the shade falls", WorkingText::from(&shade)))
            ]
        })
    })
}
