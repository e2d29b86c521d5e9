//! Penman-Monteith against a published package, for three hundred days of made-up weather.
//!
//! The package is refet 0.5.0 for Python, which follows the ASCE standardized equation for short grass: the same as FAO-56 Eq. 6 for
//! a day, but for a solar constant of 4.92 MJ/m² an hour (FAO-56: 0.0820 a minute) and rounded constants. What it gave is kept
//! beside this file, with its inputs.

use selion_core::quantities::{
    Latitude, Length, Pressure, Radiation, Temperature, Units, WindSpeed,
};
use selion_core::work::water::evaporation::{DayAir, Humidity, Sun, Weather, penman_monteith};

const CASES: &str = include_str!("evapotranspiration.csv");

/// A number with its digits moved by a power of ten, which must leave nothing behind the point.
fn whole(text: &str, thousandfold: i64) -> i64 {
    let number: f64 = text.parse().unwrap();
    let moved = number * f64::from(i32::try_from(thousandfold).unwrap());
    assert!((moved - moved.round()).abs() < 1e-6, "{text}");
    format!("{:.0}", moved.round()).parse().unwrap()
}

#[test]
fn three_hundred_days_of_weather() {
    let rows = CASES.lines().filter(|line| !line.starts_with('#')).skip(1);
    let mut count = 0;
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let [
            day,
            latitude,
            elevation,
            high,
            low,
            vapour,
            sun,
            wind,
            theirs,
        ] = cells.as_slice()
        else {
            panic!("{row}");
        };
        let weather = Weather {
            day: day.parse().unwrap(),
            latitude: Latitude::from_millidegrees(whole(latitude, 1_000)),
            elevation: Length::from_mm(whole(elevation, 1_000)),
            air: DayAir {
                high: Temperature::from_millicelsius(whole(high, 1_000)),
                low: Temperature::from_millicelsius(whole(low, 1_000)),
            },
            humidity: Humidity::Vapour(Pressure::from_pascals(whole(vapour, 1_000))),
            wind: Some((
                WindSpeed::from_mm_per_second(whole(wind, 1_000)),
                Length::from_mm(2_000),
            )),
            sun: Sun::Radiation(Radiation::from_joules(whole(sun, 1_000_000))),
            ground_heat: Radiation::ZERO,
            units: Units::Metric,
        };
        let ours = penman_monteith(&weather)
            .unwrap()
            .result
            .per_day
            .micrometres();
        let theirs = whole(theirs, 1_000);
        // A hundredth of it, or a hundredth of a millimetre where there is little.
        let bound = (theirs / 100).max(10);
        assert!((ours - theirs).abs() <= bound, "{row}: {ours} µm");
        count += 1;
    }
    assert_eq!(count, 300);
}
