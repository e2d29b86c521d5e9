//! One size of bag whose price falls with the count: whether to buy a few more for less money.
//!
//! Only the fewest bags that meet the need, and the first count of each lower price above it, can be cheapest; all of them are
//! compared. Nothing is counted for storing what is left over: it is one order a season, and what is left stays in the shed.
//!
//! ```
//! use selion_core::quantities::{Currency, Mass, Money};
//! use selion_core::shares::price_breaks::{BreakCase, PriceBreak, cheapest};
//! use selion_core::quantities::Units;
//!
//! let dollars = Currency::new("USD")?;
//! let from = |count, price: &str| Money::parse(price, dollars).map(|each| PriceBreak { from: count, each });
//! let case = BreakCase {
//!     need: Mass::parse("900 lb")?,
//!     bag: Mass::parse("50 lb")?,
//!     breaks: vec![from(1, "$6.99")?, from(20, "$5.99")?],
//!     currency: dollars,
//!     units: Units::UsCustomary,
//! };
//! let choice = cheapest(&case)?.result;
//! assert_eq!((choice.count, choice.price.show(dollars)), (20, "$119.80".to_owned()));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::packs::bags;
use crate::quantities::{Currency, Mass, Money, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The most steps of one price list.
const MOST_BREAKS: usize = 50;
/// The most bags that a step begins at.
const MOST_BAGS: i64 = 1_000_000;
/// The highest price of a bag, in minor units.
const HIGHEST: Money = Money::from_minor(100_000_000_000);

/// From this count on a bag costs this much.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PriceBreak {
    /// The count that it begins at.
    pub from: i64,
    /// What each bag costs then, all of them.
    pub each: Money,
}

/// What is needed, and the price list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BreakCase {
    /// What is needed.
    pub need: Mass,
    /// What is in one bag.
    pub bag: Mass,
    /// The price list from one bag on, counts rising.
    pub breaks: Vec<PriceBreak>,
    /// The garden's currency.
    pub currency: Currency,
    /// The garden's units.
    pub units: Units,
}

/// How many bags to buy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct BreakChoice {
    /// How many.
    pub count: i64,
    /// What each costs.
    pub each: Money,
    /// What they cost together.
    pub price: Money,
    /// What is left when the need is met.
    pub left_over: Mass,
    #[serde(skip)]
    currency: Currency,
    #[serde(skip)]
    units: Units,
}

/// How many bags to buy for the least money; among equally cheap counts the fewest.
pub fn cheapest(case: &BreakCase) -> Result<Reckoning<BreakChoice>, Refusal> {
    check(case)?;
    let fewest = bags(case.need, case.bag)?;
    let mut counts = vec![fewest.count];
    counts.extend(
        case.breaks
            .iter()
            .map(|step| step.from)
            .filter(|from| *from > fewest.count),
    );
    let mut offers: Vec<(Money, i64, Money)> = Vec::new();
    for count in counts {
        let each = case
            .breaks
            .iter()
            .rev()
            .find(|step| step.from <= count)
            .map(|step| step.each);
        let each = each.unwrap_or(Money::ZERO);
        let price = each.checked_times(count).ok_or_else(|| {
            let came = format!("{count} bags at {}", each.show(case.currency));
            Refusal::bad("price", "a bill that can be stored", came)
        })?;
        offers.push((price, count, each));
    }
    let Some(&(price, count, each)) = offers.iter().min() else {
        return Err(Refusal::bad("breaks", "a price for one bag", ""));
    };
    let bought = case
        .bag
        .checked_times(count)
        .unwrap_or(case.need)
        .max(case.need);
    let choice = BreakChoice {
        count,
        each,
        price,
        left_over: bought.checked_sub(case.need).unwrap_or(Mass::ZERO),
        currency: case.currency,
        units: case.units,
    };
    let source = Source::arithmetic(
        "Sizes and prices as put in; the fewest bags and every price break above them were compared.",
    );
    let mut answer = Reckoning::new(choice, source)
        .step(Step::new("Needed", case.need.show(case.units)))
        .step(Step::new(
            format!("Fewest bags of {}", case.bag.show(case.units)),
            fewest.count.to_string(),
        ));
    for (price, count, each) in &offers {
        answer = answer.step(Step::new(
            format!("{count} at {}", each.show(case.currency)),
            price.show(case.currency),
        ));
    }
    Ok(answer
        .step(Step::sum("Cheapest", price.show(case.currency)))
        .on("Nothing is counted for keeping what is left over."))
}

