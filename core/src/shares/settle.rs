//! Who pays whom at the end of a season, in the fewest payments.
//!
//! People whose balances cancel out among themselves form a group; a group of n needs n − 1 payments, so the fewest payments are
//! the number of people less the largest number of such groups. Up to 15 people that number is found exactly, by trying every
//! subset; finding it is as hard as subset sum, so above that the largest debtor pays the largest creditor, again and again,
//! which is at most one payment short of the number of people, and the answer says that it may not be the fewest.
//!
//! ```
//! use selion_core::quantities::{Currency, Money};
//! use selion_core::shares::settle::{SettleCase, settle};
//!
//! let balance = |who, minor| (who, Money::from_minor(minor));
//! let case = SettleCase {
//!     balances: vec![balance("A", -1_000), balance("B", -300), balance("C", -300),
//!         balance("D", 600), balance("E", 500), balance("F", 500)],
//!     currency: Currency::new("USD")?,
//! };
//! let answer = settle(&case)?.result;
//! assert_eq!((answer.payments.len(), answer.is_fewest), (4, true));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::ordered;
use crate::quantities::{Currency, Money};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Up to so many people the fewest payments are found.
pub const MOST_EXACT: usize = 15;
/// The most people that settle at once.
const MOST_PEOPLE: usize = 2_000;
/// The largest balance, in minor units.
const LARGEST: i64 = 100_000_000_000;

/// Everybody's balance.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SettleCase<M> {
    /// Who, and what they are owed; below nothing for what they owe. They sum to nothing.
    pub balances: Vec<(M, Money)>,
    /// The garden's currency.
    pub currency: Currency,
}

/// Who pays whom.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Settlement<M> {
    /// The payments; after them nobody owes anything.
    pub payments: Vec<Payment<M>>,
    /// Whether there is certainly no way with fewer.
    pub is_fewest: bool,
    #[serde(skip)]
    currency: Currency,
}

/// One payment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Payment<M> {
    /// Who pays.
    pub from: M,
    /// Who is paid.
    pub to: M,
    /// How much.
    pub amount: Money,
}

/// Settles all balances.
pub fn settle<M: Clone + fmt::Display>(
    case: &SettleCase<M>,
) -> Result<Reckoning<Settlement<M>>, Refusal> {
    check(case)?;
    let open: Vec<(usize, i64)> = case
        .balances
        .iter()
        .enumerate()
        .map(|(who, (_, balance))| (who, balance.minor()))
        .filter(|(_, minor)| *minor != 0)
        .collect();
    let is_fewest = open.len() <= MOST_EXACT;
    let groups = if is_fewest {
        most_groups(&open)
    } else {
        vec![open.clone()]
    };
    let group_count = groups.len();
    let mut payments = Vec::new();
    for group in groups {
        for (from, to, minor) in largest_to_largest(group) {
            let name = |who: usize| case.balances.get(who).map(|(who, _)| who.clone());
            if let (Some(from), Some(to)) = (name(from), name(to)) {
                let amount = Money::from_minor(minor);
                payments.push(Payment { from, to, amount });
            }
        }
    }
    let settlement = Settlement {
        payments,
        is_fewest,
        currency: case.currency,
    };
    Ok(with_working(settlement, case, (open.len(), group_count)))
}

fn with_working<M: fmt::Display>(
    settlement: Settlement<M>,
    case: &SettleCase<M>,
    (people, groups): (usize, usize),
) -> Reckoning<Settlement<M>> {
    let source = Source::arithmetic(
        "Balances as put in; a group whose balances cancel out needs one payment less than it has people.",
    );
    let (count, is_fewest) = (settlement.payments.len(), settlement.is_fewest);
    let mut answer = Reckoning::new(settlement, source);
    for (who, balance) in &case.balances {
        let label = if balance.minor() < 0 {
            format!("{who} owes")
        } else {
            format!("{who} is owed")
        };
        let size = Money::from_minor(balance.minor().saturating_abs());
        answer = answer.step(Step::new(label, size.show(case.currency)));
    }
    answer = answer.step(Step::new("People with an open balance", people.to_string()));
    if is_fewest {
        answer = answer.step(Step::new(
            "Groups that cancel out by themselves",
            groups.to_string(),
        ));
    }
    answer = answer.step(Step::sum("Payments", count.to_string()));
    if is_fewest {
        answer.on("There is no way with fewer payments: every grouping was tried.")
    } else {
        answer.on(format!(
            "Above {MOST_EXACT} people not every grouping is tried: there may be a way with fewer payments."
        ))
    }
}

