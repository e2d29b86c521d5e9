//! What an account owes: its shares of closed orders, less what was paid. Every line stays visible, those taken back too.

use super::Garden;
use super::ids::{EntryId, MemberId, OrderId};
use super::records::{Entry, EntryKind, Order, Payer};
use crate::quantities::{Currency, Day, Money};
use crate::reckoning::{Reckoning, Source, Step};

/// An account of the ledger, with the lines that lead to what is still to pay.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Balance {
    /// Its lines, earliest first.
    pub lines: Vec<BalanceLine>,
    /// Its shares of closed orders together.
    pub shares: Money,
    /// What was paid, less what was paid back.
    pub paid: Money,
    /// What is still to pay; below nothing when the garden owes it.
    pub owed: Money,
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
    /// Where it comes from.
    pub from: LineFrom,
}

/// Where a line of an account comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LineFrom {
    /// The account's share of a closed order of this material.
    Share(String),
    /// An entry of the ledger.
    Entry {
        /// Which.
        entry: EntryId,
        /// What happened.
        kind: EntryKind,
        /// Whether it takes another entry back.
        takes_back: bool,
        /// Whether another entry takes it back.
        taken_back: bool,
        /// A word about it.
        word: String,
    },
}

impl BalanceLine {
    /// What the line is, in a few words.
    pub fn words(&self) -> String {
        match &self.from {
            LineFrom::Share(material) => format!("Share of {material}"),
            LineFrom::Entry {
                kind,
                takes_back: false,
                ..
            } => match kind {
                EntryKind::Payment => "Paid".to_owned(),
                EntryKind::PaidBack => "Paid back".to_owned(),
            },
            LineFrom::Entry { kind, .. } => match kind {
                // The entry that takes a payment back is itself of the other kind.
                EntryKind::PaidBack => "Payment taken back".to_owned(),
                EntryKind::Payment => "Paying back taken back".to_owned(),
            },
        }
    }
}

/// An account over all years.
pub fn of(garden: &Garden, payer: Payer) -> Balance {
    Balance::over(lines(garden, payer))
}

/// The part of an account that is about one order.
pub fn of_order(garden: &Garden, payer: Payer, order: OrderId) -> Balance {
    let about = |line: &BalanceLine| line.order == Some(order);
    Balance::over(lines(garden, payer).into_iter().filter(about).collect())
}

/// Every account that has a line, members by name, the garden's own last.
pub fn all(garden: &Garden) -> Vec<(Payer, Balance)> {
    let mut members: Vec<MemberId> = garden.members.keys().copied().collect();
    members.sort_by_cached_key(|member| (garden.name_of(*member).to_lowercase(), *member));
    let payers = members
        .into_iter()
        .map(Payer::Member)
        .chain(std::iter::once(Payer::Garden));
    payers
        .map(|payer| (payer, of(garden, payer)))
        .filter(|(_, balance)| !balance.lines.is_empty())
        .collect()
}

impl Balance {
    fn over(mut lines: Vec<BalanceLine>) -> Self {
        lines.sort_by_key(|line| line.day);
        let is_share = |line: &&BalanceLine| matches!(line.from, LineFrom::Share(_));
        let shares: Money = lines.iter().filter(is_share).map(|line| line.adds).sum();
        let owed: Money = lines.iter().map(|line| line.adds).sum();
        Self {
            shares,
            paid: shares.checked_sub(owed).unwrap_or(Money::ZERO),
            owed,
            lines,
        }
    }

    /// The account as a working: line by line to what is still to pay.
    pub fn working(&self, currency: Currency) -> Reckoning<Money> {
        let source = Source::arithmetic(
            "Shares as they were frozen when each order was closed, less the payments written into the ledger.",
        );
        let mut answer = Reckoning::new(self.owed, source).on(
            "A line of the ledger is never changed; a mistake is taken back by a further line.",
        );
        answer.steps = self
            .lines
            .iter()
            .map(|line| {
                Step::new(
                    format!("{}, {}", line.words(), line.day),
                    line.adds.show(currency),
                )
            })
            .collect();
        let sum = if self.owed < Money::ZERO {
            "The garden owes"
        } else {
            "Still to pay"
        };
        let size = self.owed.minor().checked_abs().unwrap_or(i64::MAX);
        answer.step(Step::sum(sum, Money::from_minor(size).show(currency)))
    }
}

fn lines(garden: &Garden, payer: Payer) -> Vec<BalanceLine> {
    garden
        .ledgers
        .values()
        .flat_map(|ledger| {
            let shares = ledger
                .orders
                .iter()
                .filter_map(move |(id, order)| share_line(*id, order, payer));
            let entries = ledger
                .entries
                .iter()
                .filter(move |(_, entry)| entry.payer == payer)
                .map(|(id, entry)| {
                    let taken_back = ledger
                        .entries
                        .values()
                        .any(|other| other.reverses == Some(*id));
                    entry_line(*id, entry, taken_back)
                });
            shares.chain(entries)
        })
        .collect()
}

fn share_line(id: OrderId, order: &Order, payer: Payer) -> Option<BalanceLine> {
    let closed = order.closed.as_ref()?;
    let share = closed.shares.get(&payer)?;
    Some(BalanceLine {
        day: closed.on,
        order: Some(id),
        adds: share.pays,
        from: LineFrom::Share(order.material.clone()),
    })
}

