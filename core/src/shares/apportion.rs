//! Whole units over weights: bags, grams and cents that cannot be split further.
//!
//! With n units and weights w that sum to W, the exact share of each is its *quota* n·w/W. The house uses [`Method::Hamilton`]:
//! everybody gets the whole part of the quota, and what is left over goes one by one to the largest remainders. So nobody is
//! ever more than one unit away from the quota, and the parts always sum to the whole.
//!
//! Ties are settled by a stated rule: the larger weight first, then the earlier in the list.
//!
//! ```
//! use selion_core::shares::apportion::apportion;
//!
//! // $47.85 over 100, 100 and 64 square feet.
//! assert_eq!(apportion(4_785, &[100, 100, 64])?, [1_813, 1_812, 1_160]);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use crate::ordered;
use crate::reckoning::Refusal;

/// How rounding and ties are explained to people.
pub const HAMILTON_IN_WORDS: &str = "largest remainder: everyone gets the whole part, what is left goes one by one to the largest remainders; on a tie to the \
     larger, then to the earlier in the list";

/// The largest total and the largest sum of weights, so that every product fits: 10^18.
const LARGEST: i128 = 1_000_000_000_000_000_000;

/// A method of dividing whole units over weights.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// Largest remainder. Stays within a unit of the quota; one more unit in all can cost somebody a unit.
    Hamilton,
    /// Units one by one to the largest w/(s + 1/2), s being what one has already. No such paradox; rarely leaves the quota.
    Webster,
    /// Units one by one to the largest w/(s + 1). Favours the large, and leaves the quota for them.
    Jefferson,
}

/// Divides a total over weights by largest remainder. The parts stand in the order of the weights and sum to the total.
pub fn apportion(total: i64, weights: &[i64]) -> Result<Vec<i64>, Refusal> {
    apportion_by(Method::Hamilton, total, weights)
}

/// Divides a total over weights by the method. The parts stand in the order of the weights and sum to the total.
pub fn apportion_by(method: Method, total: i64, weights: &[i64]) -> Result<Vec<i64>, Refusal> {
    let sum = checked_sum(total, weights)?;
    let mut parts = Vec::with_capacity(weights.len());
    for &weight in weights {
        parts.push(start(method, total, weight, sum, weights.len())?);
    }
    let left = total - parts.iter().sum::<i64>();
    match method {
        Method::Hamilton => give_to_largest_remainders(left, total, weights, sum, &mut parts),
        Method::Webster => give_one_by_one(left, weights, &mut parts, |part| 2 * part + 1),
        Method::Jefferson => give_one_by_one(left, weights, &mut parts, |part| part + 1),
    }
    Ok(parts)
}

/// The sum of the weights, once everything is known to be within bounds.
fn checked_sum(total: i64, weights: &[i64]) -> Result<i128, Refusal> {
    if total < 0 {
        return Err(Refusal::bad(
            "amount to divide",
            "nothing or more",
            total.to_string(),
        ));
    }
    if let Some(weight) = weights.iter().find(|weight| **weight < 0) {
        return Err(Refusal::bad(
            "weight",
            "nothing or more",
            weight.to_string(),
        ));
    }
    let sum: i128 = weights.iter().copied().map(i128::from).sum();
    if sum == 0 {
        return Err(Refusal::bad(
            "weights",
            "at least one above nothing",
            format!("{} of them, all nothing", weights.len()),
        ));
    }
    if sum > LARGEST || i128::from(total) > LARGEST {
        return Err(Refusal::bad(
            "amount to divide",
            "numbers up to 10^18",
            format!("{total} over {sum}"),
        ));
    }
    Ok(sum)
}

/// What everybody certainly gets, so that only about as many units as there are weights are left to give one by one.
fn start(method: Method, total: i64, weight: i64, sum: i128, count: usize) -> Result<i64, Refusal> {
    let (total, weight) = (i128::from(total), i128::from(weight));
    let certain = match method {
        // Jefferson's divisor is at most the standard one, so nobody falls below the whole part of the quota.
        Method::Hamilton | Method::Jefferson => total * weight / sum,
        // Rounding moves the sum of n parts by at most n/2, so Webster's divisor is at most W/(N − n/2), and each part at
        // least w(N − n/2)/W − 1/2.
        Method::Webster => {
            let count = i128::try_from(count).unwrap_or(i128::from(i64::MAX));
            let units = (2 * total - count).max(0);
            (weight * units - sum).div_euclid(2 * sum).max(0)
        }
    };
    // At most the total, which came as an i64.
    i64::try_from(certain).map_err(|_too_large| {
        Refusal::bad(
            "amount to divide",
            "numbers up to 10^18",
            certain.to_string(),
        )
    })
}

fn give_to_largest_remainders(
    left: i64,
    total: i64,
    weights: &[i64],
    sum: i128,
    parts: &mut [i64],
) {
    let mut order: Vec<(i128, i64, &mut i64)> = weights
        .iter()
        .zip(parts)
        .map(|(&weight, part)| (i128::from(total) * i128::from(weight) % sum, weight, part))
        .collect();
    // A stable sort: equals keep their place in the list.
    ordered::sort_by_key(&mut order, |&(remainder, weight, _)| {
        Reverse((remainder, weight))
    });
    let left = usize::try_from(left).unwrap_or(0);
    for (_, _, part) in order.into_iter().take(left) {
        *part += 1;
    }
}

