//! A series of sowings in one step: what is put in, so many days apart, as far as the season goes.

use super::Books;
use super::frost::FrostYear;
use crate::document::Edit;
use crate::document::edit::{NewPlanting, NewPlantings};
use crate::document::ids::{PlantingId, SeriesId};
use crate::quantities::Day;
use crate::reckoning::{Reckoning, Refusal};
use crate::season::sowing::{self, LastSowingCase};
use crate::season::succession::{self, Succession, SuccessionCase, USUAL_INTERVAL};

/// Picking that each sowing is to give, in days, where nobody says otherwise.
const PICKING: i64 = 14;

/// The sowings that fit from the first one on, by the crop's interval and its last day before the frost.
pub fn fitting(
    books: &Books,
    frost: &FrostYear,
    first: &NewPlanting,
    interval: Option<i64>,
) -> Result<Reckoning<Succession>, Refusal> {
    let crop = books.crops.find(&first.crop)?;
    let to_harvest = sowing::days_of(crop)?.value;
    let last = sowing::last(&LastSowingCase {
        frost: frost.first_day(),
        to_harvest,
        raising: 0,
        picking: PICKING,
        short_days: sowing::SHORT_DAYS,
        tender: sowing::tender_of(crop),
    })?;
    let interval = interval.unwrap_or_else(|| succession::interval_of(crop).value);
    succession::fit(&SuccessionCase {
        first: first.start,
        last: last.result.day,
        interval: interval.clamp(1, USUAL_INTERVAL * 10),
        to_harvest,
        short_days: sowing::SHORT_DAYS,
        picking: PICKING,
    })
}

/// The edit that puts a series into the plan: a planting like the first for each day, each under an id handed in. What was
/// expected of the picking moves with each sowing.
pub fn planted(first: &NewPlanting, days: &[Day], ids: &[PlantingId], series: SeriesId) -> Edit {
    let mut plantings = NewPlantings::new();
    for (day, id) in days.iter().zip(ids) {
        let later = first.start.days_until(*day);
        let moved = |day: Option<Day>| day.map(|day| day.plus_days(later));
        let sowing = NewPlanting {
            start: *day,
            first_picking: moved(first.first_picking),
            last_picking: moved(first.last_picking),
            ..first.clone()
        };
        plantings.insert(*id, sowing);
    }
    Edit::Plant {
        plantings,
        series: Some(series),
    }
}
