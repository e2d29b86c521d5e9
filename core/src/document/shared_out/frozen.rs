//! What is frozen when an order is closed, how it is shown again, and what an invoice that differs makes of it.

use super::order::{Case, Shares, Standing, account, case_over, frozen_words};
use super::payer_name;
use crate::document::Garden;
use crate::document::garden::label_order;
use crate::document::ids::{BedId, LineId, MemberId};
use crate::document::records::{
    AmountsFrom, CameOf, ClosedBed, ClosedOrder, FrozenLine, FrozenShare, FrozenShares, Invoice,
    Number, Order, OrderLine, Payer,
};
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::{Amount, Day, Money};
use crate::reckoning::{Reckoning, Refusal};
use crate::shares::LoadBed;
use crate::shares::order::{
    self as shares, AccountShare, BedAmount, BedPart, Delivered, HandOut, LineCase, LinePart,
    LineShares, OrderShares,
};

/// What came of an order: amounts and prices by line, the delivery, and who takes none of what.
#[derive(Clone, Copy, Debug)]
pub struct Came<'a> {
    /// What came of each line; a line that is not named came as it was ordered.
    pub delivered: &'a Map<LineId, CameOf>,
    /// What bringing it cost.
    pub delivery: Money,
    /// Who takes none of a line after all.
    pub none_for: &'a Map<LineId, Map<Payer, bool>>,
}

/// What is frozen when an order is closed.
pub fn freeze(garden: &Garden, order: &Order, on: Day, shares: &Shares) -> ClosedOrder {
    // Every bed stays in it, so that a line that leaves one out is still shared over the same ground.
    let beds = garden.open_beds().into_iter().map(|(id, bed)| {
        let closed = ClosedBed {
            label: bed.label.clone(),
            area: bed.outline.area(),
            holders: bed.held_by().collect(),
        };
        (id, closed)
    });
    ClosedOrder {
        on,
        beds: beds.collect(),
        shares: frozen(order, shares, |payer| payer_name(garden, payer)),
    }
}

/// Shares as they are kept.
pub fn frozen(order: &Order, shares: &Shares, name: impl Fn(Payer) -> String) -> FrozenShares {
    let accounts = shares.accounts.iter().map(|share| {
        let payer = Payer::from(share.account);
        let frozen = FrozenShare {
            name: name(payer),
            area: share.area,
            goods: share.goods,
            delivery: share.delivery,
            pays: share.pays,
            deposit: share.deposit,
        };
        (payer, frozen)
    });
    let lines =
        order
            .lines
            .iter()
            .zip(&shares.lines)
            .enumerate()
            .map(|(place, ((id, line), shared))| {
                let keys = || line.packs.keys().copied();
                let mut frozen = FrozenLine {
                    need: shared.need,
                    bought: shared.bought,
                    goods: shared.goods,
                    area: shared.area,
                    counts: keys().zip(shared.counts.iter().copied()).collect(),
                    each: keys().zip(shared.each.iter().copied()).collect(),
                    beds: shared
                        .beds
                        .iter()
                        .map(|part| (part.bed, part.amount))
                        .collect(),
                    ..FrozenLine::default()
                };
                for share in &shares.accounts {
                    if let Some(part) = share.lines.get(place) {
                        keep_part(&mut frozen, Payer::from(share.account), part, keys());
                    }
                }
                (*id, frozen)
            });
    FrozenShares {
        total: shares.total,
        delivery: shares.delivery,
        lines: lines.collect(),
        accounts: accounts.collect(),
    }
}

fn keep_part(
    frozen: &mut FrozenLine,
    payer: Payer,
    part: &LinePart,
    keys: impl Iterator<Item = Number>,
) {
    if !part.need.is_zero() {
        frozen.needs.insert(payer, part.need);
        frozen.areas.insert(payer, part.area);
    }
    if !part.amount.is_zero() {
        frozen.amounts.insert(payer, part.amount);
    }
    if !part.goods.is_zero() {
        frozen.pays.insert(payer, part.goods);
    }
    for (key, count) in keys.zip(&part.packs) {
        if *count != 0 {
            frozen.packs.entry(key).or_default().insert(payer, *count);
        }
    }
}

