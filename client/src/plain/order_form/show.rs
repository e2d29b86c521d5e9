//! An order as it stands in the form when it is changed.

use selion_core::document::ids::BedId;
use selion_core::document::records::{AmountsFrom, Order, OrderLine, Pack};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn, Currency, Day, Money, Units};

use super::edits::title_of;
use super::{Kind, LineTyped, OrderTyped, Origin, PackTyped};

impl OrderTyped {
    /// The form as it stands for an order that is changed.
    pub fn of(order: &Order, units: Units, currency: Currency) -> Self {
        let made = title_of(order.lines.values());
        let lines = order.lines.iter();
        Self {
            title: if order.title == made {
                String::new()
            } else {
                order.title.clone()
            },
            supplier: order.supplier.clone(),
            lines: ordered::map(
                lines.map(|(id, line)| (*id, LineTyped::of(line, units, currency))),
            ),
            delivery: some_money(order.delivery, currency),
            delivery_rule: order.delivery_rule,
            deposit: some_money(order.deposit, currency),
            buyer: order.buyer.to_string(),
            closes_on: order
                .closes_on
                .map(|day: Day| day.to_string())
                .unwrap_or_default(),
            arrives: order.arrives.clone(),
        }
    }
}

impl LineTyped {
    /// One line as it stands in the form.
    pub fn of(line: &OrderLine, units: Units, currency: Currency) -> Self {
        let from = match line.amounts {
            AmountsFrom::Beds if !line.own.is_empty() => Origin::ByBed,
            AmountsFrom::Beds => Origin::Rate,
            AmountsFrom::Wishes => Origin::Wishes,
            AmountsFrom::Even => Origin::Even,
        };
        let left_out = line.beds_left_out.iter().filter(|(_, out)| **out);
        let packs = line.packs.iter();
        Self {
            kind: Kind::of(&line.material),
            material: line.material.clone(),
            counted_in: line.counted_in,
            from,
            rate: line.rate_as_typed.clone(),
            source: line.rate_source.clone(),
            whole: some_amount(line.counted_in, line.whole, units),
            own: own_shown(line.counted_in, &line.own, units),
            exact: line.own.clone(),
            left_out: ordered::set(left_out.map(|(bed, _)| *bed)),
            packs: ordered::map(packs.map(|(number, pack)| {
                (
                    *number,
                    PackTyped::of(line.counted_in, pack, units, currency),
                )
            })),
            loose: line.loose,
            hand_out: line.hand_out,
            rule: line.rule,
            left_over: line.left_over,
        }
    }
}

impl PackTyped {
    fn of(counted_in: CountedIn, pack: &Pack, units: Units, currency: Currency) -> Self {
        let breaks = pack.breaks.iter();
        let one = |(from, price): (_, &Money)| format!("{from} at {}", price.show_number(currency));
        Self {
            size: counted_in.show(pack.size, units),
            price: pack.price.show_number(currency),
            breaks: breaks.map(one).collect::<Vec<_>>().join("; "),
        }
    }
}

/// Beds' own amounts as they stand in fields.
pub fn own_shown(
    counted_in: CountedIn,
    own: &Map<BedId, Amount>,
    units: Units,
) -> Map<BedId, String> {
    ordered::map(
        own.iter()
            .map(|(bed, amount)| (*bed, counted_in.show(*amount, units))),
    )
}

fn some_amount(counted_in: CountedIn, amount: Amount, units: Units) -> String {
    if amount.is_zero() {
        String::new()
    } else {
        counted_in.show(amount, units)
    }
}

fn some_money(amount: Money, currency: Currency) -> String {
    if amount.is_zero() {
        String::new()
    } else {
        amount.show_number(currency)
    }
}
