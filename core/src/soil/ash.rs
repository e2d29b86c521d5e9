//! Wood ash in place of lime: how much, what it brings, and when none at all.
//!
//! `ash = lime need × 100 / CCE of the ash`, capped at 20 lb on 1000 sq ft a year for its salt and boron (WA91, PAYNE); sources
//! that allow 50 to 100 lb are not followed. Ash works like half its weight of lime unless a test says otherwise (8 to 90 % are
//! found). It stops at pH 7.0, is warned of from 6.5, and does not go on soil that is very rich in potassium or on beds of
//! potatoes or blueberries. What it does not cover is lime's to do.
//!
//! ```
//! use selion_core::quantities::{Ph, Rate, Units};
//! use selion_core::soil::ash::{AshCase, plan};
//!
//! let answer = plan(&AshCase {
//!     need: Rate::parse("50 lb/1000 sq ft")?,
//!     ph: Ph::parse("5.8")?,
//!     cce: None,
//!     potassium: None,
//!     spread_this_year: Rate::ZERO,
//!     keeps_lime_off: false,
//!     units: Units::UsCustomary,
//! })?;
//! assert_eq!(answer.result.ash.show(Units::UsCustomary), "20.0 lb/1000 sq ft");
//! assert_eq!(answer.result.lime_left.show(Units::UsCustomary), "40.0 lb/1000 sq ft");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::test_report::Level;
use crate::quantities::{Percent, Ph, Rate, RateUnit, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// What ash neutralises, taken where nobody tested it.
const USUAL_CCE: Percent = Percent::from_hundredths(5_000);
/// What was ever found (AGP2).
const FOUND_CCE: (Percent, Percent) = (
    Percent::from_hundredths(800),
    Percent::from_hundredths(9_000),
);
/// From here on ash is warned of.
const WARN_FROM: Ph = Ph::from_hundredths(650);
/// From here on there is none.
const STOP_FROM: Ph = Ph::from_hundredths(700);
/// Potassium in ash, in hundredths of its weight (WA91).
const POTASSIUM: (i64, i64) = (5, 100);
/// Potash (K₂O) in a part of potassium, in ten-thousandths.
const POTASH: (i64, i64) = (12_046, 10_000);

/// A bed that may get ash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct AshCase {
    /// The lime that it needs, as lime of 100 % CCE.
    pub need: Rate,
    /// The pH of the soil.
    pub ph: Ph,
    /// What the ash neutralises, where it was tested.
    pub cce: Option<Percent>,
    /// Potassium on the laboratory's own scale.
    pub potassium: Option<Level>,
    /// The ash that it had this year already.
    pub spread_this_year: Rate,
    /// Whether potatoes or blueberries stand there, or will next year.
    pub keeps_lime_off: bool,
    /// The garden's units.
    pub units: Units,
}

/// How much ash a bed gets.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AshPlan {
    /// How much on how much ground.
    pub ash: Rate,
    /// The lime that it replaces.
    pub credit: Rate,
    /// The lime that is still needed.
    pub lime_left: Rate,
    /// The potassium that it brings.
    pub potassium: Rate,
    /// The same as potash, K₂O.
    pub potash: Rate,
    /// Why there is none, if there is none.
    pub stopped: Option<String>,
    /// The garden's units.
    pub units: Units,
}

/// The most ash that goes on in a year.
pub fn yearly_cap() -> Rate {
    Rate::of(20_000, RateUnit::PoundsPer1000SqFt)
}

/// The pure limestone that ash stands for which was spread already, where nobody tested it.
pub fn replaces(ash: Rate) -> Option<Rate> {
    ash.scaled(USUAL_CCE.hundredths(), Percent::HUNDRED.hundredths())
}

/// How much ash a bed gets in place of lime.
pub fn plan(case: &AshCase) -> Result<Reckoning<AshPlan>, Refusal> {
    let cce = check(case)?;
    let stopped = stopped(case);
    let refused = || {
        Refusal::bad(
            "lime need",
            "a rate that can be stored",
            case.need.show(case.units),
        )
    };
    let wanted = case
        .need
        .scaled(Percent::HUNDRED.hundredths(), cce.hundredths())
        .ok_or_else(refused)?;
    let room = yearly_cap().less(case.spread_this_year);
    let ash = if stopped.is_some() {
        Rate::ZERO
    } else {
        wanted.min(room)
    };
    let part = |rate: Rate, (top, bottom): (i64, i64)| rate.scaled(top, bottom).ok_or_else(refused);
    let credit = part(ash, (cce.hundredths(), Percent::HUNDRED.hundredths()))?;
    let potassium = part(ash, POTASSIUM)?;
    let plan = AshPlan {
        ash,
        credit,
        lime_left: case.need.less(credit),
        potassium,
        potash: part(potassium, POTASH)?,
        stopped,
        units: case.units,
    };
    Ok(with_working(&plan, case, (cce, wanted, room)))
}

fn check(case: &AshCase) -> Result<Percent, Refusal> {
    let highest = Rate::of(20_000, RateUnit::TonsPerAcre);
    for (field, rate) in [
        ("lime need", case.need),
        ("ash spread this year", case.spread_this_year),
    ] {
        if !(Rate::ZERO..=highest).contains(&rate) {
            return Err(Refusal::bad(
                field,
                format!("nothing or more and at most {}", highest.show(case.units)),
                rate.show(case.units),
            ));
        }
    }
    let cce = case.cce.unwrap_or(USUAL_CCE);
    if cce < FOUND_CCE.0 || cce > FOUND_CCE.1 {
        return Err(Refusal::OutsideTheRule {
            field: "CCE of the ash".to_owned(),
            bounds: format!("what was ever found, {} to {}", FOUND_CCE.0, FOUND_CCE.1),
            came: cce.to_string(),
        });
    }
    Ok(cce)
}

