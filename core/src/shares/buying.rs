//! What to buy of one material: packs of several sizes, each with price breaks, or loose.
//!
//! The cheapest combination that covers the need; among equally cheap ones the one that leaves least over. With price breaks
//! that may be more than is needed, where ten bags cost less than nine.
//!
//! ```
//! use selion_core::quantities::{Amount, CountedIn, Money};
//! use selion_core::shares::buying::{Offer, cheapest};
//!
//! let bag = |text: &str, minor| {
//!     CountedIn::Weight.parse(text).map(|size| Offer { size, price: Money::from_minor(minor), breaks: Vec::new() })
//! };
//! let need = CountedIn::Weight.parse("130 lb")?;
//! let offers = [bag("50 lb", 2_200)?, bag("25 lb", 1_250)?, bag("10 lb", 600)?];
//! let bought = cheapest(need, &offers, CountedIn::Weight, false)?;
//! assert_eq!((bought.counts, bought.goods), (vec![2, 0, 3], Money::from_minor(6_200)));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use serde::Serialize;

use super::packs::{bags, cover, enough, fewest_of, steps_of};
use crate::quantities::{Amount, CountedIn, Mass, Money};
use crate::reckoning::Refusal;

/// The most sizes that a material is offered in.
pub const MOST_OFFERS: usize = 8;
/// The most price breaks of one size.
pub const MOST_BREAKS: usize = 8;
/// The largest amount of one material: a thousand tonnes, a thousand cubic metres.
pub const MOST: Amount = Amount::from_count(1_000_000_000);
/// The highest price of a pack, in minor units.
pub const HIGHEST: Money = Money::from_minor(100_000_000_000);
/// How much is tried out at most, so that a preview stays quick: steps of all tables together.
const MOST_STEPS: i64 = 6_000_000;

/// A size that can be bought, or a price by the amount.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// What is in one pack; of loose material, the amount that the price is for.
    pub size: Amount,
    /// What one costs.
    pub price: Money,
    /// From so many packs on each of them costs this much; counts rising, prices falling.
    pub breaks: Vec<(i64, Money)>,
}

/// What is bought of one material.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Bought {
    /// How many packs of each offer, in their order; empty for loose material.
    pub counts: Vec<i64>,
    /// What one pack of each offer costs at that count.
    pub each: Vec<Money>,
    /// What is bought in all.
    pub amount: Amount,
    /// What it costs.
    pub goods: Money,
}

impl Offer {
    /// Every price with the count that it begins at.
    fn tiers(&self) -> impl Iterator<Item = (i64, i64)> + '_ {
        let breaks = self
            .breaks
            .iter()
            .map(|(from, price)| (*from, price.minor()));
        std::iter::once((0, self.price.minor())).chain(breaks)
    }

    /// What one pack costs when so many are taken.
    fn each_of(&self, count: i64) -> Money {
        let reached = self.breaks.iter().rev().find(|(from, _)| *from <= count);
        reached.map_or(self.price, |(_, price)| *price)
    }
}

/// The cheapest way to cover a need; nothing at all for a need of nothing.
pub fn cheapest(
    need: Amount,
    offers: &[Offer],
    counted_in: CountedIn,
    loose: bool,
) -> Result<Bought, Refusal> {
    check(need, offers, loose)?;
    if !need.is_positive() {
        return Ok(Bought {
            counts: vec![0; if loose { 0 } else { offers.len() }],
            each: offers.iter().map(|offer| offer.price).collect(),
            ..Bought::default()
        });
    }
    if loose {
        return cheapest_loose(need, offers);
    }
    // Grams and millilitres of a pack are rounded, pieces are not.
    let mass = Mass::from_grams(need.count());
    let target = match offers {
        _ if counted_in == CountedIn::Pieces => need.count(),
        [offer] => {
            let size = offer.size.count();
            bags(mass, Mass::from_grams(size))?
                .count
                .saturating_mul(size)
        }
        _ => {
            let largest = offers.iter().map(|offer| offer.size.count()).max();
            enough(mass, Mass::from_grams(largest.unwrap_or(1))).grams()
        }
    };
    let mut best: Option<Bought> = None;
    let mut steps = 0_i64;
    let mut tiers = vec![0_usize; offers.len()];
    loop {
        let found = with_tiers(target, offers, &tiers, &mut steps)?;
        let better = |best: &Bought| (found.goods, found.amount) < (best.goods, best.amount);
        if best.as_ref().is_none_or(better) {
            best = Some(found);
        }
        if !next_tiers(&mut tiers, offers) {
            break;
        }
    }
    best.ok_or_else(|| Refusal::bad("packs", "a size with its price", "none"))
}

