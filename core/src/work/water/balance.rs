//! The account of the root zone from day to day: what is gone of its water, and when to bring some (FAO-56, Eqs 84 to 88).
//!
//! `Dr = Dr before − rain − watering + ETc + drained`, kept from nothing to all that roots can take. In which order a day's water
//! comes and goes changes the answer, so the order is chosen and named:
//!
//! - *water first* (Example 38): rain and watering fill the soil, what is too much drains, then the crop drinks;
//! - *water last* (Eq. 88 as printed): what the crop drinks that day is taken off before anything drains.
//!
//! ```
//! use selion_core::quantities::{Depth, Units};
//! use selion_core::work::water::balance::{BalanceCase, BalanceDay, Order, keep};
//!
//! let mm = |text: &str| Depth::parse(text);
//! let day = BalanceDay { drinks: mm("5.5 mm")?, rain: Depth::ZERO, watering: mm("40 mm")? };
//! let mut case = BalanceCase {
//!     all: mm("39 mm")?, easily: mm("23.4 mm")?, gone: mm("23 mm")?, order: Order::WaterFirst, days: vec![day], units: Units::Metric,
//! };
//! assert_eq!(keep(&case)?.result.days[0].drained, mm("17 mm")?);
//! case.order = Order::WaterLast;
//! assert_eq!(keep(&case)?.result.days[0].drained, mm("11.5 mm")?);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::root_zone::stress;
use crate::quantities::exact::nearest;
use crate::quantities::{Depth, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::work::FAO_56;

const MOST_DAYS: usize = 400;
/// A metre of water in a day.
const MOST: Depth = Depth::from_micrometres(1_000_000);

/// In which order a day's water comes and goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// Water comes early in the day.
    WaterFirst,
    /// The crop drinks before anything drains.
    WaterLast,
}

impl Order {
    const fn words(self) -> &'static str {
        match self {
            Self::WaterFirst => {
                "Order: water comes first, what is too much drains, then the crop drinks (Example 38)."
            }
            Self::WaterLast => {
                "Order: what the crop drinks is taken off before anything drains (Eq. 88 as printed)."
            }
        }
    }
}

/// One day's weather and watering.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BalanceDay {
    /// What the crop would drink from moist soil (Kc · ET0).
    pub drinks: Depth,
    /// Rain that did not run off.
    pub rain: Depth,
    /// What was watered.
    pub watering: Depth,
}

/// An account to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BalanceCase {
    /// All that roots can take (TAW).
    pub all: Depth,
    /// What they take easily (RAW).
    pub easily: Depth,
    /// What is gone at the start; nothing after a soaking rain.
    pub gone: Depth,
    /// The order of a day's events.
    pub order: Order,
    /// The days.
    pub days: Vec<BalanceDay>,
    /// The garden's units.
    pub units: Units,
}

/// One day of the account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Kept {
    /// What was gone before the crop drank.
    pub gone_before: Depth,
    /// How much of its thirst the crop could meet, in millionths.
    pub ks_millionths: i64,
    /// What it drank.
    pub drank: Depth,
    /// What drained below the roots.
    pub drained: Depth,
    /// What is gone at the end of the day.
    pub gone: Depth,
}

/// The account.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Balance {
    /// Day by day.
    pub days: Vec<Kept>,
    /// The first day at whose end more is gone than is taken easily, from 1.
    pub water_on: Option<i64>,
    /// What fills the soil after the last day: more than that only drains.
    pub to_fill: Depth,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Balance {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let fill = self.to_fill.show_water(self.units);
        match self.water_on {
            Some(day) => write!(
                out,
                "Water was due after day {day}; {fill} fill the soil now"
            ),
            None => write!(out, "No water is due; {fill} would fill the soil"),
        }
    }
}

/// Keeps the account of a root zone.
pub fn keep(case: &BalanceCase) -> Result<Reckoning<Balance>, Refusal> {
    check(case)?;
    let units = case.units;
    let mut gone = case.gone;
    let mut result = Balance {
        days: Vec::new(),
        water_on: None,
        to_fill: gone,
        units,
    };
    let mut steps = vec![
        Step::new("All that roots can take", case.all.show_water(units)),
        Step::new("Taken easily", case.easily.show_water(units)),
        Step::new("Gone at the start", gone.show_water(units)),
    ];
    for (number, day) in (1..).zip(&case.days) {
        let kept = of_day(case, gone, *day);
        gone = kept.gone;
        if gone > case.easily && result.water_on.is_none() {
            result.water_on = Some(number);
        }
        let drank = kept.drank.show_water(units);
        let label = if kept.drained.is_positive() {
            format!(
                "Day {number}: drank {drank}, drained {}",
                kept.drained.show_water(units)
            )
        } else {
            format!("Day {number}: drank {drank}")
        };
        steps.push(Step::new(label, gone.show_water(units)));
        result.days.push(kept);
    }
    result.to_fill = gone;
    steps.push(Step::sum("Gone", gone.show_water(units)));
    let source = Source::published(format!("{FAO_56}, Eqs 84 to 88."));
    let mut answer = Reckoning::new(result, source)
        .on(case.order.words())
        .on("Nothing rises from below, and water above what the soil holds drains the same day.")
        .on("A reckoned account drifts: put a spade in before watering by it.")
        .rounded("Each day to the micrometre.");
    answer.steps = steps;
    Ok(answer)
}

