//! The edits that an order which was typed comes to.

use selion_core::document::Edit;
use selion_core::document::edit::{NewOrder, OrderField};
use selion_core::document::ids::OrderId;
use selion_core::document::records::{Order, OrderLine};

use crate::plain::wording::counted;

/// What an order is called when nobody gave it a name.
pub(super) fn title_of<'a>(lines: impl Iterator<Item = &'a OrderLine>) -> String {
    let names: Vec<&str> = lines.map(|line| line.material.as_str()).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, other] => format!("{one} and {}", other.to_lowercase()),
        [one, rest @ ..] => format!("{one} and {}", counted(rest.len(), "more", "more")),
    }
}

/// The edit that opens the order.
pub fn opened(id: OrderId, order: Order) -> Edit {
    Edit::AddOrder {
        order: id,
        new: NewOrder {
            title: order.title,
            supplier: order.supplier,
            lines: order.lines,
            delivery: order.delivery,
            delivery_rule: order.delivery_rule,
            deposit: order.deposit,
            buyer: order.buyer,
            closes_on: order.closes_on,
            arrives: order.arrives,
        },
    }
}

/// What has to be set to make the one order the other.
pub fn changes(before: &Order, after: &Order) -> Vec<OrderField> {
    let mut set = Vec::new();
    if before.title != after.title {
        set.push(OrderField::Title(after.title.clone()));
    }
    if before.supplier != after.supplier {
        set.push(OrderField::Supplier(after.supplier.clone()));
    }
    for (id, line) in &after.lines {
        if before.lines.get(id) != Some(line) {
            set.push(OrderField::Line(*id, Box::new(line.clone())));
        }
    }
    for id in before.lines.keys() {
        if !after.lines.contains_key(id) {
            set.push(OrderField::DropLine(*id));
        }
    }
    if (before.delivery, before.delivery_rule) != (after.delivery, after.delivery_rule) {
        set.push(OrderField::Delivery {
            fee: after.delivery,
            rule: after.delivery_rule,
        });
    }
    if before.deposit != after.deposit {
        set.push(OrderField::Deposit(after.deposit));
    }
    if before.buyer != after.buyer {
        set.push(OrderField::Buyer(after.buyer));
    }
    if before.closes_on != after.closes_on {
        set.push(OrderField::ClosesOn(after.closes_on));
    }
    if before.arrives != after.arrives {
        set.push(OrderField::Arrives(after.arrives.clone()));
    }
    set
}
