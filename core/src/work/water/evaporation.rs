//! What a short green grass with water enough loses in a day (ET0), by two methods (FAO-56).
//!
//! *Hargreaves* (Eq. 52) needs the day's two temperatures: `ET0 = 0.0023 (T + 17.8) √(Tmax − Tmin) · 0.408 Ra`.
//! *Penman-Monteith* (Eq. 6) needs humidity, wind and sun too, and takes a stated stand-in for what is not measured:
//! `ET0 = [0.408 Δ (Rn − G) + γ 900/(T + 273) u2 (es − ea)] / [Δ + γ (1 + 0.34 u2)]`.
//!
//! ```
//! use selion_core::quantities::{Latitude, Temperature, Units};
//! use selion_core::work::water::evaporation::{DayAir, hargreaves};
//!
//! let air = DayAir { high: Temperature::parse("26.6 C")?, low: Temperature::parse("14.8 C")? };
//! let answer = hargreaves(air, "40.55 MJ/m2".parse()?, Units::Metric)?;
//! assert_eq!(answer.result.to_string(), "5 mm a day");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::{air, sun};
use crate::geometry::{approximate, whole};
use crate::quantities::{
    Depth, Latitude, Length, Minutes, Percent, Pressure, Radiation, Temperature, Units, WindSpeed,
};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::work::FAO_56;

/// Millimetres of water that a megajoule on a square metre evaporates.
const MM_PER_MEGAJOULE: f64 = 0.408;
/// What a short green grass sends back of the sun.
const GRASS_SENDS_BACK: f64 = 0.23;
/// Stefan and Boltzmann, MJ/m² a day and K⁴.
const STEFAN_BOLTZMANN: f64 = 4.903e-9;

/// The warmest and the coolest of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayAir {
    /// Its highest temperature.
    pub high: Temperature,
    /// Its lowest temperature.
    pub low: Temperature,
}

/// How the vapour in the air is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Humidity {
    /// Measured as pressure.
    Vapour(Pressure),
    /// The highest and the lowest relative humidity of the day.
    Relative {
        /// The highest, which comes with the lowest temperature.
        high: Percent,
        /// The lowest.
        low: Percent,
    },
    /// Not measured: the dew point is taken as the lowest temperature.
    #[default]
    DewAtTheLow,
}

/// How the sun on the ground is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sun {
    /// Hours of bright sun.
    Hours(Minutes),
    /// Measured as radiation.
    Radiation(Radiation),
    /// Not measured: from the span of temperatures, away from the coast.
    #[default]
    FromTemperatures,
}

/// A day's weather for Penman-Monteith.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weather {
    /// The day of the year, from 1 to 366.
    pub day: i64,
    /// Where.
    pub latitude: Latitude,
    /// How high above the sea.
    pub elevation: Length,
    /// Its temperatures.
    pub air: DayAir,
    /// Its humidity.
    pub humidity: Humidity,
    /// Its wind and how high that is measured; 2 m/s where it is not.
    pub wind: Option<(WindSpeed, Length)>,
    /// Its sun.
    pub sun: Sun,
    /// What the ground takes up; nothing on a single day.
    pub ground_heat: Radiation,
    /// The garden's units.
    pub units: Units,
}

/// Water lost in a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Evaporation {
    /// In a day.
    pub per_day: Depth,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Evaporation {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} a day", self.per_day.show_water(self.units))
    }
}

