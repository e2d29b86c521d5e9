//! The fields of a load, as they are being typed.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::records::Order;
use selion_core::quantities::Amount;

use super::own_amounts::own_amounts;
use crate::parts::{amount_field, text_field};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::order_form::{OrderBox, OrderTyped, Wrong, mass_unit, rate_hint, rate_unit};
use crate::screens::left_out::beds_taking_part;
use crate::state::use_book;

/// The form as it is being typed, with what is wrong with it.
#[derive(Clone, Copy, Debug)]
pub struct Draft {
    material: RwSignal<String>,
    rate: RwSignal<String>,
    source: RwSignal<String>,
    bag: RwSignal<String>,
    bag_price: RwSignal<String>,
    delivery: RwSignal<String>,
    arrives: RwSignal<String>,
    left_out: RwSignal<BTreeSet<BedId>>,
    own: RwSignal<BTreeMap<BedId, String>>,
    exact: StoredValue<BTreeMap<BedId, Amount>>,
    before: StoredValue<Option<Arc<Order>>>,
    tried: RwSignal<bool>,
}

impl Draft {
    /// A form for a new order, or with the order in it that is changed.
    pub(super) fn new(before: Option<Arc<Order>>) -> Self {
        let book = use_book();
        let typed = untrack(|| {
            let order = before.as_deref()?;
            Some(OrderTyped::of(order, book.units(), book.currency()?))
        });
        Self::with(before, typed.unwrap_or_default())
    }

    /// A form for a new order that begins with this.
    pub(super) fn begun(typed: OrderTyped) -> Self {
        Self::with(None, typed)
    }

    fn with(before: Option<Arc<Order>>, typed: OrderTyped) -> Self {
        Self {
            material: signal_of(typed.material),
            rate: signal_of(typed.rate),
            source: signal_of(typed.source),
            bag: signal_of(typed.bag),
            bag_price: signal_of(typed.bag_price),
            delivery: signal_of(typed.delivery),
            arrives: signal_of(typed.arrives),
            left_out: signal_of(typed.left_out),
            own: signal_of(typed.own),
            exact: StoredValue::new(typed.exact),
            before: StoredValue::new(before),
            tried: signal_of(false),
        }
    }

    /// The order that is changed.
    pub(super) fn before(self) -> Option<Arc<Order>> {
        self.before.get_value()
    }

    /// What stands in it now means this order, or this is wrong with it. Read inside a signal, it follows the typing.
    pub(super) fn read(self) -> Option<Result<Order, Wrong>> {
        let book = use_book();
        let (units, currency) = (book.units(), book.currency()?);
        let typed = self.typed();
        Some(
            self.before
                .with_value(|before| typed.read(units, currency, before.as_deref())),
        )
    }

    /// The order that was typed; from a first try on, each wrong field says why until it is right.
    pub(super) fn sent(self) -> Option<Order> {
        self.tried.set(true);
        untrack(|| self.read())?.ok()
    }

    fn typed(self) -> OrderTyped {
        OrderTyped {
            material: self.material.get(),
            rate: self.rate.get(),
            source: self.source.get(),
            bag: self.bag.get(),
            bag_price: self.bag_price.get(),
            delivery: self.delivery.get(),
            arrives: self.arrives.get(),
            left_out: self.left_out.get(),
            own: self.own.get(),
            exact: self.exact.get_value(),
        }
    }

    fn at(self, wrong: Memo<Wrong>, of: OrderBox) -> Signal<Option<String>> {
        derived(move || {
            let tried = self.tried.get();
            wrong.read().get(&of).filter(|_| tried).cloned()
        })
    }
}

/// The fields.
pub fn order_fields(draft: Draft) -> Piece {
    let book = use_book();
    let wrong = memo(move || draft.read().and_then(Result::err).unwrap_or_default());
    let at = move |of: OrderBox| draft.at(wrong, of);
    let rate_unit = derived(move || rate_unit(book.units()).to_owned());
    let mass_unit = derived(move || mass_unit(book.units()).to_owned());
    let hint = derived(move || rate_hint(book.units()));
    let money = derived(move || {
        book.currency()
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    pieces![
        text_field("Material", draft.material)
            .error(at(OrderBox::Material))
            .help("As on the bag, such as Ground limestone."),
        when(
            move || draft.own.read().is_empty(),
            move || amount_field("Rate", draft.rate, rate_unit)
                .help(hint)
                .error(at(OrderBox::Rate))
        )
        .otherwise(
            move || own_amounts(draft.own, draft.left_out, move |bed| at(OrderBox::Own(bed)))
        ),
        text_field("Where the rate comes from", draft.source)
            .error(at(OrderBox::Source))
            .help(
                "The soil test and its day, or a handbook; it stands in everybody's \
                 working."
            ),
        el("div")
            .class("pair")
            .child(amount_field("In one bag", draft.bag, mass_unit).error(at(OrderBox::Bag)))
            .child(
                amount_field("Price of a bag", draft.bag_price, money)
                    .error(at(OrderBox::BagPrice))
            ),
        amount_field("Delivery fee", draft.delivery, money)
            .error(at(OrderBox::Delivery))
            .help("Nothing when somebody fetches it."),
        text_field("When and where it comes", draft.arrives).error(at(OrderBox::Arrives)),
        beds_taking_part(draft.left_out)
    ]
}
