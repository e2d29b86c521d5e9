//! Gypsum: calcium without a change of pH, where the soil is short of it and its pH is fine.
//!
//! 1 lb on 100 sq ft (KSU-BER). It neutralises nothing; where the pH is low, lime brings the calcium. It loosens clay only where
//! sodium is high (REEVES), which no ordinary garden test shows.
//!
//! ```
//! use selion_core::quantities::{Area, Ph, Units};
//! use selion_core::soil::gypsum::{GypsumCase, plan};
//! use selion_core::soil::test_report::Level;
//!
//! let case = GypsumCase {
//!     ph: Some(Ph::parse("6.6")?), target: Ph::parse("6.5")?, calcium: Some(Level::Low),
//!     area: Area::parse("40 sq ft")?, units: Units::UsCustomary,
//! };
//! assert_eq!(plan(&case)?.result.mass.show(Units::UsCustomary), "6.4 oz");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::test_report::Level;
use crate::quantities::{Area, Mass, Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// A bed that may be short of calcium.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct GypsumCase {
    /// The pH of the soil.
    pub ph: Option<Ph>,
    /// The pH that the bed should have.
    pub target: Ph,
    /// Calcium on the laboratory's own scale.
    pub calcium: Option<Level>,
    /// The bed.
    pub area: Area,
    /// The garden's units.
    pub units: Units,
}

/// How much gypsum a bed gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct GypsumPlan {
    /// How much on how much ground.
    pub rate: Rate,
    /// How much on the bed.
    pub mass: Mass,
    /// The garden's units.
    pub units: Units,
}

/// What goes on a bed that is short of calcium.
pub fn dose() -> Rate {
    Rate::of(1_000, RateUnit::PoundsPer100SqFt)
}

/// How much gypsum a bed gets.
pub fn plan(case: &GypsumCase) -> Result<Reckoning<GypsumPlan>, Refusal> {
    let missing = |what: &str| Refusal::Missing {
        what: what.to_owned(),
        why: "gypsum helps only where a soil test shows little calcium at a pH that is fine"
            .to_owned(),
    };
    let ph = case.ph.ok_or_else(|| missing("The pH of the soil"))?;
    let calcium = case.calcium.ok_or_else(|| missing("A calcium test"))?;
    if !case.area.is_positive() {
        return Err(Refusal::bad(
            "area",
            "more than nothing",
            case.area.show(case.units),
        ));
    }
    let (rate, why) = match calcium {
        Level::Low if ph >= case.target => (dose(), "calcium is low and the pH is fine"),
        Level::Low => (
            Rate::ZERO,
            "the pH is below its target: lime brings the calcium",
        ),
        Level::Optimum | Level::AboveOptimum | Level::VeryHigh => {
            (Rate::ZERO, "the soil has calcium enough")
        }
    };
    let mass = rate.over(case.area);
    let source =
        Source::published("Kansas State horticulture newsletter, blossom-end rot [KSU-BER].");
    Ok(Reckoning::new(
        GypsumPlan {
            rate,
            mass,
            units: case.units,
        },
        source,
    )
    .step(Step::new("pH of the soil", ph.to_string()))
    .step(Step::new("Target", case.target.to_string()))
    .step(Step::new("Because", why))
    .step(Step::new("Rate", rate.show(case.units)))
    .step(Step::sum(
        format!("On {}", case.area.show(case.units)),
        mass.show(case.units),
    ))
    .on("Gypsum does not change the pH."))
}

impl fmt::Display for GypsumPlan {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.rate.is_positive() {
            write!(out, "{} of gypsum", self.mass.show(self.units))
        } else {
            out.write_str("No gypsum")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(ph: Option<i64>, calcium: Option<Level>) -> GypsumCase {
        GypsumCase {
            ph: ph.map(Ph::from_hundredths),
            target: Ph::from_hundredths(650),
            calcium,
            area: Area::parse("100 sq ft").unwrap(),
            units: Units::UsCustomary,
        }
    }

    #[test]
    fn only_where_calcium_is_low_and_the_ph_is_fine() {
        let mass = |ph, calcium| {
            plan(&case(Some(ph), Some(calcium)))
                .unwrap()
                .result
                .mass
                .show(Units::UsCustomary)
        };
        assert_eq!(mass(650, Level::Low), "1.0 lb");
        assert_eq!(mass(640, Level::Low), "0 oz");
        assert_eq!(mass(650, Level::Optimum), "0 oz");
    }

    #[test]
    fn without_a_test_there_is_a_refusal() {
        assert_eq!(
            plan(&case(None, Some(Level::Low))).unwrap_err().code(),
            "missing"
        );
        assert_eq!(plan(&case(Some(650), None)).unwrap_err().code(), "missing");
        let nowhere = GypsumCase {
            area: Area::ZERO,
            ..case(Some(650), Some(Level::Low))
        };
        assert_eq!(plan(&nowhere).unwrap_err().code(), "bad_input");
    }
}
