//! A statement: one account in one year, line by line, with what was owed after each.

use selion_core::document::Garden;
use selion_core::document::balance::{self, Balance, BalanceLine, EntryLine, LineFrom};
use selion_core::document::ids::MemberId;
use selion_core::document::records::Payer;
use selion_core::document::shared_out::payer_name;
use selion_core::quantities::{Currency, Day, Money};

use super::wording::margin_day;

/// An account in one year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Whose account.
    pub whose: Payer,
    /// What it is called.
    pub name: String,
    /// The year.
    pub year: i16,
    /// What stands in the year.
    pub lines: Vec<StatementLine>,
    /// What that comes to, in words: `You owe`.
    pub owed_words: &'static str,
    /// And as a figure.
    pub owed: String,
    /// What is still to be confirmed, in a sentence, if anything is.
    pub waiting: Option<String>,
    /// For the block under the head.
    pub block: Vec<(String, String)>,
}

/// One line of a statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementLine {
    /// The line itself; nothing for what was brought from the years before.
    pub line: Option<BalanceLine>,
    /// Its day in the margin.
    pub margin: String,
    /// Its day in full; for paper.
    pub day: String,
    /// What it is.
    pub what: String,
    /// With whom, and a word about it.
    pub small: String,
    /// What it adds, with its sign.
    pub amount: String,
    /// What is owed after it; a line that does not count changes nothing.
    pub balance: String,
    /// How it stands.
    pub state: LineState,
}

/// How a line of a statement stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineState {
    /// It counts.
    Counts,
    /// It counts once somebody confirms it.
    Waits,
    /// It may be the same as another, and counts once somebody says that it is not.
    LooksAlike,
    /// Another line takes it back, or it takes one back.
    TakenBack,
}

/// The statement of an account.
pub fn statement(
    garden: &Garden,
    whose: Payer,
    year: i16,
    me: Option<MemberId>,
    currency: Currency,
) -> Statement {
    let account = balance::of_year(garden, whose, year);
    let mine = me.is_some_and(|me| whose == Payer::Member(me));
    let before = brought(garden, whose, year);
    let mut owed = before.map_or(Money::ZERO, |(_, owed)| owed);
    let mut lines: Vec<StatementLine> = Vec::new();
    if let Some((earlier, owed)) = before {
        lines.push(brought_line(earlier, owed, currency));
    }
    for line in &account.lines {
        if line.counts {
            owed = [owed, line.adds].into_iter().sum();
        }
        lines.push(statement_line(garden, line, owed, currency));
    }
    let (owed_words, figure) = owed_words(owed, currency, mine);
    Statement {
        whose,
        name: payer_name(garden, whose),
        year,
        lines,
        owed_words,
        owed: figure,
        waiting: waiting(&account, currency),
        block: block(whose, &account, currency),
    }
}

/// The years that have a ledger, the latest first.
pub fn years(garden: &Garden) -> Vec<i16> {
    garden.ledgers.keys().rev().copied().collect()
}

/// What a balance is, in words and as a figure: `You owe`, `$4.31`.
pub fn owed_words(owed: Money, currency: Currency, mine: bool) -> (&'static str, String) {
    let size = Money::from_minor(owed.minor().saturating_abs());
    let words = match (owed.minor().signum(), mine) {
        (0, _) => "All is paid",
        (1, true) => "You owe",
        (1, false) => "Owes",
        (_, true) => "You are owed",
        (_, false) => "Is owed",
    };
    (words, size.show(currency))
}

/// An amount with its sign, a plus too: `+$4.31`, `−$4.00`.
pub fn signed(amount: Money, currency: Currency) -> String {
    let plus = if amount.is_positive() { "+" } else { "" };
    format!("{plus}{}", amount.show(currency))
}

/// What an account still owed from the years before, where they were not carried over.
fn brought(garden: &Garden, whose: Payer, year: i16) -> Option<(i16, Money)> {
    let ledger = garden.ledgers.get(&year)?;
    if ledger.opening.is_some() {
        return None;
    }
    let (earlier, _) = garden.ledgers.range(..year).next_back()?;
    let owed = balance::at_the_end_of(garden, *earlier);
    owed.get(&whose).map(|owed| (*earlier, *owed))
}

fn brought_line(earlier: i16, owed: Money, currency: Currency) -> StatementLine {
    StatementLine {
        line: None,
        margin: earlier.to_string(),
        day: String::new(),
        what: format!("Open from {earlier}"),
        small: "Not carried over yet".to_owned(),
        amount: signed(owed, currency),
        balance: owed.show(currency),
        state: LineState::Counts,
    }
}

