//! A delivery fee among those who ordered, by one named rule.
//!
//! Equally: a stop costs the same whatever is unloaded. By goods: who buys for more pays more. By weight: who has more carried
//! pays more. Whole coins by largest remainder, so that the parts add up to the fee.
//!
//! ```
//! use selion_core::quantities::{Currency, Mass, Money};
//! use selion_core::shares::delivery::{DeliveryCase, DeliveryRule, Orderer, share};
//!
//! let dollars = Currency::new("USD")?;
//! let order = |who, minor| Orderer { who, goods: Money::from_minor(minor), weight: Mass::ZERO };
//! let case = DeliveryCase {
//!     fee: Money::parse("$15", dollars)?,
//!     rule: DeliveryRule::ByGoods,
//!     orderers: vec![order("Ines", 3_100), order("Wren", 1_900), order("Mika", 5_000)],
//!     currency: dollars,
//! };
//! let pays: Vec<i64> = share(&case)?.result.parts.iter().map(|part| part.pays.minor()).collect();
//! assert_eq!(pays, [465, 285, 750]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use std::fmt;

use serde::{Deserialize, Serialize};

use super::apportion::{HAMILTON_IN_WORDS, apportion};
use crate::json::words;
use crate::quantities::{Currency, Mass, Money};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The most people that share one fee.
const MOST_ORDERERS: usize = 2_000;
/// The highest amount that is taken, in minor units.
const HIGHEST: Money = Money::from_minor(100_000_000_000);
/// The heaviest order: a thousand tonnes.
const HEAVIEST: Mass = Mass::from_grams(1_000_000_000);

/// How a fee is divided.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DeliveryRule {
    /// The same for everybody who ordered something.
    Equally,
    /// By the price of what was ordered.
    #[default]
    ByGoods,
    /// By its weight.
    ByWeight,
}

words!(DeliveryRule { "equally" => Equally, "by_goods" => ByGoods, "by_weight" => ByWeight });

/// One person's order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Orderer<M> {
    /// Who.
    pub who: M,
    /// What their goods cost.
    pub goods: Money,
    /// What they weigh.
    pub weight: Mass,
}

/// A fee to be divided.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DeliveryCase<M> {
    /// What bringing everything costs.
    pub fee: Money,
    /// How it is divided.
    pub rule: DeliveryRule,
    /// Who ordered what.
    pub orderers: Vec<Orderer<M>>,
    /// The garden's currency.
    pub currency: Currency,
}

/// A fee divided.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DeliveryShares<M> {
    /// By which rule.
    pub rule: DeliveryRule,
    /// In the order of the case; they sum to the fee.
    pub parts: Vec<DeliveryPart<M>>,
    #[serde(skip)]
    currency: Currency,
}

/// One person's part of a fee.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DeliveryPart<M> {
    /// Whose.
    pub who: M,
    /// How much of the fee.
    pub pays: Money,
}

impl DeliveryRule {
    /// The rule for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Equally => "the same for everybody who ordered",
            Self::ByGoods => "by the price of what was ordered",
            Self::ByWeight => "by the weight of what was ordered",
        }
    }
}

/// Divides a delivery fee.
pub fn share<M: Clone + fmt::Display>(
    case: &DeliveryCase<M>,
) -> Result<Reckoning<DeliveryShares<M>>, Refusal> {
    check(case)?;
    let ordered: Vec<(Money, Mass)> = case
        .orderers
        .iter()
        .map(|order| (order.goods, order.weight))
        .collect();
    let parts = divide(case.fee, case.rule, &ordered)?;
    let part = |(order, minor): (&Orderer<M>, i64)| DeliveryPart {
        who: order.who.clone(),
        pays: Money::from_minor(minor),
    };
    let parts: Vec<DeliveryPart<M>> = case.orderers.iter().zip(parts).map(part).collect();
    let steps: Vec<Step> = parts
        .iter()
        .map(|part| Step::new(part.who.to_string(), part.pays.show(case.currency)))
        .collect();
    let shares = DeliveryShares {
        rule: case.rule,
        parts,
        currency: case.currency,
    };
    let source =
        Source::arithmetic("Fee and orders as put in; divided by the rule that the garden chose.");
    let mut answer = Reckoning::new(shares, source).on(format!("Divided {}.", case.rule.words()));
    answer.steps.extend(steps);
    Ok(answer
        .step(Step::sum("Delivery", case.fee.show(case.currency)))
        .rounded(format!("By {HAMILTON_IN_WORDS}.")))
}

