//! Closed orders for which nobody wrote down who paid the supplier.
//!
//! Until that is written down, settling up can only say that members pay the suppliers themselves: it does not know whom they
//! owe it to.

use super::{Balance, BalanceLine, each_line, since};
use crate::document::Garden;
use crate::document::ids::OrderId;
use crate::document::records::Payer;
use crate::ordered::Map;
use crate::quantities::Money;

/// A closed order whose bill, or a part of it, nobody is written down to have paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenBill {
    /// Which order.
    pub order: OrderId,
    /// What it is called.
    pub title: String,
    /// How much of the bill.
    pub missing: Money,
}

/// The orders of open bills, the latest last; what was written down and only waits to be confirmed counts as paid.
pub fn open_bills(garden: &Garden) -> Vec<OpenBill> {
    let mut all = Vec::new();
    let mut by_order: Map<OrderId, Vec<BalanceLine>> = Map::new();
    each_line(garden, since(garden), i16::MAX, &mut |whose, line| {
        if whose == Payer::Supplier {
            if let Some(order) = line.order {
                by_order.entry(order).or_default().push(line.clone());
            }
            all.push(line);
        }
    });
    // Bills that were paid all at once, or as a settling up, name no order.
    if Balance::over(all).expected() >= Money::ZERO {
        return Vec::new();
    }
    let open = by_order.into_iter().filter_map(|(order, lines)| {
        let missing = Balance::over(lines).expected().minor().saturating_neg();
        let (_, record) = garden.order(order)?;
        (missing > 0).then(|| OpenBill {
            order,
            title: record.title.clone(),
            missing: Money::from_minor(missing),
        })
    });
    open.collect()
}