fn statement_line(
    garden: &Garden,
    line: &BalanceLine,
    owed: Money,
    currency: Currency,
) -> StatementLine {
    let (state, small) = match &line.from {
        LineFrom::Entry(entry) => (entry_state(entry, line.counts), entry_small(garden, entry)),
        LineFrom::Share(_) => (LineState::Counts, "As it was closed".to_owned()),
        LineFrom::Invoice(_) => (LineState::Counts, "By what really came".to_owned()),
        LineFrom::CarriedOver(_) => (LineState::Counts, String::new()),
    };
    StatementLine {
        line: Some(line.clone()),
        margin: margin_day(line.day),
        day: line.day.to_string(),
        what: line.words(),
        small,
        amount: signed(line.adds, currency),
        balance: owed.show(currency),
        state,
    }
}

/// How an entry stands.
pub fn entry_state(entry: &EntryLine, counts: bool) -> LineState {
    match entry {
        entry if entry.taken_back || entry.takes_back => LineState::TakenBack,
        _ if counts => LineState::Counts,
        entry if entry.looks_like.is_some() => LineState::LooksAlike,
        _ => LineState::Waits,
    }
}

fn entry_small(garden: &Garden, entry: &EntryLine) -> String {
    let with = match entry.with {
        Payer::Garden => "with the garden".to_owned(),
        Payer::Supplier => "with the suppliers".to_owned(),
        Payer::Member(member) => format!("with {}", garden.name_of(member)),
    };
    if entry.word.is_empty() {
        with
    } else {
        format!("{with} · {}", entry.word)
    }
}

fn waiting(account: &Balance, currency: Currency) -> Option<String> {
    let waits = account.lines.iter().filter(|line| line.waits());
    let sum: Money = waits.map(|line| line.adds).sum();
    let size = Money::from_minor(sum.minor().saturating_abs());
    let done = if sum.is_positive() {
        "put on"
    } else {
        "taken off"
    };
    (!sum.is_zero()).then(|| {
        format!(
            "{} more is to be {done} it, and not confirmed yet.",
            size.show(currency)
        )
    })
}

fn block(whose: Payer, account: &Balance, currency: Currency) -> Vec<(String, String)> {
    let carried = account.lines.iter().filter_map(|line| match line.from {
        LineFrom::CarriedOver(_) => Some(line.adds),
        LineFrom::Share(_) | LineFrom::Invoice(_) | LineFrom::Entry(_) => None,
    });
    let carried: Money = carried.sum();
    // What was carried over was not paid this year.
    let paid = [account.paid, carried].into_iter().sum::<Money>();
    let (shares_name, shares) = shares_words(whose, account.shares);
    let (paid_name, paid) = paid_words(paid);
    let mut block = Vec::new();
    if !carried.is_zero() {
        block.push(("Carried over".to_owned(), carried.show(currency)));
    }
    block.push((shares_name.to_owned(), shares.show(currency)));
    block.push((paid_name.to_owned(), paid.show(currency)));
    block
}

/// What the closed loads come to on an account: shares of them, or what is due to those who delivered.
pub fn shares_words(whose: Payer, shares: Money) -> (&'static str, Money) {
    match whose {
        Payer::Supplier => ("Due", Money::from_minor(shares.minor().saturating_neg())),
        Payer::Member(_) | Payer::Garden => ("Shares", shares),
    }
}

/// What was taken off an account in all, as paid; what was put on it, as had.
pub fn paid_words(paid: Money) -> (&'static str, Money) {
    if paid < Money::ZERO {
        ("Had", Money::from_minor(paid.minor().saturating_neg()))
    } else {
        ("Paid", paid)
    }
}

/// The heading of a statement for paper: whose, which year, on which day it was printed.
pub fn paper_words(statement: &Statement, garden_name: &str, today: Day) -> String {
    format!(
        "Statement of {} for {}, {garden_name}. Printed on {today}.",
        statement.name, statement.year
    )
}

#[cfg(test)]
pub(super) mod tests {
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::ids::EntryId;
    use selion_core::document::records::{Entry, EntryKind, Opening};
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{day, garden, member};

    pub(in crate::plain) fn id(number: i64) -> EntryId {
        EntryId::fresh(Moment::from_millis(number), [0; 10])
    }

    fn paid(minor: i64, on: &str) -> Entry {
        Entry {
            from: Payer::Member(member(1)),
            to: Payer::Garden,
            kind: EntryKind::Payment,
            amount: Money::from_minor(minor),
            day: day(on),
            order: None,
            reverses: None,
            written_by: member(1),
            confirmed_by: Some(member(2)),
            looks_like: None,
            word: "in the tin".to_owned(),
        }
    }