/// Divides a fee over the goods and weights that were ordered, in their order.
pub(super) fn divide(
    fee: Money,
    rule: DeliveryRule,
    ordered: &[(Money, Mass)],
) -> Result<Vec<i64>, Refusal> {
    let weight = |(goods, weight): &(Money, Mass)| match rule {
        DeliveryRule::Equally => i64::from(goods.is_positive() || weight.is_positive()),
        DeliveryRule::ByGoods => goods.minor(),
        DeliveryRule::ByWeight => weight.grams(),
    };
    let weights: Vec<i64> = ordered.iter().map(weight).collect();
    apportion(fee.minor(), &weights).map_err(|refusal| match rule {
        _ if weights.iter().any(|weight| *weight > 0) => refusal,
        DeliveryRule::Equally | DeliveryRule::ByGoods => {
            Refusal::bad("goods", "an order with a price above nothing", "none")
        }
        DeliveryRule::ByWeight => {
            Refusal::bad("weight", "an order with a weight above nothing", "none")
        }
    })
}

fn check<M>(case: &DeliveryCase<M>) -> Result<(), Refusal> {
    if case.orderers.is_empty() || case.orderers.len() > MOST_ORDERERS {
        return Err(Refusal::bad(
            "orders",
            format!("1 to {MOST_ORDERERS} orders"),
            format!("{} orders", case.orderers.len()),
        ));
    }
    let goods = case.orderers.iter().map(|order| order.goods);
    for (field, amount) in
        std::iter::once(("fee", case.fee)).chain(goods.map(|goods| ("goods", goods)))
    {
        if !(Money::ZERO..=HIGHEST).contains(&amount) {
            let came = amount.show(case.currency);
            return Err(Refusal::bad(
                field,
                "nothing or more, and a price that somebody can pay",
                came,
            ));
        }
    }
    match case
        .orderers
        .iter()
        .find(|order| !(Mass::ZERO..=HEAVIEST).contains(&order.weight))
    {
        Some(order) => Err(Refusal::bad(
            "weight",
            "nothing or more and at most 1000 t",
            format!("{} g", order.weight.grams()),
        )),
        None => Ok(()),
    }
}

impl<M: fmt::Display> fmt::Display for DeliveryShares<M> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts: Vec<String> = self
            .parts
            .iter()
            .map(|part| format!("{} {}", part.who, part.pays.show(self.currency)))
            .collect();
        write!(out, "Delivery {}: {}", self.rule.words(), parts.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(rule: DeliveryRule, fee: i64, orders: &[(i64, i64)]) -> DeliveryCase<usize> {
        let order = |(who, &(goods, grams)): (usize, &(i64, i64))| Orderer {
            who,
            goods: Money::from_minor(goods),
            weight: Mass::from_grams(grams),
        };
        DeliveryCase {
            fee: Money::from_minor(fee),
            rule,
            orderers: orders.iter().enumerate().map(order).collect(),
            currency: Currency::new("USD").unwrap(),
        }
    }

    fn pays(case: &DeliveryCase<usize>) -> Vec<i64> {
        share(case)
            .unwrap()
            .result
            .parts
            .iter()
            .map(|part| part.pays.minor())
            .collect()
    }

    #[test]
    fn who_ordered_nothing_pays_nothing_under_any_rule() {
        let orders = [(3_100, 100_000), (0, 0), (1_900, 20_000), (5_000, 0)];
        assert_eq!(
            pays(&case(DeliveryRule::Equally, 1_500, &orders)),
            [500, 0, 500, 500]
        );
        assert_eq!(
            pays(&case(DeliveryRule::ByGoods, 1_500, &orders)),
            [465, 0, 285, 750]
        );
        assert_eq!(
            pays(&case(DeliveryRule::ByWeight, 1_500, &orders)),
            [1_250, 0, 250, 0]
        );
    }

    #[test]
    fn a_rule_without_anything_to_go_by_is_refused() {
        let field = |rule, orders: &[(i64, i64)]| {
            share(&case(rule, 1_500, orders)).unwrap_err().to_string()
        };
        assert!(field(DeliveryRule::ByWeight, &[(100, 0)]).starts_with("weight: "));
        assert!(field(DeliveryRule::ByGoods, &[(0, 100)]).starts_with("goods: "));
        assert!(field(DeliveryRule::Equally, &[]).starts_with("orders: "));
        assert!(field(DeliveryRule::Equally, &[(-1, 0)]).starts_with("goods: "));
        assert!(share(&case(DeliveryRule::Equally, -1, &[(1, 0)])).is_err());
    }

    proptest! {
        #[test]
        fn parts_sum_to_the_fee(fee in 0_i64..10_000_000, orders in prop::collection::vec((1_i64..1_000_000, 1_i64..1_000_000), 1..30)) {
            for rule in [DeliveryRule::Equally, DeliveryRule::ByGoods, DeliveryRule::ByWeight] {
                prop_assert_eq!(pays(&case(rule, fee, &orders)).iter().sum::<i64>(), fee);
            }
        }
    }
}
