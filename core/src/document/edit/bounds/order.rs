//! The size limits of orders. Whether an order can be shared out is for the arithmetic to say.

use super::{Checked, LIMITS, count, money, no_longer, sensible_day, title, within};
use crate::document::edit::{NewOrder, OrderField};
use crate::document::ids::LineId;
use crate::document::records::{CameOf, OrderLine, Payer};
use crate::ordered::Map;
use crate::quantities::Amount;
use crate::shares::buying::{MOST, MOST_BREAKS, MOST_OFFERS};
use crate::shares::order::MOST_LINES;

pub(super) fn new_order(new: &NewOrder) -> Checked {
    title("title", &new.title)?;
    no_longer("supplier", &new.supplier, LIMITS.title_chars)?;
    count("lines", new.lines.len(), MOST_LINES)?;
    new.lines.values().try_for_each(line)?;
    money("delivery", new.delivery)?;
    money("deposit", new.deposit)?;
    no_longer("arrives", &new.arrives, LIMITS.word_chars)
}

pub(super) fn field(field: &OrderField) -> Checked {
    match field {
        OrderField::Title(name) => title("title", name),
        OrderField::Supplier(name) => no_longer("supplier", name, LIMITS.title_chars),
        OrderField::Line(_, one) => line(one),
        OrderField::Delivery { fee, .. } => money("delivery", *fee),
        OrderField::Deposit(deposit) => money("deposit", *deposit),
        OrderField::Arrives(words) => no_longer("arrives", words, LIMITS.word_chars),
        OrderField::ClosesOn(day) | OrderField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        OrderField::DropLine(_) | OrderField::Buyer(_) | OrderField::Fence(_) => Ok(()),
    }
}

/// An amount of a material, nothing included.
pub(super) fn amount(field: &str, amount: Amount) -> Checked {
    within(field, amount.count(), 0, MOST.count())
}

pub(super) fn invoice(
    delivered: &Map<LineId, CameOf>,
    none_for: &Map<LineId, Map<Payer, bool>>,
) -> Checked {
    count("lines", delivered.len(), MOST_LINES)?;
    for came in delivered.values() {
        count("sizes", came.counts.len(), MOST_OFFERS)?;
        for packs in came.counts.values() {
            within("packs", *packs, 0, MOST.count())?;
        }
        amount("amount delivered", came.amount)?;
        money("price of the goods", came.goods)?;
    }
    count("lines", none_for.len(), MOST_LINES)?;
    none_for
        .values()
        .try_for_each(|accounts| count("accounts", accounts.len(), LIMITS.entries))
}

fn line(line: &OrderLine) -> Checked {
    title("material", &line.material)?;
    // 100 kg a square metre, or a metre deep, is far beyond any amendment.
    let rate = line.rate.micrograms_per_m2();
    within(
        "rate in micrograms a square metre",
        rate,
        0,
        100_000_000_000,
    )?;
    within(
        "layer in micrometres",
        line.layer.micrometres(),
        0,
        1_000_000,
    )?;
    no_longer("rate", &line.rate_as_typed, LIMITS.title_chars)?;
    no_longer("source of the rate", &line.rate_source, LIMITS.word_chars)?;
    count("beds with their own amount", line.own.len(), LIMITS.entries)?;
    for own in line.own.values() {
        amount("amount of a bed", *own)?;
    }
    count("beds left out", line.beds_left_out.len(), LIMITS.entries)?;
    amount("amount to be split", line.whole)?;
    count("sizes", line.packs.len(), MOST_OFFERS)?;
    for pack in line.packs.values() {
        within("size of a pack", pack.size.count(), 1, MOST.count())?;
        money("price of a pack", pack.price)?;
        count("price breaks", pack.breaks.len(), MOST_BREAKS)?;
        for price in pack.breaks.values() {
            money("price of a pack", *price)?;
        }
    }
    Ok(())
}
