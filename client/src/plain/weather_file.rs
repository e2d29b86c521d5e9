//! A station's file from the public archive: what of it is new here, what is left out and why, and the edits that write it.

use selion_core::document::edit::Reading;
use selion_core::document::ids::WeatherId;
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::exchange::ghcn;
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Units};

use super::weather_rows::said;
use super::wording::counted;

/// Readings of one edit; the edit holds at most 120, and its text stays far below its limit.
const IN_ONE_EDIT: usize = 60;
/// Days that are shown before anything is written.
const FIRST_DAYS: usize = 5;

/// What a file would bring.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Preview {
    /// What is written, in the order of writing.
    pub edits: Vec<(DocumentName, Edit)>,
    /// How many days that are.
    pub days: usize,
    /// What is brought and what is left out, a sentence each.
    pub words: Vec<String>,
    /// The first days, as they would be listed.
    pub first: Vec<(String, String)>,
}

/// What a file holds, by what becomes of it here.
#[derive(Default)]
struct Sorted {
    new: Map<i16, Vec<(WeatherId, Reading)>>,
    stations: Vec<String>,
    span: Option<(Day, Day)>,
    here: usize,
    differ: usize,
    closed: usize,
    to_come: usize,
}

impl Sorted {
    fn of(garden: &Garden, readings: Vec<Reading>, today: Day) -> Self {
        let open = garden
            .profile
            .as_ref()
            .map(|profile| profile.open_years())
            .unwrap_or_default();
        let mut sorted = Self::default();
        for reading in readings {
            let year = reading.day.year();
            let id = WeatherId::of_key(&format!("{}:{}", reading.gauge, reading.day));
            let season = garden.seasons.get(&year);
            let there = season.and_then(|season| season.weather.get(&id));
            if reading.day > today {
                sorted.to_come += 1;
            } else if let Some(there) = there {
                // Struck out here, it stays struck out.
                if reading.stands_as(there) {
                    sorted.here += 1;
                } else {
                    sorted.differ += 1;
                }
            } else if open.contains(&year) {
                sorted.put(year, id, reading);
            } else {
                sorted.closed += 1;
            }
        }
        sorted
    }

    fn put(&mut self, year: i16, id: WeatherId, reading: Reading) {
        if !self.stations.contains(&reading.gauge) {
            self.stations.push(reading.gauge.clone());
        }
        let (first, last) = self.span.unwrap_or((reading.day, reading.day));
        self.span = Some((first.min(reading.day), last.max(reading.day)));
        self.new.entry(year).or_default().push((id, reading));
    }

    fn words(&self, days: usize) -> Vec<String> {
        let counted_days = |count: usize| counted(count, "day", "days");
        let mut words = vec![self.span.map_or_else(
            || "Nothing in this file is new here.".to_owned(),
            |(first, last)| {
                let of = self.stations.join(", ");
                format!("{} of {of} are new, {first} to {last}.", counted_days(days))
            },
        )];
        for (count, why) in [
            (self.here, "that were brought in before"),
            (
                self.differ,
                "that were brought in before with other values, which stay",
            ),
            (self.closed, "of years that are not open in this garden"),
            (self.to_come, "still to come"),
        ] {
            if count > 0 {
                words.push(format!("Left out: {} {why}.", counted_days(count)));
            }
        }
        words
    }
}

