//! A bulk load shared by bed area: so much lime for each bed, whole bags, and who pays what.
//!
//! The rules, each of which stands in the working too:
//!
//! 1. The need is the rate over the summed area; every bed gets its part of those grams by area, largest remainder.
//! 2. A bed with several holders is split by their parts, area and weight alike.
//! 3. Whole bags are bought. What they hold above the need stays in the shed on the garden's account.
//! 4. The price of all bags and the delivery are each shared by area, largest remainder, so that the left-over is paid by
//!    everybody like the rest. Every column adds up to the bill.
mod working;

#[cfg(test)]
mod tests;

use serde::Serialize;

use super::accounts::{Account, Holding, LoadBed, holdings};
use super::apportion::apportion;
use super::packs::{Bags, bags};
use crate::quantities::{Area, BadInput, Currency, Mass, Money, Rate, Units};
use crate::reckoning::{Reckoning, Refusal, Step};
use working::Whole;

pub(super) use working::cautions;

/// The bracket that lime for a garden commonly lies in, 50 to 100 lb per 1000 sq ft (common practice: 1 to 2 tons an acre,
/// rounded up). A hint beside the field, never a limit and never a default: the rate comes from a soil test.
pub const COMMON_LIME_BRACKET: (Rate, Rate) = (
    Rate::from_micrograms_per_m2(244_121_382),
    Rate::from_micrograms_per_m2(488_242_764),
);

/// The most that is spread: 100 kg a square metre, a thick layer of compost.
const HIGHEST_RATE: Rate = Rate::from_micrograms_per_m2(100_000_000_000);
/// The heaviest bag: two tonnes, a bulk bag.
const HEAVIEST_BAG: Mass = Mass::from_grams(2_000_000);
/// The highest price that is taken, in minor units.
const HIGHEST_PRICE: Money = Money::from_minor(100_000_000_000);
/// What is to be shared, over which beds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LoadCase<B, M> {
    /// What it is, in the garden's words: "Ground limestone".
    pub material: String,
    /// How much of it goes on the ground.
    pub rate: Rate,
    /// The beds that take part.
    pub beds: Vec<LoadBed<B, M>>,
    /// What is in one bag.
    pub bag: Mass,
    /// What one bag costs.
    pub bag_price: Money,
    /// What it costs to bring them.
    pub delivery: Money,
    /// The garden's currency.
    pub currency: Currency,
    /// The garden's units, for the working.
    pub units: Units,
}

/// A load shared out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LoadShares<B, M> {
    /// What it is.
    pub material: String,
    /// What all beds need together.
    pub need: Mass,
    /// How many whole bags are bought.
    pub bags: i64,
    /// What is in them.
    pub bought: Mass,
    /// What stays in the shed.
    pub left_over: Mass,
    /// The area of all beds.
    pub area: Area,
    /// The price of the bags.
    pub goods: Money,
    /// The price of bringing them.
    pub delivery: Money,
    /// Both together.
    pub total: Money,
    /// What each bed gets, in the order of the case; sums to the need.
    pub beds: Vec<BedShare<B>>,
    /// What each account gets and pays: members in order of their first bed, then the garden. Every column sums to the whole.
    pub accounts: Vec<AccountShare<M>>,
    /// The garden's currency.
    pub currency: Currency,
    /// The garden's units.
    pub units: Units,
}

/// What goes on one bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BedShare<B> {
    /// Which bed.
    pub bed: B,
    /// Its label on the plan.
    pub label: String,
    /// Its area.
    pub area: Area,
    /// What goes on it.
    pub mass: Mass,
}

/// What one account gets and pays.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AccountShare<M> {
    /// Whose.
    pub account: Account<M>,
    /// Their ground.
    pub area: Area,
    /// What goes on it; on the garden's account also what stays in the shed.
    pub mass: Mass,
    /// How many of the whole bags to hand out to them.
    pub bags: i64,
    /// Their part of the price of the bags.
    pub goods: Money,
    /// Their part of the delivery.
    pub delivery: Money,
    /// Both together.
    pub pays: Money,
    /// The working of this account.
    pub steps: Vec<Step>,
}

/// One account's part if everybody paid the same, for comparison.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EqualShare<M> {
    /// Whose.
    pub account: Account<M>,
    /// What they would pay.
    pub pays: Money,
    /// How much more than by area that is; below nothing for less.
    pub difference: Money,
}

