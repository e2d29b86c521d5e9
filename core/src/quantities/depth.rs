//! How thick a layer lies on the ground.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::fraction::{Fraction, trimmed};
use super::measure::measure;
use super::typed::{amount, tidied};
use super::unit_table::{INCH, LENGTHS};
use super::{Area, BadInput, Units, Volume};

measure!(
    /// The thickness of a layer, in whole micrometres.
    ///
    /// Finer than a [`Length`](super::Length), since a quarter inch of compost is 6.35 mm and multiplied by whole gardens.
    ///
    /// ```
    /// use selion_core::quantities::{Area, Depth, Units};
    ///
    /// let layer = Depth::parse("1/4 in")?;
    /// let compost = layer.over(Area::parse("1000 sq ft")?);
    /// assert_eq!(layer.show(Units::Metric), "6.4 mm");
    /// assert_eq!(compost.show_bulk(Units::UsCustomary), "0.77 cu yd");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    Depth,
    from_micrometres,
    micrometres,
    "micrometres"
);

/// Cubic micrometres above a square millimetre in a millilitre: 10³ µm/mm × 10³ mm³/ml.
const PER_ML: i128 = 1_000_000;

impl Depth {
    /// Reads a thickness with its unit, such as `20 mm` or `1/2 in`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        micrometres(text)
            .map(Self::from_micrometres)
            .ok_or_else(|| {
                BadInput::new(
                    "depth",
                    "a thickness with its unit, such as 20 mm or 1/2 in",
                    text,
                )
            })
    }

    /// For a sentence: `6.4 mm`, `2.5 cm`, `12 cm`; `0.25 in`, `3 in`.
    pub fn show(self, units: Units) -> String {
        let millimetres =
            Fraction::new(i128::from(self.micrometres()), 1_000).unwrap_or(Fraction::NOTHING);
        let (in_unit, digits, unit) = match units {
            Units::Metric if self.micrometres().unsigned_abs() < 10_000 => {
                (Some(millimetres), 1, "mm")
            }
            Units::Metric => (millimetres.over(Fraction::whole(10)), 1, "cm"),
            Units::UsCustomary => (millimetres.over(INCH.size()), 2, "in"),
        };
        let number = in_unit.unwrap_or(Fraction::NOTHING).decimal(digits);
        format!("{} {unit}", trimmed(&number))
    }

    /// As rain is measured: millimetres with one digit behind the point, inches with two: `25.4 mm`, `1 in`.
    pub fn show_water(self, units: Units) -> String {
        let millimetres =
            Fraction::new(i128::from(self.micrometres()), 1_000).unwrap_or(Fraction::NOTHING);
        let (in_unit, digits, unit) = match units {
            Units::Metric => (Some(millimetres), 1, "mm"),
            Units::UsCustomary => (millimetres.over(INCH.size()), 2, "in"),
        };
        let number = in_unit.unwrap_or(Fraction::NOTHING).decimal(digits);
        format!("{} {unit}", trimmed(&number))
    }

    /// What this layer takes on an area, to the nearest millilitre; it stops at the largest volume.
    pub fn over(self, area: Area) -> Volume {
        let cubic = i128::from(self.micrometres()) * i128::from(area.mm2());
        let ml = (cubic + PER_ML / 2).div_euclid(PER_ML);
        Volume::from_ml(i64::try_from(ml).unwrap_or(i64::MAX))
    }

    /// How thick a volume lies on an area, to the nearest micrometre; nothing to say without an area.
    pub fn of(volume: Volume, area: Area) -> Option<Self> {
        let count = Fraction::new(
            i128::from(volume.ml()).checked_mul(PER_ML)?,
            i128::from(area.mm2()),
        )?;
        i64::try_from(count.rounded()?)
            .ok()
            .filter(|_| area.is_positive())
            .map(Self::from_micrometres)
    }
}

impl FromStr for Depth {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

/// A whole text as one length, in micrometres.
pub(super) fn micrometres(text: &str) -> Option<i64> {
    let text = tidied(text)?;
    let (millimetres, rest) = amount(&text, LENGTHS)?;
    let count = millimetres.times(Fraction::whole(1_000))?.rounded()?;
    i64::try_from(count).ok().filter(|_| rest.is_empty())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn inches_are_kept_exactly() {
        assert_eq!(Depth::parse("1/4 in").unwrap().micrometres(), 6_350);
        assert_eq!(Depth::parse("2 cm").unwrap().show(Units::Metric), "2 cm");
        assert_eq!(
            Depth::parse("0.65 in").unwrap().show(Units::UsCustomary),
            "0.65 in"
        );
        let rain = Depth::parse("1 in").unwrap();
        assert_eq!(rain.show_water(Units::Metric), "25.4 mm");
        assert_eq!(rain.show_water(Units::UsCustomary), "1 in");
        assert_eq!(Depth::parse("1/2").unwrap_err().field, "depth");
        assert_eq!(Depth::of(Volume::from_ml(1), Area::ZERO), None);
    }

    proptest! {
        #[test]
        fn a_layer_and_its_volume_belong_together(micrometres in 1_i64..500_000, mm2 in 1_000_000_i64..100_000_000_000) {
            let (depth, area) = (Depth::from_micrometres(micrometres), Area::from_mm2(mm2));
            let back = Depth::of(depth.over(area), area).unwrap();
            // Half a millilitre on a square metre is half a micrometre.
            prop_assert!((back.micrometres() - micrometres).abs() <= 1);
        }
    }
}