/// Somebody waiting for the next unit.
struct Claim {
    weight: i64,
    divisor: i64,
    index: usize,
}

/// The largest weight / divisor first; on a tie the larger weight, then the earlier in the list.
impl Ord for Claim {
    fn cmp(&self, other: &Self) -> Ordering {
        let one = i128::from(self.weight) * i128::from(other.divisor);
        let two = i128::from(other.weight) * i128::from(self.divisor);
        one.cmp(&two)
            .then(self.weight.cmp(&other.weight))
            .then(other.index.cmp(&self.index))
    }
}

impl PartialOrd for Claim {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Claim {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Claim {}

fn give_one_by_one(left: i64, weights: &[i64], parts: &mut [i64], divisor: impl Fn(i64) -> i64) {
    let mut claims: BinaryHeap<Claim> = weights
        .iter()
        .zip(parts.iter())
        .enumerate()
        .filter(|(_, (weight, _))| **weight > 0)
        .map(|(index, (&weight, &part))| Claim {
            weight,
            divisor: divisor(part),
            index,
        })
        .collect();
    for _ in 0..left {
        let Some(mut claim) = claims.pop() else {
            return;
        };
        if let Some(part) = parts.get_mut(claim.index) {
            *part += 1;
            claim.divisor = divisor(*part);
        }
        claims.push(claim);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const ALL: [Method; 3] = [Method::Hamilton, Method::Webster, Method::Jefferson];

    /// The divisor methods exactly as they are defined, unit by unit from nothing.
    fn from_nothing(method: Method, total: i64, weights: &[i64]) -> Vec<i64> {
        let mut parts = vec![0; weights.len()];
        match method {
            Method::Hamilton => unreachable!("no divisor method"),
            Method::Webster => give_one_by_one(total, weights, &mut parts, |part| 2 * part + 1),
            Method::Jefferson => give_one_by_one(total, weights, &mut parts, |part| part + 1),
        }
        parts
    }

    #[test]
    fn ties_go_to_the_larger_then_to_the_earlier() {
        assert_eq!(apportion(1, &[5, 5]).unwrap(), [1, 0]);
        // Quotas 0.5 and 1.5: the same remainder, the second weighs more.
        assert_eq!(apportion(2, &[1, 3]).unwrap(), [0, 2]);
        assert_eq!(apportion(2, &[3, 3, 3]).unwrap(), [1, 1, 0]);
    }

    #[test]
    fn nothing_to_divide_and_nobody_to_divide_it_over() {
        for method in ALL {
            assert_eq!(apportion_by(method, 0, &[3, 0, 4]).unwrap(), [0, 0, 0]);
            assert_eq!(apportion_by(method, 7, &[0, 2, 0]).unwrap(), [0, 7, 0]);
            assert!(apportion_by(method, 7, &[]).is_err());
            assert!(apportion_by(method, 7, &[0, 0]).is_err());
            assert!(apportion_by(method, -1, &[1]).is_err());
            assert!(apportion_by(method, 1, &[1, -1]).is_err());
            assert!(apportion_by(method, i64::MAX, &[i64::MAX, i64::MAX]).is_err());
        }
    }

    proptest! {
        #[test]
        fn the_parts_sum_to_the_whole(total in 0_i64..10_000_000, weights in prop::collection::vec(0_i64..1_000_000_000_000, 1..30)) {
            prop_assume!(weights.iter().any(|weight| *weight > 0));
            for method in ALL {
                let parts = apportion_by(method, total, &weights).unwrap();
                prop_assert_eq!(parts.iter().sum::<i64>(), total);
                prop_assert!(parts.iter().zip(&weights).all(|(part, weight)| *part >= 0 && (*weight > 0 || *part == 0)));
            }
        }

        #[test]
        fn largest_remainder_stays_within_one_of_the_quota(total in 0_i64..1_000_000, weights in prop::collection::vec(0_i64..1_000_000, 1..30)) {
            let sum: i128 = weights.iter().copied().map(i128::from).sum();
            prop_assume!(sum > 0);
            for (part, weight) in apportion(total, &weights).unwrap().into_iter().zip(&weights) {
                let off = i128::from(part) * sum - i128::from(total) * i128::from(*weight);
                prop_assert!(off.abs() < sum);
            }
        }

        #[test]
        fn divisor_methods_equal_their_definition(total in 0_i64..400, weights in prop::collection::vec(0_i64..3_000, 1..12)) {
            prop_assume!(weights.iter().any(|weight| *weight > 0));
            for method in [Method::Webster, Method::Jefferson] {
                prop_assert_eq!(apportion_by(method, total, &weights).unwrap(), from_nothing(method, total, &weights));
            }
        }

        #[test]
        fn any_numbers_at_all_are_divided_or_refused(total in any::<i64>(), weights in prop::collection::vec(any::<i64>(), 0..6)) {
            for method in ALL {
                if let Ok(parts) = apportion_by(method, total, &weights) {
                    prop_assert_eq!(parts.iter().sum::<i64>(), total);
                }
            }
        }
    }
}