/// From the day's temperatures and what reaches the top of the air.
pub fn hargreaves(
    air: DayAir,
    above_the_air: Radiation,
    units: Units,
) -> Result<Reckoning<Evaporation>, Refusal> {
    check_air(air, units)?;
    if above_the_air < Radiation::ZERO || above_the_air.joules() > 60_000_000 {
        let came = above_the_air.show();
        return Err(Refusal::bad(
            "radiation above the air",
            "from 0 to 60 MJ/m²",
            came,
        ));
    }
    let (high, low) = (celsius(air.high), celsius(air.low));
    let mean = f64::midpoint(high, low);
    let water = megajoules(above_the_air) * MM_PER_MEGAJOULE;
    let lost = (0.0023 * (mean + 17.8) * (high - low).max(0.0).sqrt() * water).max(0.0);
    let result = Evaporation {
        per_day: depth(lost),
        units,
    };
    let source = Source::published(format!("{FAO_56}, Eq. 52 (Hargreaves)."));
    Ok(Reckoning::new(result, source)
        .step(Step::new("High and low", span(air, units)))
        .step(Step::new("Mean", format!("{mean:.1} °C")))
        .step(Step::new("Above the air", above_the_air.show()))
        .step(Step::new("As water", format!("{water:.2} mm")))
        .step(Step::sum("ET0", format!("{lost:.2} mm")))
        .on("From temperatures alone; it reads high where the air is moist (in Mississippi 0.28 mm a day on average: Fisher and Pringle 2013).")
        .rounded("To the micrometre; shown in tenths of a millimetre or hundredths of an inch."))
}

/// From the whole weather of a day.
pub fn penman_monteith(weather: &Weather) -> Result<Reckoning<Evaporation>, Refusal> {
    let parts = Parts::of(weather)?;
    let lost = parts.lost().max(0.0);
    let units = weather.units;
    let result = Evaporation {
        per_day: depth(lost),
        units,
    };
    let source = Source::published(format!("{FAO_56}, Eq. 6 (Penman-Monteith)."));
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("High and low", span(weather.air, units)))
        .step(Step::new(
            "Vapour missing, es − ea",
            format!("{:.3} kPa", parts.deficit),
        ))
        .step(Step::new(
            "Slope Δ and constant γ",
            format!("{:.3} and {:.4} kPa/°C", parts.slope, parts.gamma),
        ))
        .step(Step::new("Wind at 2 m", format!("{:.3} m/s", parts.wind)))
        .step(Step::new(
            "Above the air",
            format!("{:.2} MJ/m²", parts.above),
        ))
        .step(Step::new(
            "On the ground, and under a clear sky",
            format!("{:.2} and {:.2} MJ/m²", parts.ground, parts.clear),
        ))
        .step(Step::new(
            "Kept of the short waves",
            format!("{:.2} MJ/m²", parts.short),
        ))
        .step(Step::new(
            "Lost as long waves",
            format!("{:.2} MJ/m²", parts.long),
        ))
        .step(Step::new(
            "Net, Rn",
            format!("{:.2} MJ/m²", parts.short - parts.long),
        ))
        .step(Step::new("Into the ground, G", weather.ground_heat.show()))
        .step(Step::sum("ET0", format!("{lost:.2} mm")))
        .rounded("To the micrometre; shown in tenths of a millimetre or hundredths of an inch.");
    if weather.humidity == Humidity::DewAtTheLow {
        answer = answer
            .on("Humidity is not measured: the dew point is taken as the lowest temperature.");
    }
    if weather.wind.is_none() {
        answer = answer.on("Wind is not measured: 2 m/s is taken.");
    }
    if weather.sun == Sun::FromTemperatures {
        answer = answer.on("Sun is not measured: 0.16 √(Tmax − Tmin) Ra is taken, which holds away from the coast.");
    }
    Ok(answer)
}

/// Everything that Eq. 6 is made of, in MJ/m², kPa, °C and m/s.
struct Parts {
    mean: f64,
    slope: f64,
    gamma: f64,
    deficit: f64,
    wind: f64,
    above: f64,
    clear: f64,
    ground: f64,
    short: f64,
    long: f64,
    into_the_ground: f64,
}