/// Reads a file for this garden; nothing is written yet.
pub fn preview(garden: &Garden, text: &str, today: Day, units: Units) -> Result<Preview, BadInput> {
    let found = ghcn::read(text)?;
    let (failed, others) = (found.failed, found.others);
    let sorted = Sorted::of(garden, found.readings, today);
    let mut preview = Preview::default();
    for (year, readings) in &sorted.new {
        preview.days += readings.len();
        for batch in readings.chunks(IN_ONE_EDIT) {
            let readings = batch.iter().cloned().collect();
            let edit = Edit::NoteWeather { readings };
            preview.edits.push((DocumentName::Season(*year), edit));
        }
        let room = FIRST_DAYS.saturating_sub(preview.first.len());
        for (_, reading) in readings.iter().take(room) {
            let what = said(reading.rain, reading.coldest, reading.warmest, units);
            preview.first.push((reading.day.to_string(), what));
        }
    }
    preview.words = sorted.words(preview.days);
    if failed > 0 {
        let values = counted(failed, "value", "values");
        let words = format!("Left out: {values} that failed a check of the archive.");
        preview.words.push(words);
    }
    if others > 0 {
        let lines = counted(others, "line", "lines");
        let words = format!("Passed over: {lines} about other things, such as snow.");
        preview.words.push(words);
    }
    Ok(preview)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::records::WeatherNote;

    use super::*;
    use crate::plain::sample::{day, garden, member};

    const TODAY: &str = "2026-06-11";

    fn file(days: i64) -> String {
        let of_day = |step| {
            let on = day("2026-01-01")
                .plus_days(step)
                .to_string()
                .replace('-', "");
            format!(
                "USW00014735,{on},TMAX,175,,,W,\nUSW00014735,{on},TMIN,40,,,W,\nUSW00014735,{on},PRCP,127,,,W,2400\n"
            )
        };
        (0..days).map(of_day).collect()
    }

    fn written(mut garden: Garden, edits: &[(DocumentName, Edit)]) -> Garden {
        for (document, edit) in edits {
            let Edit::NoteWeather { readings } = edit else {
                panic!("{edit:?}")
            };
            let season = garden.seasons.get_mut(&document.year().unwrap()).unwrap();
            for (id, reading) in readings {
                let note = WeatherNote {
                    day: reading.day,
                    rain: reading.rain,
                    coldest: reading.coldest,
                    warmest: reading.warmest,
                    gauge: reading.gauge.clone(),
                    member: member(1),
                    ended_on: None,
                };
                season.weather.insert(*id, Arc::new(note));
            }
        }
        garden
    }

    #[test]
    fn a_file_is_written_in_batches_and_the_same_file_twice_adds_nothing() {
        let text = file(150);
        let first = preview(&garden(), &text, day(TODAY), Units::Metric).unwrap();
        assert_eq!((first.days, first.edits.len()), (150, 3));
        for (document, edit) in &first.edits {
            assert_eq!(*document, DocumentName::Season(2026));
            assert_eq!(edit.check_bounds(), Ok(()));
        }
        assert_eq!(
            first.first[0],
            (
                "2026-01-01".to_owned(),
                "12.7 mm rain · 4 °C to 17.5 °C".to_owned()
            )
        );
        assert_eq!(
            first.words,
            ["150 days of USW00014735 are new, 2026-01-01 to 2026-05-30."]
        );
        let garden = written(garden(), &first.edits);
        let again = preview(&garden, &text, day(TODAY), Units::Metric).unwrap();
        assert_eq!((again.days, again.edits.len()), (0, 0));
        assert_eq!(
            again.words,
            [
                "Nothing in this file is new here.",
                "Left out: 150 days that were brought in before."
            ]
        );
    }

    #[test]
    fn what_is_left_out_is_told_with_the_reason() {
        let text = "USW00014735,20250610,TMAX,175,,,W,\n\
            USW00014735,20260612,TMAX,175,,,W,\n\
            USW00014735,20260610,SNOW,0,,,W,\n\
            USW00014735,20260610,TMAX,881,,X,W,\n\
            USW00014735,20260610,TMIN,40,,,W,\n";
        let found = preview(&garden(), text, day(TODAY), Units::Metric).unwrap();
        assert_eq!(found.days, 1);
        assert_eq!(
            found.words[1..],
            [
                "Left out: 1 day of years that are not open in this garden.",
                "Left out: 1 day still to come.",
                "Left out: 1 value that failed a check of the archive.",
                "Passed over: 1 line about other things, such as snow."
            ]
        );
        let corrected = text.replace("TMIN,40", "TMIN,45");
        let garden = written(garden(), &found.edits);
        let other = preview(&garden, &corrected, day(TODAY), Units::Metric).unwrap();
        assert_eq!(other.days, 0);
        assert!(other.words[1].ends_with("with other values, which stay."));
        let refused = preview(&garden, "a,b,c\n", day(TODAY), Units::Metric).unwrap_err();
        assert_eq!(refused.field, "line 1, station");
    }
}
