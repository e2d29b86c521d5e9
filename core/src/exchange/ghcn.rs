//! Daily weather of a station from the public archive, in the layout of GHCN-Daily's yearly CSV files.
//!
//! The archive's readmes for these files (NOAA National Centers for Environmental Information, *Global Historical Climatology
//! Network Daily*, `readme-by_year.txt` and `readme-by_station.txt`) name eight columns: `ID`, the station, of 11 characters;
//! the day as `YYYYMMDD`; `ELEMENT`; `DATA VALUE`; `M-FLAG`, `Q-FLAG` and `S-FLAG`, those of measurement, quality and source;
//! `OBS-TIME`, hour and minute, empty where it is not known. The files of one station and of one year have the same columns;
//! copies in the archive's cloud store begin with the heading `ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME`, the
//! others have none. Of the elements these are read (section III of the archive's `readme.txt`): `PRCP`, rain in tenths of a
//! millimetre; `TMIN` and `TMAX`, in tenths of a degree Celsius. A quality flag says which check of the archive the value
//! failed, so a value with one is left out, and so is −9999, which stands for none.
//!
//! ```
//! use selion_core::exchange::ghcn;
//! use selion_core::quantities::Units;
//!
//! let found = ghcn::read("USW00014735,20260410,PRCP,127,,,W,2400\nUSW00014735,20260410,TMAX,175,,,W,\n")?;
//! let day = &found.readings[0];
//! assert_eq!(day.gauge, "USW00014735");
//! assert_eq!(day.rain.map(|rain| rain.show_water(Units::Metric)), Some("12.7 mm".to_owned()));
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use crate::document::edit::Reading;
use crate::ordered::Map;
use crate::quantities::{BadInput, Day, Depth, Temperature};

/// The largest file that is read, and the most lines: a station has three to ten thousand lines a year, some have a century.
const LARGEST_FILE: usize = 16 * 1024 * 1024;
const MOST_LINES: usize = 600_000;
/// What stands for no value.
const NONE: i64 = -9_999;
/// Micrometres in a tenth of a millimetre, and thousandths of a degree in a tenth of one.
const IN_A_TENTH: i64 = 100;

/// What a file holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FoundWeather {
    /// A reading for each day of each station, in order.
    pub readings: Vec<Reading>,
    /// How many values failed a check of the archive and were left out.
    pub failed: usize,
    /// How many lines are about something that is not read here, such as snow.
    pub others: usize,
}

/// Reads a file.
pub fn read(text: &str) -> Result<FoundWeather, BadInput> {
    if text.len() > LARGEST_FILE {
        let came = format!("{} bytes", text.len());
        return Err(BadInput::new(
            "file",
            "at most 16 MB, such as the file of one station",
            came,
        ));
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut days: Map<(String, Day), Reading> = Map::new();
    let mut found = FoundWeather::default();
    for (number, row) in (1..).zip(reader.records()) {
        if number > MOST_LINES {
            let expected = format!("at most {MOST_LINES} lines");
            return Err(BadInput::new("file", expected, "more"));
        }
        let in_line = |refusal: BadInput| {
            let field = format!("line {number}, {}", refusal.field);
            refusal.named(field)
        };
        if number == 1 && is_heading(row.as_ref()) {
            continue;
        }
        let row = row.map_err(|error| {
            in_line(BadInput::new(
                "columns",
                "comma-separated values",
                error.to_string(),
            ))
        })?;
        take(&row, &mut days, &mut found).map_err(in_line)?;
    }
    found.readings = days.into_values().collect();
    Ok(found)
}

/// Some copies of the files begin with the names of the columns.
fn is_heading(row: Result<&csv::StringRecord, &csv::Error>) -> bool {
    row.is_ok_and(|row| row.get(0).map(str::trim) == Some("ID"))
}

fn take(
    row: &csv::StringRecord,
    days: &mut Map<(String, Day), Reading>,
    found: &mut FoundWeather,
) -> Result<(), BadInput> {
    let column = |index: usize| row.get(index).map(str::trim).unwrap_or_default();
    let [station, day, element, value] = [0, 1, 2, 3].map(column);
    if station.len() != 11 || !station.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
        return Err(BadInput::new(
            "station",
            "a code of 11 letters and digits",
            station,
        ));
    }
    let day = day_of(day).ok_or_else(|| BadInput::new("day", "a day as YYYYMMDD", day))?;
    if !["PRCP", "TMIN", "TMAX"].contains(&element) {
        found.others += 1;
        return Ok(());
    }
    let tenths: i64 = value
        .parse()
        .map_err(|_not_whole| BadInput::new("value", "a whole number of tenths", value))?;
    if tenths == NONE {
        return Ok(());
    }
    if !column(5).is_empty() {
        found.failed += 1;
        return Ok(());
    }
    let bounds = if element == "PRCP" {
        0..=20_000
    } else {
        -900..=600
    };
    if !bounds.contains(&tenths) {
        let expected = format!("tenths from {} to {}", bounds.start(), bounds.end());
        return Err(BadInput::new("value", expected, value));
    }
    let reading = days
        .entry((station.to_owned(), day))
        .or_insert_with(|| Reading {
            day,
            rain: None,
            coldest: None,
            warmest: None,
            gauge: station.to_owned(),
        });
    let warmth = Some(Temperature::from_millicelsius(tenths * IN_A_TENTH));
    match element {
        "PRCP" => reading.rain = Some(Depth::from_micrometres(tenths * IN_A_TENTH)),
        "TMIN" => reading.coldest = warmth,
        _tmax => reading.warmest = warmth,
    }
    Ok(())
}

