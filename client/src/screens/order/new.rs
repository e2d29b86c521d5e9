//! A new load: the form, and beside it the shares as they would be.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::OrderField;
use selion_core::document::ids::{FenceId, LineId, OrderId};
use selion_core::document::records::Order;
use selion_core::policy::Action;
use selion_core::soil::doses::Placement;

use super::draft::Draft;
use super::fields::order_fields;
use super::preview::preview;
use crate::address::{NavigateOptions, use_navigate, use_query};
use crate::parts::{ActKind, act, acts, empty, form, note, page_head, send_button, use_toasts};
use crate::piece::{Piece, el, memo, pieces, signal_of, when};
use crate::plain::fence_order::{self, from_address, plan};
use crate::plain::order_form::{LineTyped, OrderTyped, opened};
use crate::plain::soil_rows::lime_begun;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::looker::use_looker;
use crate::screens::soil::ON_TOP;
use crate::state::use_book;

/// The screen at `/order/new`.
pub fn new_order() -> Piece {
    let book = use_book();
    let refused = memo(move || book.why_not(Action::KeepOrders, false));
    pieces![
        page_head("Load · new", "New load").back("/shares", "Shares"),
        when(move || refused.read().is_none(), new_order_form)
            .otherwise(move || note().child(move || refused.get()))
    ]
}

/// What the order begins with where it comes from the soil: what each of its beds is due, with lime placed as it was chosen
/// there.
fn from_soil() -> Option<LineTyped> {
    let book = use_book();
    untrack(|| {
        let query = use_query();
        if query.get("from").as_deref() != Some("soil") {
            return None;
        }
        let shown = (book.units(), book.currency()?);
        let placement = if query.get("lime").as_deref() == Some(ON_TOP) {
            Placement::OnTheSurface
        } else {
            Placement::DugIn
        };
        lime_begun(&book.garden.read(), book.today.get(), placement, shown)
    })
}

/// What the order begins with where it comes from a fence line of the ground: all that the fence takes, prices still to be
/// put in.
fn from_fence() -> Option<OrderTyped> {
    let book = use_book();
    untrack(|| {
        let query = use_query();
        let (fence, typed) = from_address(|name| query.get(name))?;
        let (units, currency) = (book.units(), book.currency()?);
        let garden = book.garden.read();
        let plan = plan(fence_order::fence(&garden, fence)?, &typed, units).ok()?;
        let order = fence_order::new_order(&plan, || book.fresh(LineId::fresh));
        Some(OrderTyped::of(&Order::from(order), units, currency))
    })
}

/// The fence line that the address names, if it is on the ground.
fn fence_of_address() -> Option<FenceId> {
    let book = use_book();
    untrack(|| {
        let query = use_query();
        let (fence, _) = from_address(|name| query.get(name))?;
        fence_order::fence(&book.garden.read(), fence).map(|_| fence)
    })
}

fn new_order_form() -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let garden = book.current.get_untracked();
    let kept_as = garden
        .map(|garden| format!("{garden}/order"))
        .unwrap_or_default();
    let draft = match from_fence() {
        Some(typed) => Draft::begun_with(typed, kept_as),
        None => Draft::begun(from_soil(), kept_as),
    };
    // The order keeps which fence it is for, so that a change of the line can name it.
    let fence = signal_of(fence_of_address());
    let looker = use_looker();
    let wrong = Wrong::new(&[]);
    let typed = draft.order();
    let send = move || {
        wrong.clear();
        let Some(order) = draft.sent() else {
            return toasts.say("Not opened yet: see what is marked above.");
        };
        let id = book.fresh(OrderId::fresh);
        if wrong.write(book, book.ledger(), opened(id, order)) {
            draft.forget();
            if let Some(fence) = fence.get_untracked() {
                let set = vec![OrderField::Fence(Some(fence))];
                let _told = wrong.write(book, book.ledger(), Edit::ChangeOrder { order: id, set });
            }
            toasts.say("The load is open: everybody sees their part, and nothing is owed before it is closed.");
            navigate(&format!("/order/{id}"), NavigateOptions::default());
        }
    };
    let begin_anew = move || {
        draft.start_anew();
        fence.set(None);
        toasts.say("The form is empty again.");
    };
    el("div")
        .class("split")
        .child(
            form(send)
                .child(order_fields(draft))
                .child(wrong_whole(wrong))
                .child(
                    acts()
                        .child(send_button("Open the load"))
                        .child(act("Empty the form", begin_anew).kind(ActKind::Bare)),
                ),
        )
        .child(
            el("section")
                .attr("aria-label", "The shares as they would be")
                .child(
                    when(
                        move || typed.read().is_some(),
                        move || preview(typed, looker),
                    )
                    .otherwise(|| {
                        empty("The shares show here while you type").child(
                            el("p")
                                .child("As soon as it is said what, how much and at which price."),
                        )
                    }),
                ),
        )
        .into()
}