/// Shares a bulk load out by bed area.
///
/// ```
/// use selion_core::quantities::{Area, Currency, Mass, Money, Rate, Units};
/// use selion_core::shares::LoadBed;
/// use selion_core::shares::load::{self, LoadCase};
///
/// let dollars = Currency::new("USD")?;
/// let bed = |bed: u8, area, holders| LoadBed { bed, label: format!("C{bed}"), area, holders };
/// let case = LoadCase {
///     material: "Ground limestone".to_owned(),
///     rate: Rate::parse("75 lb/1000 sq ft")?,
///     beds: vec![
///         bed(4, Area::parse("360 sq ft")?, vec![("Ines", 1)]),
///         bed(5, Area::parse("640 sq ft")?, vec![("Tomasz", 2), ("Wren", 1)]),
///         bed(6, Area::parse("1000 sq ft")?, vec![]),
///     ],
///     bag: Mass::parse("50 lb")?,
///     bag_price: Money::parse("$6.99", dollars)?,
///     delivery: Money::parse("$12", dollars)?,
///     currency: dollars,
///     units: Units::UsCustomary,
/// };
/// let shares = load::share(&case)?.result;
/// assert_eq!(shares.bags, 3);
/// let pays: Vec<String> = shares.accounts.iter().map(|share| share.pays.show(dollars)).collect();
/// assert_eq!(pays, ["$5.93", "$7.03", "$3.52", "$16.49"]);
/// assert_eq!(shares.total.show(dollars), "$32.97");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn share<B, M>(case: &LoadCase<B, M>) -> Result<Reckoning<LoadShares<B, M>>, Refusal>
where
    B: Clone + PartialEq,
    M: Clone + Ord,
{
    check(case)?;
    let mut holdings = holdings(&case.beds)?;
    let area: Area = case.beds.iter().map(|bed| bed.area).sum();
    let need = case.rate.over(area);
    if !need.is_positive() {
        return Err(Refusal::bad(
            "rate",
            "at least a gram on all beds together",
            case.rate.show(case.units),
        ));
    }
    let bags = bags(need, case.bag)?;
    if bags.left_over.is_positive()
        && !holdings
            .iter()
            .any(|holding| holding.account == Account::Garden)
    {
        holdings.push(Holding {
            account: Account::Garden,
            portions: Vec::new(),
        });
    }
    let (goods, total) = bill(case, bags)?;
    let bed_areas: Vec<i64> = case.beds.iter().map(|bed| bed.area.mm2()).collect();
    let bed_masses = apportion(need.grams(), &bed_areas)?;
    let bed_share = |(bed, &mass): (&LoadBed<B, M>, &i64)| BedShare {
        bed: bed.bed.clone(),
        label: bed.label.clone(),
        area: bed.area,
        mass: Mass::from_grams(mass),
    };
    let beds = case.beds.iter().zip(&bed_masses).map(bed_share).collect();
    let whole = Whole {
        case,
        area,
        bags,
        goods,
    };
    let accounts = whole.accounts(&holdings, &bed_masses)?;
    let shares = LoadShares {
        material: case.material.clone(),
        need,
        bags: bags.count,
        bought: bags.bought,
        left_over: bags.left_over,
        area,
        goods,
        delivery: case.delivery,
        total,
        beds,
        accounts,
        currency: case.currency,
        units: case.units,
    };
    Ok(whole.with_working(shares))
}

impl<B, M: Clone> LoadShares<B, M> {
    /// What each account would pay if the bill were split evenly among them, whatever their ground.
    pub fn equal_split(&self) -> Vec<EqualShare<M>> {
        let even = apportion(self.total.minor(), &vec![1; self.accounts.len()]).unwrap_or_default();
        let equal = |(share, minor): (&AccountShare<M>, i64)| EqualShare {
            account: share.account.clone(),
            pays: Money::from_minor(minor),
            difference: Money::from_minor(minor - share.pays.minor()),
        };
        self.accounts.iter().zip(even).map(equal).collect()
    }
}

/// The bill of the goods, and with delivery.
fn bill<B, M>(case: &LoadCase<B, M>, bags: Bags) -> Result<(Money, Money), Refusal> {
    let goods = case.bag_price.checked_times(bags.count);
    let bill = goods.and_then(|goods| Some((goods, goods.checked_add(case.delivery)?)));
    bill.ok_or_else(|| {
        let price = case.bag_price.show(case.currency);
        Refusal::bad(
            "price of a bag",
            "a bill that can be stored",
            format!("{} bags at {price}", bags.count),
        )
    })
}

fn check<B, M>(case: &LoadCase<B, M>) -> Result<(), Refusal> {
    let refused = |field: &str, expected: &str, came: String| {
        Err(BadInput::new(field, expected, came).into())
    };
    if case.material.trim().is_empty() {
        return refused("material", "a name such as Ground limestone", String::new());
    }
    if !case.rate.is_positive() || case.rate > HIGHEST_RATE {
        return refused(
            "rate",
            "more than nothing and at most 100 kg a square metre",
            case.rate.show(case.units),
        );
    }
    if !case.bag.is_positive() || case.bag > HEAVIEST_BAG {
        return refused(
            "weight of a bag",
            "more than nothing and at most 2000 kg",
            case.bag.show(case.units),
        );
    }
    for (field, price) in [
        ("price of a bag", case.bag_price),
        ("delivery", case.delivery),
    ] {
        if !(Money::ZERO..=HIGHEST_PRICE).contains(&price) {
            return refused(
                field,
                "nothing or more, and a price that somebody can pay",
                price.show(case.currency),
            );
        }
    }
    Ok(())
}
