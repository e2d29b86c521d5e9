//! A load that is not closed: its shares as they would be, and what a coordinator can do with it.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::OrderField;
use selion_core::document::records::Order;
use selion_core::document::shared_out;
use selion_core::policy::Action;

use super::draft::Draft;
use super::fields::order_fields;
use super::preview::{preview, shares_of};
use super::wishes::wishes;
use super::{Shown, put_in};
use crate::parts::{ActKind, act, acts, confirm, form, heading, note, send_button, use_toasts};
use crate::piece::{Piece, derived, el, pieces, signal_of, when};
use crate::plain::order_form::changes;
use crate::plain::wording::counted;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::looker::Looker;
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The open load.
pub fn open_load(shown: Shown, looker: Looker) -> Piece {
    let changing = signal_of(false);
    let order = derived(move || shown.with(Order::clone));
    when(
        move || changing.get(),
        move || change(shown, looker, changing),
    )
    .otherwise(move || {
        pieces![
            put_in(shown),
            wishes(shown),
            preview(order, looker),
            desk(shown, order, changing)
        ]
    })
    .into()
}

// Close and share out, change, call off or take up again.
fn desk(shown: Shown, order: Signal<Option<Order>>, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let refused = derived(move || book.why_not(Action::KeepOrders, false));
    let ended = move |day| Edit::ChangeOrder {
        order: shown.order,
        set: vec![OrderField::EndedOn(day)],
    };
    let call_off = move || {
        let today = book.today.get_untracked();
        pen.write_with_undo(
            shown.document(),
            ended(Some(today)),
            "The load is called off.",
            ended(None),
        );
    };
    let take_up = move || {
        pen.write(shown.document(), ended(None), "The load is open again.");
    };
    let is_ended = move || shown.with(|order| order.ended_on.is_some()) == Some(true);
    when(is_ended, move || {
        acts().child(act("Take it up again", take_up).refused(refused))
    })
    .otherwise(move || {
        pieces![
            closing(shown, order),
            when(
                move || refused.read().is_none(),
                move || acts()
                    .child(act("Change it", move || changing.set(true)))
                    .child(act("Call it off", call_off).kind(ActKind::Grave))
            )
        ]
    })
    .into()
}

// The mark of the shares is taken when the question is asked, so that nobody agrees to figures they did not see.
fn closing(shown: Shown, order: Signal<Option<Order>>) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let shares = shares_of(book, order);
    let asking = signal_of(false);
    let seen = signal_of(String::new());
    let follows = signal_of(String::new());
    let refused = derived(move || {
        book.why_not(Action::KeepOrders, false).or_else(|| {
            shares.with(|shares| match shares {
                Some(Err(refusal)) => Some(refusal.to_string()),
                Some(Ok(_)) | None => None,
            })
        })
    });
    let ask = move || {
        let Some(Ok(answer)) = shares.get_untracked() else {
            return;
        };
        seen.set(shared_out::mark_of_order(answer.shares()));
        follows.set(format!(
            "Areas, holders, rate and shares are frozen as they stand: {}, {} in all. From then on each account owes its part. What the ground does afterwards changes nothing here; a mistake is put right by paying back.",
            counted(answer.shares().accounts.len(), "account", "accounts"),
            answer.shares().total.show(answer.case.currency),
        ));
        asking.set(true);
    };
    let close = move || {
        let edit = Edit::CloseOrder {
            order: shown.order,
            on: book.today.get_untracked(),
            seen: seen.get_untracked(),
        };
        pen.write(shown.document(), edit, "The load is closed and shared out.");
    };
    pieces![
        act("Close and share out", ask)
            .kind(ActKind::Main)
            .wide()
            .refused(refused),
        confirm(asking, "Close this load and share it out?")
            .follows(follows)
            .yes("Share it out", close)
    ]
}

fn change(shown: Shown, looker: Looker, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&[]);
    let Some(before) = shown.get_untracked() else {
        return Piece::Nothing;
    };
    let draft = Draft::of(before);
    let as_typed = draft.order();
    let others_changed = move || {
        let before = draft.before();
        shown.with(|now| before.is_some_and(|before| *before != *now)) == Some(true)
    };
    let send = move || {
        wrong.clear();
        let Some(before) = draft.before() else {
            return;
        };
        let Some(after) = draft.sent() else {
            return toasts.say("Not changed yet: see what is marked above.");
        };
        let set = changes(&before, &after);
        let is_new = !set.is_empty();
        let edit = Edit::ChangeOrder {
            order: shown.order,
            set,
        };
        if !is_new || wrong.write(book, shown.document(), edit) {
            if is_new {
                toasts.say("The load is changed.");
            }
            changing.set(false);
        }
    };
    el("div")
        .class("split")
        .child(
            el("div")
                .child(heading("Change the load"))
                .child(when(others_changed, move || {
                    note().child(
                        "Somebody else changed this load meanwhile. Only the fields that \
                         you change are sent.",
                    )
                }))
                .child(
                    form(send)
                        .child(order_fields(draft))
                        .child(wrong_whole(wrong))
                        .child(send_button("Keep the changes"))
                        .child(act("Leave it as it was", move || changing.set(false))),
                ),
        )
        .child(
            el("section")
                .attr("aria-label", "The shares as they would be")
                .child(preview(as_typed, looker)),
        )
        .into()
}