impl Parts {
    fn of(weather: &Weather) -> Result<Self, Refusal> {
        check_air(weather.air, weather.units)?;
        check_rest(weather)?;
        let (high, low) = (celsius(weather.air.high), celsius(weather.air.low));
        let mean = f64::midpoint(high, low);
        let metres = approximate(i128::from(weather.elevation.mm())) / 1_000.0;
        let sky = sun::of_day(weather.day, weather.latitude)?.result;
        let above = megajoules(sky.above_the_air);
        let clear = (0.75 + 2e-5 * metres) * above;
        let ground = on_the_ground(weather, above, &sky);
        let holds = f64::midpoint(air::saturation(high), air::saturation(low));
        let vapour = vapour(weather.humidity, high, low).min(holds);
        // Without any sun the share of the clear sky cannot be told; the sky is taken as half clear.
        let share = if clear > 0.0 {
            (ground / clear).clamp(0.25, 1.0)
        } else {
            0.5
        };
        let kelvin = |celsius: f64| (celsius + 273.16).powi(4);
        let long = STEFAN_BOLTZMANN
            * f64::midpoint(kelvin(high), kelvin(low))
            * (0.34 - 0.14 * vapour.sqrt())
            * (1.35 * share - 0.35);
        Ok(Self {
            mean,
            slope: air::slope(mean),
            gamma: air::psychrometric(metres),
            deficit: holds - vapour,
            wind: wind(weather.wind),
            above,
            clear,
            ground,
            short: (1.0 - GRASS_SENDS_BACK) * ground,
            long,
            into_the_ground: megajoules(weather.ground_heat),
        })
    }

    fn lost(&self) -> f64 {
        let net = self.short - self.long - self.into_the_ground;
        let blown = self.gamma * 900.0 / (self.mean + 273.0) * self.wind * self.deficit;
        (MM_PER_MEGAJOULE * self.slope * net + blown)
            / (self.slope + self.gamma * (1.0 + 0.34 * self.wind))
    }
}

/// Eqs 35 and 50.
fn on_the_ground(weather: &Weather, above: f64, sky: &sun::SunOfDay) -> f64 {
    match weather.sun {
        Sun::Radiation(radiation) => megajoules(radiation),
        Sun::Hours(hours) => {
            let bright = approximate(i128::from(hours.get()));
            // The unrounded length of the day: 24/π hours to a radian of the angle at sunset.
            let sunset = approximate(i128::from(sky.sunset_microradians)) / 1e6;
            let daylight = 24.0 * 60.0 * sunset / std::f64::consts::PI;
            let share = if daylight > 0.0 {
                (bright / daylight).min(1.0)
            } else {
                0.0
            };
            (0.25 + 0.5 * share) * above
        }
        Sun::FromTemperatures => {
            let span = celsius(weather.air.high) - celsius(weather.air.low);
            0.16 * span.max(0.0).sqrt() * above
        }
    }
}

/// Eqs 14 and 17.
fn vapour(humidity: Humidity, high: f64, low: f64) -> f64 {
    let part = |percent: Percent| approximate(i128::from(percent.hundredths())) / 10_000.0;
    match humidity {
        Humidity::Vapour(pressure) => approximate(i128::from(pressure.pascals())) / 1_000.0,
        Humidity::Relative {
            high: most,
            low: least,
        } => f64::midpoint(
            air::saturation(low) * part(most),
            air::saturation(high) * part(least),
        ),
        Humidity::DewAtTheLow => air::saturation(low),
    }
}

fn wind(measured: Option<(WindSpeed, Length)>) -> f64 {
    measured.map_or(2.0, |(speed, height)| {
        let speed = approximate(i128::from(speed.mm_per_second())) / 1_000.0;
        let metres = approximate(i128::from(height.mm())) / 1_000.0;
        // At 2 m the formula is one but for its rounded constants.
        if height.mm() == 2_000 {
            speed
        } else {
            air::wind_at_two_metres(speed, metres)
        }
    })
}

