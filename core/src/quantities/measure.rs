//! Lengths, areas, masses, volumes and spans of work: whole numbers of one small unit each.
//!
//! Every amount in a garden is stored as one of these. Sums of them are exact, an overflow is an answer (`None`), never a
//! wrong number, and a length cannot be added to a mass.

use serde::{Deserialize, Serialize};

/// Writes one measure: a whole number of a base unit, with the arithmetic that keeps the unit.
macro_rules! measure {
    ($(#[$doc:meta])* $name:ident, $make:ident, $read:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(i64);

        impl $name {
            /// Nothing at all.
            pub const ZERO: Self = Self(0);

            #[doc = concat!("From whole ", $unit, ".")]
            pub const fn $make(count: i64) -> Self {
                Self(count)
            }

            #[doc = concat!("In whole ", $unit, ".")]
            pub const fn $read(self) -> i64 {
                self.0
            }

            /// The sum, unless it is beyond what can be stored.
            pub const fn checked_add(self, other: Self) -> Option<Self> {
                match self.0.checked_add(other.0) {
                    Some(sum) => Some(Self(sum)),
                    None => None,
                }
            }

            /// The difference, unless it is beyond what can be stored.
            pub const fn checked_sub(self, other: Self) -> Option<Self> {
                match self.0.checked_sub(other.0) {
                    Some(rest) => Some(Self(rest)),
                    None => None,
                }
            }

            /// This amount so many times over, unless that is beyond what can be stored.
            pub const fn checked_times(self, count: i64) -> Option<Self> {
                match self.0.checked_mul(count) {
                    Some(product) => Some(Self(product)),
                    None => None,
                }
            }

            /// Whether it is nothing at all.
            pub const fn is_zero(self) -> bool {
                self.0 == 0
            }

            /// Whether it is more than nothing.
            pub const fn is_positive(self) -> bool {
                self.0 > 0
            }
        }

        $crate::json::form!($name: inside);

        /// Sums stop at the largest number that can be stored; records are bounded far below it.
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.fold(0_i64, |sum, part| sum.saturating_add(part.0)))
            }
        }
    };
}

pub(super) use measure;

measure!(
    /// A length, in whole millimetres.
    Length, from_mm, mm, "millimetres"
);
measure!(
    /// An area, in whole square millimetres.
    Area, from_mm2, mm2, "square millimetres"
);
measure!(
    /// A mass (what people call a weight), in whole grams.
    Mass, from_grams, grams, "grams"
);
measure!(
    /// A volume, in whole millilitres.
    Volume, from_ml, ml, "millilitres"
);
measure!(
    /// A span of work, in whole minutes.
    Minutes, new, get, "minutes"
);

impl Length {
    /// The rectangle with these two sides, unless it is beyond what can be stored.
    ///
    /// ```
    /// use selion_core::quantities::{Area, Length};
    ///
    /// let bed = Length::from_mm(1_200).checked_mul(Length::from_mm(5_000));
    /// assert_eq!(bed, Some(Area::from_mm2(6_000_000)));
    /// ```
    pub const fn checked_mul(self, other: Self) -> Option<Area> {
        match self.mm().checked_mul(other.mm()) {
            Some(product) => Some(Area::from_mm2(product)),
            None => None,
        }
    }
}
