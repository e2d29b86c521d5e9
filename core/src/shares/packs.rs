//! Which whole bags to buy for an amount that somebody needs.
//!
//! A weight is known to the gram, so a bag of "50 lb" is 22 680 g and twelve of them may be some grams away from "600 lb". What
//! is missing only by that rounding, half a gram a bag, counts as covered.

use serde::Serialize;

use crate::quantities::{Mass, Money};
use crate::reckoning::Refusal;

/// The heaviest need that bags are counted for: a thousand tonnes.
const HEAVIEST: Mass = Mass::from_grams(1_000_000_000);
/// From this weight on half a gram is no more than a rounding.
const COARSE: Mass = Mass::from_grams(50);
/// The most different sizes that are weighed against each other.
const MOST_SIZES: usize = 20;
/// The most steps of the table that finds the cheapest mix; it takes some 25 bytes a step.
const MOST_STEPS: usize = 2_000_000;

/// Bags of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Bags {
    /// How many to buy.
    pub count: i64,
    /// What is in them together.
    pub bought: Mass,
    /// What is left when the need is met.
    pub left_over: Mass,
}

/// The fewest bags of one size that meet the need.
///
/// ```
/// use selion_core::quantities::Mass;
/// use selion_core::shares::packs::bags;
///
/// let lime = bags(Mass::parse("530 kg")?, Mass::parse("25 kg")?)?;
/// assert_eq!((lime.count, lime.left_over), (22, Mass::parse("20 kg")?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn bags(need: Mass, bag: Mass) -> Result<Bags, Refusal> {
    check("amount needed", need)?;
    check("weight of a bag", bag)?;
    let count = fewest(need, bag);
    let bought = bag.checked_times(count).unwrap_or(need).max(need);
    Ok(Bags {
        count,
        bought,
        left_over: bought.checked_sub(need).unwrap_or(Mass::ZERO),
    })
}

/// A size of pack that can be bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PackSize {
    /// What is in one.
    pub mass: Mass,
    /// What one costs.
    pub price: Money,
}

/// A mix of packs of several sizes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mix {
    /// How many of each size, in the order of the sizes.
    pub counts: Vec<i64>,
    /// What is in them together.
    pub bought: Mass,
    /// What is left when the need is met.
    pub left_over: Mass,
    /// What they cost together.
    pub price: Money,
}

/// The cheapest mix of packs that meets the need; among equally cheap ones the one that leaves least over.
///
/// Exact, by a table over amounts. (Taking the size that is cheapest by weight, as often as it fits, is not.)
pub fn cheapest_mix(need: Mass, sizes: &[PackSize]) -> Result<Mix, Refusal> {
    check("amount needed", need)?;
    if sizes.is_empty() || sizes.len() > MOST_SIZES {
        return Err(Refusal::bad(
            "sizes",
            format!("1 to {MOST_SIZES} sizes"),
            sizes.len().to_string(),
        ));
    }
    for size in sizes {
        check("weight of a pack", size.mass)?;
        if !(0..=HEAVIEST.grams()).contains(&size.price.minor()) {
            return Err(Refusal::bad(
                "price of a pack",
                "nothing or more",
                size.price.minor().to_string(),
            ));
        }
    }
    let largest = sizes.iter().map(|size| size.mass).max().unwrap_or(need);
    let plain: Vec<(i64, i64)> = sizes
        .iter()
        .map(|size| (size.mass.grams(), size.price.minor()))
        .collect();
    let counts = cover(enough(need, largest).grams(), &plain)?;
    let whole = || {
        Refusal::bad(
            "amount needed",
            "an amount whose price can be told",
            need.grams().to_string(),
        )
    };
    let (mut bought, mut price) = (Mass::ZERO, Money::ZERO);
    for (&count, size) in counts.iter().zip(sizes) {
        bought = size
            .mass
            .checked_times(count)
            .and_then(|mass| bought.checked_add(mass))
            .ok_or_else(whole)?;
        price = size
            .price
            .checked_times(count)
            .and_then(|cost| price.checked_add(cost))
            .ok_or_else(whole)?;
    }
    let bought = bought.max(need);
    Ok(Mix {
        counts,
        bought,
        left_over: bought.checked_sub(need).unwrap_or(Mass::ZERO),
        price,
    })
}

