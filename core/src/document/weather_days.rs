//! The weather of a garden day by day, from what people read off their gauges, and what follows from it: gathered heat, the
//! water that a day takes, whether a bed is dry enough to work.
//!
//! Several gauges on one day are averaged. A day without a reading is never filled in: what needs it says which day it lacks.

use super::garden::Garden;
use super::ground_change::units_of;
use crate::ordered::Map;
use crate::quantities::exact::nearest;
use crate::quantities::{Day, Depth, Temperature, Weekday};
use crate::reckoning::{Reckoning, Refusal};
use crate::season::heat::{DayHeat, Heat, Method, gathered};
use crate::work::water::balance::{Balance, BalanceCase, BalanceDay, Order, keep};
use crate::work::water::evaporation::{DayAir, hargreaves};
use crate::work::water::sun;
use crate::work::workable::{DryDay, TopLayer, Workable, flag};

/// The weather of one day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DayWeather {
    /// Rain, on average of the gauges.
    pub rain: Option<Depth>,
    /// The coldest, on average.
    pub coldest: Option<Temperature>,
    /// The warmest, on average.
    pub warmest: Option<Temperature>,
    /// How many readings it is made of.
    pub readings: usize,
}

/// Every day that has a reading, of all years.
pub fn days(garden: &Garden) -> Map<Day, DayWeather> {
    let mut sums: Map<Day, [(i64, i64); 3]> = Map::new();
    let mut counts: Map<Day, usize> = Map::new();
    let notes = garden
        .seasons
        .values()
        .flat_map(|season| season.weather.values());
    for note in notes.filter(|note| note.ended_on.is_none()) {
        let values = [
            note.rain.map(Depth::micrometres),
            note.coldest.map(Temperature::millicelsius),
            note.warmest.map(Temperature::millicelsius),
        ];
        let of_day = sums.entry(note.day).or_default();
        for ((sum, count), value) in of_day.iter_mut().zip(values) {
            if let Some(value) = value {
                *sum = sum.saturating_add(value);
                *count += 1;
            }
        }
        *counts.entry(note.day).or_default() += 1;
    }
    let mean = |(sum, count): (i64, i64)| nearest(i128::from(sum), i128::from(count));
    let mut days = Map::new();
    for (day, [rain, coldest, warmest]) in sums {
        let weather = DayWeather {
            rain: mean(rain).map(Depth::from_micrometres),
            coldest: mean(coldest).map(Temperature::from_millicelsius),
            warmest: mean(warmest).map(Temperature::from_millicelsius),
            readings: counts.get(&day).copied().unwrap_or(0),
        };
        days.insert(day, weather);
    }
    days
}

/// The heat that gathered from one day to another, both included.
pub fn heat(
    garden: &Garden,
    from: Day,
    to: Day,
    method: Method,
    base: Temperature,
) -> Result<Reckoning<Heat>, Refusal> {
    let days = days(garden);
    let span = each(from, to)
        .map(|day| {
            let air = air_of(&days, day)?;
            Ok(DayHeat {
                high: air.high,
                low: air.low,
            })
        })
        .collect::<Result<Vec<DayHeat>, Refusal>>()?;
    gathered(method, base, &span, units_of(garden))
}

/// What the air takes from moist ground on a day, by its temperatures and the length of the day where the garden lies.
pub fn taken_by_air(garden: &Garden, day: Day) -> Result<Depth, Refusal> {
    taken_on(garden, &days(garden), day)
}

fn taken_on(garden: &Garden, days: &Map<Day, DayWeather>, day: Day) -> Result<Depth, Refusal> {
    let latitude = garden
        .profile
        .as_ref()
        .and_then(|profile| profile.latitude)
        .ok_or_else(|| Refusal::Missing {
            what: "The garden's latitude".to_owned(),
            why: "the length of the day hangs on it; a coordinator enters it under Garden"
                .to_owned(),
        })?;
    let sky = sun::of_day(sun::day_of_year(day)?, latitude)?.result;
    let lost = hargreaves(air_of(days, day)?, sky.above_the_air, units_of(garden))?;
    Ok(lost.result.per_day)
}

/// Whether a bed of this texture is dry enough to work at the end of a day, from the last soaking rain on.
pub fn workable(
    garden: &Garden,
    texture: &str,
    today: Day,
) -> Result<Reckoning<Workable>, Refusal> {
    let layer = TopLayer::of_texture(texture)?;
    let days = days(garden);
    let soaked = days
        .range(..=today)
        .rev()
        .find(|(_, weather)| weather.rain.is_some_and(|rain| rain >= layer.in_all))
        .map(|(day, _)| *day)
        .ok_or_else(|| Refusal::Missing {
            what: "A soaking rain in the notes".to_owned(),
            why: "the account begins with the ground wet through".to_owned(),
        })?;
    let account = each(soaked.plus_days(1), today)
        .map(|day| {
            Ok(DryDay {
                et0: taken_on(garden, &days, day)?,
                rain: rain_of(&days, day),
            })
        })
        .collect::<Result<Vec<DryDay>, Refusal>>()?;
    flag(layer, &account, units_of(garden))
}

/// The water account of a root zone that holds so much, from one day to another, of a crop that drinks so many percent of what
/// the air takes. A day without a reading of rain had none.
pub fn balance(
    garden: &Garden,
    holds: (Depth, Depth),
    percent: i64,
    from: Day,
    to: Day,
) -> Result<Reckoning<Balance>, Refusal> {
    let days = days(garden);
    let account = each(from, to)
        .map(|day| {
            let taken = i128::from(taken_on(garden, &days, day)?.micrometres());
            let drinks = nearest(taken * i128::from(percent), 100).unwrap_or(0);
            Ok(BalanceDay {
                drinks: Depth::from_micrometres(drinks),
                rain: rain_of(&days, day),
                watering: Depth::ZERO,
            })
        })
        .collect::<Result<Vec<BalanceDay>, Refusal>>()?;
    keep(&BalanceCase {
        all: holds.0,
        easily: holds.1,
        gone: Depth::ZERO,
        order: Order::WaterFirst,
        days: account,
        units: units_of(garden),
    })
}

fn rain_of(days: &Map<Day, DayWeather>, day: Day) -> Depth {
    days.get(&day)
        .and_then(|weather| weather.rain)
        .unwrap_or(Depth::ZERO)
}

fn air_of(days: &Map<Day, DayWeather>, day: Day) -> Result<DayAir, Refusal> {
    let weather = days.get(&day);
    let both = weather.and_then(|weather| weather.warmest.zip(weather.coldest));
    let (high, low) = both.ok_or_else(|| Refusal::Missing {
        what: format!("The warmest and the coldest of {day}"),
        why: "nobody wrote them down, and they are not guessed".to_owned(),
    })?;
    Ok(DayAir { high, low })
}

/// The days from one to another, both included; none where the second lies before the first.
fn each(from: Day, to: Day) -> impl Iterator<Item = Day> {
    (0..=from.days_until(to).min(400)).map(move |step| from.plus_days(step))
}

/// The Saturday of a week, on which most people have time.
pub(super) fn saturday_after(day: Day) -> Day {
    let until = (0..7).find(|step| day.plus_days(*step).weekday() == Weekday::Saturday);
    day.plus_days(until.unwrap_or(0))
}