fn check(case: &BreakCase) -> Result<(), Refusal> {
    let starts_at_one = case.breaks.first().is_some_and(|step| step.from == 1);
    let rising = case
        .breaks
        .iter()
        .zip(case.breaks.iter().skip(1))
        .all(|(one, next)| one.from < next.from && next.from <= MOST_BAGS);
    if !starts_at_one || !rising || case.breaks.len() > MOST_BREAKS {
        let counts: Vec<String> = case
            .breaks
            .iter()
            .take(10)
            .map(|step| step.from.to_string())
            .collect();
        return Err(Refusal::bad(
            "breaks",
            format!("up to {MOST_BREAKS} counts that begin at 1 and rise"),
            counts.join(", "),
        ));
    }
    match case
        .breaks
        .iter()
        .find(|step| !(Money::ZERO..=HIGHEST).contains(&step.each))
    {
        Some(step) => Err(Refusal::bad(
            "price of a bag",
            "nothing or more, and a price that somebody can pay",
            step.each.show(case.currency),
        )),
        None => Ok(()),
    }
}

impl fmt::Display for BreakChoice {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Buy {} at {}: {}, {} left over",
            self.count,
            self.each.show(self.currency),
            self.price.show(self.currency),
            self.left_over.show(self.units)
        )
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(need: i64, breaks: &[(i64, i64)]) -> BreakCase {
        let step = |&(from, minor): &(i64, i64)| PriceBreak {
            from,
            each: Money::from_minor(minor),
        };
        BreakCase {
            need: Mass::from_grams(need),
            bag: Mass::from_grams(25_000),
            breaks: breaks.iter().map(step).collect(),
            currency: Currency::new("EUR").unwrap(),
            units: Units::Metric,
        }
    }

    #[test]
    fn a_few_more_are_bought_only_where_that_is_cheaper() {
        let count = |need| {
            cheapest(&case(need, &[(1, 500), (10, 450)]))
                .unwrap()
                .result
                .count
        };
        assert_eq!(count(225_000), 9, "9 × 5.00 = 10 × 4.50: the fewer");
        assert_eq!(count(200_000), 8);
        assert_eq!(count(226_000), 10);
        assert_eq!(count(300_000), 12);
    }

    #[test]
    fn a_price_list_must_begin_at_one_and_rise() {
        for breaks in [
            &[][..],
            &[(2, 500)],
            &[(1, 500), (1, 400)],
            &[(1, 500), (10, 450), (5, 400)],
            &[(1, -1)],
        ] {
            assert_eq!(
                cheapest(&case(1_000, breaks)).unwrap_err().code(),
                "bad_input",
                "{breaks:?}"
            );
        }
    }

    proptest! {
        /// No count from the fewest to well above the last break is cheaper.
        #[test]
        fn nothing_is_cheaper(need in 1_i64..2_000_000, prices in prop::collection::vec((1_i64..30, 0_i64..2_000), 0..5), first in 0_i64..2_000) {
            let mut breaks = vec![(1, first)];
            for (more, price) in prices {
                breaks.push((breaks[breaks.len() - 1].0 + more, price));
            }
            let case = case(need, &breaks);
            let choice = cheapest(&case).unwrap().result;
            let fewest = bags(case.need, case.bag).unwrap().count;
            for count in fewest..fewest + 200 {
                let each = breaks.iter().rev().find(|(from, _)| *from <= count).unwrap().1;
                prop_assert!(choice.price.minor() <= each * count);
            }
        }
    }
}
