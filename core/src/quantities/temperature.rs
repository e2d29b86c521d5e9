//! How warm something is, in whole thousandths of a degree Celsius.
//!
//! Fine enough that a reading typed in Fahrenheit is shown again as it was typed, and that limits printed in either scale
//! compare with readings in the other: 131 °F is 55 °C exactly.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::fraction::{Fraction, trimmed};
use super::typed::{decimal, tidied};
use super::{BadInput, Units};
use crate::json::form;

/// A temperature, in whole thousandths of a degree Celsius.
///
/// ```
/// use selion_core::quantities::{Temperature, Units};
///
/// let hot = Temperature::parse("131 F")?;
/// assert_eq!(hot, Temperature::parse("55 °C")?);
/// assert_eq!(hot.show(Units::UsCustomary), "131 °F");
/// assert!(Temperature::parse("131").is_err(), "a scale is never guessed");
/// # Ok::<(), selion_core::quantities::BadInput>(())
/// ```
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Temperature(i64);

form!(Temperature: inside);

/// Nothing in a garden is colder or hotter, in thousandths of a degree Celsius.
const COLDEST: i64 = -100_000;
const HOTTEST: i64 = 1_000_000;

impl Temperature {
    /// From whole thousandths of a degree Celsius.
    pub const fn from_millicelsius(count: i64) -> Self {
        Self(count)
    }

    /// In whole thousandths of a degree Celsius.
    pub const fn millicelsius(self) -> i64 {
        self.0
    }

    /// Reads a temperature with its scale, such as `55 °C`, `-4.5 C` or `131 F`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        millicelsius(text).map(Self).ok_or_else(|| {
            let expected =
                "a temperature from −100 to 1000 °C with its scale, such as 55 °C or 131 °F";
            BadInput::new("temperature", expected, text)
        })
    }

    /// For a sentence, at most one digit behind the point: `55 °C`, `131 °F`.
    pub fn show(self, units: Units) -> String {
        let celsius = Fraction::new(i128::from(self.0), 1_000);
        let (degrees, scale) = match units {
            Units::Metric => (celsius, "°C"),
            Units::UsCustomary => {
                let fahrenheit = celsius
                    .and_then(|celsius| celsius.times(Fraction::new(9, 5)?))
                    .and_then(|above| above.plus(Fraction::whole(32)));
                (fahrenheit, "°F")
            }
        };
        let number = degrees.unwrap_or(Fraction::NOTHING).decimal(1);
        format!("{} {scale}", trimmed(&number))
    }
}

impl FromStr for Temperature {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

impl fmt::Display for Temperature {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.show(Units::Metric))
    }
}

fn millicelsius(text: &str) -> Option<i64> {
    let text = tidied(text)?;
    let (below, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.as_str()),
    };
    let (size, scale) = decimal(text)?;
    let degrees = if below {
        size.times(Fraction::whole(-1))?
    } else {
        size
    };
    let scale = scale.trim_start();
    let scale = scale
        .strip_prefix('°')
        .or_else(|| scale.strip_prefix("deg"))
        .unwrap_or(scale);
    let celsius = match scale.trim_start() {
        "c" | "celsius" => degrees,
        "f" | "fahrenheit" => degrees
            .plus(Fraction::whole(-32))?
            .times(Fraction::new(5, 9)?)?,
        _ => return None,
    };
    let count = i64::try_from(celsius.times(Fraction::whole(1_000))?.rounded()?).ok()?;
    (COLDEST..=HOTTEST).contains(&count).then_some(count)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn both_scales_are_read() {
        for (text, count) in [
            ("0 °C", 0),
            ("-4.5 C", -4_500),
            ("32F", 0),
            ("170 °F", 76_667),
            ("−40 °F", -40_000),
            ("21,5 deg C", 21_500),
        ] {
            assert_eq!(
                Temperature::parse(text).unwrap().millicelsius(),
                count,
                "{text}"
            );
        }
        for text in ["", "55", "55 K", "C", "--5 C", "99999 C", "55 °C today"] {
            assert_eq!(Temperature::parse(text).unwrap_err().field, "temperature");
        }
    }

    proptest! {
        #[test]
        fn what_is_typed_in_tenths_is_shown_as_it_was_typed(tenths in -500_i64..3_000) {
            let typed = format!("{}{}.{}", if tenths < 0 { "-" } else { "" }, tenths.abs() / 10, tenths.abs() % 10);
            for (scale, units) in [("°C", Units::Metric), ("°F", Units::UsCustomary)] {
                let text = format!("{typed} {scale}");
                let read = Temperature::parse(&text).unwrap();
                prop_assert_eq!(Temperature::parse(&read.show(units)).unwrap(), read, "{}", text);
            }
        }
    }
}
