//! The fields of a load: its lines, and what belongs to the whole.

use leptos::prelude::*;
use selion_core::document::records::Payer;
use selion_core::shares::delivery::DeliveryRule;

use super::draft::Draft;
use super::line_fields::line_fields;
use crate::parts::{Choice, act, acts, amount_field, date_field, select_field, text_field};
use crate::piece::{Piece, derived, each, el, memo, pieces, row, when};
use crate::plain::order_form::{OrderBox, OrderTyped};
use crate::plain::wording::capital;
use crate::screens::form::people_choices;
use crate::state::use_book;

/// The fields.
pub fn order_fields(draft: Draft) -> Piece {
    let lines = memo(move || {
        draft
            .typed
            .with(|typed| typed.lines.keys().copied().collect::<Vec<_>>())
    });
    pieces![
        each(
            move || lines.get(),
            move |id| row(id, move || line_fields(draft, id, lines))
        ),
        acts().child(act("Add another material", move || draft.add_line())),
        delivery(draft),
        text_field(
            "When and where it comes",
            draft.text(|typed| Some(&mut typed.arrives))
        )
        .error(draft.wrong(OrderBox::Arrives)),
        more(draft)
    ]
}

fn money_unit() -> Signal<String> {
    let book = use_book();
    derived(move || {
        let currency = book.currency();
        currency
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    })
}

fn delivery(draft: Draft) -> Piece {
    let rule = draft.lens(
        Box::new(|typed| Some(typed.delivery_rule.key().to_owned())),
        Box::new(|typed, key| {
            let rule = RULES.iter().find(|rule| rule.key() == key);
            typed.delivery_rule = rule.copied().unwrap_or_default();
        }),
    );
    let choices = RULES.map(|rule| Choice::new(rule.key(), capital(rule.words())));
    let has_fee = move || draft.typed.with(|typed| !typed.delivery.trim().is_empty());
    pieces![
        amount_field(
            "Delivery fee",
            draft.text(|typed| Some(&mut typed.delivery)),
            money_unit()
        )
        .error(draft.wrong(OrderBox::Delivery))
        .help("Nothing when somebody fetches it."),
        when(has_fee, move || select_field(
            "The fee is shared",
            rule,
            choices.to_vec()
        ))
    ]
}

const RULES: [DeliveryRule; 3] = [
    DeliveryRule::ByGoods,
    DeliveryRule::Equally,
    DeliveryRule::ByWeight,
];

// What most orders leave as it is.
fn more(draft: Draft) -> Piece {
    let book = use_book();
    let text =
        move |of: fn(&mut OrderTyped) -> &mut String| draft.text(move |typed| Some(of(typed)));
    let buyers = derived(move || {
        let mut choices = vec![Choice::new(Payer::Garden.to_string(), "The garden")];
        choices.extend(people_choices(book));
        choices
    });
    let buyer = draft.lens(
        Box::new(|typed| {
            let none = typed.buyer.is_empty();
            Some(if none {
                Payer::Garden.to_string()
            } else {
                typed.buyer.clone()
            })
        }),
        Box::new(|typed, key| key.clone_into(&mut typed.buyer)),
    );
    el("details")
        .class("more")
        .child(el("summary").child("Supplier, who buys, deposit, closing day"))
        .child(
            text_field("Supplier", text(|typed| &mut typed.supplier))
                .error(draft.wrong(OrderBox::Supplier)),
        )
        .child(
            select_field("Who buys and lays the money out", buyer, buyers)
                .error(draft.wrong(OrderBox::Buyer)),
        )
        .child(
            el("div")
                .class("pair")
                .child(
                    amount_field("Deposit", text(|typed| &mut typed.deposit), money_unit())
                        .error(draft.wrong(OrderBox::Deposit)),
                )
                .child(
                    date_field("Answer until", text(|typed| &mut typed.closes_on))
                        .error(draft.wrong(OrderBox::ClosesOn)),
                ),
        )
        .child(
            text_field("Name of the load", text(|typed| &mut typed.title))
                .error(draft.wrong(OrderBox::Title))
                .help("Made of its materials when left empty."),
        )
        .into()
}
