//! One thing of which some need only a part: a fence along the road that half the beds lie behind.
//!
//! The airport rule (Littlechild and Owen 1973): sort by what each would need alone, and divide every further slice equally among
//! those who need it. It is the Shapley value: nobody pays more than alone, and nobody pays for what only others need. Parts
//! are worked out as exact fractions and rounded once, so they sum to the dearest need.
//!
//! ```
//! use selion_core::shares::nested::divide;
//!
//! assert_eq!(divide(&[8, 11, 13, 18])?, [2, 3, 4, 9]);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::cmp::Reverse;
use std::fmt;

use serde::Serialize;

use crate::ordered;
use crate::quantities::{Currency, Money};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The most people that share one thing.
const MOST_USERS: usize = 2_000;
/// The dearest need, in minor units.
const HIGHEST: i64 = 100_000_000_000;
/// The largest common denominator, so that every product fits.
const LARGEST: i128 = 1_000_000_000_000_000_000;

/// What each of several people would need alone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NestedCase<M> {
    /// Who, and what their part would cost by itself. The larger parts contain the smaller ones.
    pub needs: Vec<(M, Money)>,
    /// The garden's currency.
    pub currency: Currency,
}

/// What each pays for the whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NestedShares<M> {
    /// The dearest need: what the whole costs.
    pub total: Money,
    /// In the order of the case; they sum to the total.
    pub parts: Vec<NestedPart<M>>,
    #[serde(skip)]
    currency: Currency,
}

/// One person's part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NestedPart<M> {
    /// Whose.
    pub who: M,
    /// What they would need alone.
    pub alone: Money,
    /// What they pay.
    pub pays: Money,
}

/// Divides the cost of a whole among those who need nested parts of it.
pub fn share<M: Clone + fmt::Display>(
    case: &NestedCase<M>,
) -> Result<Reckoning<NestedShares<M>>, Refusal> {
    let needs: Vec<i64> = case.needs.iter().map(|(_, need)| need.minor()).collect();
    let pays = divide(&needs)?;
    let total = Money::from_minor(needs.iter().copied().max().unwrap_or(0));
    let part = |((who, alone), minor): (&(M, Money), i64)| NestedPart {
        who: who.clone(),
        alone: *alone,
        pays: Money::from_minor(minor),
    };
    let parts = case.needs.iter().zip(pays).map(part).collect();
    let shares = NestedShares {
        total,
        parts,
        currency: case.currency,
    };
    let source = Source::published(
        "Littlechild and Owen 1973, Management Science 20(3): the airport rule, which is the Shapley value.",
    );
    let mut answer = Reckoning::new(shares, source);
    for slice in slices(&needs) {
        let label = format!(
            "From {} to {}, among {} who need it",
            Money::from_minor(slice.from).show(case.currency),
            Money::from_minor(slice.to).show(case.currency),
            slice.users
        );
        let cost = Money::from_minor(slice.to - slice.from);
        answer = answer.step(Step::new(label, cost.show(case.currency)));
    }
    Ok(answer
        .step(Step::sum("The whole", total.show(case.currency)))
        .on("Nobody pays more than their part would cost alone.")
        .rounded("Exact fractions, rounded once: whole coins down, what is left one by one to the largest remainders; on a tie to the larger need, then to the earlier in the list."))
}

/// The airport rule on whole units: what each pays of the largest need.
pub fn divide(needs: &[i64]) -> Result<Vec<i64>, Refusal> {
    if needs.is_empty() || needs.len() > MOST_USERS {
        return Err(Refusal::bad(
            "needs",
            format!("1 to {MOST_USERS} people"),
            format!("{} people", needs.len()),
        ));
    }
    if let Some(need) = needs.iter().find(|need| !(0..=HIGHEST).contains(*need)) {
        return Err(Refusal::bad(
            "need",
            "nothing or more, and an amount that somebody can pay",
            need.to_string(),
        ));
    }
    let slices = slices(needs);
    let common = common_denominator(&slices).ok_or_else(|| {
        let came = format!("{} of them", slices.len());
        Refusal::bad(
            "needs",
            "fewer different needs, so that they can be divided exactly",
            came,
        )
    })?;
    let exact = needs.iter().map(|need| {
        let reached = slices.iter().take_while(|slice| slice.to <= *need);
        reached
            .map(|slice| i128::from(slice.to - slice.from) * (common / slice.users))
            .sum::<i128>()
    });
    let exact: Vec<i128> = exact.collect();
    let total = needs.iter().copied().max().unwrap_or(0);
    let mut parts: Vec<i64> = Vec::with_capacity(needs.len());
    for share in &exact {
        // At most the total, which came as an i64.
        parts.push(i64::try_from(share / common).unwrap_or(total));
    }
    let left = usize::try_from(total - parts.iter().sum::<i64>()).unwrap_or(0);
    let mut order: Vec<(i128, i64, &mut i64)> = exact
        .iter()
        .zip(needs)
        .zip(&mut parts)
        .map(|((share, need), part)| (share % common, *need, part))
        .collect();
    // A stable sort: equals keep their place in the list.
    ordered::sort_by_key(&mut order, |&(remainder, need, _)| {
        Reverse((remainder, need))
    });
    for (_, _, part) in order.into_iter().take(left) {
        *part += 1;
    }
    Ok(parts)
}

