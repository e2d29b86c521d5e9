//! Settling up: who pays whom so that nobody owes anything, what is on its way, and carrying over into the next year.

use selion_core::document::balance::{self, LineFrom, Party};
use selion_core::document::ids::{EntryId, MemberId, OrderId};
use selion_core::document::records::{EntryKind, Payer};
use selion_core::document::shared_out::{mark_of_balances, payer_name};
use selion_core::document::{DocumentName, Garden};
use selion_core::ordered;
use selion_core::policy::may_see_balance;
use selion_core::quantities::{Currency, Day, Money};
use selion_core::reckoning::{Reckoning, Refusal};
use selion_core::shares::settle::Settlement;

use super::entry_form::NewEntry;
use super::statement::{paid_words, shares_words};
use super::wording::{capital, day_words};

/// Payments after which every account is even.
pub type Settled = Result<Reckoning<Settlement<Party>>, Refusal>;

/// One payment that is still to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PayRow {
    /// Who pays whom.
    pub words: String,
    /// How much.
    pub shown: String,
    /// It is paid by whoever looks.
    pub by_me: bool,
    /// It is paid to whoever looks.
    pub to_me: bool,
    /// What is written down when it is paid.
    pub entry: NewEntry,
}

/// The payments that whoever looks may see. Members see their own; of others as the garden has agreed.
pub fn to_pay(
    garden: &Garden,
    settled: &Settlement<Party>,
    me: MemberId,
    today: Day,
    currency: Currency,
) -> Vec<PayRow> {
    let mut rows = Vec::new();
    for payment in &settled.payments {
        let (from, to) = (payment.from.payer, payment.to.payer);
        let (by_me, to_me) = (from == Payer::Member(me), to == Payer::Member(me));
        let seen = |payer| may_see_balance(garden, me, payer);
        let is_seen = by_me || to_me || (seen(from) && seen(to));
        if !is_seen {
            continue;
        }
        let with_supplier = [from, to].contains(&Payer::Supplier);
        rows.push(PayRow {
            words: pays_words(garden, from, to, me),
            shown: payment.amount.show(currency),
            by_me,
            to_me,
            entry: NewEntry {
                from,
                to,
                kind: if with_supplier {
                    EntryKind::Outlay
                } else {
                    EntryKind::Payment
                },
                amount: payment.amount,
                day: today,
                order: None,
                word: "Settling up".to_owned(),
            },
        });
    }
    ordered::sort_by_key(&mut rows, |row| (!row.by_me, !row.to_me));
    rows
}

/// `You pay Ines`, `Ines pays the garden`.
pub fn pays_words(garden: &Garden, from: Payer, to: Payer, me: MemberId) -> String {
    let name = |payer| match payer {
        Payer::Garden => "the garden".to_owned(),
        Payer::Supplier => "the suppliers".to_owned(),
        Payer::Member(member) if member == me => "you".to_owned(),
        Payer::Member(member) => garden.name_of(member).to_owned(),
    };
    let verb = match from {
        Payer::Member(member) if member == me => "pay",
        Payer::Supplier => "pay",
        Payer::Member(_) | Payer::Garden => "pays",
    };
    capital(&format!("{} {verb} {}", name(from), name(to)))
}

/// A bill that nobody is written down to have paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillRow {
    /// Of which order.
    pub order: OrderId,
    /// What it is called.
    pub title: String,
    /// How much of it.
    pub missing: String,
}

/// The bills that nobody is written down to have paid, if there are any.
pub fn bill_rows(garden: &Garden, currency: Currency) -> Option<Vec<BillRow>> {
    let bills = balance::open_bills(garden).into_iter();
    let rows: Vec<BillRow> = bills
        .map(|bill| BillRow {
            order: bill.order,
            title: bill.title,
            missing: bill.missing.show(currency),
        })
        .collect();
    (!rows.is_empty()).then_some(rows)
}

