//! Values with at most two digits behind the point: pH, percent, acidity, parts in a million.
//!
//! They are kept as whole hundredths, so that a table is looked up by equality and two readings compare exactly.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::BadInput;
use super::fraction::{Fraction, trimmed};
use super::typed::{decimal, tidied};

/// Writes one such value: its bounds, what may stand behind the number, and how it is read and shown.
macro_rules! decimals {
    ($(#[$doc:meta])* $name:ident, $most:literal, $field:literal, $expected:literal, [$($unit:literal),*], $shown:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(i64);

        impl $name {
            /// Nothing at all.
            pub const ZERO: Self = Self(0);

            /// From whole hundredths.
            pub const fn from_hundredths(count: i64) -> Self {
                Self(count)
            }

            /// In whole hundredths.
            pub const fn hundredths(self) -> i64 {
                self.0
            }

            #[doc = concat!("Reads ", $expected, ".")]
            pub fn parse(text: &str) -> Result<Self, BadInput> {
                hundredths(text, $most, &[$($unit),*])
                    .map(Self)
                    .ok_or_else(|| BadInput::new($field, $expected, text))
            }
        }

        $crate::json::form!($name: inside);

        impl FromStr for $name {
            type Err = BadInput;

            fn from_str(text: &str) -> Result<Self, BadInput> {
                Self::parse(text)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                let number = Fraction::new(i128::from(self.0), 100)
                    .unwrap_or(Fraction::NOTHING)
                    .decimal(2);
                let number = trimmed(&number);
                // A pH without a tenth looks like a count.
                let tenth = if $shown.is_empty() && !number.contains('.') { ".0" } else { "" };
                write!(out, concat!("{}{}", $shown), number, tenth)
            }
        }
    };
}

decimals!(
    /// How acid a soil or a buffer solution is, in hundredths of a pH unit.
    ///
    /// ```
    /// use selion_core::quantities::Ph;
    ///
    /// assert_eq!(Ph::parse("pH 5.8")?, Ph::from_hundredths(580));
    /// assert_eq!(Ph::parse("6")?.to_string(), "6.0");
    /// assert!(Ph::parse("58").is_err());
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    Ph,
    1_400,
    "pH",
    "a pH from 0 to 14 with at most two digits behind the point, such as 5.8",
    ["ph"],
    ""
);
decimals!(
    /// A part of a hundred, in hundredths of a percent. It may be above a hundred: some materials neutralise more than limestone.
    Percent,
    100_000,
    "percent",
    "a percentage up to 1000 with at most two digits behind the point, such as 85.5 %",
    ["%", "percent", "per cent"],
    " %"
);
decimals!(
    /// The acidity of a soil, in hundredths of a milliequivalent in 100 g or 100 cm³, as laboratories print it.
    Acidity,
    10_000,
    "acidity",
    "an acidity up to 100 meq with at most two digits behind the point, such as 10.3 meq/100 g",
    ["meq/100 g", "meq/100g", "meq/100 cm3", "meq/100cm3", "meq/100 cm³", "meq", "cmol/kg", "cmolc/kg"],
    " meq/100"
);
decimals!(
    /// Parts in a million by weight, in hundredths: what a soil holds of a nutrient.
    PartsPerMillion,
    100_000_000,
    "parts in a million",
    "an amount up to 1,000,000 with at most two digits behind the point, such as 120 ppm",
    ["ppm", "mg/kg"],
    " ppm"
);
decimals!(
    /// How much carbon a material or a mix holds to each part of nitrogen, in hundredths.
    CarbonToNitrogen,
    1_000_000,
    "carbon to nitrogen",
    "a ratio of carbon to nitrogen up to 10,000 with at most two digits behind the point, such as 30:1",
    [":1", ": 1", "to 1"],
    ":1"
);

impl Percent {
    /// The whole.
    pub const HUNDRED: Self = Self(10_000);
}

/// A bare number or one with a known unit before or behind it, in hundredths, without rounding.
fn hundredths(text: &str, most: i64, units: &[&str]) -> Option<i64> {
    let text = tidied(text)?;
    let text = units
        .iter()
        .find_map(|unit| text.strip_prefix(unit))
        .unwrap_or(&text)
        .trim_start();
    let (number, rest) = decimal(text)?;
    let rest = rest.trim_start();
    if !(rest.is_empty() || units.contains(&rest)) {
        return None;
    }
    let scaled = number.times(Fraction::whole(100))?;
    let count = scaled.rounded()?;
    let exact = Fraction::new(count, 1)? == scaled;
    i64::try_from(count)
        .ok()
        .filter(|count| exact && *count <= most)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn numbers_with_and_without_their_unit() {
        assert_eq!(Percent::parse("85,5 %").unwrap().hundredths(), 8_550);
        assert_eq!(Percent::parse("178").unwrap().to_string(), "178 %");
        assert_eq!(
            Acidity::parse("10.3 meq/100 g").unwrap().hundredths(),
            1_030
        );
        assert_eq!(
            PartsPerMillion::parse("1,250 ppm").unwrap().to_string(),
            "1,250 ppm"
        );
        assert_eq!(Ph::parse("5.85").unwrap().to_string(), "5.85");
    }

    #[test]
    fn nothing_is_rounded_or_guessed_in_silence() {
        for text in ["5.855", "14.01", "-1", "", "pH", "5.8 %", "5.8 5.9", "1e1"] {
            assert_eq!(Ph::parse(text).unwrap_err().field, "pH", "{text}");
        }
        assert!(Percent::parse("1000.01 %").is_err());
        assert!(Acidity::parse("5 ppm").is_err());
    }

    proptest! {
        #[test]
        fn what_is_shown_is_read_back(ph in 0_i64..=1_400, percent in 0_i64..=100_000) {
            let (ph, percent) = (Ph::from_hundredths(ph), Percent::from_hundredths(percent));
            prop_assert_eq!(Ph::parse(&ph.to_string()), Ok(ph));
            prop_assert_eq!(Percent::parse(&percent.to_string()), Ok(percent));
        }
    }
}
