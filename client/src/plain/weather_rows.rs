//! The weather as the screen lists it: what was written down, and each day on average of its gauges.

use selion_core::document::edit::Reading;
use selion_core::document::ids::{MemberId, WeatherId};
use selion_core::document::records::WeatherNote;
use selion_core::document::weather_days::{self, DayWeather};
use selion_core::document::{DocumentName, Garden};
use selion_core::ordered;
use selion_core::quantities::{Day, Depth, Temperature, Units};

use super::wording::{day_words, margin_day};

/// Days that the plot and the table show.
pub const SHOWN: i64 = 28;
/// The most readings that are listed.
const MOST_LISTED: usize = 60;

/// A reading as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadingLine {
    /// Which.
    pub id: WeatherId,
    /// The season it stands in.
    pub document: DocumentName,
    /// Its day, for the margin.
    pub margin: String,
    /// What it says.
    pub what: String,
    /// Which gauge, and who wrote it down.
    pub small: String,
    /// Whether whoever looks wrote it down.
    pub mine: bool,
    /// What it says, to be written anew.
    pub reading: Reading,
}

/// The newest readings that were not struck out, the latest day first.
pub fn readings(garden: &Garden, me: Option<MemberId>, units: Units) -> Vec<ReadingLine> {
    let mut notes: Vec<(i16, WeatherId, &WeatherNote)> = Vec::new();
    for (year, season) in &garden.seasons {
        let stand = season
            .weather
            .iter()
            .filter(|(_, note)| note.ended_on.is_none());
        notes.extend(stand.map(|(id, note)| (*year, *id, note.as_ref())));
    }
    ordered::sort_by_key(&mut notes, |(_, id, note)| {
        std::cmp::Reverse((note.day, *id))
    });
    notes.truncate(MOST_LISTED);
    let line = |(year, id, note): (i16, WeatherId, &WeatherNote)| ReadingLine {
        id,
        document: DocumentName::Season(year),
        margin: margin_day(note.day),
        what: said(note.rain, note.coldest, note.warmest, units),
        small: [note.gauge.as_str(), garden.name_of(note.member)]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>()
            .join(" · "),
        mine: me == Some(note.member),
        reading: Reading {
            day: note.day,
            rain: note.rain,
            coldest: note.coldest,
            warmest: note.warmest,
            gauge: note.gauge.clone(),
        },
    };
    notes.into_iter().map(line).collect()
}

/// What a gauge showed, in a few words.
pub fn said(
    rain: Option<Depth>,
    coldest: Option<Temperature>,
    warmest: Option<Temperature>,
    units: Units,
) -> String {
    let rain = rain.map(|rain| {
        if rain.is_positive() {
            format!("{} rain", rain.show_water(units))
        } else {
            "no rain".to_owned()
        }
    });
    let warmth = match (coldest, warmest) {
        (Some(low), Some(high)) => Some(format!("{} to {}", low.show(units), high.show(units))),
        (Some(low), None) => Some(format!("coldest {}", low.show(units))),
        (None, Some(high)) => Some(format!("warmest {}", high.show(units))),
        (None, None) => None,
    };
    let all: Vec<String> = rain.into_iter().chain(warmth).collect();
    all.join(" · ")
}

/// The last four weeks, day by day; a day without a reading is there too, with nothing.
pub fn last_days(garden: &Garden, today: Day) -> Vec<(Day, DayWeather)> {
    let days = weather_days::days(garden);
    (1 - SHOWN..=0)
        .map(|step| today.plus_days(step))
        .map(|day| (day, days.get(&day).copied().unwrap_or_default()))
        .collect()
}

/// The heads of the table that says what the plot shows.
pub const HEADS: [&str; 5] = ["Day", "Rain", "Coldest", "Warmest", "Gauges"];

