//! Small weights: a packet of seed, a sample from a few square feet.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::fraction::{Fraction, trimmed};
use super::measure::measure;
use super::typed::{amount, tidied};
use super::unit_table::{GRAM, KILOGRAM, MASSES, OUNCE, POUND};
use super::{Area, BadInput, Rate, Units};

measure!(
    /// A small weight, in whole milligrams.
    ///
    /// Finer than a [`Mass`](super::Mass), since a packet of lettuce weighs half a gram and a cut sample is multiplied up to
    /// whole fields.
    ///
    /// ```
    /// use selion_core::quantities::{SmallMass, Units};
    ///
    /// assert_eq!(SmallMass::parse("1/4 oz")?.show(Units::Metric), "7.09 g");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    SmallMass,
    from_milligrams,
    milligrams,
    "milligrams"
);

impl SmallMass {
    /// Reads a weight with its unit, such as `12.5 g` or `1.2 lb`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        milligrams(text).map(Self::from_milligrams).ok_or_else(|| {
            let expected = "a weight with its unit, such as 12.5 g or 1.2 lb";
            BadInput::new("weight", expected, text)
        })
    }

    /// For a sentence, at most two digits behind the point: `7.09 g`, `1.2 kg`; `0.25 oz`, `1.2 lb`.
    pub fn show(self, units: Units) -> String {
        let size = self.milligrams().unsigned_abs();
        let unit = match units {
            Units::Metric if size < 1_000_000 => &GRAM,
            Units::Metric => &KILOGRAM,
            Units::UsCustomary if size < 453_592 => &OUNCE,
            Units::UsCustomary => &POUND,
        };
        let number = Fraction::new(i128::from(self.milligrams()), 1_000)
            .and_then(|grams| grams.over(unit.size()))
            .unwrap_or(Fraction::NOTHING)
            .decimal(2);
        format!("{} {}", trimmed(&number), unit.shown_as())
    }

    /// So much of an ounce, as a fraction, to the nearest milligram; nothing where that cannot be stored.
    pub fn of_ounces(top: i64, bottom: i64) -> Option<Self> {
        let ounces = Fraction::new(i128::from(top), i128::from(bottom))?;
        let grams = ounces.times(OUNCE.size())?;
        let count = grams.times(Fraction::whole(1_000))?.rounded()?;
        i64::try_from(count).ok().map(Self::from_milligrams)
    }

    /// The rate of this weight from an area; nothing to say without an area, or beyond what can be stored.
    pub fn from_area(self, area: Area) -> Option<Rate> {
        // A milligram on a square millimetre is 10⁹ micrograms on a square metre.
        let micrograms =
            Fraction::whole(self.milligrams()).times(Fraction::whole(1_000_000_000))?;
        let rate = micrograms.over(Fraction::whole(area.mm2()))?.rounded()?;
        i64::try_from(rate)
            .ok()
            .filter(|_| area.is_positive())
            .map(Rate::from_micrograms_per_m2)
    }
}

impl FromStr for SmallMass {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

fn milligrams(text: &str) -> Option<i64> {
    let text = tidied(text)?;
    let (grams, rest) = amount(&text, MASSES)?;
    let count = grams.times(Fraction::whole(1_000))?.rounded()?;
    i64::try_from(count).ok().filter(|_| rest.is_empty())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantities::RateUnit;

    #[test]
    fn a_sample_becomes_a_rate() {
        // 1 g from a square foot is 43,560 g an acre.
        let rate = SmallMass::parse("1 g")
            .unwrap()
            .from_area(Area::parse("1 sq ft").unwrap())
            .unwrap();
        assert_eq!(rate.shown_in(RateUnit::PoundsPerAcre, 2).number, "96.03");
        assert_eq!(SmallMass::from_milligrams(1).from_area(Area::ZERO), None);
        assert_eq!(SmallMass::parse("1.2").unwrap_err().field, "weight");
        assert_eq!(SmallMass::of_ounces(1, 0), None);
    }

    proptest! {
        #[test]
        fn what_is_typed_in_hundredths_is_shown_as_it_was_typed(hundredths in 1_i64..1_500) {
            for unit in ["oz", "g"] {
                let typed = SmallMass::parse(&format!("{}.{:02} {unit}", hundredths / 100, hundredths % 100)).unwrap();
                for units in [Units::Metric, Units::UsCustomary] {
                    let off = SmallMass::parse(&typed.show(units)).unwrap().milligrams() - typed.milligrams();
                    prop_assert!(off.abs() <= 142, "{off}");
                }
            }
        }
    }
}
