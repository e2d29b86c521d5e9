//! What an account owes: its shares of closed orders and what went to it and from it. Every line stays visible, those
//! taken back and those not confirmed yet too.
//!
//! Whatever one account owes more, another owes less: a share is owed by a member and due to the suppliers, a payment goes
//! from one account to another. So the balances of all accounts together are nothing, always.

mod explained;
mod lines;
mod outlays;
mod settling;
#[cfg(test)]
mod tests;

use super::Garden;
use super::ids::{EntryId, MemberId, OrderId};
use super::records::{EntryKind, Payer};
use crate::ordered::Map;
use crate::quantities::{Currency, Day, Money};
use crate::reckoning::{Reckoning, Source, Step};

pub use self::explained::explain;
use self::lines::each_line;
pub use self::outlays::{OpenBill, open_bills};
pub use self::settling::{Party, settle};

/// An account of the ledger, with the lines that lead to what is still to pay.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Balance {
    /// Its lines, earliest first.
    pub lines: Vec<BalanceLine>,
    /// Its shares of closed orders together, invoices included.
    pub shares: Money,
    /// Everything else that was taken off it: paid, laid out, carried over; below nothing for what was put on it.
    pub paid: Money,
    /// What is still to pay; below nothing when it is owed that much.
    pub owed: Money,
    /// What would be taken off once it is confirmed.
    pub waiting: Money,
}

/// One line of an account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BalanceLine {
    /// Its day.
    pub day: Day,
    /// The order it is about, if it is about one.
    pub order: Option<OrderId>,
    /// What it adds to what is owed; below nothing for a payment.
    pub adds: Money,
    /// Whether it counts; an entry does once it is confirmed.
    pub counts: bool,
    /// Where it comes from.
    pub from: LineFrom,
}

/// Where a line of an account comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LineFrom {
    /// What was owed when this year was carried over.
    CarriedOver(i16),
    /// The account's share of a closed order of this title.
    Share(String),
    /// How the share differs since an invoice was entered for the order of this title.
    Invoice(String),
    /// An entry of the ledger.
    Entry(EntryLine),
}

/// An entry as it stands on one of its two accounts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryLine {
    /// Which.
    pub entry: EntryId,
    /// What happened.
    pub kind: EntryKind,
    /// The account on the other side.
    pub with: Payer,
    /// Whether it takes another entry back.
    pub takes_back: bool,
    /// Whether another entry takes it back.
    pub taken_back: bool,
    /// Whether it may be the same as an earlier one.
    pub looks_like: Option<EntryId>,
    /// Who wrote it.
    pub written_by: MemberId,
    /// A word about it.
    pub word: String,
}

impl BalanceLine {
    /// Whether it is an entry that counts as soon as somebody confirms it, and is no likely double.
    pub fn waits(&self) -> bool {
        match &self.from {
            LineFrom::Entry(entry) => {
                !self.counts && !entry.takes_back && !entry.taken_back && entry.looks_like.is_none()
            }
            LineFrom::CarriedOver(_) | LineFrom::Share(_) | LineFrom::Invoice(_) => false,
        }
    }

    /// What the line is, in a few words.
    pub fn words(&self) -> String {
        let gave = self.adds <= Money::ZERO;
        let words = match &self.from {
            LineFrom::CarriedOver(year) => return format!("Carried over from {year}"),
            LineFrom::Share(title) => return format!("Share of {title}"),
            LineFrom::Invoice(title) => return format!("Bill of {title} differs"),
            LineFrom::Entry(EntryLine {
                kind,
                takes_back: true,
                ..
            }) => match kind {
                EntryKind::Payment => "Payment taken back",
                EntryKind::Outlay => "Outlay taken back",
                EntryKind::HoursInLieu => "Hours in lieu taken back",
                EntryKind::Adjustment => "Adjustment taken back",
            },
            LineFrom::Entry(EntryLine { kind, .. }) => match (kind, gave) {
                (EntryKind::Payment, true) => "Paid",
                (EntryKind::Payment, false) => "Was paid",
                (EntryKind::Outlay, true) => "Laid out to the supplier",
                (EntryKind::Outlay, false) => "Had back from the supplier",
                (EntryKind::HoursInLieu, true) => "Hours done in lieu",
                (EntryKind::HoursInLieu, false) => "Owed in lieu of hours",
                (EntryKind::Adjustment, _) => "Put right",
            },
        };
        if self.counts {
            words.to_owned()
        } else {
            format!("{words}, not confirmed yet")
        }
    }
}

/// An account, since the last year that was carried over.
pub fn of(garden: &Garden, payer: Payer) -> Balance {
    let mut lines = Vec::new();
    each_line(garden, since(garden), i16::MAX, &mut |whose, line| {
        if whose == payer {
            lines.push(line);
        }
    });
    Balance::over(lines)
}