/// Splits people whose balances sum to nothing into as many groups as possible that each sum to nothing.
///
/// For every subset, the most groups that can be taken out of it one person at a time: a subset that sums to nothing closes a
/// group. The order in which people are taken out gives the groups back.
fn most_groups(open: &[(usize, i64)]) -> Vec<Vec<(usize, i64)>> {
    let count = open.len();
    let subsets = 1_usize << count.min(MOST_EXACT);
    // For each subset: its sum, its most groups, and who was added last on the best way to it.
    let mut best: Vec<(i64, u8, usize)> = vec![(0, 0, 0); subsets];
    for subset in 1..subsets {
        let mut found: Option<(i64, u8, usize)> = None;
        for (place, (_, minor)) in open.iter().enumerate() {
            if subset & (1 << place) == 0 {
                continue;
            }
            if let Some((sum, groups, _)) = best.get(subset ^ (1 << place)).copied()
                && found.is_none_or(|(_, most, _)| groups > most)
            {
                found = Some((sum + minor, groups, place));
            }
        }
        if let (Some((sum, groups, place)), Some(cell)) = (found, best.get_mut(subset)) {
            *cell = (sum, groups + u8::from(sum == 0), place);
        }
    }
    let mut groups = Vec::new();
    let mut group = Vec::new();
    let mut subset = subsets - 1;
    while subset != 0 {
        let Some((_, _, place)) = best.get(subset).copied() else {
            break;
        };
        group.extend(open.get(place).copied());
        subset ^= 1 << place;
        if best.get(subset).is_some_and(|(sum, _, _)| *sum == 0) {
            groups.push(std::mem::take(&mut group));
        }
    }
    groups
}

/// The largest debtor pays the largest creditor until nobody owes anything; on a tie the earlier in the list.
fn largest_to_largest(mut group: Vec<(usize, i64)>) -> Vec<(usize, usize, i64)> {
    ordered::sort(&mut group);
    let mut payments = Vec::new();
    // Each payment settles at least one person.
    for _ in 0..group.len() {
        let debtor = group
            .iter()
            .copied()
            .min_by_key(|(who, minor)| (*minor, *who));
        let creditor = group
            .iter()
            .copied()
            .max_by_key(|(who, minor)| (*minor, std::cmp::Reverse(*who)));
        let (Some((from, owes)), Some((to, owed))) = (debtor, creditor) else {
            break;
        };
        let amount = owed.min(-owes);
        if amount <= 0 {
            break;
        }
        for (who, minor) in &mut group {
            if *who == from {
                *minor += amount;
            } else if *who == to {
                *minor -= amount;
            }
        }
        payments.push((from, to, amount));
    }
    payments
}

fn check<M>(case: &SettleCase<M>) -> Result<(), Refusal> {
    if case.balances.len() > MOST_PEOPLE {
        return Err(Refusal::bad(
            "balances",
            format!("at most {MOST_PEOPLE} people"),
            format!("{} people", case.balances.len()),
        ));
    }
    let within = |balance: &Money| (-LARGEST..=LARGEST).contains(&balance.minor());
    if let Some((_, balance)) = case.balances.iter().find(|(_, balance)| !within(balance)) {
        return Err(Refusal::bad(
            "balance",
            "an amount that somebody can owe",
            balance.minor().to_string(),
        ));
    }
    let sum: Money = case.balances.iter().map(|(_, balance)| *balance).sum();
    if sum.is_zero() {
        return Ok(());
    }
    Err(Refusal::bad(
        "balances",
        "what is owed and what people are owed to be the same",
        format!("a difference of {}", sum.show(case.currency)),
    ))
}