/// The cheapest combination if each offer is taken at least so often that this price of it holds.
fn with_tiers(
    target: i64,
    offers: &[Offer],
    tiers: &[usize],
    steps: &mut i64,
) -> Result<Bought, Refusal> {
    let (mut held, mut least, mut sizes) = (0_i64, Vec::new(), Vec::new());
    for (offer, tier) in offers.iter().zip(tiers) {
        let (from, price) = offer.tiers().nth(*tier).unwrap_or((0, offer.price.minor()));
        held = held.saturating_add(offer.size.count().saturating_mul(from));
        least.push(from);
        sizes.push((offer.size.count(), price));
    }
    let missing = target.saturating_sub(held);
    let mut counts = least;
    if missing > 0 {
        if sizes.len() > 1 {
            *steps = steps.saturating_add(steps_of(missing, &sizes));
            if *steps > MOST_STEPS {
                return Err(Refusal::bad(
                    "packs",
                    "fewer sizes and price breaks, or sizes that are multiples of each other",
                    format!("{} sizes for {target} base units", offers.len()),
                ));
            }
        }
        for (count, more) in counts.iter_mut().zip(cover(missing, &sizes)?) {
            *count += more;
        }
    }
    billed(offers, counts)
}

/// The next combination of price breaks; false after the last.
fn next_tiers(tiers: &mut [usize], offers: &[Offer]) -> bool {
    for (tier, offer) in tiers.iter_mut().zip(offers) {
        if *tier < offer.breaks.len() {
            *tier += 1;
            return true;
        }
        *tier = 0;
    }
    false
}

/// What so many packs of each offer hold and cost.
pub fn billed(offers: &[Offer], counts: Vec<i64>) -> Result<Bought, Refusal> {
    let each: Vec<Money> = offers
        .iter()
        .zip(&counts)
        .map(|(offer, count)| offer.each_of(*count))
        .collect();
    let (mut amount, mut goods) = (Some(Amount::ZERO), Some(Money::ZERO));
    for ((offer, count), price) in offers.iter().zip(&counts).zip(&each) {
        amount = amount.and_then(|sum| sum.checked_add(offer.size.checked_times(*count)?));
        goods = goods.and_then(|sum| sum.checked_add(price.checked_times(*count)?));
    }
    let (Some(amount), Some(goods)) = (amount, goods) else {
        return Err(Refusal::bad(
            "price of a pack",
            "a bill that can be stored",
            "more",
        ));
    };
    Ok(Bought {
        counts,
        each,
        amount,
        goods,
    })
}

/// What so much loose material costs by its price.
pub fn billed_loose(offers: &[Offer], amount: Amount) -> Result<Money, Refusal> {
    let offer = offers.first().filter(|offer| offer.size.is_positive());
    let offer = offer.ok_or_else(|| Refusal::bad("price", "a price for an amount", "none"))?;
    let each = offer.each_of(amount.count() / offer.size.count());
    loose_price(each.minor(), amount.count(), offer.size.count())
}