/// An account in one year, with what was carried over into it.
pub fn of_year(garden: &Garden, payer: Payer, year: i16) -> Balance {
    let mut lines = Vec::new();
    each_line(garden, year, year, &mut |whose, line| {
        if whose == payer {
            lines.push(line);
        }
    });
    Balance::over(lines)
}

/// The part of an account that is about one order.
pub fn of_order(garden: &Garden, payer: Payer, order: OrderId) -> Balance {
    let mut lines = Vec::new();
    each_line(garden, i16::MIN, i16::MAX, &mut |whose, line| {
        if whose == payer && line.order == Some(order) {
            lines.push(line);
        }
    });
    Balance::over(lines)
}

/// Every account that has a line: members by name, then the garden's own, then the suppliers'.
pub fn all(garden: &Garden) -> Vec<(Payer, Balance)> {
    between(garden, since(garden), i16::MAX)
}

/// The same in one year, with what was carried over into it.
pub fn all_of_year(garden: &Garden, year: i16) -> Vec<(Payer, Balance)> {
    between(garden, year, year)
}

fn between(garden: &Garden, first: i16, last: i16) -> Vec<(Payer, Balance)> {
    let mut lines: Map<Payer, Vec<BalanceLine>> = Map::new();
    each_line(garden, first, last, &mut |whose, line| {
        lines.entry(whose).or_default().push(line);
    });
    let mut accounts: Vec<(Payer, Balance)> = lines
        .into_iter()
        .map(|(payer, lines)| (payer, Balance::over(lines)))
        .collect();
    accounts.sort_by_cached_key(|(payer, _)| match payer {
        Payer::Member(member) => (0, garden.name_of(*member).to_lowercase(), *payer),
        Payer::Garden => (1, String::new(), *payer),
        Payer::Supplier => (2, String::new(), *payer),
    });
    accounts
}

/// What every account owes at the end of a year, to be carried over; accounts that owe nothing are left out.
pub fn at_the_end_of(garden: &Garden, year: i16) -> Map<Payer, Money> {
    let first = garden.ledgers.range(..=year);
    let first = first.rev().find(|(_, ledger)| ledger.opening.is_some());
    let mut owed: Map<Payer, Money> = Map::new();
    let from = first.map_or(i16::MIN, |(year, _)| *year);
    each_line(garden, from, year, &mut |whose, line| {
        if line.counts {
            let sum = owed.entry(whose).or_default();
            *sum = [*sum, line.adds].into_iter().sum();
        }
    });
    owed.retain(|_, owed| !owed.is_zero());
    owed
}

/// The last year into which balances were carried over; what is before it stands in its opening.
fn since(garden: &Garden) -> i16 {
    let mut years = garden.ledgers.iter().rev();
    let opened = years.find(|(_, ledger)| ledger.opening.is_some());
    opened.map_or(i16::MIN, |(year, _)| *year)
}

impl Balance {
    fn over(mut lines: Vec<BalanceLine>) -> Self {
        lines.sort_by_key(|line| line.day);
        let sum = |wanted: fn(&BalanceLine) -> bool| -> Money {
            let lines = lines.iter().filter(|line| wanted(line));
            lines.map(|line| line.adds).sum()
        };
        let shares = sum(|line| matches!(line.from, LineFrom::Share(_) | LineFrom::Invoice(_)));
        let owed = sum(|line| line.counts);
        let waiting = sum(|line| !line.counts);
        Self {
            shares,
            paid: shares.checked_sub(owed).unwrap_or(Money::ZERO),
            owed,
            waiting: Money::from_minor(waiting.minor().saturating_neg()),
            lines,
        }
    }

    /// What will be still to pay once every entry that waits is confirmed. One that looks like another is not expected:
    /// perhaps it is the same.
    pub fn expected(&self) -> Money {
        let waits = self.lines.iter().filter(|line| line.waits());
        [self.owed, waits.map(|line| line.adds).sum()]
            .into_iter()
            .sum()
    }

    /// The account as a working: line by line to what is still to pay.
    pub fn working(&self, currency: Currency) -> Reckoning<Money> {
        let source = Source::arithmetic(
            "Shares as they were frozen when each order was closed, and the entries of the ledger.",
        );
        let mut answer = Reckoning::new(self.owed, source).on(
            "A line of the ledger is never changed; a mistake is taken back by a further line.",
        );
        let (counted, waiting): (Vec<_>, Vec<_>) = self.lines.iter().partition(|line| line.counts);
        let step = |line: &&BalanceLine| {
            Step::new(
                format!("{}, {}", line.words(), line.day),
                line.adds.show(currency),
            )
        };
        answer.steps = counted.iter().map(step).collect();
        let sum = if self.owed < Money::ZERO {
            "Owed to this account"
        } else {
            "Still to pay"
        };
        let size = self.owed.minor().checked_abs().unwrap_or(i64::MAX);
        answer = answer.step(Step::sum(sum, Money::from_minor(size).show(currency)));
        answer.steps.extend(waiting.iter().map(step));
        answer
    }
}
