//! The fields beside the plan: everything a hand can do there, by words and numbers, and what only words can do.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::{Edit, Garden};
use selion_core::geometry::Outline;
use selion_core::quantities::{BadInput, Units};

use super::Desk;
use super::fence::fence_panel;
use super::handles::{handle_help, key_help};
use super::structure::structure_panel;
use crate::parts::{
    ActKind, Choice, act, act_link, acts, amount_field, check_field, empty, form, heading,
    select_field, send_button,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, watch, when};
use crate::plain::bed_form::length_unit;
use crate::plain::draw::change::{
    copied, cut, joined_with, length, neighbours, rounded, sized, taken_off, turned,
};
use crate::plain::draw::shape::Shape;
use crate::plain::draw::{Thing, things};
use crate::screens::form::{Wrong, wrong_whole};

/// What is picked, and what can be done with it.
pub(super) fn panel(desk: Desk, shape: Memo<Option<Shape>>) -> Piece {
    let is_bed = memo(move || matches!(desk.picked.get(), Some(Thing::Bed(_))));
    let is_closed =
        memo(move || matches!(desk.picked.get(), Some(Thing::Bed(_) | Thing::Structure(_))));
    pieces![
        which(desk),
        when(
            move || desk.picked.get().is_some(),
            move || pieces![
                key_help(desk),
                handle_help(),
                structure_panel(desk),
                fence_panel(desk, shape),
                when(
                    move || is_closed.get(),
                    move || pieces![
                        el("div")
                            .class("form")
                            .child(check_field("Rectangles stay rectangles", desk.square)),
                        size_form(desk, shape),
                        turn_form(desk)
                    ]
                ),
                when(
                    move || is_bed.get(),
                    move || pieces![cut_form(desk), join_form(desk)]
                ),
                last_acts(desk)
            ]
        )
        .otherwise(|| empty("Nothing is in hand yet")
            .child(el("p").child("Touch something on the plan, or choose it in the list.")))
    ]
}

/// The outline in hand, as it is shown now.
fn outline(desk: Desk) -> Option<Outline> {
    untrack(|| desk.shape())?.outline().cloned()
}

/// Gives what is in hand another outline.
fn reshape(desk: Desk, outline: Result<Outline, BadInput>) {
    desk.reshape(outline.map(Shape::Closed));
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
fn size_form(desk: Desk, shape: Memo<Option<Shape>>) -> Piece {
    let (first, second) = (signal_of(String::new()), signal_of(String::new()));
    let across = signal_of(String::new());
    let wrong = Wrong::new(&["length", "width"]);
    // The fields follow the hand while nobody types in them.
    watch(move || {
        let sides = shape.with(|shape| shape.as_ref()?.outline()?.sides());
        let units = desk.book.units();
        let [long, wide] = sides
            .map(|(first, second)| [first.show(units), second.show(units)])
            .unwrap_or_default();
        first.set(long);
        second.set(wide);
    });
    let is_rectangle = memo(move || {
        let sides = shape.with(|shape| shape.as_ref()?.outline()?.sides());
        sides.is_some()
    });
    let send = move || {
        wrong.clear();
        let units = units(desk);
        let long = wrong.take("length", length("length", &first.get_untracked(), units));
        let wide = wrong.take("width", length("width", &second.get_untracked(), units));
        if let Some(((long, wide), outline)) = long.zip(wide).zip(outline(desk)) {
            reshape(desk, sized(&outline, long, wide));
        }
    };
    let round = move || {
        wrong.clear();
        let typed = length("width", &across.get_untracked(), units(desk));
        let wide = wrong.take("width", typed);
        if let Some((wide, outline)) = wide.zip(outline(desk)) {
            reshape(desk, rounded(&outline, wide));
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
            if let Some(outline) = outline(desk) {
                reshape(desk, turned(&outline, &typed));
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
            Some(Thing::Structure(_) | Thing::Fence(_)) | None => Vec::new(),
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
        Some(Thing::Structure(_) | Thing::Fence(_)) => acts()
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