/// A closed order as it was frozen, by its last invoice if there is one.
pub(super) fn standing(
    garden: &Garden,
    order: &Order,
    closed: &ClosedOrder,
) -> Result<Standing, Refusal> {
    let invoice = order.invoices.last_key_value().map(|(_, invoice)| invoice);
    let kept = invoice.map_or(&closed.shares, |invoice| &invoice.shares);
    let mut case = frozen_case(garden, order, closed)?;
    case.delivery = kept.delivery;
    if let Some(invoice) = invoice {
        take_in(&mut case, order, invoice_came(invoice, kept.delivery));
    }
    let thawed = thawed(order, closed, kept);
    let names = kept.accounts.iter();
    Ok(Standing {
        names: names
            .map(|(payer, share)| (*payer, share.name.clone()))
            .collect(),
        answer: shares::explained(&case, thawed).on(frozen_words(closed.on)),
        case,
        closed_on: Some(closed.on),
    })
}

fn invoice_came(invoice: &Invoice, delivery: Money) -> Came<'_> {
    Came {
        delivered: &invoice.delivered,
        delivery,
        none_for: &invoice.none_for,
    }
}

/// A closed order shared anew by what came, over the ground, wishes and rules of the day it was closed.
pub fn invoiced(
    garden: &Garden,
    order: &Order,
    came: Came<'_>,
) -> Result<Reckoning<Shares>, Refusal> {
    let closed = order
        .closed
        .as_ref()
        .ok_or_else(|| Refusal::bad("order", "one that is closed", "an open one"))?;
    let mut case = frozen_case(garden, order, closed)?;
    case.delivery = came.delivery;
    // What was to be paid ahead was settled by the first bill.
    case.deposit = Money::ZERO;
    take_in(&mut case, order, came);
    Ok(shares::share(&case)?.on(frozen_words(closed.on)))
}

/// Puts what came into the case; what is not named came as it was ordered.
fn take_in(case: &mut Case, order: &Order, came: Came<'_>) {
    let Some(closed) = &order.closed else {
        return;
    };
    for (line, (id, record)) in case.lines.iter_mut().zip(&order.lines) {
        let ordered = closed.shares.lines.get(id);
        let named = came.delivered.get(id);
        let counts = named
            .map(|came| &came.counts)
            .or_else(|| ordered.map(|line| &line.counts));
        let count = |key| counts.and_then(|counts| counts.get(key)).copied();
        let amount = named.map_or_else(
            || ordered.map_or(Amount::ZERO, |line| line.bought),
            |came| came.amount,
        );
        let goods = named.map_or_else(
            || ordered.map_or(Money::ZERO, |line| line.goods),
            |came| came.goods,
        );
        line.delivered = Some(Delivered {
            counts: if record.loose {
                Vec::new()
            } else {
                record
                    .packs
                    .keys()
                    .map(|key| count(key).unwrap_or(0))
                    .collect()
            },
            amount,
            goods,
        });
        let none = came.none_for.get(id).into_iter().flatten();
        line.none_for = none
            .filter(|(_, none)| **none)
            .filter_map(|(payer, _)| account(*payer))
            .collect();
    }
}

/// A closed order as a case: the beds, holders, needs and rules of the day it was closed.
fn frozen_case(garden: &Garden, order: &Order, closed: &ClosedOrder) -> Result<Case, Refusal> {
    let mut case = case_over(garden, order, frozen_beds(closed))?;
    for (line, (id, record)) in case.lines.iter_mut().zip(&order.lines) {
        if let Some(kept) = closed.shares.lines.get(id) {
            keep_beds(line, record.amounts, kept, &case.beds);
        }
    }
    Ok(case)
}

fn keep_beds(
    line: &mut LineCase<MemberId>,
    amounts: AmountsFrom,
    kept: &FrozenLine,
    beds: &[LoadBed<BedId, MemberId>],
) {
    if amounts == AmountsFrom::Wishes {
        return;
    }
    let part = |bed: &LoadBed<BedId, MemberId>| {
        let amount = kept.beds.get(&bed.bed);
        amount.map_or(BedPart::LeftOut, |amount| BedPart::Own(*amount))
    };
    line.beds = beds.iter().map(part).collect();
}