/// One day, by the chosen order.
fn of_day(case: &BalanceCase, gone: Depth, day: BalanceDay) -> Kept {
    let (all, gone) = (case.all.micrometres(), gone.micrometres());
    let came = day.rain.micrometres() + day.watering.micrometres();
    let before = match case.order {
        Order::WaterFirst => (gone - came).max(0),
        Order::WaterLast => gone,
    };
    let ks = stress(case.all, case.easily, Depth::from_micrometres(before));
    let thirst = i128::from(day.drinks.micrometres()) * i128::from(ks);
    let drank = nearest(thirst, 1_000_000).unwrap_or(0);
    // Never more than there is to drink.
    let drank = match case.order {
        Order::WaterFirst => drank.min(all - before),
        Order::WaterLast => drank.min(all - gone + came),
    };
    let drained = match case.order {
        Order::WaterFirst => came - gone,
        Order::WaterLast => came - drank - gone,
    }
    .max(0);
    Kept {
        gone_before: Depth::from_micrometres(before),
        ks_millionths: ks,
        drank: Depth::from_micrometres(drank),
        drained: Depth::from_micrometres(drained),
        gone: Depth::from_micrometres(gone - came + drank + drained),
    }
}

fn check(case: &BalanceCase) -> Result<(), Refusal> {
    let units = case.units;
    let bounds = [
        ("all", case.all, Depth::from_micrometres(1), MOST),
        (
            "easily",
            case.easily,
            Depth::ZERO,
            Depth::from_micrometres(case.all.micrometres().saturating_sub(1)),
        ),
        ("gone", case.gone, Depth::ZERO, case.all),
    ];
    let inside = |(field, came, least, most): (&str, Depth, Depth, Depth)| {
        if (least..=most).contains(&came) {
            return Ok(());
        }
        let expected = format!(
            "from {} to {}",
            least.show_water(units),
            most.show_water(units)
        );
        Err(Refusal::bad(field, expected, came.show_water(units)))
    };
    bounds.into_iter().try_for_each(inside)?;
    if case.days.len() > MOST_DAYS {
        let came = format!("{} days", case.days.len());
        return Err(Refusal::bad(
            "days",
            format!("at most {MOST_DAYS} days"),
            came,
        ));
    }
    for (number, day) in (1..).zip(&case.days) {
        for (field, came) in [
            ("drinks", day.drinks),
            ("rain", day.rain),
            ("watering", day.watering),
        ] {
            inside((
                &format!("days number {number}, {field}"),
                came,
                Depth::ZERO,
                MOST,
            ))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn um(count: i64) -> Depth {
        Depth::from_micrometres(count)
    }

    fn case(order: Order, gone: i64, days: &[(i64, i64, i64)]) -> BalanceCase {
        let day = |&(drinks, rain, watering): &(i64, i64, i64)| BalanceDay {
            drinks: um(drinks),
            rain: um(rain),
            watering: um(watering),
        };
        BalanceCase {
            all: um(91_000),
            easily: um(36_400),
            gone: um(gone),
            order,
            days: days.iter().map(day).collect(),
            units: Units::Metric,
        }
    }

    #[test]
    fn the_first_thirsty_day_is_named() {
        let answer = keep(&case(
            Order::WaterFirst,
            30_000,
            &[(5_000, 0, 0), (5_000, 0, 0)],
        ))
        .unwrap();
        assert!(
            answer
                .to_string()
                .starts_with("Water was due after day 2; 40 mm fill the soil now\n"),
            "{answer}"
        );
        assert!(answer.to_string().contains("Order: water comes first"));
    }

    #[test]
    fn senseless_accounts_are_refused_by_name() {
        let refused = |case: BalanceCase| keep(&case).unwrap_err().to_string();
        assert!(refused(case(Order::WaterLast, 91_001, &[])).starts_with("gone:"));
        assert!(refused(case(Order::WaterLast, 0, &[(1, 1, 1); 401])).starts_with("days:"));
        assert!(
            refused(case(Order::WaterLast, 0, &[(1, -1, 0)])).starts_with("days number 1, rain:")
        );
        let mut wrong = case(Order::WaterLast, 0, &[]);
        wrong.easily = wrong.all;
        assert!(refused(wrong.clone()).starts_with("easily:"));
        wrong.all = Depth::ZERO;
        assert!(refused(wrong).starts_with("all:"));
    }

    proptest! {
        #[test]
        fn it_stays_within_the_soil_and_loses_no_water(
            first in any::<bool>(), gone in 0_i64..=91_000,
            days in prop::collection::vec((0_i64..20_000, 0_i64..60_000, 0_i64..60_000), 0..30),
        ) {
            let order = if first { Order::WaterFirst } else { Order::WaterLast };
            let case = case(order, gone, &days);
            let mut before = gone;
            for (kept, day) in keep(&case).unwrap().result.days.iter().zip(&days) {
                let after = kept.gone.micrometres();
                prop_assert!((0..=91_000).contains(&after));
                prop_assert!((0..=1_000_000).contains(&kept.ks_millionths));
                prop_assert_eq!(after, before - day.1 - day.2 + kept.drank.micrometres() + kept.drained.micrometres());
                before = after;
            }
        }
    }
}