/// An entry that waits to be confirmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WaitRow {
    /// Which.
    pub entry: EntryId,
    /// The ledger it stands in.
    pub document: DocumentName,
    /// Who paid whom.
    pub words: String,
    /// When, who wrote it, and a word about it.
    pub small: String,
    /// How much.
    pub shown: String,
    /// It was paid to whoever looks, so that they confirm it.
    pub to_me: bool,
    /// It looks like another, which may be the same.
    pub looks_alike: bool,
    /// Whose statement it stands on.
    pub account: Payer,
    /// About which order.
    pub order: Option<OrderId>,
    /// Who had it.
    pub had_by: Payer,
}

/// Every entry that waits to be confirmed, as far as whoever looks may see it, the earliest first.
pub fn waiting(garden: &Garden, me: MemberId, today: Day, currency: Currency) -> Vec<WaitRow> {
    let mut rows = Vec::new();
    for (payer, account) in balance::all(garden) {
        for line in account.lines {
            let LineFrom::Entry(entry) = &line.from else {
                continue;
            };
            // Each entry stands on two accounts; it is told on that of who had it.
            if line.counts || entry.takes_back || entry.taken_back || line.adds < Money::ZERO {
                continue;
            }
            let (from, to) = (entry.with, payer);
            let own = [from, to].contains(&Payer::Member(me));
            let seen = |payer| may_see_balance(garden, me, payer);
            let Some((year, _)) = garden.entry(entry.entry) else {
                continue;
            };
            let is_seen = own || (seen(from) && seen(to));
            if !is_seen {
                continue;
            }
            let mut small = format!(
                "{}, written by {}",
                capital(&day_words(line.day, today)),
                garden.name_of(entry.written_by)
            );
            if !entry.word.is_empty() {
                small.push_str(" · ");
                small.push_str(&entry.word);
            }
            rows.push((
                line.day,
                WaitRow {
                    entry: entry.entry,
                    document: DocumentName::Ledger(year),
                    words: pays_words(garden, from, to, me),
                    small,
                    shown: line.adds.show(currency),
                    to_me: to == Payer::Member(me),
                    looks_alike: entry.looks_like.is_some(),
                    account: if from == Payer::Member(me) { from } else { to },
                    order: line.order,
                    had_by: to,
                },
            ));
        }
    }
    ordered::sort_by_key(&mut rows, |(day, row)| (*day, row.entry));
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Balances that can be carried over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carrying {
    /// From which year.
    pub from: i16,
    /// Into which.
    pub into: i16,
    /// What each account owes, below nothing for what it is owed.
    pub accounts: Vec<(String, String)>,
    /// The mark of these balances.
    pub seen: String,
}

/// What would be carried over into the latest year, if it is not yet.
pub fn carrying(garden: &Garden, currency: Currency) -> Option<Carrying> {
    let (into, ledger) = garden.ledgers.last_key_value()?;
    if ledger.opening.is_some() {
        return None;
    }
    let (from, _) = garden.ledgers.range(..*into).next_back()?;
    let owed = balance::at_the_end_of(garden, *from);
    let account =
        |(payer, owed): (&Payer, &Money)| (payer_name(garden, *payer), owed.show(currency));
    Some(Carrying {
        from: *from,
        into: *into,
        accounts: owed.iter().map(account).collect(),
        seen: mark_of_balances(&owed),
    })
}

/// One account in the list of all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountRow {
    /// Whose.
    pub payer: Payer,
    /// What it is called.
    pub name: String,
    /// Its shares and what was paid.
    pub small: String,
    /// What it owes, in words.
    pub words: &'static str,
    /// And as a figure.
    pub figure: String,
    /// Belongs to whoever looks.
    pub mine: bool,
}