/// What lies between one need and the next, and how many need it.
struct Slice {
    from: i64,
    to: i64,
    users: i128,
}

fn slices(needs: &[i64]) -> Vec<Slice> {
    let mut sorted = needs.to_vec();
    ordered::sort(&mut sorted);
    let mut slices = Vec::new();
    let (mut from, mut users) = (0, i128::try_from(sorted.len()).unwrap_or(i128::MAX));
    for need in sorted {
        if need > from {
            slices.push(Slice {
                from,
                to: need,
                users,
            });
            from = need;
        }
        users -= 1;
    }
    slices
}

/// The least number that every slice's count of users divides, unless it is too large.
fn common_denominator(slices: &[Slice]) -> Option<i128> {
    slices.iter().try_fold(1_i128, |common, slice| {
        let (mut one, mut other) = (common, slice.users);
        while other != 0 {
            (one, other) = (other, one % other);
        }
        let next = (common / one).checked_mul(slice.users)?;
        (next <= LARGEST).then_some(next)
    })
}

impl<M: fmt::Display> fmt::Display for NestedShares<M> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(out, "{} in all", self.total.show(self.currency))?;
        for part in &self.parts {
            let (alone, pays) = (
                part.alone.show(self.currency),
                part.pays.show(self.currency),
            );
            writeln!(
                out,
                "  {:20} {pays:>12}  (alone {alone})",
                part.who.to_string()
            )?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn fractions_are_rounded_once() {
        // 100/3 each; the cent that is left goes to the first.
        assert_eq!(divide(&[100, 100, 100]).unwrap(), [34, 33, 33]);
        assert_eq!(divide(&[0, 7]).unwrap(), [0, 7]);
        assert_eq!(divide(&[0, 0]).unwrap(), [0, 0]);
    }

    #[test]
    fn needs_that_cannot_be_are_refused() {
        assert!(divide(&[]).is_err());
        assert!(divide(&[-1, 5]).is_err());
        assert!(divide(&[i64::MAX]).is_err());
        // So many different needs have no common denominator that fits.
        let many: Vec<i64> = (1..200).collect();
        assert!(
            divide(&many)
                .unwrap_err()
                .to_string()
                .starts_with("needs: expected fewer different needs")
        );
        // As many people with a few needs are no matter.
        let few: Vec<i64> = (0..2_000).map(|index| 1_000 * (1 + index % 4)).collect();
        assert_eq!(divide(&few).unwrap().iter().sum::<i64>(), 4_000);
    }

    #[test]
    fn the_working_shows_each_slice() {
        let case = NestedCase {
            needs: vec![
                ("Ines", Money::from_minor(150_000)),
                ("Wren", Money::from_minor(220_000)),
                ("Mika", Money::from_minor(300_000)),
            ],
            currency: Currency::new("USD").unwrap(),
        };
        let answer = share(&case).unwrap();
        assert_eq!(answer.steps.len(), 4);
        assert_eq!(
            answer.steps[1].label,
            "From $1,500.00 to $2,200.00, among 2 who need it"
        );
        assert_eq!(answer.steps[1].value, "$700.00");
    }

    proptest! {
        #[test]
        fn parts_sum_to_the_whole_and_nobody_pays_more_than_alone(needs in prop::collection::vec(0_i64..1_000_000, 1..25)) {
            let parts = divide(&needs).unwrap();
            prop_assert_eq!(parts.iter().sum::<i64>(), needs.iter().copied().max().unwrap());
            for (one, part) in needs.iter().zip(&parts) {
                prop_assert!(part <= one);
                for (other, theirs) in needs.iter().zip(&parts) {
                    // Whoever needs more pays no less, to the one coin of rounding.
                    prop_assert!(one < other || *part + 1 >= *theirs);
                }
            }
        }
    }
}
