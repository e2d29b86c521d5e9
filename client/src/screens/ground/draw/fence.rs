//! The gates of the fence line in hand, by words and numbers; and what the fence takes.

use leptos::prelude::*;

use super::Desk;
use crate::parts::{ActKind, act, act_link, acts, amount_field, form, heading, send_button};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, watch, when};
use crate::plain::bed_form::length_unit;
use crate::plain::draw::Thing;
use crate::plain::draw::gates::{GateRow, added, changed, rows, taken_out, usual_width};
use crate::plain::draw::shape::{Fence, Shape};
use crate::screens::form::{Wrong, wrong_whole};

/// What belongs to a fence line only; nothing while something else is in hand.
pub(super) fn fence_panel(desk: Desk, shape: Memo<Option<Shape>>) -> Piece {
    let is_fence = memo(move || matches!(desk.picked.get(), Some(Thing::Fence(_))));
    when(
        move || is_fence.get(),
        move || pieces![gates(desk, shape), new_gate(desk), sheet_of(desk)],
    )
    .into()
}

fn in_hand(desk: Desk) -> Option<Fence> {
    untrack(|| desk.shape())?.fence().cloned()
}

fn gates(desk: Desk, shape: Memo<Option<Shape>>) -> Piece {
    let keys = memo(move || shape.with(|shape| shape.as_ref().map(Shape::gates)));
    pieces![
        heading("Gates"),
        when(
            move || keys.with(|keys| keys.as_ref().is_none_or(Vec::is_empty)),
            || el("p").child("None yet.")
        ),
        each(
            move || keys.get().unwrap_or_default(),
            move |key| {
                let gate = key.clone();
                row(key, move || one_gate(desk, shape, gate.clone()))
            }
        )
    ]
}

fn one_gate(desk: Desk, shape: Memo<Option<Shape>>, key: String) -> Piece {
    let (width, at) = (signal_of(String::new()), signal_of(String::new()));
    let wrong = Wrong::new(&["width", "at"]);
    let unit = derived(move || length_unit(desk.book.units()).to_owned());
    let this = key.clone();
    let stands: Memo<Option<GateRow>> = memo(move || {
        let units = desk.book.units();
        let all = shape.with(|shape| shape.as_ref().map(|shape| rows(shape, units)));
        all.into_iter().flatten().find(|row| row.key == this)
    });
    // The fields follow the hand.
    watch(move || {
        if let Some(row) = stands.get() {
            width.set(row.width);
            at.set(row.at);
        }
    });
    let label = derived(move || {
        let label = stands.get().map(|row| row.label);
        label.unwrap_or_default()
    });
    let (send_key, out_key) = (key.clone(), key);
    let send = move || {
        wrong.clear();
        let units = untrack(|| desk.book.units());
        let Some(fence) = in_hand(desk) else { return };
        let typed = (width.get_untracked(), at.get_untracked());
        match changed(&fence, &send_key, &typed.0, &typed.1, units) {
            Ok(fence) => desk.reshape(Ok(Shape::Fence(fence))),
            Err(bad) => wrong.bad(&bad),
        }
    };
    let out = move || {
        if let Some(fence) = in_hand(desk) {
            desk.reshape(Ok(Shape::Fence(taken_out(&fence, &out_key))));
        }
    };
    form(send)
        .attr("aria-label", label)
        .child(el("strong").child(label))
        .child(
            el("div")
                .class("pair")
                .child(amount_field("Width", width, unit).error(wrong.at("width")))
                .child(amount_field("From the start", at, unit).error(wrong.at("at"))),
        )
        .child(wrong_whole(wrong))
        .child(
            acts()
                .child(send_button("Change it"))
                .child(act("Take it out", out).kind(ActKind::Grave)),
        )
        .into()
}

fn new_gate(desk: Desk) -> Piece {
    let units = untrack(|| desk.book.units());
    let (width, at) = (
        signal_of(usual_width(units).to_owned()),
        signal_of(String::new()),
    );
    let wrong = Wrong::new(&["width", "at"]);
    let unit = derived(move || length_unit(desk.book.units()).to_owned());
    let send = move || {
        wrong.clear();
        let units = untrack(|| desk.book.units());
        let Some(fence) = in_hand(desk) else { return };
        // Nothing may still look at a field when it is emptied.
        let typed = (width.get_untracked(), at.get_untracked());
        match added(&fence, &typed.0, &typed.1, units) {
            Ok(fence) => {
                at.set(String::new());
                desk.reshape(Ok(Shape::Fence(fence)));
            }
            Err(bad) => wrong.bad(&bad),
        }
    };
    form(send)
        .child(el("strong").child("A further gate"))
        .child(
            el("div")
                .class("pair")
                .child(amount_field("Width", width, unit).error(wrong.at("width")))
                .child(amount_field("From the start", at, unit).error(wrong.at("at"))),
        )
        .child(
            el("p")
                .class("help")
                .child("In the middle of the longest free stretch where no place is typed."),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Put it in"))
        .into()
}

fn sheet_of(desk: Desk) -> Piece {
    let address = derived(move || match desk.picked.get() {
        Some(Thing::Fence(fence)) => format!("/fence/{fence}"),
        Some(Thing::Bed(_) | Thing::Structure(_)) | None => "/ground".to_owned(),
    });
    acts()
        .child(act_link(address, "Its posts, mesh and hours"))
        .into()
}