fn entry_line(id: EntryId, entry: &Entry, taken_back: bool) -> BalanceLine {
    let adds = match entry.kind {
        EntryKind::Payment => Money::from_minor(entry.amount.minor().saturating_neg()),
        EntryKind::PaidBack => entry.amount,
    };
    BalanceLine {
        day: entry.day,
        order: entry.order,
        adds,
        from: LineFrom::Entry {
            entry: id,
            kind: entry.kind,
            takes_back: entry.reverses.is_some(),
            taken_back,
            word: entry.word.clone(),
        },
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::sync::Arc;

    use super::*;
    use crate::document::Ledger;
    use crate::document::records::{ClosedOrder, ClosedShare};
    use crate::quantities::{Area, Mass, Moment, Rate};

    fn id<T>(make: fn(Moment, [u8; 10]) -> T, number: i64) -> T {
        make(Moment::from_millis(number), [0; 10])
    }

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn closed_order(payer: Payer, minor: i64, on: &str) -> Order {
        let share = ClosedShare {
            name: "Ines".to_owned(),
            area: Area::from_mm2(1),
            mass: Mass::from_grams(1),
            bags: 1,
            goods: Money::from_minor(minor),
            delivery: Money::ZERO,
            pays: Money::from_minor(minor),
        };
        Order {
            material: "Ground limestone".to_owned(),
            rate: Rate::from_micrograms_per_m2(1),
            rate_as_typed: String::new(),
            rate_source: String::new(),
            bag: Mass::from_grams(1),
            bag_price: Money::ZERO,
            delivery: Money::ZERO,
            beds_left_out: BTreeMap::new(),
            arrives: String::new(),
            closed: Some(ClosedOrder {
                on: day(on),
                need: Mass::from_grams(1),
                bags: 1,
                total: Money::from_minor(minor),
                beds: BTreeMap::new(),
                shares: BTreeMap::from([(payer, share)]),
            }),
            ended_on: None,
        }
    }

    fn entry(payer: Payer, kind: EntryKind, minor: i64, order: Option<OrderId>) -> Entry {
        Entry {
            payer,
            kind,
            amount: Money::from_minor(minor),
            day: day("2026-06-02"),
            order,
            reverses: None,
            written_by: id(MemberId::fresh, 9),
            word: String::new(),
        }
    }

    /// A share of $4.31, a payment of it by mistake on the wrong amount, taken back, and the right one.
    fn ledger(payer: Payer, order: OrderId) -> Ledger {
        let wrong = id(EntryId::fresh, 1);
        let mut taken_back = entry(payer, EntryKind::PaidBack, 500, Some(order));
        taken_back.reverses = Some(wrong);
        let entries = [
            (wrong, entry(payer, EntryKind::Payment, 500, Some(order))),
            (id(EntryId::fresh, 2), taken_back),
            (
                id(EntryId::fresh, 3),
                entry(payer, EntryKind::Payment, 400, Some(order)),
            ),
            (
                id(EntryId::fresh, 4),
                entry(Payer::Garden, EntryKind::Payment, 9_999, None),
            ),
        ];
        Ledger {
            orders: BTreeMap::from([(order, Arc::new(closed_order(payer, 431, "2026-06-01")))]),
            entries: entries
                .map(|(id, entry)| (id, Arc::new(entry)))
                .into_iter()
                .collect(),
        }
    }

    fn garden() -> (Garden, Payer, OrderId) {
        let payer = Payer::Member(id(MemberId::fresh, 1));
        let order = id(OrderId::fresh, 1);
        let mut garden = Garden::default();
        garden.ledgers.insert(2026, ledger(payer, order));
        (garden, payer, order)
    }

    #[test]
    fn shares_less_payments_are_owed_and_a_line_taken_back_counts_for_nothing() {
        let (garden, payer, _) = garden();
        let balance = of(&garden, payer);
        assert_eq!(balance.owed, Money::from_minor(31));
        assert_eq!(
            (balance.shares, balance.paid),
            (Money::from_minor(431), Money::from_minor(400))
        );
        let taken_back: Vec<bool> = balance
            .lines
            .iter()
            .map(|line| {
                matches!(
                    line.from,
                    LineFrom::Entry {
                        taken_back: true,
                        ..
                    }
                )
            })
            .collect();
        assert_eq!(taken_back, [false, true, false, false]);
    }

    #[test]
    fn the_working_ends_in_what_is_still_to_pay() {
        let (garden, payer, _) = garden();
        let dollars = Currency::new("USD").unwrap();
        let text = of(&garden, payer)
            .working(dollars)
            .map(|_| String::new())
            .to_string();
        let expected = [
            "Share of Ground limestone, 2026-06-01   $4.31",
            "Paid, 2026-06-02                       −$5.00",
            "Payment taken back, 2026-06-02          $5.00",
            "Still to pay                            $0.31",
        ];
        for line in expected {
            assert!(text.contains(line), "{line} is not in\n{text}");
        }
    }

    #[test]
    fn an_order_has_its_own_part_of_the_account() {
        let (mut garden, payer, order) = garden();
        let other = id(OrderId::fresh, 2);
        garden.ledgers.insert(2027, ledger(payer, other));
        assert_eq!(of(&garden, payer).owed, Money::from_minor(62));
        assert_eq!(of_order(&garden, payer, order).owed, Money::from_minor(31));
    }

    #[test]
    fn what_was_paid_beyond_the_share_is_owed_by_the_garden() {
        let (mut garden, _, _) = garden();
        garden.ledgers.get_mut(&2026).unwrap().orders.clear();
        let balance = of(&garden, Payer::Garden);
        assert_eq!(balance.owed, Money::from_minor(-9_999));
        let working = balance.working(Currency::new("USD").unwrap());
        assert_eq!(
            working.steps.last(),
            Some(&Step::sum("The garden owes", "$99.99"))
        );
    }
}
