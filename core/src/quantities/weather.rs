//! What a weather station or an almanac tells: wind, vapour pressure, radiation of a day, latitude.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::fraction::{Fraction, trimmed};
use super::measure::measure;
use super::typed::{amount, decimal, tidied};
use super::unit_table::{
    KILOPASCAL, MEGAJOULE, METRE_A_SECOND, MILE_AN_HOUR, PRESSURES, RADIATIONS, SPEEDS, Unit,
};
use super::{BadInput, Units};
use crate::json::form;

measure!(
    /// How fast wind blows, in whole millimetres a second.
    WindSpeed, from_mm_per_second, mm_per_second, "millimetres a second"
);
measure!(
    /// A pressure of air or of the vapour in it, in whole pascals.
    Pressure, from_pascals, pascals, "pascals"
);
measure!(
    /// What a square metre receives or gives off in a day, in whole joules.
    ///
    /// ```
    /// use selion_core::quantities::Radiation;
    ///
    /// let sun = Radiation::parse("22.65 MJ/m2")?;
    /// assert_eq!(sun.joules(), 22_650_000);
    /// assert_eq!(sun.show(), "22.65 MJ/m²");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    Radiation, from_joules, joules, "joules on a square metre"
);

/// Writes `parse` and `FromStr` for an amount that may be below nought.
macro_rules! read {
    ($name:ident, $make:ident, $table:ident, $field:literal, $expected:literal) => {
        impl $name {
            #[doc = concat!("Reads ", $expected, ".")]
            pub fn parse(text: &str) -> Result<Self, BadInput> {
                signed(text, $table)
                    .map(Self::$make)
                    .ok_or_else(|| BadInput::new($field, $expected, text))
            }
        }

        impl FromStr for $name {
            type Err = BadInput;

            fn from_str(text: &str) -> Result<Self, BadInput> {
                Self::parse(text)
            }
        }
    };
}

read!(
    WindSpeed,
    from_mm_per_second,
    SPEEDS,
    "wind",
    "a speed with its unit, such as 2 m/s, 10 km/h or 5 mph"
);
read!(
    Pressure,
    from_pascals,
    PRESSURES,
    "pressure",
    "a pressure with its unit, such as 2.85 kPa or 1013 hPa"
);
read!(
    Radiation,
    from_joules,
    RADIATIONS,
    "radiation",
    "the radiation of a day with its unit, such as 22.65 MJ/m2"
);

impl WindSpeed {
    /// For a sentence: `2.08 m/s`, `4.6 mph`.
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Metric => shown(self.mm_per_second(), &METRE_A_SECOND, 2, "m/s"),
            Units::UsCustomary => shown(self.mm_per_second(), &MILE_AN_HOUR, 1, "mph"),
        }
    }
}

impl Pressure {
    /// For a sentence, the same in both units: `2.85 kPa`.
    pub fn show(self) -> String {
        shown(self.pascals(), &KILOPASCAL, 2, "kPa")
    }
}

impl Radiation {
    /// For a sentence, the same in both units: `22.65 MJ/m²`.
    pub fn show(self) -> String {
        shown(self.joules(), &MEGAJOULE, 2, "MJ/m²")
    }
}

/// How far north a garden lies, in whole thousandths of a degree; below nought in the south.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Latitude(i64);

form!(Latitude: inside);

impl Latitude {
    /// From whole thousandths of a degree.
    pub const fn from_millidegrees(count: i64) -> Self {
        Self(count)
    }

    /// In whole thousandths of a degree.
    pub const fn millidegrees(self) -> i64 {
        self.0
    }

    /// Reads degrees with their side, such as `50.8 N` or `20 S`; a bare number lies north, below nought south.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        let expected = "a latitude from 90 S to 90 N, such as 50.8 N";
        latitude(text).ok_or_else(|| BadInput::new("latitude", expected, text))
    }
}

impl FromStr for Latitude {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

impl fmt::Display for Latitude {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = Fraction::new(i128::from(self.0).abs(), 1_000).unwrap_or(Fraction::NOTHING);
        let side = if self.0 < 0 { "S" } else { "N" };
        write!(out, "{}° {side}", trimmed(&size.decimal(3)))
    }
}

fn latitude(text: &str) -> Option<Latitude> {
    let text = tidied(text)?;
    let (below, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.as_str()),
    };
    let (size, side) = decimal(text)?;
    let south = match side.trim_start().trim_start_matches('°').trim() {
        "" => below,
        "n" if !below => false,
        "s" if !below => true,
        _ => return None,
    };
    let count = i64::try_from(size.times(Fraction::whole(1_000))?.rounded()?).ok()?;
    (0..=90_000)
        .contains(&count)
        .then_some(Latitude(if south { -count } else { count }))
}

/// A whole text as one amount in base units, a minus in front of it or not.
fn signed(text: &str, table: &[Unit]) -> Option<i64> {
    let text = tidied(text)?;
    let (sign, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1, rest.trim_start()),
        None => (1, text.as_str()),
    };
    let (size, rest) = amount(text, table)?;
    let count = i64::try_from(size.rounded()?).ok()?;
    rest.is_empty().then_some(sign * count)
}

fn shown(count: i64, unit: &Unit, digits: u32, name: &str) -> String {
    let number = Fraction::whole(count)
        .over(unit.size())
        .unwrap_or(Fraction::NOTHING)
        .decimal(digits);
    format!("{} {name}", trimmed(&number))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn stations_of_both_worlds_are_read() {
        assert_eq!(WindSpeed::parse("10 km/h").unwrap().mm_per_second(), 2_778);
        assert_eq!(
            WindSpeed::parse("2 m/s").unwrap().show(Units::UsCustomary),
            "4.5 mph"
        );
        assert_eq!(Pressure::parse("28.5 hPa"), Pressure::parse("2.85 kPa"));
        assert_eq!(
            Radiation::parse("-0.14 MJ/m2").unwrap().joules(),
            -140_000,
            "ground gives heat off, too"
        );
        assert_eq!(Latitude::parse("20 S").unwrap().to_string(), "20° S");
        assert_eq!(Latitude::parse("-20"), Latitude::parse("20° S"));
    }

    #[test]
    fn what_is_no_reading_is_refused_by_name() {
        assert_eq!(WindSpeed::parse("2").unwrap_err().field, "wind");
        assert_eq!(Pressure::parse("2 m/s").unwrap_err().field, "pressure");
        assert_eq!(Radiation::parse("").unwrap_err().field, "radiation");
        for text in ["", "91", "-20 S", "20 E", "N", "1e1", "20 N N"] {
            assert_eq!(
                Latitude::parse(text).unwrap_err().field,
                "latitude",
                "{text}"
            );
        }
    }

    proptest! {
        #[test]
        fn a_latitude_that_is_shown_is_read_back(count in -90_000_i64..=90_000) {
            let latitude = Latitude::from_millidegrees(count);
            prop_assert_eq!(Latitude::parse(&latitude.to_string()), Ok(latitude));
        }
    }
}