/// The rows of that table: days with a reading, the latest first.
pub fn table(days: &[(Day, DayWeather)], today: Day, units: Units) -> Vec<[String; 5]> {
    let shown = |value: Option<String>| value.unwrap_or_else(|| "–".to_owned());
    let row = |(day, weather): &(Day, DayWeather)| {
        [
            day_words(*day, today),
            shown(weather.rain.map(|rain| rain.show_water(units))),
            shown(weather.coldest.map(|low| low.show(units))),
            shown(weather.warmest.map(|high| high.show(units))),
            weather.readings.to_string(),
        ]
    };
    let days = days.iter().rev();
    days.filter(|(_, weather)| weather.readings > 0)
        .map(row)
        .collect()
}

/// The last day up to today that has both temperatures; the reckonings go as far as that.
pub fn last_full_day(garden: &Garden, today: Day) -> Option<Day> {
    let days = weather_days::days(garden);
    let mut back = days.range(..=today).rev();
    back.find(|(_, weather)| weather.coldest.is_some() && weather.warmest.is_some())
        .map(|(day, _)| *day)
}

/// What was written on a gauge before, to be offered again; the newest first.
pub fn gauges(garden: &Garden) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for line in readings(garden, None, Units::Metric) {
        let name = line.reading.gauge;
        if !name.is_empty() && !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

#[cfg(test)]
pub(super) mod tests {
    use std::sync::Arc;

    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{day, garden, member};

    /// A reading: day, gauge, micrometres of rain, thousandths of a degree.
    type Reading<'a> = (&'a str, &'a str, Option<i64>, Option<(i64, i64)>);

    /// A garden with these readings.
    pub(in crate::plain) fn with(readings: &[Reading<'_>]) -> Garden {
        let mut garden = garden();
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, (on, gauge, rain, air)) in (1..).zip(readings) {
            let note = WeatherNote {
                day: day(on),
                rain: rain.map(Depth::from_micrometres),
                coldest: air.map(|(low, _)| Temperature::from_millicelsius(low)),
                warmest: air.map(|(_, high)| Temperature::from_millicelsius(high)),
                gauge: (*gauge).into(),
                member: member(1),
                ended_on: None,
            };
            let id = WeatherId::fresh(Moment::from_millis(1), [number; 10]);
            season.weather.insert(id, Arc::new(note));
        }
        garden
    }

    #[test]
    fn readings_come_latest_first_with_what_they_say() {
        let garden = with(&[
            ("2026-06-08", "shed", Some(12_700), None),
            ("2026-06-10", "", Some(0), Some((5_000, 20_000))),
            ("2026-06-09", "gate", None, Some((4_000, 18_000))),
        ]);
        let lines = readings(&garden, Some(member(1)), Units::UsCustomary);
        let said: Vec<&str> = lines.iter().map(|line| line.what.as_str()).collect();
        assert_eq!(
            said,
            [
                "no rain · 41 °F to 68 °F",
                "39.2 °F to 64.4 °F",
                "0.5 in rain"
            ]
        );
        assert_eq!(lines[0].small, "Ines");
        assert_eq!(
            (lines[1].small.as_str(), lines[1].mine),
            ("gate · Ines", true)
        );
        assert_eq!(gauges(&garden), ["gate", "shed"]);
    }

    #[test]
    fn two_gauges_are_averaged_and_a_day_without_one_stays_empty() {
        let garden = with(&[
            ("2026-06-10", "shed", Some(10_000), Some((5_000, 20_000))),
            ("2026-06-10", "gate", Some(20_000), None),
        ]);
        let today = day("2026-06-11");
        let days = last_days(&garden, today);
        assert_eq!(days.len(), 28);
        let table = table(&days, today, Units::Metric);
        assert_eq!(
            table,
            [["yesterday", "15 mm", "5 °C", "20 °C", "2"].map(String::from)]
        );
        assert_eq!(last_full_day(&garden, today), Some(day("2026-06-10")));
        assert_eq!(last_full_day(&garden, day("2026-06-09")), None);
    }
}
