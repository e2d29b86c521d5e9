//! What edits of bulk orders carry.

use crate::document::ids::{FenceId, LineId};
use crate::document::records::{Order, OrderLine, Payer};
use crate::ordered::Map;
use crate::quantities::{Day, Money};
use crate::shares::delivery::DeliveryRule;

/// An order to be opened.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub struct NewOrder {
    pub title: String,
    pub supplier: String,
    pub lines: Map<LineId, OrderLine>,
    pub delivery: Money,
    pub delivery_rule: DeliveryRule,
    pub deposit: Money,
    pub buyer: Payer,
    pub closes_on: Option<Day>,
    pub arrives: String,
}

/// A field of an order and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum OrderField {
    Title(String),
    Supplier(String),
    /// One line, changed or new.
    Line(LineId, Box<OrderLine>),
    /// A line that is not bought after all.
    DropLine(LineId),
    Delivery {
        fee: Money,
        rule: DeliveryRule,
    },
    Deposit(Money),
    Buyer(Payer),
    ClosesOn(Option<Day>),
    Arrives(String),
    Fence(Option<FenceId>),
    EndedOn(Option<Day>),
}

impl From<NewOrder> for Order {
    fn from(new: NewOrder) -> Self {
        Self {
            title: new.title,
            supplier: new.supplier,
            lines: new.lines,
            wishes: Map::new(),
            delivery: new.delivery,
            delivery_rule: new.delivery_rule,
            deposit: new.deposit,
            buyer: new.buyer,
            closes_on: new.closes_on,
            arrives: new.arrives,
            closed: None,
            invoices: Map::new(),
            handed: Map::new(),
            fence: None,
            ended_on: None,
        }
    }
}
