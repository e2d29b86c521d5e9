//! The fields beside the plan: everything a hand can do there, by words and numbers, and what only words can do.

use leptos::prelude::*;
use selion_core::document::ids::{BedId, StructureId};
use selion_core::document::records::StructureKind;
use selion_core::document::{Edit, Garden};
use selion_core::geometry::Outline;
use selion_core::quantities::{BadInput, Units};

use super::handles::handle_help;
use super::{Desk, key_help};
use crate::parts::{
    ActKind, Choice, act, act_link, acts, amount_field, check_field, empty, form, heading,
    select_field, send_button, text_field,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, watch, when};
use crate::plain::bed_form::length_unit;
use crate::plain::draw::change::{
    copied, cut, free_label, joined_with, length, neighbours, new_structure, rounded, sized,
    taken_off, turned, usual_outline,
};
use crate::plain::draw::{Thing, things};
use crate::screens::form::{Wrong, wrong_whole};

/// What is picked, and what can be done with it.
pub(super) fn panel(desk: Desk, shape: Memo<Option<Outline>>) -> Piece {
    let is_bed = memo(move || matches!(desk.picked.get(), Some(Thing::Bed(_))));
    pieces![
        which(desk),
        when(
            move || desk.picked.get().is_some(),
            move || pieces![
                key_help(desk),
                handle_help(),
                el("div")
                    .class("form")
                    .child(check_field("Rectangles stay rectangles", desk.square)),
                size_form(desk, shape),
                turn_form(desk),
                when(
                    move || is_bed.get(),
                    move || pieces![cut_form(desk), join_form(desk)]
                ),
                last_acts(desk)
            ]
        )
        .otherwise(|| empty("Nothing is in hand yet")
            .child(el("p").child("Touch a bed on the plan, or choose it in the list.")))
    ]
}

/// The list that picks, for whoever cannot touch the plan.
fn which(desk: Desk) -> Piece {
    let chosen = signal_of(String::new());
    watch(move || {
        let key = desk.picked.get().map(Thing::key).unwrap_or_default();
        if chosen.get_untracked() != key {
            chosen.set(key);
        }
    });
    watch(move || {
        let thing = Thing::of_key(&chosen.read());
        if thing != desk.picked.get_untracked() {
            desk.pick(thing);
        }
    });
    let choices = derived(move || {
        let mut choices = vec![Choice::new("", "Nothing")];
        for (thing, label) in things(&desk.book.garden.read()) {
            choices.push(Choice::new(thing.key(), label));
        }
        choices
    });
    el("div")
        .class("form")
        .child(select_field("In hand", chosen, choices))
        .into()
}

fn unit(desk: Desk) -> Signal<String> {
    derived(move || length_unit(desk.book.units()).to_owned())
}

fn units(desk: Desk) -> Units {
    untrack(|| desk.book.units())
}

/// Sides for a rectangle, a width for a circle.
fn size_form(desk: Desk, shape: Memo<Option<Outline>>) -> Piece {
    let (first, second) = (signal_of(String::new()), signal_of(String::new()));
    let across = signal_of(String::new());
    let wrong = Wrong::new(&["length", "width"]);
    // The fields follow the hand while nobody types in them.
    watch(move || {
        let sides = shape.with(|shape| shape.as_ref().and_then(Outline::sides));
        let units = desk.book.units();
        let [long, wide] = sides
            .map(|(first, second)| [first.show(units), second.show(units)])
            .unwrap_or_default();
        first.set(long);
        second.set(wide);
    });
    let is_rectangle = memo(move || {
        shape.with(|shape| shape.as_ref().is_some_and(|shape| shape.sides().is_some()))
    });
    let send = move || {
        wrong.clear();
        let units = units(desk);
        let long = wrong.take("length", length("length", &first.get_untracked(), units));
        let wide = wrong.take("width", length("width", &second.get_untracked(), units));
        if let Some(((long, wide), outline)) = long.zip(wide).zip(untrack(|| desk.shape())) {
            desk.reshape(sized(&outline, long, wide));
        }
    };
    let round = move || {
        wrong.clear();
        let typed = length("width", &across.get_untracked(), units(desk));
        let wide = wrong.take("width", typed);
        if let Some((wide, outline)) = wide.zip(untrack(|| desk.shape())) {
            desk.reshape(rounded(&outline, wide));
        }
    };
    pieces![
        when(
            move || is_rectangle.get(),
            move || form(send)
                .child(heading("Size"))
                .child(
                    el("div")
                        .class("pair")
                        .child(
                            amount_field("One side", first, unit(desk)).error(wrong.at("length"))
                        )
                        .child(
                            amount_field("The other", second, unit(desk)).error(wrong.at("width"))
                        )
                )
                .child(send_button("Give it this size"))
        ),
        el("details")
            .child(el("summary").child("Make it round"))
            .child(
                form(round)
                    .child(amount_field("Across", across, unit(desk)).error(wrong.at("width")))
                    .child(send_button("Make it round"))
            ),
        wrong_whole(wrong)
    ]
}

fn turn_form(desk: Desk) -> Piece {
    let degrees = signal_of("15".to_owned());
    let turn = move |sign: &'static str| {
        move || {
            let typed = format!("{sign}{}", degrees.get_untracked().trim());
            if let Some(outline) = untrack(|| desk.shape()) {
                desk.reshape(turned(&outline, &typed));
            }
        }
    };
    pieces![
        heading("Turn"),
        el("div")
            .class("form")
            .child(amount_field("By", degrees, "°")),
        acts()
            .child(act("Against the clock", turn("")))
            .child(act("With the clock", turn("-")))
    ]
}

