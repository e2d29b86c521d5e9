//! Rain and temperature of the last weeks as a drawing: temperature above, rain below, a column for each day.
//!
//! The sheet is so many units wide and high; where a unit falls on the screen is the browser's.

use selion_core::document::weather_days::DayWeather;
use selion_core::quantities::{Day, Depth, Temperature, Units};

use super::wording::margin_day;

/// The sheet.
pub const WIDE: i64 = 720;
/// Its height.
pub const HIGH: i64 = 300;
/// Room for the figures of the scale at the left.
const LEFT: i64 = 64;
/// Where the temperatures lie, from the top.
const WARMTH: (i64, i64) = (16, 150);
/// Where rain lies; it hangs on its lower edge.
const RAIN: (i64, i64) = (176, 270);

/// A box on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// From the left.
    pub x: i64,
    /// From the top.
    pub y: i64,
    /// Its width.
    pub wide: i64,
    /// Its height.
    pub high: i64,
}

/// A line of a scale, with its figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scale {
    /// From the top.
    pub y: i64,
    /// What it stands for.
    pub figure: String,
}

/// The drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plot {
    /// From the coldest to the warmest of each day that has both.
    pub warmth: Vec<Mark>,
    /// The rain of each day that had any.
    pub rain: Vec<Mark>,
    /// The lines of both scales.
    pub scales: Vec<Scale>,
    /// Words below some of the days, with the middle of their column.
    pub days: Vec<(i64, String)>,
    /// What it shows, in a sentence, for those who do not see it.
    pub words: String,
}

/// Draws these days.
pub fn plot(days: &[(Day, DayWeather)], units: Units) -> Plot {
    let count = i64::try_from(days.len()).unwrap_or(1).max(1);
    let left_of = |number: i64| LEFT + number * (WIDE - LEFT) / count;
    let (low, high) = warmth_scale(days, units);
    let most = rain_scale(days, units);
    let on = |value: i64, from: (i64, i64), to: (i64, i64)| {
        let span = (from.1 - from.0).max(1);
        to.1 - (value - from.0) * (to.1 - to.0) / span
    };
    let warmth_at = |value: Temperature| on(value.millicelsius(), (low, high), WARMTH);
    let rain_at = |value: Depth| on(value.micrometres(), (0, most), RAIN);
    let mut plot = Plot::default();
    for (number, (day, weather)) in (0..).zip(days) {
        let (x, wide) = (left_of(number), left_of(number + 1) - left_of(number));
        let column = |top: i64, foot: i64, thin: i64| Mark {
            x: x + thin,
            y: top,
            wide: (wide - 2 * thin).max(2),
            high: (foot - top).max(2),
        };
        if let Some((cold, warm)) = weather.coldest.zip(weather.warmest) {
            plot.warmth
                .push(column(warmth_at(warm), warmth_at(cold), wide / 3));
        }
        if let Some(rain) = weather.rain.filter(|rain| rain.is_positive()) {
            plot.rain.push(column(rain_at(rain), RAIN.1, wide / 6));
        }
        if (count - 1 - number) % 7 == 0 {
            plot.days.push((x + wide / 2, margin_day(*day)));
        }
    }
    let warmth = |value: i64| Temperature::from_millicelsius(value);
    for value in [low, high] {
        let figure = warmth(value).show(units);
        plot.scales.push(Scale {
            y: warmth_at(warmth(value)),
            figure,
        });
    }
    for value in [0, most] {
        let rain = Depth::from_micrometres(value);
        plot.scales.push(Scale {
            y: rain_at(rain),
            figure: rain.show_water(units),
        });
    }
    plot.words = words(days, units);
    plot
}

/// Whole steps of ten degrees of the garden's scale around all that is shown, in thousandths of a degree Celsius.
fn warmth_scale(days: &[(Day, DayWeather)], units: Units) -> (i64, i64) {
    let all = days
        .iter()
        .flat_map(|(_, weather)| [weather.coldest, weather.warmest]);
    let all: Vec<i64> = all.flatten().map(Temperature::millicelsius).collect();
    let (low, high) = (all.iter().min().copied(), all.iter().max().copied());
    let (low, high) = (low.unwrap_or(0), high.unwrap_or(20_000));
    let on_scale = |value: i64| match units {
        Units::Metric => value,
        Units::UsCustomary => value * 9 / 5 + 32_000,
    };
    let back = |value: i64| match units {
        Units::Metric => value,
        Units::UsCustomary => (value - 32_000) * 5 / 9,
    };
    let first = on_scale(low).div_euclid(10_000);
    let last = ((on_scale(high) - 1).div_euclid(10_000) + 1).max(first + 1);
    (back(first * 10_000), back(last * 10_000))
}

