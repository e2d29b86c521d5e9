//! How heavy one person may lift, by the revised NIOSH lifting equation:
//! `51 lb × HM × VM × DM × AM × FM × CM`, with HM 10/H, VM 1 − 0.0075 |V − 30|, DM 0.82 + 1.8/D, AM 1 − 0.0032 A, in inches and
//! degrees [NIOSH 94-110, rev. 2021].
//!
//! No factor counts more than one. FM is 1 here: a lift now and then; whoever lifts for hours needs the publication's table.
//!
//! ```
//! use selion_core::quantities::{Length, Mass, Units};
//! use selion_core::work::lifting::{Grip, Lift, limit};
//!
//! let from_the_ground = Lift {
//!     load: Mass::parse("40 lb")?,
//!     away: Length::parse("15 in")?,
//!     height: Length::parse("6 in")?,
//!     way: Length::parse("30 in")?,
//!     turned: 0,
//!     grip: Grip::Poor,
//! };
//! let answer = limit(&from_the_ground, Units::UsCustomary)?;
//! assert_eq!(answer.result.to_string(), "Up to 22.1 lb for one person; 40.0 lb is for two");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::geometry::{approximate, whole};
use crate::quantities::{Length, Mass, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// What everything is taken off: 51 lb.
const MOST_POUNDS: f64 = 51.0;
const GRAMS_A_POUND: f64 = 453.592_37;

/// How well hands hold it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grip {
    /// Handles.
    Good,
    /// Something to hold on to.
    Fair,
    /// A bag without handles.
    Poor,
}

impl Grip {
    /// The factor, by where the hands begin: 1.0 or 0.95 for a fair grip (that it is less below 30 in is from memory).
    fn factor(self, height: f64) -> f64 {
        match self {
            Self::Fair if height < 30.0 => 0.95,
            Self::Good | Self::Fair => 1.0,
            Self::Poor => 0.90,
        }
    }
}

/// One lift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lift {
    /// What is lifted.
    pub load: Mass,
    /// How far in front of the ankles the hands hold it (H).
    pub away: Length,
    /// How high the hands are when they take it (V).
    pub height: Length,
    /// How far up it goes (D).
    pub way: Length,
    /// By how many degrees the body turns (A).
    pub turned: i64,
    /// How well it is held.
    pub grip: Grip,
}

/// What one person may lift, and whether this load is within it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Limit {
    /// The most for one person.
    pub most: Mass,
    /// The load that was asked about.
    pub load: Mass,
    /// The garden's units.
    pub units: Units,
}

impl Limit {
    /// Whether one person may lift it.
    pub fn is_for_one(&self) -> bool {
        self.load <= self.most
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (most, load) = (self.most.show(self.units), self.load.show(self.units));
        write!(out, "Up to {most} for one person; ")?;
        if self.is_for_one() {
            write!(out, "{load} is within it")
        } else if self.load.grams() <= self.most.grams() * 2 {
            write!(out, "{load} is for two")
        } else {
            write!(out, "{load} is for a barrow, or for smaller bags")
        }
    }
}

/// The most that one person may lift in this way.
pub fn limit(lift: &Lift, units: Units) -> Result<Reckoning<Limit>, Refusal> {
    if lift.load.grams() <= 0 {
        return Err(Refusal::bad(
            "load",
            "more than nothing",
            lift.load.show(units),
        ));
    }
    // These bounds are from memory, not confirmed in print; they only refuse, so nothing is said on the strength of them.
    within("away", lift.away, 25, units)?;
    within("height", lift.height, 70, units)?;
    within("way", lift.way, 70, units)?;
    if !(0..=135).contains(&lift.turned) {
        return Err(Refusal::bad(
            "turned",
            "0 to 135 degrees",
            lift.turned.to_string(),
        ));
    }
    let (away, height, way) = (inches(lift.away), inches(lift.height), inches(lift.way));
    let factors = [
        ("Distance from the body", 10.0 / away.max(10.0)),
        ("Height of the hands", 1.0 - 0.0075 * (height - 30.0).abs()),
        ("Way up", (0.82 + 1.8 / way.max(10.0)).min(1.0)),
        (
            "Turn of the body",
            1.0 - 0.0032 * approximate(i128::from(lift.turned)),
        ),
        ("Grip", lift.grip.factor(height)),
    ];
    let share: f64 = factors.iter().map(|(_, factor)| factor).product();
    let result = Limit {
        // Down to the gram: the limit is never rounded up.
        most: Mass::from_grams(whole((MOST_POUNDS * GRAMS_A_POUND * share).floor())),
        load: lift.load,
        units,
    };
    let source = Source::published(
        "NIOSH 94-110, Applications Manual for the Revised NIOSH Lifting Equation, rev. 2021.",
    );
    let most = Mass::from_grams(whole(MOST_POUNDS * GRAMS_A_POUND));
    let start = Reckoning::new(result, source).step(Step::new("At best", most.show(units)));
    Ok(factors
        .iter()
        .fold(start, |working, (name, factor)| {
            working.step(Step::new(*name, format!("× {factor:.3}")))
        })
        .step(Step::sum("For one person", result.most.show(units)))
        .on("One person, now and then, standing well, with both hands; lifting for hours allows less.")
        .rounded("Down to the gram; no factor counts more than one.")
        .caution(Caution::Lifting))
}

