//! How one line of an account comes about: the parts of a share, what a bill changed, who says that an entry is so.

use super::{BalanceLine, EntryLine, LineFrom};
use crate::document::Garden;
use crate::document::ids::{MemberId, OrderId};
use crate::document::records::{Entry, EntryKind, FrozenShares, Invoice, Order, Payer};
use crate::document::shared_out::{self, payer_name};
use crate::quantities::{Currency, Money, Units};
use crate::reckoning::{Reckoning, Source, Step};

/// A line of an account with its working. The result is what it adds to what the account owes.
pub fn explain(garden: &Garden, whose: Payer, line: &BalanceLine) -> Reckoning<Money> {
    let Some(profile) = &garden.profile else {
        return Reckoning::new(line.adds, frozen());
    };
    let shown = Shown {
        currency: profile.currency,
        units: profile.units,
    };
    let order = line.order.and_then(|order| garden.order(order));
    let answer = match (&line.from, order) {
        (LineFrom::CarriedOver(year), _) => carried_over(garden, *year, line, shown),
        (LineFrom::Entry(entry), _) => of_entry(garden, entry, line, shown),
        (LineFrom::Share(_), Some((_, order))) => share(garden, order, whose, line, shown),
        (LineFrom::Invoice(_), Some((_, order))) => bill(garden, order, whose, line, shown),
        (LineFrom::Share(_) | LineFrom::Invoice(_), None) => Reckoning::new(line.adds, frozen()),
    };
    answer.map(|_| line.adds)
}

#[derive(Clone, Copy)]
struct Shown {
    currency: Currency,
    units: Units,
}

fn frozen() -> Source {
    Source::arithmetic("Shares as they were frozen when the order was closed.")
}

fn carried_over(garden: &Garden, year: i16, line: &BalanceLine, shown: Shown) -> Reckoning<Money> {
    let opening = garden
        .ledgers
        .values()
        .filter_map(|ledger| ledger.opening.as_ref())
        .find(|opening| opening.from == year);
    let words =
        format!("The account at the end of {year}; its statement says how that came about.");
    let mut answer = Reckoning::new(line.adds, Source::arithmetic(words));
    answer.steps.push(Step::sum(
        format!("Carried over from {year}"),
        line.adds.show(shown.currency),
    ));
    if let Some(opening) = opening {
        let by = garden.name_of(opening.written_by);
        answer = answer.on(format!("Carried over on {} by {by}.", opening.on));
    }
    answer
}

/// As long as no bill was entered the whole working of the order stands; after that its parts as they were closed.
fn share(
    garden: &Garden,
    order: &Order,
    whose: Payer,
    line: &BalanceLine,
    shown: Shown,
) -> Reckoning<Money> {
    if whose == Payer::Supplier {
        return due_to_suppliers(order, None, line, shown);
    }
    let standing = order.invoices.is_empty();
    let standing = standing.then(|| shared_out::standing(garden, order).ok());
    if let Some(working) = standing.flatten().and_then(|it| it.working(whose)) {
        return working;
    }
    let mut answer = Reckoning::new(line.adds, frozen());
    if let Some(closed) = &order.closed {
        answer.steps = parts(order, &closed.shares, whose, shown);
        answer = answer.on(format!(
            "Frozen on {}, with the areas, holders and rules of that day.",
            closed.on
        ));
    }
    answer.step(Step::sum("Share", line.adds.show(shown.currency)))
}

fn parts(order: &Order, shares: &FrozenShares, whose: Payer, shown: Shown) -> Vec<Step> {
    let mut steps = Vec::new();
    for (id, frozen) in &shares.lines {
        let Some(pays) = frozen.pays.get(&whose) else {
            continue;
        };
        let label = order.lines.get(id).map_or_else(String::new, |line| {
            let amount = frozen.amounts.get(&whose).copied().unwrap_or_default();
            let amount = line.counted_in.show(amount, shown.units);
            format!("{amount} of {}", line.material)
        });
        steps.push(Step::new(label, pays.show(shown.currency)));
    }
    let account = shares.accounts.get(&whose);
    if let Some(account) = account.filter(|account| !account.delivery.is_zero()) {
        let delivery = account.delivery.show(shown.currency);
        steps.push(Step::new("Delivery", delivery));
    }
    steps
}

/// What was owed for the order before the bill and what is owed by it.
fn bill(
    garden: &Garden,
    order: &Order,
    whose: Payer,
    line: &BalanceLine,
    shown: Shown,
) -> Reckoning<Money> {
    let found = bill_behind(order, whose, line);
    if whose == Payer::Supplier {
        return due_to_suppliers(order, found.map(|(_, bill)| bill), line, shown);
    }
    let source =
        Source::arithmetic("The order shared anew over its bill by the rules it was closed with.");
    let mut answer = Reckoning::new(line.adds, source);
    if let Some((before, invoice)) = found {
        let owed = |shares: &FrozenShares| pays(shares, whose).show(shown.currency);
        answer.steps = parts(order, &invoice.shares, whose, shown);
        answer.steps.extend([
            Step::new(
                format!("Share by the bill of {}", invoice.on),
                owed(&invoice.shares),
            ),
            Step::new("Share before it", owed(before)),
        ]);
        let by = garden.name_of(invoice.written_by);
        answer = answer.on(format!("The bill was entered by {by}."));
        if !invoice.word.is_empty() {
            answer = answer.on(format!("“{}”", invoice.word));
        }
    }
    answer.step(Step::sum("Differs by", line.adds.show(shown.currency)))
}