fn check(field: &str, mass: Mass) -> Result<(), Refusal> {
    if mass.is_positive() && mass <= HEAVIEST {
        return Ok(());
    }
    Err(Refusal::bad(
        field,
        "more than nothing and at most 1000 t",
        format!("{} g", mass.grams()),
    ))
}

/// The fewest bags that reach the need, counting each bag and the need itself as half a gram better than they are rounded.
fn fewest(need: Mass, bag: Mass) -> i64 {
    if bag < COARSE {
        return count_to_reach(need, bag);
    }
    count_to_reach(
        Mass::from_grams(2 * need.grams() - 1),
        Mass::from_grams(2 * bag.grams() + 1),
    )
}

/// The need without what is missing only by the rounding of so many bags of this weight, at least a gram.
pub(super) fn enough(need: Mass, largest_bag: Mass) -> Mass {
    let slack = if largest_bag < COARSE {
        0
    } else {
        i64::midpoint(fewest(need, largest_bag), 1)
    };
    Mass::from_grams((need.grams() - slack).max(1))
}

/// How many of the one are needed to reach the other, at least one.
fn count_to_reach(amount: Mass, each: Mass) -> i64 {
    fewest_of(amount.grams(), each.grams()).max(1)
}

/// How many packs of a size reach an amount; none for nothing.
pub(super) fn fewest_of(amount: i64, size: i64) -> i64 {
    let size = size.max(1);
    amount.max(0).saturating_add(size - 1) / size
}

/// How many packs of each size and price to take so that they hold at least the amount and cost least; among equally cheap
/// ways the one that holds least.
pub(super) fn cover(amount: i64, sizes: &[(i64, i64)]) -> Result<Vec<i64>, Refusal> {
    match sizes {
        // Of one size there is nothing to choose.
        [(size, _)] => Ok(vec![fewest_of(amount, *size)]),
        _ => Ok(Table::new(amount, sizes)?.counts(sizes)),
    }
}

/// How many steps the table takes that [`cover`] fills.
pub(super) fn steps_of(amount: i64, sizes: &[(i64, i64)]) -> i64 {
    fewest_of(amount, common_step(sizes))
}

fn common_step(sizes: &[(i64, i64)]) -> i64 {
    sizes
        .iter()
        .fold(0, |step, (size, _)| common_divisor(step, *size))
        .max(1)
}

/// The cheapest way to every amount from nothing to the need, in steps of the sizes' greatest common divisor.
struct Table {
    cells: Vec<Cell>,
    step: i64,
}

#[derive(Clone, Copy, Default)]
struct Cell {
    /// The price of the cheapest way here, in minor units.
    price: i64,
    /// What that way buys, in steps: at least the amount of the cell.
    bought: i64,
    /// The index of the last pack that it takes.
    last: usize,
}

impl Table {
    fn new(amount: i64, sizes: &[(i64, i64)]) -> Result<Self, Refusal> {
        let step = common_step(sizes);
        let amount = fewest_of(amount, step);
        let steps = usize::try_from(amount)
            .ok()
            .filter(|steps| *steps <= MOST_STEPS)
            .ok_or_else(|| {
                Refusal::bad(
                    "amount needed",
                    "an amount of less than two million steps of the packs' common size",
                    format!("{amount} steps"),
                )
            })?;
        let mut cells = vec![Cell::default()];
        for amount in 1..=steps {
            let cheapest = sizes
                .iter()
                .enumerate()
                .filter_map(|(last, (size, price))| {
                    let packed = size / step;
                    let before = cells.get(amount.saturating_sub(usize::try_from(packed).ok()?))?;
                    Some(Cell {
                        price: before.price.checked_add(*price)?,
                        bought: before.bought + packed,
                        last,
                    })
                });
            // The first of equals: the earlier size.
            let Some(cell) = cheapest.min_by_key(|cell| (cell.price, cell.bought)) else {
                return Err(Refusal::bad(
                    "price of a pack",
                    "prices that can be summed",
                    "more than can be stored",
                ));
            };
            cells.push(cell);
        }
        Ok(Self { cells, step })
    }

