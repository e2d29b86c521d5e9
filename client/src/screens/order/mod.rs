//! A bulk load: from the form with its live shares, through the closing, to who has paid.

pub mod closed;
pub mod draft;
pub mod fields;
pub mod hand_out;
pub mod invoice;
pub mod line_fields;
pub mod new;
pub mod open;
pub mod own_amounts;
pub mod pack_fields;
pub mod payments;
pub mod preview;
pub mod wishes;

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::OrderId;
use selion_core::document::records::Order;
use selion_core::document::{DocumentName, shared_out};
use selion_core::policy::Action;

use self::closed::closed_load;
use self::new::new_order;
use self::open::open_load;
use crate::parts::{
    ActKind, NoteKind, TagKind, act, empty, line, lines, not_here, note, page_head, tag,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, when};
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
pub fn order_screen(id: &str) -> Piece {
    let book = use_book();
    let is_new = id == "new";
    let order = id.parse::<OrderId>().ok();
    let named = memo(move || {
        if is_new {
            return Named::New;
        }
        order
            .filter(|order| book.garden.read().order(*order).is_some())
            .map_or(Named::NotHere, Named::Known)
    });
    let sees_ledger = memo(move || book.may(Action::SeeLedger, false));
    live(move || match named.get() {
        _ if !sees_ledger.get() => not_shown(),
        Named::New => new_order(),
        Named::Known(order) => one_order(order),
        Named::NotHere => not_here("load", ("/shares", "Shares")),
    })
}

fn not_shown() -> Piece {
    pieces![
        page_head("Shares", "Loads").back("/shares", "Shares"),
        empty("Orders are not sent to this phone").child(el("p").child(
            "Loads are paid by those who hold a bed; a helper owes nothing. Ask \
             a coordinator if you should see them."
        ))
    ]
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

fn one_order(order: OrderId) -> Piece {
    let book = use_book();
    let record = memo(move || {
        let garden = book.garden.read();
        garden
            .order(order)
            .map(|(year, record)| (year, Arc::clone(record)))
    });
    let shown = Shown { order, record };
    let is_closed = memo(move || shown.with(|order| order.closed.is_some()) == Some(true));
    let label = derived(move || {
        let state = shown.with(|order| match (&order.closed, order.ended_on) {
            (Some(closed), _) => format!("closed {}", day_words(closed.on, book.today.get())),
            (None, Some(_)) => "called off".to_owned(),
            (None, None) => "not closed".to_owned(),
        });
        format!("Load · {}", state.unwrap_or_default())
    });
    let title = derived(move || shown.with(|order| order.title.clone()).unwrap_or_default());
    let looker = use_looker();
    pieces![
        page_head(label, title).back("/shares", "Shares").child(
            act("Print", move || looker.print())
                .spoken("Print the share sheet")
                .kind(ActKind::Bare)
        ),
        when(
            move || book.waits(&order),
            move || el("p")
                .child(tag("waiting", TagKind::Wait))
                .child(" Something about this load is saved on this phone and not sent yet.")
        ),
        called_off(shown),
        when(move || is_closed.get(), move || closed_load(shown, looker))
            .otherwise(move || open_load(shown, looker))
    ]
}

fn called_off(shown: Shown) -> Piece {
    let book = use_book();
    let words = move || {
        let day = shown.with(|order| order.ended_on).flatten()?;
        Some(format!(
            "{}; nobody gets or pays anything.",
            in_a_sentence(day, book.today.get())
        ))
    };
    live(move || words().map(|words| note().kind(NoteKind::Stop).lead("Called off").child(words)))
}

// What was put in: each material with its rate and packs, the delivery, when it comes.
fn put_in(shown: Shown) -> Piece {
    let book = use_book();
    let put_in = move || {
        let (units, currency) = (book.units(), book.currency()?);
        let garden = book.garden.read();
        let name = |payer| shared_out::payer_name(&garden, payer);
        let rows = shown.with(|order| order_form::put_in(order, (units, currency), name))?;
        let row = |(key, what, small)| line(what).bed(key).small(small);
        Some(rows.into_iter().map(row).collect::<Piece>())
    };
    lines().child(put_in).into()
}
