//! How far apart plants and rows stand.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::depth::micrometres;
use super::fraction::{Fraction, trimmed};
use super::measure::measure;
use super::unit_table::{CENTIMETRE, FOOT, INCH, METRE};
use super::{BadInput, Length, Units};

measure!(
    /// A spacing of plants or rows, or the length of a row, in whole micrometres.
    ///
    /// Finer than a [`Length`], since rows are counted by dividing: at 12 in, a row of 8 ft has room for eight plants, and
    /// with both rounded to the millimetre it would have room for seven.
    ///
    /// ```
    /// use selion_core::quantities::{Spacing, Units};
    ///
    /// let spacing = Spacing::parse("12 in")?;
    /// assert_eq!(spacing.micrometres(), 304_800);
    /// assert_eq!(spacing.show(Units::Metric), "30.5 cm");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    Spacing,
    from_micrometres,
    micrometres,
    "micrometres"
);

impl Spacing {
    /// Reads a spacing with its unit, such as `30 cm` or `18 in`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        micrometres(text)
            .map(Self::from_micrometres)
            .ok_or_else(|| {
                let expected = "a spacing with its unit, such as 30 cm or 18 in";
                BadInput::new("spacing", expected, text)
            })
    }

    /// For a sentence: `7.5 cm`, `2.4 m`; `12 in`, `100 ft`.
    pub fn show(self, units: Units) -> String {
        let (unit, digits) = match units {
            Units::Metric if self.micrometres().unsigned_abs() < 1_000_000 => (&CENTIMETRE, 1),
            Units::Metric => (&METRE, 2),
            // Growers write 36 and 72 inches between rows, and feet for how long a row is.
            Units::UsCustomary if self.micrometres().unsigned_abs() < 3_048_000 => (&INCH, 2),
            Units::UsCustomary => (&FOOT, 2),
        };
        let number = Fraction::new(i128::from(self.micrometres()), 1_000)
            .and_then(|millimetres| millimetres.over(unit.size()))
            .unwrap_or(Fraction::NOTHING)
            .decimal(digits);
        format!("{} {}", trimmed(&number), unit.shown_as())
    }
}

impl From<Length> for Spacing {
    /// It stops at the largest spacing.
    fn from(length: Length) -> Self {
        Self::from_micrometres(length.mm().saturating_mul(1_000))
    }
}

impl FromStr for Spacing {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_has_no_unit_is_refused() {
        assert_eq!(Spacing::parse("18").unwrap_err().field, "spacing");
        assert_eq!(
            Spacing::from(Length::from_mm(3)),
            Spacing::parse("3 mm").unwrap()
        );
    }

    proptest! {
        #[test]
        fn what_is_typed_in_quarter_inches_is_shown_as_it_was_typed(quarters in 1_i64..479) {
            let typed = Spacing::from_micrometres(quarters * 6_350);
            prop_assert_eq!(Spacing::parse(&typed.show(Units::UsCustomary)), Ok(typed));
        }
    }
}