fn check_air(air: DayAir, units: Units) -> Result<(), Refusal> {
    let bounds = Temperature::from_millicelsius(-40_000)..=Temperature::from_millicelsius(55_000);
    if air.low > air.high {
        return Err(Refusal::bad(
            "high",
            "a high that is not below the low",
            span(air, units),
        ));
    }
    for (field, came) in [("high", air.high), ("low", air.low)] {
        if !bounds.contains(&came) {
            let expected = format!(
                "from {} to {}",
                bounds.start().show(units),
                bounds.end().show(units)
            );
            return Err(Refusal::bad(field, expected, came.show(units)));
        }
    }
    Ok(())
}

fn check_rest(weather: &Weather) -> Result<(), Refusal> {
    let units = weather.units;
    if !(-500_000..=6_000_000).contains(&weather.elevation.mm()) {
        let came = weather.elevation.show(units);
        return Err(Refusal::bad(
            "elevation",
            "from 500 m below the sea to 6 km above",
            came,
        ));
    }
    if let Some((speed, height)) = weather.wind {
        if !(0..=60_000).contains(&speed.mm_per_second()) {
            return Err(Refusal::bad("wind", "from 0 to 60 m/s", speed.show(units)));
        }
        if !(500..=100_000).contains(&height.mm()) {
            return Err(Refusal::bad(
                "wind_height",
                "from 0.5 to 100 m",
                height.show(units),
            ));
        }
    }
    match weather.humidity {
        Humidity::Vapour(pressure) if !(0..=15_000).contains(&pressure.pascals()) => {
            return Err(Refusal::bad("vapour", "from 0 to 15 kPa", pressure.show()));
        }
        Humidity::Relative { high, low }
            if low > high || low < Percent::ZERO || high > Percent::HUNDRED =>
        {
            let came = format!("{high} and {low}");
            return Err(Refusal::bad(
                "humidity",
                "a high up to 100 % and a low that is not above it",
                came,
            ));
        }
        Humidity::Vapour(_) | Humidity::Relative { .. } | Humidity::DewAtTheLow => {}
    }
    match weather.sun {
        Sun::Hours(hours) if !(0..=1_440).contains(&hours.get()) => {
            return Err(Refusal::bad("sun", "from 0 to 24 h", hours.show()));
        }
        Sun::Radiation(radiation) if !(0..=60_000_000).contains(&radiation.joules()) => {
            return Err(Refusal::bad(
                "radiation",
                "from 0 to 60 MJ/m²",
                radiation.show(),
            ));
        }
        Sun::Hours(_) | Sun::Radiation(_) | Sun::FromTemperatures => {}
    }
    if weather.ground_heat.joules().saturating_abs() > 20_000_000 {
        return Err(Refusal::bad(
            "ground_heat",
            "from −20 to 20 MJ/m²",
            weather.ground_heat.show(),
        ));
    }
    Ok(())
}

fn span(air: DayAir, units: Units) -> String {
    format!("{} and {}", air.high.show(units), air.low.show(units))
}

fn celsius(temperature: Temperature) -> f64 {
    approximate(i128::from(temperature.millicelsius())) / 1_000.0
}

fn megajoules(radiation: Radiation) -> f64 {
    approximate(i128::from(radiation.joules())) / 1e6
}

