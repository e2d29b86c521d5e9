//! Elemental sulfur for blueberries and the like: how much, in how many small doses.
//!
//! A printed table to pH 4.5 in lb an acre [TERRA, from Michigan State], by texture and pH; between its half steps the amount lies
//! on the straight line, ending in nothing at 4.5. No other target, nothing above 7.0. Sources for other steps differ five-fold,
//! so the doses are small: 5 lb on 1000 sq ft, three months apart, below 75 °F, watered in (CLEM-ACID), with tests in between.
//! Soil that fizzes under vinegar holds free lime, and no amount of sulfur is realistic (RHS-ACID).
//!
//! ```
//! use selion_core::quantities::{Ph, RateUnit, Units};
//! use selion_core::soil::sulfur::{SulfurCase, plan};
//! use selion_core::soil::test_report::Texture;
//!
//! let case = SulfurCase {
//!     ph: Ph::parse("6.0")?, target: Ph::parse("4.5")?, texture: Texture::Loam, fizzes: Some(false), units: Units::UsCustomary,
//! };
//! let sulfur = plan(&case)?.result;
//! assert_eq!(sulfur.rate.shown_in(RateUnit::PoundsPerAcre, 0).to_string(), "1,540 lb/acre");
//! assert_eq!(sulfur.doses.len(), 8);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::doses::equal_parts;
use super::table::between_rows;
use super::test_report::Texture;
use crate::quantities::{Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The pH that the printed table leads to.
pub const TARGET: Ph = Ph::from_hundredths(450);
/// Months between two doses: the longer of two to three.
const MONTHS_BETWEEN: u8 = 3;

/// The current pH in hundredths, and lb an acre for sand, loam and clay.
const TABLE: [(i64, [i64; 3]); 6] = [
    (450, [0, 0, 0]),
    (500, [175, 530, 800]),
    (550, [350, 1_030, 1_600]),
    (600, [530, 1_540, 2_300]),
    (650, [660, 2_020, 3_030]),
    (700, [840, 2_560, 3_830]),
];

/// A bed that is to be made sour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SulfurCase {
    /// The pH of the soil.
    pub ph: Ph,
    /// The pH to reach.
    pub target: Ph,
    /// How coarse the soil is.
    pub texture: Texture,
    /// Whether it fizzes under vinegar, if somebody tried.
    pub fizzes: Option<bool>,
    /// The garden's units.
    pub units: Units,
}

/// How much sulfur a bed gets.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SulfurPlan {
    /// How much on how much ground, in all.
    pub rate: Rate,
    /// The doses; they sum to the rate.
    pub doses: Vec<Rate>,
    /// Months from one to the next.
    pub months_between: u8,
    /// The garden's units.
    pub units: Units,
}

/// The most sulfur that goes on at once: the lower of 5 to 10 lb on 1000 sq ft.
pub fn cap() -> Rate {
    Rate::of(5_000, RateUnit::PoundsPer1000SqFt)
}