/// A length in whole inches at most.
fn within(field: &str, length: Length, most: i64, units: Units) -> Result<(), Refusal> {
    let bound = Length::from_mm(most * 254 / 10);
    if (Length::from_mm(0)..=bound).contains(&length) {
        Ok(())
    } else {
        Err(Refusal::OutsideTheRule {
            field: field.to_owned(),
            bounds: format!("0 to {}", bound.show(units)),
            came: length.show(units),
        })
    }
}

fn inches(length: Length) -> f64 {
    approximate(i128::from(length.mm())) / 25.4
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn bag(load: &str) -> Lift {
        Lift {
            load: Mass::parse(load).unwrap(),
            away: Length::parse("15 in").unwrap(),
            height: Length::parse("6 in").unwrap(),
            way: Length::parse("30 in").unwrap(),
            turned: 0,
            grip: Grip::Poor,
        }
    }

    fn words(lift: &Lift) -> String {
        limit(lift, Units::UsCustomary).unwrap().result.to_string()
    }

    #[test]
    fn a_bag_from_the_ground_is_for_two() {
        // Constructed in the handbook from the equation: 22.1 lb, so a 40 lb bag is a lift for two there.
        assert_eq!(
            words(&bag("40 lb")),
            "Up to 22.1 lb for one person; 40.0 lb is for two"
        );
        assert_eq!(
            words(&bag("20 lb")),
            "Up to 22.1 lb for one person; 20.0 lb is within it"
        );
        assert!(words(&bag("80 lb")).ends_with("is for a barrow, or for smaller bags"));
    }

    #[test]
    fn the_best_lift_there_is_may_weigh_51_lb() {
        let best = Lift {
            away: Length::parse("8 in").unwrap(),
            height: Length::parse("30 in").unwrap(),
            way: Length::parse("5 in").unwrap(),
            grip: Grip::Good,
            ..bag("51 lb")
        };
        assert_eq!(
            words(&best),
            "Up to 51.0 lb for one person; 51.0 lb is within it"
        );
    }

    #[test]
    fn what_the_equation_was_not_made_for_is_refused() {
        let refused = |lift: Lift| limit(&lift, Units::Metric).unwrap_err().to_string();
        let far = Length::parse("30 in").unwrap();
        let high = Length::parse("80 in").unwrap();
        assert!(
            refused(Lift {
                away: far,
                ..bag("20 lb")
            })
            .contains("away")
        );
        assert!(
            refused(Lift {
                height: high,
                ..bag("20 lb")
            })
            .contains("height")
        );
        assert!(
            refused(Lift {
                way: high,
                ..bag("20 lb")
            })
            .contains("way")
        );
        assert!(
            refused(Lift {
                turned: 136,
                ..bag("20 lb")
            })
            .starts_with("turned:")
        );
        assert!(
            refused(Lift {
                load: Mass::from_grams(0),
                ..bag("20 lb")
            })
            .starts_with("load:")
        );
    }

    proptest! {
        #[test]
        fn further_away_and_more_turned_never_allow_more(away in 0_i64..600, more in 0_i64..35, turned in 0_i64..100, further in 0_i64..35) {
            let lift = Lift { away: Length::from_mm(away), turned, ..bag("20 lb") };
            let harder = Lift { away: Length::from_mm(away + more), turned: turned + further, ..lift };
            let most = |lift: &Lift| limit(lift, Units::Metric).unwrap().result.most;
            prop_assert!(most(&harder) <= most(&lift));
        }
    }
}
