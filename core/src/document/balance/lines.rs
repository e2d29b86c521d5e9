//! Every line of every account, each on its own account and its counterpart on another.

use std::collections::BTreeSet;

use super::{BalanceLine, EntryLine, LineFrom};
use crate::document::ids::{EntryId, OrderId};
use crate::document::records::{Entry, FrozenShares, Order, Payer};
use crate::document::{Garden, Ledger};
use crate::quantities::{Day, Money};

type Tell<'a> = &'a mut dyn FnMut(Payer, BalanceLine);

/// Tells every line of the years from the one to the other; what was carried over into the first year is a line too,
/// what was carried over later is not, since the lines before it are told already.
pub(super) fn each_line(garden: &Garden, first: i16, last: i16, tell: Tell<'_>) {
    let mut opened = first == i16::MIN;
    for (_, ledger) in garden.ledgers.range(first..=last) {
        if !opened && let Some(opening) = &ledger.opening {
            for (payer, owed) in &opening.balances {
                let line = BalanceLine {
                    day: opening.on,
                    order: None,
                    adds: *owed,
                    counts: true,
                    from: LineFrom::CarriedOver(opening.from),
                };
                tell(*payer, line);
            }
        }
        opened = true;
        of_ledger(ledger, tell);
    }
}

fn of_ledger(ledger: &Ledger, tell: Tell<'_>) {
    for (id, order) in &ledger.orders {
        of_order(*id, order, tell);
    }
    let taken_back: BTreeSet<EntryId> = ledger
        .entries
        .values()
        .filter_map(|entry| entry.reverses)
        .collect();
    for (id, entry) in &ledger.entries {
        of_entry(ledger, *id, entry, taken_back.contains(id), tell);
    }
}

fn of_order(id: OrderId, order: &Order, tell: Tell<'_>) {
    let Some(closed) = &order.closed else {
        return;
    };
    let nothing = FrozenShares::default();
    let share = LineFrom::Share(order.title.clone());
    step(id, closed.on, (&nothing, &closed.shares), &share, tell);
    let mut before = &closed.shares;
    for invoice in order.invoices.values() {
        let differs = LineFrom::Invoice(order.title.clone());
        step(id, invoice.on, (before, &invoice.shares), &differs, tell);
        before = &invoice.shares;
    }
}

/// What the shares of an order add to every account beyond those before them, and take off the suppliers'.
fn step(
    order: OrderId,
    day: Day,
    (before, after): (&FrozenShares, &FrozenShares),
    from: &LineFrom,
    tell: Tell<'_>,
) {
    let pays = |shares: &FrozenShares, payer: &Payer| {
        let share = shares.accounts.get(payer);
        share.map_or(0, |share| share.pays.minor())
    };
    let mut due = 0_i64;
    let gone = before
        .accounts
        .keys()
        .filter(|payer| !after.accounts.contains_key(payer));
    for payer in after.accounts.keys().chain(gone) {
        let adds = pays(after, payer).saturating_sub(pays(before, payer));
        let was_there = before.accounts.contains_key(payer);
        if adds == 0 && was_there {
            continue;
        }
        due = due.saturating_add(adds);
        tell(*payer, line(order, day, adds, from));
    }
    if due != 0 {
        tell(
            Payer::Supplier,
            line(order, day, due.saturating_neg(), from),
        );
    }
}

fn line(order: OrderId, day: Day, minor: i64, from: &LineFrom) -> BalanceLine {
    BalanceLine {
        day,
        order: Some(order),
        adds: Money::from_minor(minor),
        counts: true,
        from: from.clone(),
    }
}

fn of_entry(ledger: &Ledger, id: EntryId, entry: &Entry, taken_back: bool, tell: Tell<'_>) {
    let size = entry.amount.minor();
    let counts = ledger.counts(entry);
    for (payer, with, minor) in [
        (entry.from, entry.to, size.saturating_neg()),
        (entry.to, entry.from, size),
    ] {
        let line = BalanceLine {
            day: entry.day,
            order: entry.order,
            adds: Money::from_minor(minor),
            counts,
            from: LineFrom::Entry(EntryLine {
                entry: id,
                kind: entry.kind,
                with,
                takes_back: entry.reverses.is_some(),
                taken_back,
                looks_like: entry.looks_like,
                written_by: entry.written_by,
                word: entry.word.clone(),
            }),
        };
        tell(payer, line);
    }
}