/// Why a bed gets no ash at all.
fn stopped(case: &AshCase) -> Option<String> {
    if case.ph >= STOP_FROM {
        Some(format!("at pH {STOP_FROM} and above ash does harm"))
    } else if case.keeps_lime_off {
        Some("potatoes and blueberries want none".to_owned())
    } else if case.potassium == Some(Level::VeryHigh) {
        Some("the soil has far more potassium than enough".to_owned())
    } else if !case.need.is_positive() {
        Some("the bed needs no lime".to_owned())
    } else {
        None
    }
}

fn with_working(
    plan: &AshPlan,
    case: &AshCase,
    (cce, wanted, room): (Percent, Rate, Rate),
) -> Reckoning<AshPlan> {
    let units = case.units;
    let source = Source::published(
        "Wood ashes as a fertilizer and lime material, May 1991; Payne County Master Gardeners, 2018; Oregon State, 2011 \
         [WA91, PAYNE, OSU-ASH].",
    );
    let mut answer = Reckoning::new(plan.clone(), source)
        .step(Step::new("Lime needed, 100 % CCE", case.need.show(units)))
        .step(Step::new(
            format!("As ash of {cce} CCE"),
            wanted.show(units),
        ))
        .step(Step::new("Room under the yearly cap", room.show(units)));
    if let Some(why) = &plan.stopped {
        answer = answer.step(Step::new("No ash", why.clone()));
    }
    answer = answer
        .step(Step::new("Ash", plan.ash.show(units)))
        .step(Step::new("Lime that it replaces", plan.credit.show(units)))
        .step(Step::new("Potassium that it brings (5 %)", plan.potassium.show(units)))
        .step(Step::new("The same as potash, K₂O", plan.potash.show(units)))
        .step(Step::sum("Lime still needed", plan.lime_left.show(units)))
        .on("Ash is fine already: no correction for fineness.")
        .on("Never with ammonium sulfate, urea or ammonium nitrate, and a month before any nitrogen; not at sowing; no lumps.");
    if case.cce.is_none() {
        answer =
            answer.on("50 % CCE is taken, since this ash was not tested; 8 to 90 % are found.");
    }
    if case.potassium.is_none() {
        answer = answer.on("Potassium was not tested: ash brings a good deal of it.");
    }
    if case.ph >= WARN_FROM && plan.stopped.is_none() {
        answer = answer.on("The pH is 6.5 or above already: rather none.");
    }
    answer.caution(Caution::WoodAsh)
}

impl fmt::Display for AshPlan {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.stopped {
            Some(why) => write!(out, "No ash: {why}"),
            None => write!(
                out,
                "{} of ash, and {} of lime still needed",
                self.ash.show(self.units),
                self.lime_left.show(self.units)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(pounds: i64, ph: i64) -> AshCase {
        AshCase {
            need: Rate::of(pounds * 1_000, RateUnit::PoundsPer1000SqFt),
            ph: Ph::from_hundredths(ph),
            cce: None,
            potassium: None,
            spread_this_year: Rate::ZERO,
            keeps_lime_off: false,
            units: Units::UsCustomary,
        }
    }

    #[test]
    fn there_is_none_where_it_does_harm() {
        let stopped = [
            case(50, 700),
            AshCase {
                keeps_lime_off: true,
                ..case(50, 580)
            },
            AshCase {
                potassium: Some(Level::VeryHigh),
                ..case(50, 580)
            },
            case(0, 580),
        ];
        for case in stopped {
            let answer = plan(&case).unwrap();
            assert_eq!(answer.result.ash, Rate::ZERO);
            assert_eq!(answer.result.lime_left, case.need);
            assert!(answer.to_string().starts_with("No ash: "), "{answer}");
        }
        let warned = plan(&case(50, 690)).unwrap();
        assert!(warned.result.ash.is_positive());
        assert!(warned.basis.iter().any(|line| line.contains("rather none")));
    }

    #[test]
    fn what_went_on_this_year_counts() {
        let ash = |spread: i64| {
            let spread_this_year = Rate::of(spread * 1_000, RateUnit::PoundsPer1000SqFt);
            plan(&AshCase {
                spread_this_year,
                ..case(50, 580)
            })
            .unwrap()
            .result
            .ash
            .show(Units::UsCustomary)
        };
        assert_eq!(ash(15), "5.0 lb/1000 sq ft");
        assert_eq!(ash(25), "0.0 lb/1000 sq ft");
    }

    #[test]
    fn an_ash_that_was_never_found_is_refused() {
        for cce in [700, 9_100] {
            let case = AshCase {
                cce: Some(Percent::from_hundredths(cce)),
                ..case(50, 580)
            };
            assert_eq!(plan(&case).unwrap_err().code(), "outside_the_rule");
        }
    }

    proptest! {
        #[test]
        fn ash_and_lime_together_are_the_need(thousandths in 0_i64..300_000, cce in 800_i64..=9_000, ph in 400_i64..800) {
            let need = Rate::of(thousandths, RateUnit::PoundsPer1000SqFt);
            let case = AshCase { need, cce: Some(Percent::from_hundredths(cce)), ..case(0, ph) };
            let plan = plan(&case).unwrap().result;
            let sum = plan.credit.checked_add(plan.lime_left).unwrap();
            prop_assert!((sum.micrograms_per_m2() - need.micrograms_per_m2()).abs() <= 1);
            prop_assert!(plan.ash <= yearly_cap());
        }
    }
}
