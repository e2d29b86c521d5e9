//! The limits of plantings, proposals, harvests and weather.

use super::{
    Checked, LIMITS, count, no_longer, person_minutes, sensible_day, task_places, title, within,
};
use crate::document::edit::{
    AcceptedTask, NewHarvest, NewPlanting, NewPlantings, PlantingField, Reading,
};
use crate::document::ids::WeatherId;
use crate::document::records::{GardenCrop, GardenFrost, PlantingRows, Recipient};
use crate::ordered::Map;
use crate::quantities::{BadInput, Day, Spacing, Temperature};

/// Sowings of one series; a weekly one for a year has 53.
const MOST_PLANTINGS: usize = 60;
/// Readings of one edit, so that its text stays below the limit.
const MOST_READINGS: usize = 120;
/// Ten tons, or so many pieces, of one picking.
const MOST_PICKED: i64 = 10_000_000;
/// Two metres of rain in a day fell nowhere, in micrometres.
const MOST_RAIN: i64 = 2_000_000;
/// Days that follow from the columns of the crop table.
const MOST_COLUMNS: usize = 40;

pub(super) fn plantings(plantings: &NewPlantings) -> Checked {
    let came = i64::try_from(plantings.len()).unwrap_or(i64::MAX);
    within(
        "plantings",
        came,
        1,
        i64::try_from(MOST_PLANTINGS).unwrap_or(0),
    )?;
    plantings.values().try_for_each(|new| {
        title("crop", &new.crop)?;
        rows(new.rows)?;
        in_order(new.start, new.first_picking, new.last_picking)?;
        no_longer("word", &new.word, LIMITS.word_chars)
    })
}

/// Every day that a new planting names.
pub(super) fn days_of(new: &NewPlanting) -> impl Iterator<Item = Day> {
    [Some(new.start), new.first_picking, new.last_picking]
        .into_iter()
        .flatten()
}

fn in_order(start: Day, first: Option<Day>, last: Option<Day>) -> Checked {
    let ordered = |earlier: Day, later: Option<Day>| later.is_none_or(|later| earlier <= later);
    if ordered(start, first) && ordered(first.unwrap_or(start), last) {
        return Ok(());
    }
    let came = [Some(start), first, last]
        .into_iter()
        .flatten()
        .map(|day| day.to_string());
    Err(BadInput::new(
        "days of picking",
        "sowing, then the first picking, then the last",
        came.collect::<Vec<String>>().join(", "),
    ))
}

fn rows(rows: PlantingRows) -> Checked {
    let spacing = |field: &str, value: Option<Spacing>| {
        value.map_or(Ok(()), |value| {
            within(field, value.micrometres(), 2_000, 30_000_000)
        })
    };
    spacing("row spacing in micrometres", rows.between)?;
    spacing("spacing in micrometres", rows.in_row)?;
    rows.along
        .map_or(Ok(()), |side| within("side", i64::from(side), 1, 500))
}

pub(super) fn planting_field(field: &PlantingField) -> Checked {
    match field {
        PlantingField::Crop(crop) => title("crop", crop),
        PlantingField::Rows(laid) => rows(*laid),
        PlantingField::Start(day) => sensible_day(*day),
        PlantingField::FirstPicking(day)
        | PlantingField::LastPicking(day)
        | PlantingField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        PlantingField::Word(word) => no_longer("word", word, LIMITS.word_chars),
        PlantingField::Bed(_)
        | PlantingField::Part(_)
        | PlantingField::StartsAs(_)
        | PlantingField::Series(_) => Ok(()),
    }
}

pub(super) fn crop(record: &GardenCrop) -> Checked {
    title("name", &record.name)?;
    count("values", record.values.len(), MOST_COLUMNS)?;
    record.values.iter().try_for_each(|(column, text)| {
        title("column", column)?;
        no_longer(column, text, LIMITS.title_chars)
    })?;
    record.ended_on.map_or(Ok(()), sensible_day)
}

pub(super) fn recipient(record: &Recipient) -> Checked {
    title("name", &record.name)?;
    no_longer("word", &record.word, LIMITS.word_chars)?;
    record.ended_on.map_or(Ok(()), sensible_day)
}

pub(super) fn accepted(task: &AcceptedTask) -> Checked {
    title("key", &task.key)?;
    title("title", &task.title)?;
    task_places(task.places)?;
    person_minutes(task.minutes)
}

pub(super) fn harvest(new: &NewHarvest) -> Checked {
    title("crop", &new.crop)?;
    no_longer("word", &new.word, LIMITS.word_chars)?;
    let parts = &new.parts;
    count("recipients", parts.given.len(), LIMITS.entries)?;
    let each = [
        ("kept", parts.kept),
        ("shared", parts.shared),
        ("given away", parts.given_otherwise),
        ("lost", parts.lost),
    ];
    let given = parts.given.values().map(|part| ("given away", *part));
    each.into_iter()
        .chain(given)
        .try_for_each(|(field, part)| within(field, part, 0, MOST_PICKED))?;
    within("picked", parts.picked(), 0, MOST_PICKED)
}

pub(super) fn readings(readings: &Map<WeatherId, Reading>) -> Checked {
    let came = i64::try_from(readings.len()).unwrap_or(i64::MAX);
    within(
        "readings",
        came,
        1,
        i64::try_from(MOST_READINGS).unwrap_or(0),
    )?;
    readings.values().try_for_each(reading)
}

fn reading(reading: &Reading) -> Checked {
    no_longer("gauge", &reading.gauge, LIMITS.title_chars)?;
    if let Some(rain) = reading.rain {
        within("rain in micrometres", rain.micrometres(), 0, MOST_RAIN)?;
    }
    let warmth = |field: &str, value: Option<Temperature>| {
        value.map_or(Ok(()), |value| {
            within(field, value.millicelsius(), -90_000, 60_000)
        })
    };
    warmth("coldest in thousandths of a degree", reading.coldest)?;
    warmth("warmest in thousandths of a degree", reading.warmest)?;
    match (reading.coldest, reading.warmest) {
        (Some(coldest), Some(warmest)) if coldest > warmest => Err(BadInput::new(
            "coldest",
            "a temperature not above the warmest",
            format!("{} and {}", coldest.millicelsius(), warmest.millicelsius()),
        )),
        (None, None) if reading.rain.is_none() => {
            Err(BadInput::new("reading", "rain or a temperature", "none"))
        }
        _readable => Ok(()),
    }
}

pub(super) fn frost(frost: &GardenFrost) -> Checked {
    within("chance", frost.chance, 10, 90)?;
    no_longer("station", &frost.station, LIMITS.title_chars)?;
    for dates in [&frost.spring, &frost.fall] {
        count("levels", dates.len(), 20)?;
        for (chance, date) in dates {
            within("chance", i64::from(chance.get()), 1, 99)?;
            if !date.is_empty() && Day::parse(&format!("2027-{date}")).is_err() {
                let expected = "a month and day such as 05-21";
                return Err(BadInput::new("frost date", expected, date));
            }
        }
    }
    Ok(())
}

pub(super) fn kinds(kinds: &Map<String, bool>) -> Checked {
    count("kinds", kinds.len(), 40)?;
    kinds.keys().try_for_each(|kind| title("kind", kind))
}
