//! A laboratory's report of one soil: its values as printed, the method behind each, and what is missing for a purpose.
//!
//! Buffer readings of different methods look alike and mean different things, so a reading is never a bare number:
//! [`AcidityReading`] says by whose method it was taken, and only that method's rule is applied to it.
//!
//! Readings, textures and levels are stored in the records of a garden as they stand here, so none of them is ever renamed.
//!
//! ```
//! use selion_core::quantities::Ph;
//! use selion_core::soil::test_report::{Purpose, TestReport};
//!
//! let report = TestReport { ph: Some(Ph::parse("5.4")?), ..TestReport::default() };
//! assert!(report.missing_for(Purpose::Target).is_empty());
//! assert_eq!(
//!     report.missing_for(Purpose::LimeRate),
//!     ["the laboratory's recommendation, or its buffer or acidity reading, or the texture of the soil"]
//! );
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use serde::Serialize;

use super::doses::MONTHS_BEFORE_TEST;
use super::lime::LimeBasis;
use crate::json::{choice, record, words};
use crate::quantities::{Acidity, BadInput, Day, Depth, PartsPerMillion, Ph, Rate};
use crate::reckoning::Refusal;

/// What a laboratory printed about one soil. Everything may be missing.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct TestReport {
    /// When the soil was taken.
    pub taken_on: Option<Day>,
    /// When the ground was limed before that, as far as it is known.
    pub limed_on: Vec<Day>,
    /// The pH of the soil in water (or read as such by the laboratory).
    pub ph: Option<Ph>,
    /// What the laboratory itself says should be spread.
    pub recommendation: Option<Recommendation>,
    /// Its buffer or acidity reading.
    pub acidity: Option<AcidityReading>,
    /// How coarse the soil is.
    pub texture: Option<Texture>,
    /// What the ground is made of.
    pub ground: Ground,
    /// Calcium on the laboratory's own scale.
    pub calcium: Option<Level>,
    /// Magnesium on the laboratory's own scale.
    pub magnesium: Option<Level>,
    /// Potassium on the laboratory's own scale.
    pub potassium: Option<Level>,
}

/// A laboratory's own lime rate for this soil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Recommendation {
    /// How much on how much ground.
    pub rate: Rate,
    /// What the rate is of: pure lime, standard lime, the product itself.
    pub basis: LimeBasis,
    /// The pH that it is meant to reach.
    pub target: Ph,
    /// How deep it is meant to be mixed in, where the report says so.
    pub depth: Option<Depth>,
}

record!(Recommendation {
    rate,
    basis,
    target,
    depth
});

/// A buffer or acidity reading, with the method that gives it its meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AcidityReading {
    /// Mehlich buffer pH, North Carolina.
    MehlichBufferNc(Ph),
    /// Mehlich acidity (Ac), North Carolina.
    MehlichAcidityNc(Acidity),
    /// Exchangeable acidity by the modified Mehlich buffer, Pennsylvania.
    ExchangeablePennState(Acidity),
    /// Sikora buffer pH, Oregon.
    SikoraOregon(Ph),
}

choice!(AcidityReading {
    "mehlich_buffer_nc" => MehlichBufferNc(it),
    "mehlich_acidity_nc" => MehlichAcidityNc(it),
    "exchangeable_penn_state" => ExchangeablePennState(it),
    "sikora_oregon" => SikoraOregon(it),
});

/// How coarse a soil is, in the three steps of the tables that are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Texture {
    /// Sand and loamy sand.
    Sand,
    /// Loam.
    Loam,
    /// Clay.
    Clay,
}

words!(Texture { "sand" => Sand, "loam" => Loam, "clay" => Clay });

/// What the ground is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ground {
    /// Ordinary ground of sand, silt and clay.
    #[default]
    Mineral,
    /// Peat, muck and other ground that is mostly organic matter.
    Peaty,
    /// A raised bed filled with compost.
    CompostFilled,
}

words!(Ground { "mineral" => Mineral, "peaty" => Peaty, "compost_filled" => CompostFilled });

/// A nutrient on the laboratory's own scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Below what the laboratory calls enough.
    Low,
    /// Enough.
    Optimum,
    /// More than enough.
    AboveOptimum,
    /// Far more than enough.
    VeryHigh,
}

words!(Level {
    "low" => Low,
    "optimum" => Optimum,
    "above_optimum" => AboveOptimum,
    "very_high" => VeryHigh,
});

/// What a report is read for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Whether a bed is at the pH that its crops ask for.
    Target,
    /// How much lime it needs.
    LimeRate,
    /// Calcitic or dolomitic lime.
    KindOfLime,
    /// How much wood ash it can take.
    Ash,
    /// What stands behind blossom-end rot.
    BlossomEndRot,
}

