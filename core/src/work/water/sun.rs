//! The sun of a day at a latitude: how much of it reaches the top of the air, and how long it shines (FAO-56, Eqs 21 to 25, 34).
//!
//! ```text
//! dr = 1 + 0.033 cos(2π J/365)               distance of the sun
//! δ  = 0.409 sin(2π J/365 − 1.39)            its declination
//! ωs = arccos(−tan φ tan δ)                  its angle at sunset
//! Ra = (24·60/π) 0.0820 dr (ωs sin φ sin δ + cos φ cos δ sin ωs)     MJ/m² a day
//! N  = 24 ωs/π                               hours of daylight
//! ```
//!
//! Inside the polar circles the argument of the arccosine leaves −1 to 1 and is kept there: no sun, or sun all day.
//!
//! ```
//! use selion_core::quantities::{Day, Latitude};
//! use selion_core::work::water::sun::{day_of_year, of_day};
//!
//! let third_of_september = day_of_year(Day::parse("2027-09-03")?)?;
//! assert_eq!(third_of_september, 246);
//! let sun = of_day(third_of_september, Latitude::parse("20 S")?)?.result;
//! assert_eq!(sun.above_the_air.show(), "32.19 MJ/m²");
//! assert_eq!(sun.daylight.show(), "11 h 40 min");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::f64::consts::{PI, TAU};
use std::fmt;

use serde::Serialize;

use crate::geometry::{approximate, whole};
use crate::quantities::{BadInput, Day, Latitude, Minutes, Radiation};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::work::FAO_56;

/// The solar constant, in MJ/m² a minute.
const SOLAR_CONSTANT: f64 = 0.082;
/// Beyond this the equations are known to fit less well.
const FAR_NORTH: i64 = 55_000;

/// The sun of one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SunOfDay {
    /// What reaches the top of the air (Ra).
    pub above_the_air: Radiation,
    /// From sunrise to sunset (N).
    pub daylight: Minutes,
    /// Relative distance between earth and sun (dr), in millionths.
    pub distance_millionths: i64,
    /// The sun's declination (δ), in millionths of a radian.
    pub declination_microradians: i64,
    /// The angle at sunset (ωs), in millionths of a radian.
    pub sunset_microradians: i64,
}

impl fmt::Display for SunOfDay {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (above, daylight) = (self.above_the_air.show(), self.daylight.show());
        write!(out, "{above} above the air, daylight of {daylight}")
    }
}

/// The number of a day in its year, from 1 to 366.
pub fn day_of_year(day: Day) -> Result<i64, BadInput> {
    let text = day.to_string();
    let year = text.get(..4).unwrap_or_default();
    let first = Day::parse(&format!("{year}-01-01")).map_err(|refused| refused.named("day"))?;
    Ok(first.days_until(day) + 1)
}

/// The sun of a day, by its number in the year.
pub fn of_day(day: i64, latitude: Latitude) -> Result<Reckoning<SunOfDay>, Refusal> {
    if !(1..=366).contains(&day) {
        return Err(Refusal::bad(
            "day of the year",
            "a number from 1 to 366",
            day.to_string(),
        ));
    }
    let degrees = approximate(i128::from(latitude.millidegrees())) / 1_000.0;
    let (around, phi) = (
        TAU * approximate(i128::from(day)) / 365.0,
        degrees.to_radians(),
    );
    let distance = 1.0 + 0.033 * around.cos();
    let declination = 0.409 * (around - 1.39).sin();
    let sunset = (-phi.tan() * declination.tan()).clamp(-1.0, 1.0).acos();
    let beam =
        sunset * phi.sin() * declination.sin() + phi.cos() * declination.cos() * sunset.sin();
    let above = (24.0 * 60.0 / PI * SOLAR_CONSTANT * distance * beam).max(0.0);
    let millionths = |number: f64| whole(number * 1e6);
    let result = SunOfDay {
        above_the_air: Radiation::from_joules(millionths(above)),
        daylight: Minutes::new(whole(24.0 * 60.0 * sunset / PI)),
        distance_millionths: millionths(distance),
        declination_microradians: millionths(declination),
        sunset_microradians: millionths(sunset),
    };
    let mut answer = Reckoning::new(
        result,
        Source::published(format!("{FAO_56}, Eqs 21 to 25 and 34.")),
    )
    .step(Step::new("Day of the year", day.to_string()))
    .step(Step::new("Latitude", latitude.to_string()))
    .step(Step::new("Distance of the sun", format!("{distance:.3}")))
    .step(Step::new("Declination", format!("{declination:.3} rad")))
    .step(Step::new("Angle at sunset", format!("{sunset:.3} rad")))
    .step(Step::sum("Above the air", result.above_the_air.show()))
    .step(Step::new("Daylight", result.daylight.show()))
    .rounded("Daylight to the nearest minute.");
    if latitude.millidegrees().abs() > FAR_NORTH {
        answer = answer.on("Beyond 55° of latitude these equations fit less well.");
    }
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sun(day: i64, millidegrees: i64) -> SunOfDay {
        of_day(day, Latitude::from_millidegrees(millidegrees))
            .unwrap()
            .result
    }

    #[test]
    fn the_poles_have_all_or_nothing() {
        assert_eq!(sun(172, 90_000).daylight.get(), 24 * 60);
        let dark = sun(172, -90_000);
        assert_eq!((dark.daylight.get(), dark.above_the_air.joules()), (0, 0));
        assert!(
            of_day(172, Latitude::from_millidegrees(60_000))
                .unwrap()
                .to_string()
                .contains("fit less well")
        );
    }

    #[test]
    fn days_are_numbered_from_one_and_others_are_refused() {
        let number = |text: &str| day_of_year(Day::parse(text).unwrap()).unwrap();
        assert_eq!(
            (
                number("2027-01-01"),
                number("2027-12-31"),
                number("2028-12-31")
            ),
            (1, 365, 366)
        );
        for day in [0, 367, -1, i64::MAX] {
            assert_eq!(
                of_day(day, Latitude::default()).unwrap_err().code(),
                "bad_input"
            );
        }
    }

    proptest! {
        #[test]
        fn north_and_south_share_the_day(day in 1_i64..=366, millidegrees in 0_i64..=90_000) {
            let both = sun(day, millidegrees).daylight.get() + sun(day, -millidegrees).daylight.get();
            prop_assert!((both - 24 * 60).abs() <= 1);
        }
    }
}