/// To the nearest minor unit, halves up.
fn loose_price(price: i64, amount: i64, size: i64) -> Result<Money, Refusal> {
    let exact = i128::from(price) * i128::from(amount) * 2 + i128::from(size);
    i64::try_from(exact / (2 * i128::from(size)))
        .map(Money::from_minor)
        .map_err(|_too_large| Refusal::bad("price", "a bill that can be stored", "more"))
}

/// Loose material is paid by the amount; each price break is weighed as an amount to buy up to.
fn cheapest_loose(need: Amount, offers: &[Offer]) -> Result<Bought, Refusal> {
    let Some(offer) = offers.first() else {
        return Err(Refusal::bad("price", "a price for an amount", "none"));
    };
    let size = offer.size.count();
    let mut best: Option<Bought> = None;
    for (from, price) in offer.tiers() {
        let amount = need.count().max(size.saturating_mul(from));
        let goods = loose_price(price, amount, size)?;
        let found = Bought {
            counts: Vec::new(),
            each: vec![Money::from_minor(price)],
            amount: Amount::from_count(amount),
            goods,
        };
        let better = |best: &Bought| (found.goods, found.amount) < (best.goods, best.amount);
        if best.as_ref().is_none_or(better) {
            best = Some(found);
        }
    }
    best.ok_or_else(|| Refusal::bad("price", "a price for an amount", "none"))
}