impl TestReport {
    /// What this report lacks for the purpose, in the order in which one would ask for it.
    pub fn missing_for(&self, purpose: Purpose) -> Vec<&'static str> {
        let ph = (self.ph.is_none(), "the pH of the soil");
        let need = (
            self.recommendation.is_none() && self.acidity.is_none() && self.texture.is_none(),
            "the laboratory's recommendation, or its buffer or acidity reading, or the texture of the soil",
        );
        let magnesium = (
            self.magnesium.is_none(),
            "magnesium on the laboratory's scale",
        );
        let potassium = (
            self.potassium.is_none(),
            "potassium on the laboratory's scale",
        );
        let calcium = (self.calcium.is_none(), "calcium on the laboratory's scale");
        let asked: &[(bool, &'static str)] = match purpose {
            Purpose::Target => &[ph],
            Purpose::LimeRate => &[ph, need],
            Purpose::KindOfLime => &[magnesium],
            Purpose::Ash => &[ph, potassium],
            Purpose::BlossomEndRot => &[ph, calcium],
        };
        asked
            .iter()
            .filter(|(is_missing, _)| *is_missing)
            .map(|(_, what)| *what)
            .collect()
    }

    /// Refuses a sample taken within three months of liming (RHS-LIME).
    pub fn check_not_just_limed(&self) -> Result<(), Refusal> {
        let Some(taken) = self.taken_on else {
            return Ok(());
        };
        let spoils =
            |limed: &&Day| **limed <= taken && taken < limed.plus_months(MONTHS_BEFORE_TEST);
        match self.limed_on.iter().find(spoils) {
            Some(limed) => Err(Refusal::OutsideTheRule {
                field: "soil test".to_owned(),
                bounds: "soil not limed within three months before".to_owned(),
                came: format!("a sample of {taken} after lime on {limed}"),
            }),
            None => Ok(()),
        }
    }

    /// The pH, which everything about lime begins with.
    pub fn known_ph(&self) -> Result<Ph, Refusal> {
        self.ph.ok_or_else(|| Refusal::Missing {
            what: "The pH of the soil".to_owned(),
            why: "whether a bed wants lime at all rests on it".to_owned(),
        })
    }
}

/// What a soil holds of a nutrient, as laboratories print it: in ppm or mg/kg, or in lb/acre, which is halved.
///
/// An acre of the slice that a plough turns is taken as 2,000,000 lb, so that 1 ppm is 2 lb/acre (common practice of the laboratories
/// that print pounds). A bare number is ppm.
///
/// # Errors
/// Anything else is refused with what was expected.
pub fn nutrient(text: &str) -> Result<PartsPerMillion, BadInput> {
    let trimmed = text.trim();
    let pounds = ["lb/acre", "lbs/acre", "lb/ac", "lbs/ac", "lb/A"];
    let number = pounds.iter().find_map(|unit| trimmed.strip_suffix(unit));
    let read = match number {
        None => PartsPerMillion::parse(trimmed),
        Some(number) => PartsPerMillion::parse(number.trim_end()).map(|pounds| {
            let halved = (pounds.hundredths() + 1) / 2;
            PartsPerMillion::from_hundredths(halved)
        }),
    };
    read.map_err(|bad| BadInput {
        field: "nutrient".to_owned(),
        expected: "an amount such as 120 ppm, 120 mg/kg or 240 lb/acre".to_owned(),
        ..bad
    })
}

impl Texture {
    /// As people say it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Sand => "sand or loamy sand",
            Self::Loam => "loam",
            Self::Clay => "clay",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nutrients_are_read_as_laboratories_print_them() {
        for text in ["60 ppm", "60 mg/kg", "60", "120 lb/acre", " 120 lbs/ac "] {
            assert_eq!(nutrient(text).unwrap().hundredths(), 6_000, "{text}");
        }
        // An odd hundredth goes up.
        assert_eq!(nutrient("0.25 lb/acre").unwrap().hundredths(), 13);
        for text in ["", "60 meq", "lb/acre", "-3 ppm", "60 lb/1000 sq ft"] {
            let bad = nutrient(text).unwrap_err();
            assert_eq!(bad.field, "nutrient", "{text}");
        }
    }

    #[test]
    fn what_is_missing_depends_on_what_the_report_is_read_for() {
        let empty = TestReport::default();
        assert_eq!(empty.missing_for(Purpose::LimeRate).len(), 2);
        assert_eq!(
            empty.missing_for(Purpose::KindOfLime),
            ["magnesium on the laboratory's scale"]
        );
        assert_eq!(empty.missing_for(Purpose::BlossomEndRot).len(), 2);
        let full = TestReport {
            ph: Some(Ph::from_hundredths(540)),
            texture: Some(Texture::Loam),
            potassium: Some(Level::Low),
            ..TestReport::default()
        };
        assert!(full.missing_for(Purpose::LimeRate).is_empty());
        assert!(full.missing_for(Purpose::Ash).is_empty());
    }

    #[test]
    fn without_a_ph_there_is_a_refusal_and_no_guess() {
        let refusal = TestReport::default().known_ph().unwrap_err();
        assert_eq!(refusal.code(), "missing");
        assert!(
            refusal
                .to_string()
                .starts_with("The pH of the soil is missing")
        );
    }
}