    /// Ines was charged 5.00, paid 2.00, wrote the same again, and 1.00 that nobody confirmed.
    pub(in crate::plain) fn with_entries() -> Garden {
        let mut garden = garden();
        let charge = Entry {
            from: Payer::Garden,
            to: Payer::Member(member(1)),
            kind: EntryKind::Adjustment,
            ..paid(500, "2026-05-01")
        };
        let double = Entry {
            looks_like: Some(id(2)),
            confirmed_by: None,
            ..paid(200, "2026-05-02")
        };
        let waits = Entry {
            confirmed_by: None,
            ..paid(100, "2026-05-03")
        };
        let mut ledger = Ledger::default();
        let entries = [charge, paid(200, "2026-05-02"), double, waits];
        for (number, entry) in (1..).zip(entries) {
            ledger.entries.insert(id(number), Arc::new(entry));
        }
        garden.ledgers.insert(2026, ledger);
        garden
    }

    fn of(garden: &Garden, year: i16) -> Statement {
        let currency = garden.profile.as_ref().unwrap().currency;
        statement(
            garden,
            Payer::Member(member(1)),
            year,
            Some(member(1)),
            currency,
        )
    }

    fn figures(statement: &Statement) -> Vec<String> {
        let line = |line: &StatementLine| {
            format!(
                "{} {} {} {}",
                line.margin, line.what, line.amount, line.balance
            )
        };
        statement.lines.iter().map(line).collect()
    }

    #[test]
    fn only_what_counts_moves_the_balance() {
        let statement = of(&with_entries(), 2026);
        let expected = [
            "1 May Put right +$5.00 $5.00",
            "2 May Paid −$2.00 $3.00",
            "2 May Paid, not confirmed yet −$2.00 $3.00",
            "3 May Paid, not confirmed yet −$1.00 $3.00",
        ];
        assert_eq!(figures(&statement), expected);
        assert_eq!(
            (statement.owed_words, statement.owed.as_str()),
            ("You owe", "$3.00")
        );
        let states: Vec<LineState> = statement.lines.iter().map(|line| line.state).collect();
        let expected = [
            LineState::Counts,
            LineState::Counts,
            LineState::LooksAlike,
            LineState::Waits,
        ];
        assert_eq!(states, expected);
        assert_eq!(
            statement.waiting.as_deref(),
            Some("$1.00 more is to be taken off it, and not confirmed yet."),
            "the likely double is not counted on"
        );
    }

    #[test]
    fn a_year_begins_with_what_is_open_from_the_one_before() {
        let mut garden = with_entries();
        garden.ledgers.insert(2027, Ledger::default());
        let next = of(&garden, 2027);
        assert_eq!(figures(&next), ["2026 Open from 2026 +$3.00 $3.00"]);
        assert_eq!(next.owed, of(&garden, 2026).owed);
        let opening = Opening {
            from: 2026,
            on: day("2027-01-02"),
            balances: balance::at_the_end_of(&garden, 2026),
            written_by: member(2),
        };
        let ledger = garden.ledgers.get_mut(&2027).unwrap();
        ledger.opening = Some(Arc::new(opening));
        let next = of(&garden, 2027);
        assert_eq!(
            figures(&next),
            ["2 Jan Carried over from 2026 +$3.00 $3.00"]
        );
        let block: Vec<String> = next
            .block
            .into_iter()
            .map(|(name, figure)| format!("{name} {figure}"))
            .collect();
        assert_eq!(block, ["Carried over $3.00", "Shares $0.00", "Paid $0.00"]);
        assert_eq!(years(&garden), [2027, 2026]);
    }

    #[test]
    fn amounts_have_the_digits_of_their_currency() {
        for (code, expected) in [
            ("JPY", ("You owe", "¥1,234")),
            ("EUR", ("You owe", "€12.34")),
            ("BHD", ("You owe", "BHD 1.234")),
        ] {
            let currency = Currency::new(code).unwrap();
            let (words, figure) = owed_words(Money::from_minor(1_234), currency, true);
            assert_eq!((words, figure.as_str()), expected);
        }
        let dollars = Currency::new("USD").unwrap();
        assert_eq!(owed_words(Money::ZERO, dollars, true).0, "All is paid");
        assert_eq!(
            owed_words(Money::from_minor(-1), dollars, false).0,
            "Is owed"
        );
    }
}