/// Every account that whoever looks may see, with the sum of all when they see all.
pub fn accounts(
    garden: &Garden,
    me: MemberId,
    currency: Currency,
) -> (Vec<AccountRow>, Option<String>) {
    let all = balance::all(garden);
    let mut rows = Vec::new();
    for (payer, account) in &all {
        if !may_see_balance(garden, me, *payer) {
            continue;
        }
        let mine = *payer == Payer::Member(me);
        let (words, figure) = super::statement::owed_words(account.owed, currency, mine);
        rows.push(AccountRow {
            payer: *payer,
            name: if mine {
                "You".to_owned()
            } else {
                payer_name(garden, *payer)
            },
            small: {
                let (due, shares) = shares_words(*payer, account.shares);
                let (done, paid) = paid_words(account.paid);
                let (shares, paid) = (shares.show(currency), paid.show(currency));
                format!("{due} {shares} · {} {paid}", done.to_lowercase())
            },
            words,
            figure,
            mine,
        });
    }
    let sum: Money = all.iter().map(|(_, account)| account.owed).sum();
    let whole = (rows.len() == all.len()).then(|| sum.show(currency));
    (rows, whole)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::records::{Entry, Member, Role};
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{day, garden, member};

    fn id(number: i64) -> EntryId {
        EntryId::fresh(Moment::from_millis(number), [0; 10])
    }

    fn entry(from: Payer, to: Payer, minor: i64) -> Entry {
        Entry {
            from,
            to,
            kind: EntryKind::Adjustment,
            amount: Money::from_minor(minor),
            day: day("2026-06-02"),
            order: None,
            reverses: None,
            written_by: member(1),
            confirmed_by: Some(member(1)),
            looks_like: None,
            word: String::new(),
        }
    }

    /// Ines (1) and Tomasz (2), and Wren (3) who coordinates. Tomasz owes Ines 30, Ines the garden 10.
    fn with_debts() -> (Garden, Currency) {
        let mut garden = garden();
        let wren = Member {
            name: "Wren".into(),
            role: Role::Coordinator,
            ended_on: None,
        };
        garden.members.insert(member(3), Arc::new(wren));
        let of = |number| Payer::Member(member(number));
        let mut ledger = Ledger::default();
        let entries = [entry(of(1), of(2), 30), entry(Payer::Garden, of(1), 10)];
        for (number, entry) in (1..).zip(entries) {
            ledger.entries.insert(id(number), Arc::new(entry));
        }
        garden.ledgers.insert(2026, ledger);
        let currency = garden.profile.as_ref().unwrap().currency;
        (garden, currency)
    }

    fn plan(garden: &Garden, currency: Currency, me: u8) -> Vec<String> {
        let settled = balance::settle(garden, currency).unwrap().result;
        let rows = to_pay(garden, &settled, member(me), day("2026-07-01"), currency);
        rows.iter()
            .map(|row| format!("{} {}", row.words, row.shown))
            .collect()
    }

    fn write(garden: &mut Garden, number: i64, new: &NewEntry, confirmed: bool) {
        let record = Entry {
            kind: new.kind,
            confirmed_by: confirmed.then(|| member(3)),
            ..entry(new.from, new.to, new.amount.minor())
        };
        let ledger = garden.ledgers.get_mut(&2026).unwrap();
        ledger.entries.insert(id(number), Arc::new(record));
    }

    #[test]
    fn everybody_sees_the_payments_that_are_theirs() {
        let (garden, dollars) = with_debts();
        let all = ["Tomasz pays Ines $0.20", "Tomasz pays the garden $0.10"];
        assert_eq!(plan(&garden, dollars, 3), all);
        assert_eq!(
            plan(&garden, dollars, 2),
            ["You pay Ines $0.20", "You pay the garden $0.10"]
        );
        assert_eq!(plan(&garden, dollars, 1), ["Tomasz pays you $0.20"]);
    }

    #[test]
    fn what_is_written_down_leaves_the_plan_and_once_confirmed_every_balance_is_nothing() {
        let (mut garden, dollars) = with_debts();
        let settled = balance::settle(&garden, dollars).unwrap().result;
        let rows = to_pay(&garden, &settled, member(2), day("2026-07-01"), dollars);
        for (number, row) in (10..).zip(&rows) {
            write(&mut garden, number, &row.entry, false);
        }
        assert!(
            plan(&garden, dollars, 3).is_empty(),
            "nothing is asked for twice"
        );
        let waits: Vec<(String, bool)> = waiting(&garden, member(1), day("2026-07-01"), dollars)
            .into_iter()
            .map(|row| (format!("{} {}", row.words, row.shown), row.to_me))
            .collect();
        assert_eq!(waits, [("Tomasz pays you $0.20".to_owned(), true)]);
        assert_eq!(
            waiting(&garden, member(3), day("2026-07-01"), dollars).len(),
            2
        );
        for (number, row) in (10..).zip(&rows) {
            write(&mut garden, number, &row.entry, true);
        }
        assert!(waiting(&garden, member(3), day("2026-07-01"), dollars).is_empty());
        let owed = balance::all(&garden);
        assert!(owed.iter().all(|(_, account)| account.owed.is_zero()));
    }

    /// A load of 1,000.00 in three parts, which does not come out even; its driver paid by one of them; everybody settles up.
    #[test]
    fn a_season_ends_at_nothing_in_currencies_of_none_two_and_three_digits() {
        // ISO 4217: the yen has no minor unit, the euro one of two digits, the Bahraini dinar one of three.
        for (code, plan_expected) in [
            (
                "JPY",
                ["Ines pays Wren ¥33,333", "Tomasz pays Wren ¥33,334"],
            ),
            (
                "EUR",
                ["Ines pays Wren €333.33", "Tomasz pays Wren €333.34"],
            ),
            (
                "BHD",
                ["Ines pays Wren BHD 33.333", "Tomasz pays Wren BHD 33.334"],
            ),
        ] {
            let (mut garden, _) = with_debts();
            let currency = Currency::new(code).unwrap();
            let mut profile =
                selion_core::document::records::Profile::clone(garden.profile.as_ref().unwrap());
            profile.currency = currency;
            garden.profile = Some(Arc::new(profile));
            let of = |number| Payer::Member(member(number));
            let mut ledger = Ledger::default();
            let entries = [
                entry(of(3), Payer::Supplier, 100_000),
                entry(Payer::Supplier, of(1), 33_333),
                entry(Payer::Supplier, of(2), 33_334),
                entry(Payer::Supplier, of(3), 33_333),
            ];
            for (number, entry) in (1..).zip(entries) {
                ledger.entries.insert(id(number), Arc::new(entry));
            }
            garden.ledgers.insert(2026, ledger);
            let mut seen = plan(&garden, currency, 3);
            seen.sort();
            let expected = plan_expected.map(|words| words.replace("Wren", "you"));
            assert_eq!(seen, expected);
            let settled = balance::settle(&garden, currency).unwrap().result;
            let rows = to_pay(&garden, &settled, member(3), day("2026-07-01"), currency);
            for (number, row) in (10..).zip(&rows) {
                write(&mut garden, number, &row.entry, true);
            }
            assert!(plan(&garden, currency, 3).is_empty());
            let (rows, whole) = accounts(&garden, member(3), currency);
            assert!(rows.iter().all(|row| row.words == "All is paid"), "{code}");
            assert_eq!(whole.unwrap(), Money::ZERO.show(currency));
        }
    }

    #[test]
    fn the_list_of_accounts_sums_to_nothing_for_those_who_see_all() {
        let (garden, dollars) = with_debts();
        let (rows, whole) = accounts(&garden, member(3), dollars);
        let lines: Vec<String> = rows
            .iter()
            .map(|row| format!("{} {} {}", row.name, row.words, row.figure))
            .collect();
        assert_eq!(
            lines,
            [
                "Ines Is owed $0.20",
                "Tomasz Owes $0.30",
                "Garden, common beds Is owed $0.10"
            ]
        );
        assert_eq!(whole.as_deref(), Some("$0.00"));
        let (rows, whole) = accounts(&garden, member(2), dollars);
        let names: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
        assert_eq!((names, whole), (vec!["You", "Garden, common beds"], None));
    }

    #[test]
    fn a_new_year_offers_to_carry_over_what_the_one_before_ended_with() {
        let (mut garden, dollars) = with_debts();
        assert_eq!(carrying(&garden, dollars), None);
        garden.ledgers.insert(2027, Ledger::default());
        let found = carrying(&garden, dollars).unwrap();
        assert_eq!((found.from, found.into), (2026, 2027));
        let figures: Vec<String> = found
            .accounts
            .into_iter()
            .map(|(name, owed)| format!("{name} {owed}"))
            .collect();
        assert_eq!(
            figures,
            ["Ines −$0.20", "Tomasz $0.30", "Garden, common beds −$0.10"]
        );
    }
}