fn pays(shares: &FrozenShares, whose: Payer) -> Money {
    let account = shares.accounts.get(&whose);
    account.map_or(Money::ZERO, |account| account.pays)
}

/// The bill that a line comes from, with the shares before it. Two bills of one day that change an account by the same
/// read alike.
fn bill_behind<'a>(
    order: &'a Order,
    whose: Payer,
    line: &BalanceLine,
) -> Option<(&'a FrozenShares, &'a Invoice)> {
    let mut before = &order.closed.as_ref()?.shares;
    for invoice in order.invoices.values() {
        let differs = match whose {
            Payer::Supplier => before.total.checked_sub(invoice.shares.total),
            Payer::Member(_) | Payer::Garden => {
                pays(&invoice.shares, whose).checked_sub(pays(before, whose))
            }
        };
        if invoice.on == line.day && differs == Some(line.adds) {
            return Some((before, invoice));
        }
        before = &invoice.shares;
    }
    None
}

fn due_to_suppliers(
    order: &Order,
    bill: Option<&Invoice>,
    line: &BalanceLine,
    shown: Shown,
) -> Reckoning<Money> {
    let shares = bill.map(|bill| &bill.shares);
    let shares = shares.or(order.closed.as_ref().map(|closed| &closed.shares));
    let mut answer = Reckoning::new(line.adds, frozen());
    if let Some(shares) = shares {
        let all = shares.total.show(shown.currency);
        answer
            .steps
            .push(Step::new(format!("{} in all", order.title), all));
    }
    answer
        .step(Step::sum(
            "Due to the suppliers",
            line.adds.show(shown.currency),
        ))
        .on("What the accounts owe together is due to whoever delivered.")
}

fn of_entry(
    garden: &Garden,
    entry: &EntryLine,
    line: &BalanceLine,
    shown: Shown,
) -> Reckoning<Money> {
    let source = Source::arithmetic("An entry of the ledger, as it was written.");
    let mut answer = Reckoning::new(line.adds, source);
    let Some((year, record)) = garden.entry(entry.entry) else {
        return answer;
    };
    let step = |label: &str, value: String| Step::new(label, value);
    let who = |member: MemberId| garden.name_of(member).to_owned();
    answer.steps.extend([
        step("From", payer_name(garden, record.from)),
        step("To", payer_name(garden, record.to)),
        step("Written by", who(record.written_by)),
    ]);
    if let Some((_, order)) = record.order.and_then(|order: OrderId| garden.order(order)) {
        answer.steps.push(step("For", order.title.clone()));
    }
    answer.steps.push(step(
        "Confirmed by",
        record
            .confirmed_by
            .map_or_else(|| "nobody yet".to_owned(), who),
    ));
    let amount = line.adds.show(shown.currency);
    answer.steps.push(Step::sum(effect(line), amount));
    for words in remarks(garden, year, entry, record) {
        answer = answer.on(words);
    }
    answer
}

fn effect(line: &BalanceLine) -> &'static str {
    match (line.adds <= Money::ZERO, line.counts) {
        (true, true) => "Taken off this account",
        (false, true) => "Put on this account",
        (true, false) => "Will be taken off this account",
        (false, false) => "Will be put on this account",
    }
}

fn remarks(garden: &Garden, year: i16, line: &EntryLine, record: &Entry) -> Vec<String> {
    let ledger = garden.ledgers.get(&year);
    let found = |id| ledger.and_then(|ledger| ledger.entries.get(&id));
    let mut words = Vec::new();
    if !record.word.is_empty() {
        words.push(format!("“{}”", record.word));
    }
    if let Some(wrong) = record.reverses.and_then(found) {
        words.push(format!("Takes back the entry of {}.", wrong.day));
    }
    let by = ledger.iter().flat_map(|ledger| ledger.entries.values());
    for back in by.filter(|other| other.reverses == Some(line.entry)) {
        let name = garden.name_of(back.written_by);
        let why = Some(&back.word).filter(|word| !word.is_empty());
        let why = why.map(|word| format!(": “{word}”")).unwrap_or_default();
        words.push(format!("Taken back on {} by {name}{why}.", back.day));
    }
    if line.looks_like.is_some() && record.confirmed_by.is_none() && !line.taken_back {
        words.push(
            "It looks like an entry that is there already: the same two accounts, kind, amount and day.".to_owned(),
        );
    }
    if record.kind == EntryKind::HoursInLieu {
        words.push("The garden sets an hour of work against money.".to_owned());
    }
    words
}
