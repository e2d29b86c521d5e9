//! A new load: the form, and beside it the shares as they would be.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::{use_navigate, use_query_map};
use selion_core::document::ids::{LineId, OrderId};
use selion_core::policy::Action;
use selion_core::soil::doses::Placement;

use super::draft::{Draft, order_fields};
use super::preview::preview;
use crate::parts::{empty, form, note, page_head, send_button, use_toasts};
use crate::piece::{Piece, el, memo, pieces, when};
use crate::plain::order_form::{OrderTyped, opened};
use crate::plain::soil_rows::order_begun;
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
fn begun() -> Option<OrderTyped> {
    let book = use_book();
    untrack(|| {
        let query = use_query_map();
        if query.read().get("from").as_deref() != Some("soil") {
            return None;
        }
        let shown = (book.units(), book.currency()?);
        let placement = if query.read().get("lime").as_deref() == Some(ON_TOP) {
            Placement::OnTheSurface
        } else {
            Placement::DugIn
        };
        order_begun(&book.garden.read(), book.today.get(), placement, shown)
    })
}

fn new_order_form() -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let draft = begun().map_or_else(|| Draft::new(None), Draft::begun);
    let looker = use_looker();
    let wrong = Wrong::new(&[]);
    let typed = memo(move || draft.read()?.ok());
    let send = move || {
        wrong.clear();
        let Some(order) = draft.sent() else {
            return toasts.say("Not opened yet: see what is marked above.");
        };
        let id = book.fresh(OrderId::fresh);
        if wrong.write(
            book,
            book.ledger(),
            opened(id, book.fresh(LineId::fresh), order),
        ) {
            toasts.say("The load is open: everybody sees their part, and nothing is owed before it is closed.");
            navigate(&format!("/order/{id}"), NavigateOptions::default());
        }
    };
    el("div")
        .class("split")
        .child(
            form(send)
                .child(order_fields(draft))
                .child(wrong_whole(wrong))
                .child(send_button("Open the load")),
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
                                .child("As soon as material, rate, bag and price are filled in."),
                        )
                    }),
                ),
        )
        .into()
}