fn depth(millimetres: f64) -> Depth {
    Depth::from_micrometres(whole(millimetres * 1_000.0))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn degrees(tenths: i64) -> Temperature {
        Temperature::from_millicelsius(tenths * 100)
    }

    fn weather() -> Weather {
        Weather {
            day: 196,
            latitude: Latitude::from_millidegrees(45_720),
            elevation: Length::from_mm(200_000),
            air: DayAir {
                high: degrees(266),
                low: degrees(148),
            },
            humidity: Humidity::default(),
            wind: None,
            sun: Sun::default(),
            ground_heat: Radiation::ZERO,
            units: Units::Metric,
        }
    }

    #[test]
    fn stand_ins_are_named() {
        let text = penman_monteith(&weather()).unwrap().to_string();
        for named in [
            "Humidity is not measured",
            "Wind is not measured",
            "Sun is not measured",
        ] {
            assert!(text.contains(named), "{text}");
        }
        let mut measured = weather();
        measured.humidity = Humidity::Vapour(Pressure::from_pascals(1_600));
        measured.wind = Some((WindSpeed::from_mm_per_second(2_000), Length::from_mm(2_000)));
        measured.sun = Sun::Hours(Minutes::new(540));
        assert!(
            !penman_monteith(&measured)
                .unwrap()
                .to_string()
                .contains("not measured")
        );
    }

    #[test]
    fn readings_that_cannot_be_are_refused_by_name() {
        let refused = |change: fn(&mut Weather)| {
            let mut weather = weather();
            change(&mut weather);
            let text = penman_monteith(&weather).unwrap_err().to_string();
            text.split(':').next().unwrap().to_owned()
        };
        assert_eq!(refused(|w| w.day = 0), "day of the year");
        assert_eq!(refused(|w| w.air.low = degrees(300)), "high");
        assert_eq!(refused(|w| w.air.high = degrees(600)), "high");
        assert_eq!(refused(|w| w.air.low = degrees(-500)), "low");
        assert_eq!(
            refused(|w| w.elevation = Length::from_mm(9_000_000)),
            "elevation"
        );
        assert_eq!(
            refused(|w| w.wind = Some((WindSpeed::from_mm_per_second(-1), Length::from_mm(2_000)))),
            "wind"
        );
        assert_eq!(
            refused(|w| w.wind = Some((WindSpeed::ZERO, Length::from_mm(80)))),
            "wind_height"
        );
        assert_eq!(
            refused(|w| w.humidity = Humidity::Vapour(Pressure::from_pascals(-1))),
            "vapour"
        );
        assert_eq!(
            refused(|w| w.humidity = Humidity::Relative {
                high: Percent::ZERO,
                low: Percent::HUNDRED
            }),
            "humidity"
        );
        assert_eq!(refused(|w| w.sun = Sun::Hours(Minutes::new(1_441))), "sun");
        assert_eq!(
            refused(|w| w.sun = Sun::Radiation(Radiation::from_joules(-1))),
            "radiation"
        );
        assert_eq!(
            refused(|w| w.ground_heat = Radiation::from_joules(i64::MIN)),
            "ground_heat"
        );
        let cold = DayAir {
            high: degrees(100),
            low: degrees(200),
        };
        assert!(hargreaves(cold, Radiation::ZERO, Units::Metric).is_err());
        let air = weather().air;
        let refusal = hargreaves(air, Radiation::from_joules(-1), Units::Metric).unwrap_err();
        assert!(refusal.to_string().starts_with("radiation above the air:"));
    }

    proptest! {
        #[test]
        fn any_weather_gives_a_sane_loss(
            day in 1_i64..=366, latitude in -90_000_i64..=90_000, low in -400_i64..=550, more in 0_i64..=400,
            wind in 0_i64..=60_000, hours in 0_i64..=1_440, metres in -500_i64..=6_000,
        ) {
            let mut weather = weather();
            (weather.day, weather.latitude) = (day, Latitude::from_millidegrees(latitude));
            weather.air = DayAir { high: degrees((low + more).min(550)), low: degrees(low) };
            weather.wind = Some((WindSpeed::from_mm_per_second(wind), Length::from_mm(2_000)));
            weather.sun = Sun::Hours(Minutes::new(hours));
            weather.elevation = Length::from_mm(metres * 1_000);
            let lost = penman_monteith(&weather).unwrap().result.per_day;
            prop_assert!((0..=100_000).contains(&lost.micrometres()), "{lost:?}");
        }

        #[test]
        fn more_sun_is_never_less_water(hours in 0_i64..800, more in 0_i64..100) {
            let lost = |minutes: i64| {
                let mut weather = weather();
                weather.sun = Sun::Hours(Minutes::new(minutes));
                penman_monteith(&weather).unwrap().result.per_day
            };
            prop_assert!(lost(hours) <= lost(hours + more));
        }
    }
}