/// A whole figure that the wettest day does not exceed, in micrometres.
fn rain_scale(days: &[(Day, DayWeather)], units: Units) -> i64 {
    let rain = days.iter().filter_map(|(_, weather)| weather.rain);
    let most = rain.map(Depth::micrometres).max().unwrap_or(0);
    let step = match units {
        Units::Metric => 10_000,
        Units::UsCustomary => 12_700,
    };
    ((most + step - 1).div_euclid(step)).max(1) * step
}

fn words(days: &[(Day, DayWeather)], units: Units) -> String {
    let rain: i64 = days
        .iter()
        .filter_map(|(_, weather)| weather.rain)
        .map(Depth::micrometres)
        .sum();
    let wet = days
        .iter()
        .filter(|(_, weather)| weather.rain.is_some_and(Depth::is_positive));
    let cold = days.iter().filter_map(|(_, weather)| weather.coldest).min();
    let warm = days.iter().filter_map(|(_, weather)| weather.warmest).max();
    let warmth = cold.zip(warm).map_or_else(
        || "no temperatures".to_owned(),
        |(cold, warm)| format!("between {} and {}", cold.show(units), warm.show(units)),
    );
    format!(
        "{} days: {} of rain on {} of them, {warmth}. The table below says the same.",
        days.len(),
        Depth::from_micrometres(rain).show_water(units),
        wet.count()
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::day;
    use crate::plain::weather_rows::last_days;
    use crate::plain::weather_rows::tests::with;

    const TODAY: &str = "2026-06-28";

    fn drawn() -> Plot {
        let garden = with(&[
            ("2026-06-28", "", Some(20_000), Some((5_000, 20_000))),
            ("2026-06-27", "", Some(10_000), Some((10_000, 15_000))),
            ("2026-06-26", "", Some(0), None),
        ]);
        plot(&last_days(&garden, day(TODAY)), Units::Metric)
    }

    #[test]
    fn columns_stand_to_scale_in_their_days() {
        let plot = drawn();
        let [first, last] = plot.warmth.as_slice() else {
            panic!("{plot:?}")
        };
        // 5 to 20 °C on a scale from 0 to 20 °C: three quarters of the room, from its top.
        assert_eq!((last.y, last.high), (WARMTH.0, 101));
        // A quarter of 134, 10 to 15 °C, to one side or the other.
        assert!((33..=34).contains(&first.high), "{first:?}");
        assert!(first.x < last.x && last.x + last.wide <= WIDE);
        let [less, more] = plot.rain.as_slice() else {
            panic!("a dry day has no column: {plot:?}")
        };
        assert_eq!((more.y, more.y + more.high), (RAIN.0, RAIN.1));
        assert_eq!(less.high * 2, more.high);
    }

    #[test]
    fn scales_are_whole_and_every_seventh_day_is_named() {
        let figures: Vec<String> = drawn().scales.into_iter().map(|it| it.figure).collect();
        assert_eq!(figures, ["0 °C", "20 °C", "0 mm", "20 mm"]);
        let days: Vec<String> = drawn().days.into_iter().map(|(_, words)| words).collect();
        assert_eq!(days, ["7 Jun", "14 Jun", "21 Jun", "28 Jun"]);
        assert_eq!(
            drawn().words,
            "28 days: 30 mm of rain on 2 of them, between 5 °C and 20 °C. The table below says the same."
        );
        let nothing = plot(&last_days(&with(&[]), day(TODAY)), Units::UsCustomary);
        assert!(nothing.rain.is_empty() && nothing.warmth.is_empty());
        let figures: Vec<String> = nothing.scales.into_iter().map(|it| it.figure).collect();
        assert_eq!(figures, ["30 °F", "70 °F", "0 in", "0.5 in"]);
    }
}
