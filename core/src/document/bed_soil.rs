//! What the records know about the soil of one bed: its newest test, what grows there, what was spread.

use std::sync::Arc;

use super::Garden;
use super::ids::{AmendmentId, BedId, SoilTestId};
use super::records::{Amendment, AmendmentKind, BedCrops, SoilSheet, SoilTest};
use crate::quantities::{Area, Day};
use crate::soil::test_report::TestReport;

/// Something spread, with its id and the season that it stands in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spread {
    /// The season.
    pub year: i16,
    /// Its id.
    pub id: AmendmentId,
    /// The record.
    pub record: Arc<Amendment>,
}

/// The newest test that counts for a bed.
pub fn newest_test(garden: &Garden, bed: BedId) -> Option<(SoilTestId, &Arc<SoilTest>)> {
    let counting = garden
        .soil_tests
        .iter()
        .filter(|(_, test)| test.counts_for(bed));
    counting
        .max_by_key(|(id, test)| (test.sheet.sampled_on, **id))
        .map(|(id, test)| (*id, test))
}

/// Everything that was ever spread on a bed, newest first, what was struck out included.
pub fn history(garden: &Garden, bed: BedId) -> Vec<Spread> {
    let mut spread = Vec::new();
    for (year, season) in &garden.seasons {
        for (id, record) in &season.amendments {
            if record.bed == bed {
                spread.push(Spread {
                    year: *year,
                    id: *id,
                    record: Arc::clone(record),
                });
            }
        }
    }
    spread.sort_by_key(|one| (one.record.day, one.id));
    spread.reverse();
    spread
}

/// What was spread of these kinds and not struck out, oldest first.
pub fn spread_of(garden: &Garden, bed: BedId, kinds: &[AmendmentKind]) -> Vec<Spread> {
    let mut spread = history(garden, bed);
    spread.retain(|one| one.record.ended_on.is_none() && kinds.contains(&one.record.what));
    spread.reverse();
    spread
}

/// What grows in a bed in a year: what its season says, or what the season before said about its next year.
pub fn crops(garden: &Garden, bed: BedId, year: i16) -> BedCrops {
    let of = |year: i16| garden.seasons.get(&year)?.bed_crops.get(&bed);
    match (of(year), of(year.saturating_sub(1))) {
        (Some(crops), _) => BedCrops::clone(crops),
        (None, Some(before)) => BedCrops {
            now: before.next_year.clone(),
            next_year: crate::ordered::Map::new(),
        },
        (None, None) => BedCrops::default(),
    }
}

/// The area of a bed; nothing for one that is not there.
pub fn area(garden: &Garden, bed: BedId) -> Area {
    garden
        .beds
        .get(&bed)
        .map_or(Area::ZERO, |bed| bed.outline.area())
}

/// A sheet as the arithmetic reads it, with the days on which the bed was limed.
pub fn report(sheet: &SoilSheet, limed_on: Vec<Day>) -> TestReport {
    TestReport {
        taken_on: Some(sheet.sampled_on),
        limed_on,
        ph: sheet.ph,
        recommendation: sheet.recommendation,
        acidity: sheet.acidity,
        texture: sheet.texture,
        ground: sheet.ground,
        calcium: sheet.calcium.level,
        magnesium: sheet.magnesium.level,
        potassium: sheet.potassium.level,
    }
}
