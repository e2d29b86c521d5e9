//! A bulk load: from the form with its live shares, through the closing, to who has paid.

pub mod closed;
pub mod draft;
pub mod new;
pub mod open;
pub mod payments;
pub mod preview;

use std::sync::Arc;

use leptos::prelude::*;
use leptos_router::hooks::use_params_map;
use selion_core::document::DocumentName;
use selion_core::document::ids::OrderId;
use selion_core::document::records::Order;
use selion_core::policy::Action;

use self::closed::ClosedLoad;
use self::new::NewOrder;
use self::open::OpenLoad;
use crate::parts::{
    Act, ActKind, ActLink, Empty, Line, Lines, Note, NoteKind, PageHead, Tag, TagKind,
};
use crate::plain::order_form;
use crate::plain::wording::{day_words, in_a_sentence};
use crate::screens::looker::use_looker;
use crate::state::use_book;

/// Which order the address names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    New,
    Known(OrderId),
    NotHere,
}

/// The screen at `/order/:id` and `/order/new`.
#[component]
pub fn OrderScreen() -> impl IntoView {
    let book = use_book();
    let params = use_params_map();
    let named = Memo::new(move |_| {
        let id = params.read().get("id").unwrap_or_default();
        if id == "new" {
            return Named::New;
        }
        let order = id.parse::<OrderId>().ok();
        order
            .filter(|order| book.garden.read().order(*order).is_some())
            .map_or(Named::NotHere, Named::Known)
    });
    let sees_ledger = Memo::new(move |_| book.may(Action::SeeLedger, false));
    move || match named.get() {
        _ if !sees_ledger.get() => view! { <NotShown /> }.into_any(),
        Named::New => view! { <NewOrder /> }.into_any(),
        Named::Known(order) => view! { <OneOrder order=order /> }.into_any(),
        Named::NotHere => view! { <NotHere /> }.into_any(),
    }
}

#[component]
fn NotHere() -> impl IntoView {
    view! {
        <PageHead label="Shares" title="No such load" back=("/shares", "Shares") />
        <Empty lead="This load is not on this phone">
            <p>"It may have been opened elsewhere and not have come yet, or the link is old."</p>
            <ActLink href="/shares" words="To the shares" />
        </Empty>
    }
}

#[component]
fn NotShown() -> impl IntoView {
    view! {
        <PageHead label="Shares" title="Loads" back=("/shares", "Shares") />
        <Empty lead="Orders are not sent to this phone">
            <p>"Loads are paid by those who hold a bed; a helper owes nothing. Ask a coordinator if you should see them."</p>
        </Empty>
    }
}

/// An order as its screen reads it.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    order: OrderId,
    record: Memo<Option<(i16, Arc<Order>)>>,
}

impl Shown {
    fn with<T>(self, read: impl FnOnce(&Order) -> T) -> Option<T> {
        self.record
            .with(|found| found.as_ref().map(|(_, order)| read(order)))
    }

    fn get_untracked(self) -> Option<Arc<Order>> {
        self.record.get_untracked().map(|(_, order)| order)
    }

    fn document(self) -> DocumentName {
        let year = self
            .record
            .with_untracked(|found| found.as_ref().map(|(year, _)| *year));
        year.map_or_else(|| use_book().ledger(), DocumentName::Ledger)
    }
}

#[component]
fn OneOrder(order: OrderId) -> impl IntoView {
    let book = use_book();
    let record = Memo::new(move |_| {
        let garden = book.garden.read();
        garden
            .order(order)
            .map(|(year, record)| (year, Arc::clone(record)))
    });
    let shown = Shown { order, record };
    let is_closed = Memo::new(move |_| shown.with(|order| order.closed.is_some()) == Some(true));
    let label = Signal::derive(move || {
        let state = shown.with(|order| match (&order.closed, order.ended_on) {
            (Some(closed), _) => format!("closed {}", day_words(closed.on, book.today.get())),
            (None, Some(_)) => "called off".to_owned(),
            (None, None) => "not closed".to_owned(),
        });
        format!("Load · {}", state.unwrap_or_default())
    });
    let title = Signal::derive(move || shown.with(|order| order.title.clone()).unwrap_or_default());
    let looker = use_looker();
    view! {
        <PageHead label=label title=title back=("/shares", "Shares")>
            <Act words="Print" spoken="Print the share sheet" kind=ActKind::Bare on_press=move |()| looker.print() />
        </PageHead>
        <Show when=move || book.waits(&order)>
            <p><Tag word="waiting" kind=TagKind::Wait />" Something about this load is saved on this phone and not sent yet."</p>
        </Show>
        <CalledOff shown=shown />
        <Show when=move || is_closed.get() fallback=move || view! { <OpenLoad shown=shown looker=looker /> }>
            <ClosedLoad shown=shown looker=looker />
        </Show>
    }
}

#[component]
fn CalledOff(shown: Shown) -> impl IntoView {
    let book = use_book();
    let words = move || {
        let day = shown.with(|order| order.ended_on).flatten()?;
        Some(format!(
            "{}; nobody gets or pays anything.",
            in_a_sentence(day, book.today.get())
        ))
    };
    move || {
        words().map(|words| view! { <Note kind=NoteKind::Stop lead="Called off">{words}</Note> })
    }
}

// What was put in: each material with its rate and packs, the delivery, when it comes.
#[component]
fn PutIn(shown: Shown) -> impl IntoView {
    let book = use_book();
    let lines = move || {
        let (units, currency) = (book.units(), book.currency()?);
        let rows = shown.with(|order| order_form::put_in(order, units, currency))?;
        let row = |(key, what, small)| view! { <Line bed=key what=what small=small /> };
        Some(rows.into_iter().map(row).collect_view())
    };
    view! { <Lines>{lines}</Lines> }
}