    /// Walks back from the need and counts the packs taken.
    fn counts(&self, sizes: &[(i64, i64)]) -> Vec<i64> {
        let mut counts = vec![0; sizes.len()];
        let mut amount = self.cells.len() - 1;
        while amount > 0 {
            let Some(last) = self.cells.get(amount).map(|cell| cell.last) else {
                break;
            };
            let (Some(count), Some((size, _))) = (counts.get_mut(last), sizes.get(last)) else {
                break;
            };
            *count += 1;
            amount = amount.saturating_sub(usize::try_from(size / self.step).unwrap_or(usize::MAX));
        }
        counts
    }
}

fn common_divisor(mut one: i64, mut other: i64) -> i64 {
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn size(grams: i64, minor: i64) -> PackSize {
        PackSize {
            mass: Mass::from_grams(grams),
            price: Money::from_minor(minor),
        }
    }

    /// Every mix there is, tried one by one: the cheapest price, then the least bought.
    fn by_trying(need: i64, sizes: &[PackSize]) -> (i64, i64) {
        let Some((first, rest)) = sizes.split_first() else {
            return (if need <= 0 { 0 } else { i64::MAX / 4 }, 0);
        };
        (0..=(need.max(0) + first.mass.grams() - 1) / first.mass.grams())
            .map(|count| {
                let (price, bought) = by_trying(need - count * first.mass.grams(), rest);
                (
                    price + count * first.price.minor(),
                    bought + count * first.mass.grams(),
                )
            })
            .min()
            .unwrap()
    }

    #[test]
    fn a_whole_number_of_rounded_bags_is_enough() {
        for (need, bag, count) in [
            ("600 lb", "50 lb", 12),
            ("240 lb", "80 lb", 3),
            ("601 lb", "50 lb", 13),
            ("1 lb", "50 lb", 1),
        ] {
            let bags = bags(Mass::parse(need).unwrap(), Mass::parse(bag).unwrap()).unwrap();
            assert_eq!(bags.count, count, "{need} by {bag}");
        }
    }

    #[test]
    fn senseless_needs_and_bags_are_refused_by_name() {
        let one = Mass::from_grams(1);
        assert!(
            bags(Mass::ZERO, one)
                .unwrap_err()
                .to_string()
                .starts_with("amount needed: expected more than nothing")
        );
        assert!(
            bags(one, Mass::from_grams(-5))
                .unwrap_err()
                .to_string()
                .starts_with("weight of a bag")
        );
        assert!(
            cheapest_mix(one, &[])
                .unwrap_err()
                .to_string()
                .starts_with("sizes")
        );
        assert!(
            cheapest_mix(one, &[size(5, -1)])
                .unwrap_err()
                .to_string()
                .starts_with("price of a pack")
        );
        assert!(
            cheapest_mix(HEAVIEST, &[size(7, 1), size(11, 2)])
                .unwrap_err()
                .to_string()
                .contains("two million steps")
        );
    }

    proptest! {
        #[test]
        fn bags_meet_the_need_and_no_bag_is_idle(need in 1_i64..1_000_000_000, bag in 1_i64..1_000_000) {
            let bags = bags(Mass::from_grams(need), Mass::from_grams(bag)).unwrap();
            prop_assert_eq!(bags.bought.grams(), need + bags.left_over.grams());
            prop_assert!(2 * bags.count * bag + bags.count + 1 >= 2 * need);
            prop_assert!((bags.count - 1) * bag < need);
            prop_assert!(bag >= 50 || bags.count * bag >= need);
        }

        #[test]
        fn no_mix_is_cheaper(need in 1_i64..90, packs in prop::collection::vec((20_i64..60, 0_i64..100), 1..4)) {
            // Sizes from 20 up and few of them: the slack of half a gram a bag is taken off the need first.
            let sizes: Vec<PackSize> = packs.iter().map(|&(grams, minor)| size(grams, minor)).collect();
            let largest = sizes.iter().map(|size| size.mass).max().unwrap();
            let mix = cheapest_mix(Mass::from_grams(need), &sizes).unwrap();
            let least = enough(Mass::from_grams(need), largest).grams();
            let bought: i64 = mix.counts.iter().zip(&sizes).map(|(count, size)| count * size.mass.grams()).sum();
            prop_assert!(bought >= least);
            prop_assert_eq!((mix.price.minor(), bought), by_trying(least, &sizes));
        }
    }
}