impl<M: fmt::Display> fmt::Display for Settlement<M> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.payments.is_empty() {
            return out.write_str("Nobody owes anything");
        }
        for payment in &self.payments {
            let amount = payment.amount.show(self.currency);
            writeln!(out, "{} pays {} {amount}", payment.from, payment.to)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(balances: &[i64]) -> SettleCase<usize> {
        SettleCase {
            balances: balances
                .iter()
                .enumerate()
                .map(|(who, minor)| (who, Money::from_minor(*minor)))
                .collect(),
            currency: Currency::new("USD").unwrap(),
        }
    }

    /// What is left of the balances after the payments.
    fn after(balances: &[i64], settlement: &Settlement<usize>) -> Vec<i64> {
        let mut left = balances.to_vec();
        for payment in &settlement.payments {
            left[payment.from] += payment.amount.minor();
            left[payment.to] -= payment.amount.minor();
        }
        left
    }

    #[test]
    fn groups_that_cancel_out_are_found_where_greed_misses_them() {
        let balances = [-10, -3, -3, 6, 5, 5];
        assert_eq!(settle(&case(&balances)).unwrap().result.payments.len(), 4);
        let greedy = largest_to_largest(balances.iter().copied().enumerate().collect());
        assert_eq!(greedy.len(), 5);
    }

    #[test]
    fn above_fifteen_people_it_says_that_there_may_be_a_better_way() {
        let balances: Vec<i64> = (1..=8).flat_map(|amount| [amount, -amount]).collect();
        let answer = settle(&case(&balances)).unwrap();
        assert!(!answer.result.is_fewest);
        assert!(
            answer
                .to_string()
                .contains("there may be a way with fewer payments")
        );
        let fifteen: Vec<i64> = (1..=7)
            .flat_map(|amount| [amount, -amount])
            .chain([0])
            .collect();
        let exact = settle(&case(&fifteen)).unwrap().result;
        assert_eq!((exact.is_fewest, exact.payments.len()), (true, 7));
    }

    #[test]
    fn balances_that_do_not_cancel_are_refused() {
        let refusal = settle(&case(&[100, -90])).unwrap_err().to_string();
        assert!(
            refusal.ends_with("but “a difference of $0.10” came."),
            "{refusal}"
        );
        assert!(settle(&case(&[i64::MIN, i64::MAX])).is_err());
        assert_eq!(
            settle(&case(&[])).unwrap().result.to_string(),
            "Nobody owes anything"
        );
    }

    proptest! {
        #[test]
        fn after_the_payments_nobody_owes_anything(balances in prop::collection::vec(-5_000_i64..5_000, 0..40)) {
            let mut balances = balances;
            balances.push(-balances.iter().sum::<i64>());
            let settlement = settle(&case(&balances)).unwrap().result;
            prop_assert!(after(&balances, &settlement).iter().all(|left| *left == 0));
            let open = balances.iter().filter(|minor| **minor != 0).count();
            prop_assert!(settlement.payments.len() <= open.saturating_sub(1));
            prop_assert!(settlement.payments.iter().all(|payment| payment.amount.is_positive()));
        }

        /// Against every way to split a few people into groups.
        #[test]
        fn no_grouping_is_better(balances in prop::collection::vec(-4_i64..=4, 1..6)) {
            let mut balances = balances;
            balances.push(-balances.iter().sum::<i64>());
            let open: Vec<i64> = balances.iter().copied().filter(|minor| *minor != 0).collect();
            let most = most_by_hand(&open);
            let payments = settle(&case(&balances)).unwrap().result.payments.len();
            prop_assert_eq!(payments, open.len() - most);
        }
    }

    /// The most groups by trying every group that holds the first person, and the rest by itself.
    fn most_by_hand(open: &[i64]) -> usize {
        if open.is_empty() {
            return 0;
        }
        let (mut most, rest) = (0, open.len() - 1);
        for subset in 0..1_u32 << rest {
            let inside = |place: usize| place == 0 || subset & (1 << (place - 1)) != 0;
            let group: i64 = open
                .iter()
                .enumerate()
                .filter(|(place, _)| inside(*place))
                .map(|(_, minor)| minor)
                .sum();
            if group == 0 {
                let others: Vec<i64> = open
                    .iter()
                    .enumerate()
                    .filter(|(place, _)| !inside(*place))
                    .map(|(_, minor)| *minor)
                    .collect();
                most = most.max(1 + most_by_hand(&others));
            }
        }
        most
    }
}
