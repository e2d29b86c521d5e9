//! How much of a material goes on how much ground.

use serde::{Deserialize, Serialize};

use super::{Area, Mass};
use crate::json::form;

/// Square millimetres in a square metre.
const MM2_PER_M2: i128 = 1_000_000;
/// Micrograms in a gram.
const MICROGRAMS_PER_GRAM: i128 = 1_000_000;

/// A mass on an area, in whole micrograms a square metre.
///
/// So fine a unit, because rates are printed in pounds per 1000 square feet and multiplied by whole gardens: 75 lb per
/// 1000 sq ft keeps nine digits.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Rate(i64);

impl Rate {
    /// Nothing at all.
    pub const ZERO: Self = Self(0);

    /// From whole micrograms a square metre.
    pub const fn from_micrograms_per_m2(count: i64) -> Self {
        Self(count)
    }

    /// In whole micrograms a square metre.
    pub const fn micrograms_per_m2(self) -> i64 {
        self.0
    }

    /// Whether it is more than nothing.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// What a mass comes to that is spread evenly on an area, to the nearest microgram; nothing to say without an area.
    ///
    /// ```
    /// use selion_core::quantities::{Area, Mass, Rate};
    ///
    /// let spread = Rate::spread(Mass::from_grams(2_196), Area::from_mm2(6_000_000));
    /// assert_eq!(spread, Some(Rate::from_micrograms_per_m2(366_000_000)));
    /// assert_eq!(Rate::spread(Mass::from_grams(1), Area::ZERO), None);
    /// ```
    pub fn spread(mass: Mass, area: Area) -> Option<Self> {
        if !area.is_positive() {
            return None;
        }
        let area = i128::from(area.mm2());
        let whole = i128::from(mass.grams()) * MM2_PER_M2 * MICROGRAMS_PER_GRAM;
        i64::try_from((whole + area / 2).div_euclid(area))
            .ok()
            .map(Self)
    }

    /// The mass that this rate puts on an area, to the nearest gram, halves up.
    ///
    /// Beyond what can be stored it stops at the largest mass.
    ///
    /// ```
    /// use selion_core::quantities::{Area, Mass, Rate};
    ///
    /// // 366 g a square metre on a bed of 6 square metres.
    /// let rate = Rate::from_micrograms_per_m2(366_000_000);
    /// assert_eq!(rate.over(Area::from_mm2(6_000_000)), Mass::from_grams(2_196));
    /// ```
    pub fn over(self, area: Area) -> Mass {
        let product = i128::from(self.0) * i128::from(area.mm2());
        let one_gram = MM2_PER_M2 * MICROGRAMS_PER_GRAM;
        let grams = (product + one_gram / 2).div_euclid(one_gram);
        Mass::from_grams(i64::try_from(grams).unwrap_or(if grams < 0 {
            i64::MIN
        } else {
            i64::MAX
        }))
    }
}

form!(Rate: inside);
