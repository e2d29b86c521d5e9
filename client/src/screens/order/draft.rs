//! The fields of a load, as they are being typed.

use std::collections::BTreeSet;

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
    wrong: RwSignal<Wrong>,
}

impl Draft {
    /// A form with this in it.
    pub(super) fn new(typed: OrderTyped) -> Self {
        Self {
            material: RwSignal::new(typed.material),
            rate: RwSignal::new(typed.rate),
            source: RwSignal::new(typed.source),
            bag: RwSignal::new(typed.bag),
            bag_price: RwSignal::new(typed.bag_price),
            delivery: RwSignal::new(typed.delivery),
            arrives: RwSignal::new(typed.arrives),
            left_out: RwSignal::new(typed.left_out),
            wrong: RwSignal::default(),
        }
    }

    /// What stands in it now; read inside a signal, it follows the typing.
    pub(super) fn typed(self) -> OrderTyped {
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

    /// The order that was typed, or none and each wrong field says why.
    pub(super) fn sent(self, before: Option<&Order>) -> Option<Order> {
        let book = use_book();
        let typed = untrack(|| self.typed());
        let currency = untrack(|| book.currency())?;
        match typed.read(untrack(|| book.units()), currency, before) {
            Ok(order) => {
                self.wrong.set(Wrong::new());
                Some(order)
            }
            Err(wrong) => {
                self.wrong.set(wrong);
                None
            }
        }
    }

    fn at(self, of: OrderBox) -> Signal<Option<String>> {
        Signal::derive(move || self.wrong.read().get(&of).cloned())
    }
}

/// The fields.
#[component]
pub fn OrderFields(
    /// The form.
    draft: Draft,
) -> impl IntoView {
    let book = use_book();
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
            label="Material" value=draft.material error=draft.at(OrderBox::Material)
            help="As on the bag, such as Ground limestone."
        />
        <AmountField label="Rate" value=draft.rate unit=rate_unit help=hint error=draft.at(OrderBox::Rate) />
        <TextField
            label="Where the rate comes from" value=draft.source error=draft.at(OrderBox::Source)
            help="The soil test and its day, or a handbook; it stands in everybody's working."
        />
        <div class="pair">
            <AmountField label="In one bag" value=draft.bag unit=mass_unit error=draft.at(OrderBox::Bag) />
            <AmountField label="Price of a bag" value=draft.bag_price unit=money error=draft.at(OrderBox::BagPrice) />
        </div>
        <AmountField
            label="Delivery fee" value=draft.delivery unit=money error=draft.at(OrderBox::Delivery)
            help="Nothing when somebody fetches it."
        />
        <TextField label="When and where it comes" value=draft.arrives error=draft.at(OrderBox::Arrives) />
        <BedsTakingPart left_out=draft.left_out />
    }
}
