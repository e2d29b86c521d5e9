//! What edits of bulk orders carry.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::document::ids::LineId;
use crate::document::records::{Order, OrderLine, Payer};
use crate::quantities::{Day, Money};
use crate::shares::delivery::DeliveryRule;

/// An order to be opened.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub struct NewOrder {
    pub title: String,
    #[serde(default)]
    pub supplier: String,
    pub lines: BTreeMap<LineId, OrderLine>,
    #[serde(default)]
    pub delivery: Money,
    #[serde(default)]
    pub delivery_rule: DeliveryRule,
    #[serde(default)]
    pub deposit: Money,
    #[serde(default)]
    pub buyer: Payer,
    #[serde(default)]
    pub closes_on: Option<Day>,
    #[serde(default)]
    pub arrives: String,
}

/// A field of an order and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
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
    EndedOn(Option<Day>),
}

impl From<NewOrder> for Order {
    fn from(new: NewOrder) -> Self {
        Self {
            title: new.title,
            supplier: new.supplier,
            lines: new.lines,
            wishes: BTreeMap::new(),
            delivery: new.delivery,
            delivery_rule: new.delivery_rule,
            deposit: new.deposit,
            buyer: new.buyer,
            closes_on: new.closes_on,
            arrives: new.arrives,
            closed: None,
            invoices: BTreeMap::new(),
            handed: BTreeMap::new(),
            ended_on: None,
        }
    }
}
