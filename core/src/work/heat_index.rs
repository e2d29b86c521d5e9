//! How hot it feels in the shade (US National Weather Service, after Rothfusz 1990), and what that means for work.
//!
//! The simple form `0.5 (T + 61 + 1.2 (T − 68) + 0.094 R)`, averaged with T, holds below 80 °F; above it the regression of nine
//! terms, with two adjustments: less in dry air below 13 %, more above 85 % between 80 and 87 °F, which printed charts leave out.
//!
//! ```
//! use selion_core::quantities::{Percent, Temperature, Units};
//! use selion_core::work::heat_index::{Band, feels};
//!
//! let answer = feels(Temperature::parse("90 F")?, Percent::parse("70 %")?, Units::UsCustomary)?;
//! assert_eq!(answer.result.to_string(), "Feels like 105.9 °F in the shade: danger");
//! assert_eq!(answer.result.band, Band::Danger);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::geometry::{approximate, whole};
use crate::quantities::{Percent, Temperature, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// What a heat index means, by the newer and safer bounds of 80, 90, 103 and 125 °F.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Band {
    /// Below 80 °F.
    None,
    /// From 80 °F.
    Caution,
    /// From 90 °F.
    ExtremeCaution,
    /// From 103 °F.
    Danger,
    /// From 125 °F.
    ExtremeDanger,
}

impl Band {
    /// By an index in whole °F, as charts print it.
    fn of(index: i64) -> Self {
        match index {
            125.. => Self::ExtremeDanger,
            103.. => Self::Danger,
            90.. => Self::ExtremeCaution,
            80.. => Self::Caution,
            _ => Self::None,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::None => "no band",
            Self::Caution => "caution",
            Self::ExtremeCaution => "extreme caution",
            Self::Danger => "danger",
            Self::ExtremeDanger => "extreme danger",
        }
    }
}

/// How hot it feels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Feels {
    /// In the shade with a light wind.
    pub like: Temperature,
    /// What that means.
    pub band: Band,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Feels {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let like = self.like.show(self.units);
        write!(out, "Feels like {like} in the shade: {}", self.band.words())
    }
}

/// How hot air of this temperature and relative humidity feels.
pub fn feels(
    air: Temperature,
    humidity: Percent,
    units: Units,
) -> Result<Reckoning<Feels>, Refusal> {
    // The dry adjustment is printed up to 112 °F; below 40 °F nobody asks.
    let (least, most) = (
        Temperature::from_millicelsius(4_444),
        Temperature::from_millicelsius(44_444),
    );
    if !(least..=most).contains(&air) {
        return Err(Refusal::OutsideTheRule {
            field: "air".to_owned(),
            bounds: format!("air from {} to {}", least.show(units), most.show(units)),
            came: air.show(units),
        });
    }
    if !(Percent::ZERO..=Percent::HUNDRED).contains(&humidity) {
        return Err(Refusal::bad(
            "humidity",
            "from 0 to 100 %",
            humidity.to_string(),
        ));
    }
    let t = approximate(i128::from(air.millicelsius())) * 0.0018 + 32.0;
    let r = approximate(i128::from(humidity.hundredths())) / 100.0;
    let simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094);
    let is_simple = f64::midpoint(simple, t) < 80.0;
    let (form, base) = if is_simple {
        ("Simple form", simple)
    } else {
        ("Regression", regression(t, r))
    };
    let adjusted = if is_simple { 0.0 } else { adjustment(t, r) };
    let index = base + adjusted;
    let result = Feels {
        like: Temperature::from_millicelsius(whole((index - 32.0) / 0.0018)),
        band: Band::of(whole(index)),
        units,
    };
    let source = Source::published(
        "US National Weather Service, heat index equation, after Rothfusz 1990, SR 90-23.",
    );
    Ok(Reckoning::new(result, source)
        .step(Step::new("Air", air.show(units)))
        .step(Step::new("Relative humidity", humidity.to_string()))
        .step(Step::new(form, format!("{base:.1} °F")))
        .step(Step::new("Adjustment for dry or moist air", format!("{adjusted:.1} °F")))
        .step(Step::sum("Feels like", result.like.show(units)))
        .on("In the shade with a light wind; full sun adds up to 15 °F (8 °C). Bands from 80, 90, 103 and 125 °F (27, 32, 39, 52 °C).")
        .rounded("The band goes by whole degrees Fahrenheit.")
        .caution(Caution::Heat))
}

fn regression(t: f64, r: f64) -> f64 {
    -42.379 + 2.049_015_23 * t + 10.143_331_27 * r
        - 0.224_755_41 * t * r
        - 0.006_837_83 * t * t
        - 0.054_817_17 * r * r
        + 0.001_228_74 * t * t * r
        + 0.000_852_82 * t * r * r
        - 0.000_001_99 * t * t * r * r
}

fn adjustment(t: f64, r: f64) -> f64 {
    if r < 13.0 && (80.0..=112.0).contains(&t) {
        -((13.0 - r) / 4.0) * ((17.0 - (t - 95.0).abs()) / 17.0).max(0.0).sqrt()
    } else if r > 85.0 && (80.0..=87.0).contains(&t) {
        ((r - 85.0) / 10.0) * ((87.0 - t) / 5.0)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tenths(t: i64, r: i64) -> i64 {
        let air = Temperature::parse(&format!("{t} F")).unwrap();
        let feels = feels(air, Percent::from_hundredths(r * 100), Units::UsCustomary)
            .unwrap()
            .result;
        whole(approximate(i128::from(feels.like.millicelsius())) * 0.018 + 320.0)
    }

    #[test]
    fn the_chart_of_the_weather_service() {
        // NWS chart, recomputed: H01, H03, H04, H06, H07, H09; H10 with the adjustment that charts leave out (87 there); H12.
        for (t, r, printed) in [
            (80, 40, 796),
            (90, 50, 946),
            (90, 70, 1_059),
            (88, 60, 952),
            (100, 55, 1_236),
            (110, 40, 1_357),
            (80, 100, 893),
        ] {
            assert!(
                (tenths(t, r) - printed).abs() <= 1,
                "{t} °F, {r} %: {}",
                tenths(t, r)
            );
        }
        assert!((690..=691).contains(&tenths(70, 50)), "69.05");
    }

    #[test]
    fn what_lies_outside_is_refused_and_bands_begin_at_their_degree() {
        let hot = Temperature::parse("113 F").unwrap();
        assert_eq!(
            feels(hot, Percent::ZERO, Units::Metric).unwrap_err().code(),
            "outside_the_rule"
        );
        let warm = Temperature::parse("80 F").unwrap();
        let refused = feels(warm, Percent::from_hundredths(10_001), Units::Metric).unwrap_err();
        assert!(refused.to_string().starts_with("humidity:"));
        assert_eq!(
            [79, 80, 90, 103, 125].map(Band::of),
            [
                Band::None,
                Band::Caution,
                Band::ExtremeCaution,
                Band::Danger,
                Band::ExtremeDanger
            ]
        );
    }
}