fn day_of(text: &str) -> Option<Day> {
    if text.len() != 8 || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let part = |range: std::ops::Range<usize>| text.get(range);
    Day::new(
        part(0..4)?.parse().ok()?,
        part(4..6)?.parse().ok()?,
        part(6..8)?.parse().ok()?,
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Lines in the layout of the readme, made up; the flags of measurement and source are letters of its lists.
    const LINES: &str = "\
USW00014735,20260410,TMAX,175,,,W,
USW00014735,20260410,TMIN,40,,,W,
USW00014735,20260410,PRCP,127,,,W,2400
USW00014735,20260410,SNOW,0,,,W,
USW00014735,20260411,PRCP,0,T,,W,2400
USW00014735,20260411,TMAX,881,,X,W,
USW00014735,20260411,TMIN,-9999,,,W,
";

    #[test]
    fn a_day_is_put_together_from_its_lines() {
        let found = read(LINES).unwrap();
        assert_eq!((found.failed, found.others), (1, 1));
        let [first, second] = found.readings.as_slice() else {
            panic!("{found:?}")
        };
        assert_eq!(first.rain, Some(Depth::from_micrometres(12_700)));
        assert_eq!(first.coldest, Some(Temperature::from_millicelsius(4_000)));
        assert_eq!(first.warmest, Some(Temperature::from_millicelsius(17_500)));
        // A trace of rain is written as nought with the flag T.
        assert_eq!(second.rain, Some(Depth::ZERO));
        assert_eq!((second.coldest, second.warmest), (None, None));
    }

    #[test]
    fn a_heading_is_passed_over() {
        let heading = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n";
        let with = read(&format!("{heading}{LINES}")).unwrap();
        assert_eq!(with, read(LINES).unwrap());
        // Only as the first line.
        let refused = read(&format!("{LINES}{heading}")).unwrap_err();
        assert_eq!(refused.field, "line 8, station");
    }

    #[test]
    fn what_is_not_of_the_layout_is_refused_by_line() {
        for (text, field) in [
            ("here,20260410,PRCP,1", "line 1, station"),
            ("USW00014735,2026-04-10,PRCP,1", "line 1, day"),
            ("USW00014735,20260230,PRCP,1", "line 1, day"),
            ("USW00014735,20260410,PRCP,wet", "line 1, value"),
            ("USW00014735,20260410,TMAX,9000", "line 1, value"),
            ("USW00014735,20260410,PRCP,-3", "line 1, value"),
        ] {
            assert_eq!(read(text).unwrap_err().field, field, "{text}");
        }
        assert_eq!(read("").unwrap(), FoundWeather::default());
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "[A-Z0-9,\\n\"-]{0,200}") {
            let _ = read(&text);
        }
    }
}