fn check(need: Amount, offers: &[Offer], loose: bool) -> Result<(), Refusal> {
    if !(Amount::ZERO..=MOST).contains(&need) {
        let came = need.count().to_string();
        return Err(Refusal::bad(
            "amount needed",
            "nothing to a billion base units",
            came,
        ));
    }
    let most = if loose { 1 } else { MOST_OFFERS };
    if offers.is_empty() || offers.len() > most {
        let came = offers.len().to_string();
        return Err(Refusal::bad("sizes", format!("1 to {most} sizes"), came));
    }
    for offer in offers {
        if !offer.size.is_positive() || offer.size > MOST {
            let came = offer.size.count().to_string();
            return Err(Refusal::bad("size of a pack", "more than nothing", came));
        }
        let rising = offer
            .breaks
            .iter()
            .zip(std::iter::once(&(1, offer.price)).chain(&offer.breaks))
            .all(|((from, price), (before, dearer))| from > before && price <= dearer);
        let most = fewest_of(MOST.count(), offer.size.count());
        let sensible = offer.breaks.last().is_none_or(|(from, _)| *from <= most);
        if !rising || !sensible || offer.breaks.len() > MOST_BREAKS {
            return Err(Refusal::bad(
                "price breaks",
                format!(
                    "at most {MOST_BREAKS}, each from a higher count and not dearer than the one before"
                ),
                format!("{} of them", offer.breaks.len()),
            ));
        }
        let mut prices = offer.tiers();
        if !prices.all(|(_, price)| (0..=HIGHEST.minor()).contains(&price)) {
            return Err(Refusal::bad(
                "price of a pack",
                "nothing or more, and a price that somebody can pay",
                offer.price.minor().to_string(),
            ));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn offer(size: i64, minor: i64, breaks: &[(i64, i64)]) -> Offer {
        let price = |(from, minor): &(i64, i64)| (*from, Money::from_minor(*minor));
        Offer {
            size: Amount::from_count(size),
            price: Money::from_minor(minor),
            breaks: breaks.iter().map(price).collect(),
        }
    }

    fn of(need: i64, offers: &[Offer]) -> Bought {
        cheapest(Amount::from_count(need), offers, CountedIn::Pieces, false).unwrap()
    }

    #[test]
    fn twenty_bags_are_bought_where_they_cost_less_than_eighteen() {
        let bag = offer(50, 699, &[(20, 599)]);
        let bought = of(900, std::slice::from_ref(&bag));
        assert_eq!((bought.counts[0], bought.goods.minor()), (20, 11_980));
        assert_eq!(of(850, &[bag]).counts, [17]);
    }

    #[test]
    fn pieces_are_never_short_by_rounding() {
        assert_eq!(of(51, &[offer(50, 100, &[])]).counts, [2]);
        let by_weight = cheapest(
            Amount::from_count(272_155),
            &[offer(22_680, 699, &[])],
            CountedIn::Weight,
            false,
        );
        assert_eq!(
            by_weight.unwrap().counts,
            [12],
            "600 lb are twelve bags of 50 lb"
        );
    }

    #[test]
    fn loose_material_is_paid_by_the_amount_and_rounded_once() {
        let sand = [offer(1_000_000, 3_333, &[(3, 3_000)])];
        let loose = |need| {
            let bought = cheapest(Amount::from_count(need), &sand, CountedIn::Volume, true);
            bought
                .map(|bought| (bought.amount.count(), bought.goods.minor()))
                .unwrap()
        };
        assert_eq!(loose(1_500_000), (1_500_000, 5_000));
        assert_eq!(
            loose(2_800_000),
            (3_000_000, 9_000),
            "three cost less than 2.8"
        );
        assert_eq!(loose(0), (0, 0));
    }

    #[test]
    fn senseless_offers_are_refused_by_name() {
        let refused = |offers: &[Offer]| {
            let need = Amount::from_count(10);
            cheapest(need, offers, CountedIn::Weight, false)
                .unwrap_err()
                .to_string()
        };
        assert!(refused(&[]).starts_with("sizes"));
        assert!(refused(&[offer(0, 1, &[])]).starts_with("size of a pack"));
        assert!(refused(&[offer(1, -1, &[])]).starts_with("price of a pack"));
        assert!(refused(&[offer(1, 1, &[(5, 1), (5, 1)])]).starts_with("price breaks"));
        // Sizes without a common measure over tonnes would take too long to weigh against each other.
        let odd = [
            offer(9_999_991, 5, &[(2, 4), (3, 3)]),
            offer(3, 1, &[(2, 1)]),
        ];
        let need = Amount::from_count(900_000_000);
        let refusal = cheapest(need, &odd, CountedIn::Volume, false).unwrap_err();
        assert!(
            refusal.to_string().starts_with("packs: expected fewer"),
            "{refusal}"
        );
    }

    /// Every count of every offer, tried one by one.
    fn by_trying(need: i64, offers: &[Offer]) -> i64 {
        let most: Vec<i64> = offers
            .iter()
            .map(|offer| {
                let last = offer.breaks.last().map_or(0, |(from, _)| *from);
                fewest_of(need, offer.size.count()).max(last)
            })
            .collect();
        let mut counts = vec![0; offers.len()];
        let mut best = i64::MAX;
        loop {
            let bought = billed(offers, counts.clone()).unwrap();
            if bought.amount.count() >= need {
                best = best.min(bought.goods.minor());
            }
            let Some(place) = (0..counts.len()).find(|place| counts[*place] < most[*place]) else {
                return best;
            };
            counts[place] += 1;
            counts[..place].fill(0);
        }
    }

    fn some_offer() -> impl Strategy<Value = Offer> {
        (
            1_i64..9,
            1_i64..40,
            prop::collection::vec((1_i64..4, 0_i64..15), 0..3),
        )
            .prop_map(|(size, price, steps)| {
                let (mut from, mut falling) = (1, price);
                let breaks: Vec<(i64, i64)> = steps
                    .into_iter()
                    .map(|(more, less)| {
                        from += more;
                        falling = (falling - less).max(0);
                        (from, falling)
                    })
                    .collect();
                offer(size, price, &breaks)
            })
    }

    proptest! {
        #[test]
        fn nothing_cheaper_covers_the_need(need in 1_i64..40, offers in prop::collection::vec(some_offer(), 1..4)) {
            let bought = of(need, &offers);
            prop_assert!(bought.amount.count() >= need);
            prop_assert_eq!(bought.goods.minor(), by_trying(need, &offers));
            prop_assert_eq!(billed(&offers, bought.counts.clone()).unwrap(), bought);
        }
    }
}