fn cut_form(desk: Desk) -> Piece {
    let at = signal_of(String::new());
    let wrong = Wrong::new(&["at"]);
    let send = move || {
        wrong.clear();
        let typed = at.get_untracked();
        let at = if typed.trim().is_empty() {
            None
        } else {
            let Some(at) = wrong.take("at", length("at", &typed, units(desk))) else {
                return;
            };
            Some(at)
        };
        with_bed(
            desk,
            |garden, bed| cut(garden, bed, at, || desk.book.fresh(BedId::fresh)),
            "Cut.",
        );
    };
    form(send)
        .child(heading("Cut in two"))
        .child(
            amount_field("From its end", at, unit(desk))
                .error(wrong.at("at"))
                .help("In the middle if this is empty."),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Cut it"))
        .into()
}

fn join_form(desk: Desk) -> Piece {
    let with = signal_of(String::new());
    let touching = memo(move || {
        let garden = desk.book.garden.read();
        match desk.picked.get() {
            Some(Thing::Bed(bed)) => neighbours(&garden, bed),
            Some(Thing::Structure(_)) | None => Vec::new(),
        }
    });
    let choices = derived(move || {
        let touching = touching.get().into_iter();
        touching
            .map(|(bed, label)| Choice::new(bed.to_string(), label))
            .collect::<Vec<_>>()
    });
    watch(move || {
        let first = touching.with(|touching| touching.first().map(|(bed, _)| bed.to_string()));
        with.set(first.unwrap_or_default());
    });
    let send = move || {
        let today = desk.book.today.get_untracked();
        if let Ok(other) = with.get_untracked().parse::<BedId>() {
            with_bed(
                desk,
                |garden, bed| joined_with(garden, bed, other, today),
                "Joined.",
            );
        }
    };
    when(
        move || touching.with(|touching| !touching.is_empty()),
        move || {
            form(send)
                .child(heading("Join"))
                .child(select_field("With", with, choices))
                .child(send_button("Join them"))
        },
    )
    .into()
}

fn last_acts(desk: Desk) -> Piece {
    let copy = move || {
        let fresh = desk.book.fresh(BedId::fresh);
        if with_bed(
            desk,
            |garden, bed| copied(garden, bed, fresh),
            "Copied; it lies to the east.",
        ) {
            desk.pick(Some(Thing::Bed(fresh)));
        }
    };
    let off = move || {
        let Some(thing) = desk.picked.get_untracked() else {
            return;
        };
        let today = desk.book.today.get_untracked();
        let label = thing.label(&desk.book.garden.read_untracked());
        if desk.write(
            taken_off(thing, today),
            format!("{label} is taken off the ground."),
        ) {
            desk.pick(None);
        }
    };
    let sheet = move || match desk.picked.get() {
        Some(Thing::Bed(bed)) => acts()
            .child(act("Copy it", copy))
            .child(act_link(format!("/bed/{bed}"), "Its sheet"))
            .child(act("Take it off", off).kind(ActKind::Grave))
            .into(),
        Some(Thing::Structure(_)) => acts()
            .child(act("Take it off", off).kind(ActKind::Grave))
            .into(),
        None => Piece::Nothing,
    };
    live(sheet)
}

/// Writes what is worked out for the bed in hand.
fn with_bed(
    desk: Desk,
    edit: impl FnOnce(&Garden, BedId) -> Result<Edit, BadInput>,
    said: &str,
) -> bool {
    let Some(Thing::Bed(bed)) = desk.picked.get_untracked() else {
        return false;
    };
    let edit = edit(&desk.book.garden.read_untracked(), bed);
    desk.write_if(edit, said)
}

/// What is put down anew.
pub(super) fn beside(desk: Desk) -> Piece {
    let kind = signal_of("0".to_owned());
    let label = signal_of(String::new());
    let new_bed = move || {
        let bed = desk.book.fresh(BedId::fresh);
        let edit = {
            let garden = desk.book.garden.read_untracked();
            usual_outline(&garden, units(desk), None).map(|outline| Edit::AddBed {
                bed,
                label: free_label(&garden),
                outline,
                holders: selion_core::ordered::Map::new(),
            })
        };
        if desk.write_if(edit, "A bed of the usual size, to the east of all.") {
            desk.pick(Some(Thing::Bed(bed)));
        }
    };
    let kinds: Vec<Choice> = StructureKind::ALL
        .iter()
        .enumerate()
        .map(|(place, kind)| Choice::new(place.to_string(), kind.shown()))
        .collect();
    let put = move || {
        let chosen = kind.get_untracked().parse::<usize>().ok();
        let chosen = chosen.and_then(|place| StructureKind::ALL.get(place).copied());
        let structure = desk.book.fresh(StructureId::fresh);
        let edit = new_structure(
            &desk.book.garden.read_untracked(),
            units(desk),
            structure,
            chosen.unwrap_or_default(),
            &label.get_untracked(),
        );
        if desk.write_if(edit, "Put down, to the east of all.") {
            label.set(String::new());
            desk.pick(Some(Thing::Structure(structure)));
        }
    };
    pieces![
        heading("Put down"),
        acts().child(act("A new bed", new_bed).kind(ActKind::Main)),
        form(put)
            .child(
                el("div")
                    .class("pair")
                    .child(select_field("Or something else", kind, kinds))
                    .child(text_field("Called", label))
            )
            .child(send_button("Put it down"))
    ]
}
