//! Accounts by hand.

use std::sync::Arc;

use super::*;
use crate::document::Ledger;
use crate::document::edit::NewOrder;
use crate::document::records::{
    ClosedOrder, Entry, FrozenShare, FrozenShares, Invoice, Opening, Order,
};
use crate::quantities::Moment;

fn id<T>(make: fn(Moment, [u8; 10]) -> T, number: i64) -> T {
    make(Moment::from_millis(number), [0; 10])
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn member(number: i64) -> Payer {
    Payer::Member(id(MemberId::fresh, number))
}

fn shares(of: &[(Payer, i64)]) -> FrozenShares {
    let account = |(payer, minor): &(Payer, i64)| {
        let share = FrozenShare {
            name: "Ines".to_owned(),
            pays: Money::from_minor(*minor),
            ..FrozenShare::default()
        };
        (*payer, share)
    };
    FrozenShares {
        total: Money::from_minor(of.iter().map(|(_, minor)| minor).sum()),
        accounts: of.iter().map(account).collect(),
        ..FrozenShares::default()
    }
}

fn closed_order(of: &[(Payer, i64)], on: &str) -> Order {
    let new = NewOrder {
        title: "Ground limestone".to_owned(),
        ..NewOrder::default()
    };
    Order {
        closed: Some(ClosedOrder {
            on: day(on),
            beds: Map::new(),
            shares: shares(of),
        }),
        ..Order::from(new)
    }
}

fn payment(from: Payer, to: Payer, minor: i64) -> Entry {
    let writer = id(MemberId::fresh, 9);
    Entry {
        from,
        to,
        kind: EntryKind::Payment,
        amount: Money::from_minor(minor),
        day: day("2026-06-02"),
        order: Some(id(OrderId::fresh, 1)),
        reverses: None,
        written_by: writer,
        confirmed_by: Some(writer),
        looks_like: None,
        word: String::new(),
    }
}

/// A share of $4.31, a payment of the wrong amount, taken back, and the right one; another that is not confirmed.
fn garden() -> Garden {
    let (ines, wrong) = (member(1), id(EntryId::fresh, 1));
    let mut taken_back = payment(Payer::Garden, ines, 500);
    taken_back.reverses = Some(wrong);
    let mut unconfirmed = payment(ines, Payer::Garden, 31);
    unconfirmed.confirmed_by = None;
    let entries = [
        payment(ines, Payer::Garden, 500),
        taken_back,
        payment(ines, Payer::Garden, 400),
        unconfirmed,
    ];
    let order = closed_order(&[(ines, 431), (Payer::Garden, 69)], "2026-06-01");
    let ledger = Ledger {
        orders: Map::from([(id(OrderId::fresh, 1), Arc::new(order))]),
        entries: (1..)
            .zip(entries)
            .map(|(number, entry)| (id(EntryId::fresh, number), Arc::new(entry)))
            .collect(),
        ..Ledger::default()
    };
    let mut garden = Garden::default();
    garden.ledgers.insert(2026, ledger);
    garden
}

fn ledger(garden: &mut Garden) -> &mut Ledger {
    garden.ledgers.get_mut(&2026).unwrap()
}

fn owed(garden: &Garden) -> Vec<i64> {
    all(garden)
        .iter()
        .map(|(_, balance)| balance.owed.minor())
        .collect()
}

#[test]
fn shares_less_payments_are_owed_and_a_line_taken_back_counts_for_nothing() {
    let garden = garden();
    let balance = of(&garden, member(1));
    assert_eq!(balance.owed, Money::from_minor(31));
    assert_eq!(
        (balance.shares, balance.paid, balance.waiting),
        (
            Money::from_minor(431),
            Money::from_minor(400),
            Money::from_minor(31)
        )
    );
    let taken_back: Vec<bool> = balance
        .lines
        .iter()
        .map(|line| matches!(&line.from, LineFrom::Entry(entry) if entry.taken_back))
        .collect();
    assert_eq!(taken_back, [false, true, false, false, false]);
}

#[test]
fn all_accounts_together_owe_nothing() {
    // Ines, the garden with its share and the money box, and the suppliers, who have had nothing yet.
    assert_eq!(owed(&garden()), [31, 469, -500]);
}

#[test]
fn the_working_ends_in_what_is_still_to_pay_and_then_says_what_waits() {
    let dollars = Currency::new("USD").unwrap();
    let text = of(&garden(), member(1))
        .working(dollars)
        .map(|_| String::new())
        .to_string();
    let expected = [
        "Share of Ground limestone, 2026-06-01",
        "Paid, 2026-06-02",
        "Payment taken back, 2026-06-02",
        "Still to pay",
        "Paid, not confirmed yet, 2026-06-02",
    ];
    let mut rest = text.as_str();
    for line in expected {
        let at = rest
            .find(line)
            .unwrap_or_else(|| panic!("{line} is not in order in\n{text}"));
        rest = rest.split_at(at).1;
    }
}

#[test]
fn an_invoice_adds_only_what_differs() {
    let mut garden = garden();
    let mut order = closed_order(&[(member(1), 431), (Payer::Garden, 69)], "2026-06-01");
    let invoice = |of: &[(Payer, i64)]| Invoice {
        on: day("2026-06-05"),
        delivered: Map::new(),
        none_for: Map::new(),
        shares: shares(of),
        written_by: id(MemberId::fresh, 9),
        word: String::new(),
    };
    order
        .invoices
        .insert(1.into(), invoice(&[(member(1), 400), (member(2), 50)]));
    order
        .invoices
        .insert(2.into(), invoice(&[(member(1), 400), (member(2), 60)]));
    ledger(&mut garden)
        .orders
        .insert(id(OrderId::fresh, 1), Arc::new(order));
    let lines: Vec<(String, i64)> = of(&garden, member(1))
        .lines
        .iter()
        .filter(|line| !matches!(line.from, LineFrom::Entry(_)))
        .map(|line| (line.words(), line.adds.minor()))
        .collect();
    let expected = [
        ("Share of Ground limestone".to_owned(), 431),
        ("Bill of Ground limestone differs".to_owned(), -31),
    ];
    assert_eq!(lines, expected);
    assert_eq!(of(&garden, member(2)).owed.minor(), 60);
    assert_eq!(of(&garden, Payer::Supplier).owed.minor(), -460);
    assert_eq!(owed(&garden).iter().sum::<i64>(), 0);
}

#[test]
fn a_year_that_was_carried_over_stands_in_the_opening_of_the_next() {
    let mut garden = garden();
    let balances = at_the_end_of(&garden, 2026);
    assert_eq!(balances.values().map(|owed| owed.minor()).sum::<i64>(), 0);
    let next = Ledger {
        opening: Some(Arc::new(Opening {
            from: 2026,
            on: day("2027-01-02"),
            balances,
            written_by: id(MemberId::fresh, 9),
        })),
        ..Ledger::default()
    };
    let before = owed(&garden);
    garden.ledgers.insert(2027, next);
    assert_eq!(owed(&garden), before, "nobody owes more or less for it");
    let balance = of(&garden, member(1));
    assert_eq!(balance.lines.len(), 1);
    assert_eq!(balance.lines[0].words(), "Carried over from 2026");
    assert_eq!(of_year(&garden, member(1), 2026).owed, balance.owed);
    assert_eq!(at_the_end_of(&garden, 2027), at_the_end_of(&garden, 2026));
}

#[test]
fn a_bill_is_open_until_somebody_is_written_down_to_have_paid_it() {
    let mut garden = Garden::default();
    let order = id(OrderId::fresh, 1);
    let mut ledger = Ledger::default();
    let record = closed_order(&[(member(1), 400), (member(2), 60)], "2026-05-01");
    ledger.orders.insert(order, Arc::new(record));
    garden.ledgers.insert(2026, ledger);
    let missing = |garden: &Garden| -> Vec<i64> {
        open_bills(garden)
            .iter()
            .map(|bill| bill.missing.minor())
            .collect()
    };
    assert_eq!(missing(&garden), [460]);
    assert_eq!(open_bills(&garden)[0].title, "Ground limestone");
    let mut pay = |number, entry: Entry| {
        let ledger = garden.ledgers.get_mut(&2026).unwrap();
        ledger
            .entries
            .insert(id(EntryId::fresh, number), Arc::new(entry));
        missing(&garden)
    };
    let part = payment(member(1), Payer::Supplier, 100);
    assert_eq!(pay(1, part), [360]);
    // It waits to be confirmed, and is not asked for once more. It names no order, so the sum over all bills tells.
    let rest = Entry {
        confirmed_by: None,
        order: None,
        ..payment(Payer::Garden, Payer::Supplier, 360)
    };
    assert_eq!(pay(2, rest), [0; 0]);
}

#[test]
fn settling_evens_every_account() {
    let garden = garden();
    let dollars = Currency::new("USD").unwrap();
    let payments = settle(&garden, dollars).unwrap().result.payments;
    let mut left: Map<Payer, i64> = all(&garden)
        .iter()
        .map(|(payer, balance)| (*payer, balance.expected().minor()))
        .collect();
    assert_eq!(
        left[&member(1)],
        0,
        "the payment that waits is not asked for again"
    );
    for payment in payments {
        *left.get_mut(&payment.from.payer).unwrap() -= payment.amount.minor();
        *left.get_mut(&payment.to.payer).unwrap() += payment.amount.minor();
    }
    assert!(left.values().all(|owed| *owed == 0), "{left:?}");
}

#[test]
fn a_likely_double_is_not_expected() {
    let mut garden = garden();
    let first = of(&garden, member(1)).expected();
    let mut double = payment(member(1), Payer::Garden, 31);
    (double.confirmed_by, double.looks_like) = (None, Some(id(EntryId::fresh, 4)));
    ledger(&mut garden)
        .entries
        .insert(id(EntryId::fresh, 5), Arc::new(double));
    assert_eq!(of(&garden, member(1)).expected(), first);
    assert_eq!(of(&garden, member(1)).waiting, Money::from_minor(62));
}

/// The garden of these tests with a profile, so that amounts can be shown.
fn with_profile(mut garden: Garden) -> Garden {
    let profile = serde_json::json!({
        "name": "Sorrel Bank", "units": "metric", "currency": "USD", "time_zone": "UTC",
    });
    garden.profile = Some(Arc::new(serde_json::from_value(profile).unwrap()));
    garden
}

fn explained(garden: &Garden, at: usize) -> String {
    let account = of(garden, member(1));
    let answer = explain(garden, member(1), &account.lines[at]);
    assert_eq!(answer.result, account.lines[at].adds);
    answer.map(|_| String::new()).to_string()
}

#[test]
fn a_line_says_who_wrote_it_who_confirmed_it_and_what_took_it_back() {
    let garden = with_profile(garden());
    let wrong = explained(&garden, 1);
    assert!(wrong.contains("Confirmed by"), "{wrong}");
    assert!(wrong.contains("Taken back on 2026-06-02"), "{wrong}");
    let waits = explained(&garden, 4);
    assert!(waits.contains("nobody yet"), "{waits}");
    assert!(waits.contains("Will be taken off this account"), "{waits}");
}

#[test]
fn a_bill_is_explained_by_the_share_before_it() {
    let mut garden = with_profile(garden());
    let mut order = closed_order(&[(member(1), 431), (Payer::Garden, 69)], "2026-06-01");
    let bill = |minor, word: &str| Invoice {
        on: day("2026-06-05"),
        delivered: Map::new(),
        none_for: Map::new(),
        shares: shares(&[(member(1), minor), (Payer::Garden, 69)]),
        written_by: id(MemberId::fresh, 9),
        word: word.to_owned(),
    };
    order.invoices.insert(1.into(), bill(400, "two bags short"));
    order
        .invoices
        .insert(2.into(), bill(410, "one came after all"));
    ledger(&mut garden)
        .orders
        .insert(id(OrderId::fresh, 1), Arc::new(order));
    let account = of(&garden, member(1));
    let lines = account.lines.iter().enumerate();
    let bills: Vec<usize> = lines
        .filter(|(_, line)| matches!(line.from, LineFrom::Invoice(_)))
        .map(|(at, _)| at)
        .collect();
    let texts: Vec<String> = bills.iter().map(|at| explained(&garden, *at)).collect();
    for (text, words) in texts.iter().zip([
        ["$4.00", "$4.31", "−$0.31", "two bags short"],
        ["$4.10", "$4.00", "$0.10", "one came after all"],
    ]) {
        assert!(words.iter().all(|word| text.contains(word)), "{text}");
    }
}