/// How much sulfur a bed gets, and in how many doses.
pub fn plan(case: &SulfurCase) -> Result<Reckoning<SulfurPlan>, Refusal> {
    let outside = |field: &str, bounds: &str, came: String| Refusal::OutsideTheRule {
        field: field.to_owned(),
        bounds: bounds.to_owned(),
        came,
    };
    if case.target != TARGET {
        return Err(outside("target", "the target 4.5", case.target.to_string()));
    }
    if case.fizzes == Some(true) {
        let came = "soil that fizzes under vinegar".to_owned();
        return Err(outside(
            "free lime",
            "soil without it, which alone can be made sour",
            came,
        ));
    }
    let column = match case.texture {
        Texture::Sand => |[sand, _, _]: [i64; 3]| sand,
        Texture::Loam => |[_, loam, _]: [i64; 3]| loam,
        Texture::Clay => |[_, _, clay]: [i64; 3]| clay,
    };
    let rows = TABLE.map(|(key, textures)| (key, column(textures) * 1_000));
    let thousandths = if case.ph <= TARGET {
        0
    } else {
        let found = between_rows(&rows, case.ph.hundredths());
        found
            .ok_or_else(|| outside("pH", "a pH up to 7.0", case.ph.to_string()))?
            .value
    };
    let rate = Rate::of(thousandths, RateUnit::PoundsPerAcre);
    let doses = equal_parts(rate, cap())?;
    let count = doses.len();
    let plan = SulfurPlan {
        rate,
        doses,
        months_between: MONTHS_BETWEEN,
        units: case.units,
    };
    let source = Source::published(
        "TerraLink, table from Michigan State; Clemson; RHS [TERRA, CLEM-ACID, RHS-ACID].",
    );
    let pounds = rate.shown_in(RateUnit::PoundsPerAcre, 0).to_string();
    let mut answer = Reckoning::new(plan, source)
        .step(Step::new("pH of the soil", case.ph.to_string()))
        .step(Step::new("Target", case.target.to_string()))
        .step(Step::new(format!("Table, {}", case.texture.words()), pounds))
        .step(Step::new("Most at once", cap().show(case.units)))
        .step(Step::new("Doses, three months apart", count.to_string()))
        .step(Step::sum("Sulfur in all", rate.show(case.units)))
        .on("Warm, moist soil and months of time; below 75 °F (24 °C), watered in. Test between the doses and stop when it is reached.");
    if case.fizzes.is_none() {
        answer = answer
            .on("Try vinegar first: soil that fizzes holds free lime, and sulfur is wasted on it.");
    }
    Ok(answer)
}

impl fmt::Display for SulfurPlan {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.doses.first() {
            None => out.write_str("No sulfur"),
            Some(first) => write!(
                out,
                "{} of sulfur in {} doses of {}, {} months apart",
                self.rate.show(self.units),
                self.doses.len(),
                first.show(self.units),
                self.months_between
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(ph: i64, texture: Texture) -> SulfurCase {
        SulfurCase {
            ph: Ph::from_hundredths(ph),
            target: TARGET,
            texture,
            fizzes: Some(false),
            units: Units::UsCustomary,
        }
    }

    #[test]
    fn outside_the_table_there_is_no_number() {
        let refusals = [
            (case(710, Texture::Loam), "pH"),
            (
                SulfurCase {
                    target: Ph::from_hundredths(500),
                    ..case(600, Texture::Loam)
                },
                "target",
            ),
            (
                SulfurCase {
                    fizzes: Some(true),
                    ..case(600, Texture::Loam)
                },
                "free lime",
            ),
        ];
        for (case, field) in refusals {
            let refusal = plan(&case).unwrap_err();
            assert_eq!(refusal.code(), "outside_the_rule");
            assert!(refusal.to_string().starts_with(field), "{refusal}");
        }
        assert_eq!(
            plan(&case(440, Texture::Clay))
                .unwrap()
                .to_string()
                .lines()
                .next(),
            Some("No sulfur")
        );
        let untried = plan(&SulfurCase {
            fizzes: None,
            ..case(600, Texture::Loam)
        })
        .unwrap();
        assert!(
            untried
                .basis
                .iter()
                .any(|line| line.starts_with("Try vinegar first"))
        );
    }

    proptest! {
        #[test]
        fn a_higher_ph_or_a_heavier_soil_is_never_less_sulfur(ph in 400_i64..=700, less in 0_i64..=100) {
            let rate = |ph, texture| plan(&case(ph, texture)).unwrap().result.rate;
            prop_assert!(rate(ph - less, Texture::Loam) <= rate(ph, Texture::Loam));
            prop_assert!(rate(ph, Texture::Sand) <= rate(ph, Texture::Loam));
            prop_assert!(rate(ph, Texture::Loam) <= rate(ph, Texture::Clay));
        }

        #[test]
        fn doses_sum_to_the_rate(ph in 400_i64..=700) {
            let plan = plan(&case(ph, Texture::Clay)).unwrap().result;
            let sum: i64 = plan.doses.iter().map(|dose| dose.micrograms_per_m2()).sum();
            prop_assert_eq!(sum, plan.rate.micrograms_per_m2());
        }
    }
}
