//! How much a volume of a loose material weighs, as it lies there with its moisture.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::fraction::Fraction;
use super::typed::{amount, leading_number, leading_unit, tidied};
use super::unit_table::{CUBIC_YARD, MASSES, POUND, VOLUMES};
use super::{BadInput, Mass, Units, Volume};
use crate::json::form;

/// A bulk density, in whole grams a cubic metre.
///
/// ```
/// use selion_core::quantities::{Density, Units, Volume};
///
/// let compost = Density::parse("1000 lb/cu yd")?;
/// assert_eq!(compost.show(Units::Metric), "593 kg/m³");
/// assert_eq!(compost.weigh(Volume::parse("2 cu yd")?).show(Units::UsCustomary), "2,000.0 lb");
/// # Ok::<(), selion_core::quantities::BadInput>(())
/// ```
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Density(i64);

form!(Density: inside);

/// Millilitres in a cubic metre.
const ML_PER_M3: i128 = 1_000_000;

impl Density {
    /// From whole grams a cubic metre.
    pub const fn from_grams_per_m3(count: i64) -> Self {
        Self(count)
    }

    /// In whole grams a cubic metre.
    pub const fn grams_per_m3(self) -> i64 {
        self.0
    }

    /// From whole pounds a cubic yard, as the trade's tables print it.
    pub fn from_pounds_per_cubic_yard(pounds: i64) -> Self {
        let grams = Fraction::whole(pounds)
            .times(pound_per_cubic_yard())
            .and_then(Fraction::rounded)
            .and_then(|count| i64::try_from(count).ok());
        Self(grams.unwrap_or(i64::MAX))
    }

    /// Whether it is more than nothing.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// What a full vessel says about its contents; nothing to say without a volume.
    pub fn of(mass: Mass, volume: Volume) -> Option<Self> {
        let count = Fraction::new(
            i128::from(mass.grams()).checked_mul(ML_PER_M3)?,
            i128::from(volume.ml()),
        )?;
        i64::try_from(count.rounded()?)
            .ok()
            .filter(|_| volume.is_positive())
            .map(Self)
    }

    /// What a volume weighs, to the nearest gram; it stops at the largest weight.
    pub fn weigh(self, volume: Volume) -> Mass {
        let product = i128::from(self.0) * i128::from(volume.ml());
        let grams = (product + ML_PER_M3 / 2).div_euclid(ML_PER_M3);
        Mass::from_grams(i64::try_from(grams).unwrap_or(i64::MAX))
    }

    /// The room that a weight takes, to the nearest millilitre; nothing to say where it weighs nothing.
    pub fn room(self, mass: Mass) -> Option<Volume> {
        let count = Fraction::new(
            i128::from(mass.grams()).checked_mul(ML_PER_M3)?,
            i128::from(self.0),
        )?;
        i64::try_from(count.rounded()?)
            .ok()
            .filter(|_| self.is_positive())
            .map(Volume::from_ml)
    }

    /// Reads a weight on a volume, such as `590 kg/m3`, `1000 lb/cu yd` or `11 kg per 20 l`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        grams_per_m3(text).map(Self).ok_or_else(|| {
            BadInput::new(
                "bulk density",
                "a weight on a volume, such as 590 kg/m3 or 1000 lb/cu yd",
                text,
            )
        })
    }

    /// For a sentence: `593 kg/m³`, `1,000 lb/cu yd`.
    pub fn show(self, units: Units) -> String {
        let (unit, words) = match units {
            Units::Metric => (Fraction::whole(1_000), "kg/m³"),
            Units::UsCustomary => (pound_per_cubic_yard(), "lb/cu yd"),
        };
        let number = Fraction::whole(self.0).over(unit);
        format!("{} {words}", number.unwrap_or(Fraction::NOTHING).decimal(0))
    }
}

impl FromStr for Density {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

/// Grams a cubic metre in one pound a cubic yard, about 593.3.
fn pound_per_cubic_yard() -> Fraction {
    POUND
        .size()
        .over(CUBIC_YARD.size())
        .and_then(|grams_per_ml| grams_per_ml.times(Fraction::new(ML_PER_M3, 1)?))
        .unwrap_or(Fraction::NOTHING)
}

fn grams_per_m3(text: &str) -> Option<i64> {
    let text = tidied(text)?;
    let (grams, rest) = amount(&text, MASSES)?;
    let vessel = rest
        .strip_prefix('/')
        .or_else(|| rest.strip_prefix("per "))?
        .trim_start();
    let (count, vessel) = leading_number(vessel).unwrap_or((Fraction::whole(1), vessel));
    let (unit, rest) = leading_unit(vessel, VOLUMES)?;
    let millilitres = count.times(unit.size())?;
    let density = grams
        .times(Fraction::new(ML_PER_M3, 1)?)?
        .over(millilitres)?;
    i64::try_from(density.rounded()?)
        .ok()
        .filter(|_| rest.is_empty())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_same_density_in_many_units() {
        for (text, pounds) in [
            ("1000 lb/cu yd", 1_000),
            ("1 lb per cu yd", 1),
            ("50 lb/cu ft", 1_350),
            ("1000 lb per 27 cu ft", 1_000),
        ] {
            assert_eq!(
                Density::parse(text).unwrap(),
                Density::from_pounds_per_cubic_yard(pounds),
                "{text}"
            );
        }
        assert_eq!(Density::parse("0.6 kg/l"), Density::parse("600 kg/m3"));
    }

    #[test]
    fn what_is_no_density_is_refused_by_name() {
        for text in [
            "",
            "1000",
            "1000 lb",
            "1000 lb/acre",
            "1 lb/0 l",
            "lb/cu yd",
        ] {
            assert_eq!(Density::parse(text).unwrap_err().field, "bulk density");
        }
        assert_eq!(Density::of(Mass::from_grams(1), Volume::ZERO), None);
        assert_eq!(Density::default().room(Mass::from_grams(1)), None);
    }

    proptest! {
        #[test]
        fn weighing_and_its_reverse_agree(grams in 1_000_i64..3_000_000, ml in 1_000_i64..100_000_000) {
            let (density, volume) = (Density::from_grams_per_m3(grams), Volume::from_ml(ml));
            let mass = density.weigh(volume);
            // Half a gram of this material is at most so many millilitres.
            let slack = 500_000 / grams + 1;
            prop_assert!((density.room(mass).unwrap().ml() - ml).abs() <= slack);
        }

        #[test]
        fn pounds_a_cubic_yard_are_shown_as_they_were_typed(pounds in 1_i64..5_000) {
            let density = Density::from_pounds_per_cubic_yard(pounds);
            prop_assert_eq!(Density::parse(&density.show(Units::UsCustomary)).unwrap(), density);
        }
    }
}
