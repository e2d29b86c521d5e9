//! A day's weather as somebody types it: rain off the gauge, the coldest and the warmest.

use selion_core::document::edit::{LIMITS, Reading};
use selion_core::quantities::{BadInput, Day, Depth, Temperature, Units};

use super::typed::with_unit;

/// What was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WeatherTyped {
    /// Of which day.
    pub day: String,
    /// How much rain.
    pub rain: String,
    /// The coldest.
    pub coldest: String,
    /// The warmest.
    pub warmest: String,
    /// Which gauge.
    pub gauge: String,
}

/// The fields, by the names that the errors have.
pub const FIELDS: &[&str] = &["day", "rain", "coldest", "warmest", "gauge"];

/// The unit that a bare amount of rain is meant in.
pub const fn rain_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "mm",
        Units::UsCustomary => "in",
    }
}

/// The scale that a bare temperature is meant in.
pub const fn scale(units: Units) -> &'static str {
    match units {
        Units::Metric => "°C",
        Units::UsCustomary => "°F",
    }
}

impl WeatherTyped {
    /// The reading, or all that is wrong with what was typed.
    pub fn read(&self, units: Units, today: Day) -> Result<Reading, Vec<BadInput>> {
        let mut wrong = Vec::new();
        let day = Day::parse(self.day.trim()).and_then(|day| {
            if day <= today {
                return Ok(day);
            }
            Err(BadInput::new(
                "day",
                "today or a day before",
                day.to_string(),
            ))
        });
        let day = day.map_err(|bad| wrong.push(bad.named("day")));
        let rain = filled(&self.rain)
            .map(|typed| Depth::parse(&with_unit(typed, rain_unit(units))))
            .transpose()
            .map_err(|bad| wrong.push(bad.named("rain")));
        let mut warmth = |typed: &str, field: &str| {
            filled(typed)
                .map(|typed| Temperature::parse(&with_scale(typed, scale(units))))
                .transpose()
                .map_err(|bad| wrong.push(bad.named(field)))
        };
        let coldest = warmth(&self.coldest, "coldest");
        let warmest = warmth(&self.warmest, "warmest");
        let gauge = self.gauge.trim();
        if gauge.chars().count() > LIMITS.title_chars {
            let expected = format!("at most {} characters", LIMITS.title_chars);
            wrong.push(BadInput::new("gauge", expected, gauge));
        }
        let (Ok(day), Ok(rain), Ok(coldest), Ok(warmest)) = (day, rain, coldest, warmest) else {
            return Err(wrong);
        };
        if rain.is_none() && coldest.is_none() && warmest.is_none() && wrong.is_empty() {
            wrong.push(BadInput::new("rain", "rain or a temperature", ""));
        }
        if let (Some(low), Some(high)) = (coldest, warmest)
            && low > high
        {
            let came = format!("{} and {}", low.show(units), high.show(units));
            wrong.push(BadInput::new("coldest", "not above the warmest", came));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        Ok(Reading {
            day,
            rain,
            coldest,
            warmest,
            gauge: gauge.to_owned(),
        })
    }
}

fn filled(typed: &str) -> Option<&str> {
    Some(typed.trim()).filter(|typed| !typed.is_empty())
}

/// A bare number, below nought or not, is meant on the scale that stands beside the field.
fn with_scale(typed: &str, scale: &str) -> String {
    let bare = typed.trim_start_matches(['-', '−', '+']);
    let sign = if bare.len() == typed.len() || typed.starts_with('+') {
        ""
    } else {
        "-"
    };
    format!("{sign}{}", with_unit(bare, scale))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::day;

    fn typed(rain: &str, coldest: &str, warmest: &str) -> WeatherTyped {
        WeatherTyped {
            day: "2026-06-10".into(),
            rain: rain.into(),
            coldest: coldest.into(),
            warmest: warmest.into(),
            gauge: " shed ".into(),
        }
    }

    fn read(typed: &WeatherTyped, units: Units) -> Result<Reading, Vec<BadInput>> {
        typed.read(units, day("2026-06-11"))
    }

    #[test]
    fn bare_numbers_are_meant_in_the_units_of_the_garden() {
        // NIST SP 811, appendix B: an inch is 25.4 mm, and t/°C = (t/°F − 32)/1.8.
        let us = read(&typed("0.5", "41", "68 F"), Units::UsCustomary).unwrap();
        assert_eq!(us.rain.map(Depth::micrometres), Some(12_700));
        assert_eq!(us.coldest.map(Temperature::millicelsius), Some(5_000));
        assert_eq!(us.warmest.map(Temperature::millicelsius), Some(20_000));
        assert_eq!(us.gauge, "shed");
        let metric = read(&typed("12,7", "−4", "68 °F"), Units::Metric).unwrap();
        assert_eq!(metric.rain, us.rain);
        assert_eq!(metric.coldest.map(Temperature::millicelsius), Some(-4_000));
        assert_eq!(metric.warmest, us.warmest);
        let dry = read(&typed("0", "", ""), Units::Metric).unwrap();
        assert_eq!((dry.rain, dry.coldest), (Some(Depth::ZERO), None));
    }

    #[test]
    fn what_is_wrong_is_told_at_its_field() {
        let fields = |typed: &WeatherTyped| -> Vec<String> {
            let wrong = read(typed, Units::Metric).unwrap_err();
            wrong.into_iter().map(|bad| bad.field).collect()
        };
        assert_eq!(fields(&typed("", "", "")), ["rain"]);
        assert_eq!(
            fields(&typed("much", "cold", "warm")),
            ["rain", "coldest", "warmest"]
        );
        assert_eq!(fields(&typed("", "20", "10")), ["coldest"]);
        let tomorrow = WeatherTyped {
            day: "2026-06-12".into(),
            ..typed("1", "", "")
        };
        assert_eq!(fields(&tomorrow), ["day"]);
    }
}