fn frozen_beds(closed: &ClosedOrder) -> Vec<LoadBed<BedId, MemberId>> {
    let mut beds: Vec<LoadBed<BedId, MemberId>> = closed
        .beds
        .iter()
        .map(|(id, bed)| LoadBed {
            bed: *id,
            label: bed.label.clone(),
            area: bed.area,
            holders: bed
                .holders
                .iter()
                .map(|(member, parts)| (*member, *parts))
                .collect(),
        })
        .collect();
    ordered::sort_by_key(&mut beds, |bed| (label_order(&bed.label), bed.bed));
    beds
}

/// Kept shares as the arithmetic had them; nothing is worked out anew.
fn thawed(order: &Order, closed: &ClosedOrder, kept: &FrozenShares) -> Shares {
    let nothing = FrozenLine::default();
    let lines: Vec<(Sizes, &FrozenLine)> = order
        .lines
        .iter()
        .map(|(id, line)| (Sizes::of(line), kept.lines.get(id).unwrap_or(&nothing)))
        .collect();
    let accounts = kept.accounts.iter().filter_map(|(payer, share)| {
        Some(AccountShare {
            account: account(*payer)?,
            area: share.area,
            lines: lines
                .iter()
                .map(|(sizes, line)| thawed_part(*payer, &sizes.handed_out, line))
                .collect(),
            goods: share.goods,
            delivery: share.delivery,
            pays: share.pays,
            deposit: share.deposit,
        })
    });
    OrderShares {
        accounts: accounts.collect(),
        lines: lines
            .iter()
            .map(|(sizes, line)| thawed_line(closed, &sizes.bought, line))
            .collect(),
        goods: kept.total.checked_sub(kept.delivery).unwrap_or(Money::ZERO),
        delivery: kept.delivery,
        total: kept.total,
        deposit: kept.accounts.values().map(|share| share.deposit).sum(),
    }
}

/// The sizes of the packs that a line is bought in, and of those that are handed out whole: none of what is shared loose.
struct Sizes {
    bought: Vec<Number>,
    handed_out: Vec<Number>,
}

impl Sizes {
    fn of(line: &OrderLine) -> Self {
        let sizes = |packs: bool| {
            let sizes = line.packs.keys().copied();
            sizes.filter(|_| packs).collect()
        };
        Self {
            bought: sizes(!line.loose),
            handed_out: sizes(!line.loose && line.hand_out == HandOut::WholePacks),
        }
    }
}

fn thawed_line(closed: &ClosedOrder, sizes: &[Number], line: &FrozenLine) -> LineShares<BedId> {
    let left_over = line.bought.checked_sub(line.need).unwrap_or(Amount::ZERO);
    let bed = |(bed, amount): (&BedId, &Amount)| {
        let record = closed.beds.get(bed)?;
        let amount = BedAmount {
            bed: *bed,
            area: record.area,
            amount: *amount,
        };
        Some((label_order(&record.label), amount))
    };
    // By label, as an open order lists them.
    let mut beds: Vec<_> = line.beds.iter().filter_map(bed).collect();
    ordered::sort_by(&mut beds, |(one, of_one), (other, of_other)| {
        (one, of_one.bed).cmp(&(other, of_other.bed))
    });
    LineShares {
        need: line.need,
        counts: of_each(sizes, &line.counts),
        each: of_each(sizes, &line.each),
        bought: line.bought,
        left_over: left_over.max(Amount::ZERO),
        goods: line.goods,
        area: line.area,
        beds: beds.into_iter().map(|(_, amount)| amount).collect(),
    }
}

fn thawed_part(payer: Payer, sizes: &[Number], line: &FrozenLine) -> LinePart {
    let packs = |size: &Number| {
        let by_account = line.packs.get(size);
        by_account
            .and_then(|packs| packs.get(&payer))
            .copied()
            .unwrap_or(0)
    };
    LinePart {
        need: line.needs.get(&payer).copied().unwrap_or_default(),
        area: line.areas.get(&payer).copied().unwrap_or_default(),
        amount: line.amounts.get(&payer).copied().unwrap_or_default(),
        packs: sizes.iter().map(packs).collect(),
        goods: line.pays.get(&payer).copied().unwrap_or_default(),
    }
}

fn of_each<T: Copy + Default>(sizes: &[Number], of: &Map<Number, T>) -> Vec<T> {
    let value = |size: &Number| of.get(size).copied().unwrap_or_default();
    sizes.iter().map(value).collect()
}
