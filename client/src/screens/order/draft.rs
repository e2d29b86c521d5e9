//! The fields of a load, as they are being typed.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::records::Order;

use crate::parts::{AmountField, TextField};
use crate::plain::order_form::{OrderBox, OrderTyped, Wrong, mass_unit, rate_hint, rate_unit};
use crate::screens::left_out::BedsTakingPart;
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
        let typed = typed.unwrap_or_default();
        Self {
            material: RwSignal::new(typed.material),
            rate: RwSignal::new(typed.rate),
            source: RwSignal::new(typed.source),
            bag: RwSignal::new(typed.bag),
            bag_price: RwSignal::new(typed.bag_price),
            delivery: RwSignal::new(typed.delivery),
            arrives: RwSignal::new(typed.arrives),
            left_out: RwSignal::new(typed.left_out),
            before: StoredValue::new(before),
            tried: RwSignal::new(false),
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
        }
    }

    fn at(self, wrong: Memo<Wrong>, of: OrderBox) -> Signal<Option<String>> {
        Signal::derive(move || {
            let tried = self.tried.get();
            wrong.read().get(&of).filter(|_| tried).cloned()
        })
    }
}

/// The fields.
#[component]
pub fn OrderFields(
    /// The form.
    draft: Draft,
) -> impl IntoView {
    let book = use_book();
    let wrong = Memo::new(move |_| draft.read().and_then(Result::err).unwrap_or_default());
    let at = move |of: OrderBox| draft.at(wrong, of);
    let rate_unit = Signal::derive(move || rate_unit(book.units()).to_owned());
    let mass_unit = Signal::derive(move || mass_unit(book.units()).to_owned());
    let hint = Signal::derive(move || rate_hint(book.units()));
    let money = Signal::derive(move || {
        book.currency()
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    view! {
        <TextField
            label="Material" value=draft.material error=at(OrderBox::Material)
            help="As on the bag, such as Ground limestone."
        />
        <AmountField label="Rate" value=draft.rate unit=rate_unit help=hint error=at(OrderBox::Rate) />
        <TextField
            label="Where the rate comes from" value=draft.source error=at(OrderBox::Source)
            help="The soil test and its day, or a handbook; it stands in everybody's working."
        />
        <div class="pair">
            <AmountField label="In one bag" value=draft.bag unit=mass_unit error=at(OrderBox::Bag) />
            <AmountField label="Price of a bag" value=draft.bag_price unit=money error=at(OrderBox::BagPrice) />
        </div>
        <AmountField
            label="Delivery fee" value=draft.delivery unit=money error=at(OrderBox::Delivery)
            help="Nothing when somebody fetches it."
        />
        <TextField label="When and where it comes" value=draft.arrives error=at(OrderBox::Arrives) />
        <BedsTakingPart left_out=draft.left_out />
    }
}
