//! The units that laboratories and tables print rates in, with their exact sizes, and the arithmetic of rates.
//!
//! ```
//! use selion_core::quantities::{Rate, RateUnit};
//!
//! let lime = Rate::of(2_800, RateUnit::TonsPerAcre);
//! assert_eq!(lime.shown_in(RateUnit::PoundsPer1000SqFt, 1).to_string(), "128.6 lb/1000 sq ft");
//! ```

use super::fraction::Fraction;
use super::{Rate, Shown};

/// What a printed rate counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RateUnit {
    /// Short tons of 2000 lb an acre.
    TonsPerAcre,
    /// Pounds an acre.
    PoundsPerAcre,
    /// Pounds on a thousand square feet.
    PoundsPer1000SqFt,
    /// Pounds on a hundred square feet.
    PoundsPer100SqFt,
    /// Tonnes of 1000 kg a hectare.
    TonnesPerHectare,
    /// Kilograms a hectare.
    KilogramsPerHectare,
    /// Grams a square metre.
    GramsPerM2,
}

impl RateUnit {
    /// How it is written behind a number.
    pub fn words(self) -> &'static str {
        match self {
            Self::TonsPerAcre => "tons/acre",
            Self::PoundsPerAcre => "lb/acre",
            Self::PoundsPer1000SqFt => "lb/1000 sq ft",
            Self::PoundsPer100SqFt => "lb/100 sq ft",
            Self::TonnesPerHectare => "t/ha",
            Self::KilogramsPerHectare => "kg/ha",
            Self::GramsPerM2 => "g/m²",
        }
    }

    /// Micrograms a square metre in one of it. A pound is 453.59237 g, an acre 4046.8564224 m², a square foot 0.09290304 m².
    fn size(self) -> Fraction {
        let (top, bottom) = match self {
            Self::TonsPerAcre => (2_000 * 453_592_370 * 10_000_000, 40_468_564_224),
            Self::PoundsPerAcre => (453_592_370 * 10_000_000, 40_468_564_224),
            Self::PoundsPer1000SqFt => (453_592_370 * 100_000, 9_290_304),
            Self::PoundsPer100SqFt => (453_592_370 * 1_000_000, 9_290_304),
            Self::TonnesPerHectare => (100_000_000, 1),
            Self::KilogramsPerHectare => (100_000, 1),
            Self::GramsPerM2 => (1_000_000, 1),
        };
        Fraction::new(top, bottom).unwrap_or(Fraction::NOTHING)
    }
}

impl Rate {
    /// So many thousandths of a printed unit, to the nearest microgram a square metre; it stops at the largest rate.
    pub fn of(thousandths: i64, unit: RateUnit) -> Self {
        let micrograms = Fraction::new(i128::from(thousandths), 1_000)
            .and_then(|count| count.times(unit.size())?.rounded())
            .and_then(|count| i64::try_from(count).ok());
        Self::from_micrograms_per_m2(micrograms.unwrap_or(i64::MAX))
    }

    /// In a printed unit, with so many digits behind the point.
    pub fn shown_in(self, unit: RateUnit, digits: u32) -> Shown {
        let number = Fraction::whole(self.micrograms_per_m2())
            .over(unit.size())
            .unwrap_or(Fraction::NOTHING)
            .decimal(digits);
        Shown {
            number,
            unit: unit.words(),
        }
    }

    /// This rate by a fraction, to the nearest microgram, halves up; nothing where that cannot be stored.
    pub fn scaled(self, top: i64, bottom: i64) -> Option<Self> {
        let product = Fraction::whole(self.micrograms_per_m2())
            .times(Fraction::new(i128::from(top), i128::from(bottom))?)?;
        i64::try_from(product.rounded()?)
            .ok()
            .map(Self::from_micrograms_per_m2)
    }

    /// The sum, unless it is beyond what can be stored.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        self.micrograms_per_m2()
            .checked_add(other.micrograms_per_m2())
            .map(Self::from_micrograms_per_m2)
    }

    /// What is left of it, at least nothing.
    #[must_use]
    pub fn less(self, other: Self) -> Self {
        let rest = self
            .micrograms_per_m2()
            .saturating_sub(other.micrograms_per_m2());
        Self::from_micrograms_per_m2(rest.max(0))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn printed_units_by_their_definitions() {
        let ton = Rate::of(1_000, RateUnit::TonsPerAcre);
        assert_eq!(ton, Rate::parse("1 ton/acre").unwrap());
        assert_eq!(
            Rate::of(1_000, RateUnit::TonnesPerHectare),
            Rate::parse("1 t/ha").unwrap()
        );
        assert_eq!(
            Rate::of(75_000, RateUnit::PoundsPer1000SqFt),
            Rate::parse("75 lb/1000 sq ft").unwrap()
        );
        assert_eq!(ton.scaled(1, 0), None);
        assert_eq!(ton.less(ton.scaled(2, 1).unwrap()), Rate::ZERO);
    }

    proptest! {
        #[test]
        fn tons_an_acre_and_pounds_on_a_thousand_feet_agree(thousandths in 0_i64..50_000) {
            let tons = Rate::of(thousandths, RateUnit::TonsPerAcre);
            let pounds = Rate::of(thousandths * 2_000, RateUnit::PoundsPerAcre);
            prop_assert_eq!(tons, pounds);
        }
    }
}
