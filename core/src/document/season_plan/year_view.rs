//! A year of every bed: a bar for each planting over the weeks, the frost dates, and the gaps that something could fill.

use super::fits::{self, CoverFit, CropFit, Gap};
use super::frost::FrostYear;
use super::{Books, dates};
use crate::document::Garden;
use crate::document::ids::{BedId, PlantingId};
use crate::document::records::{Planting, PlantingState, StartsAs};
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::Day;

/// The weeks of a year, counted from 1 January in sevens; the last one has a day or two more.
pub const WEEKS: i64 = 52;
/// Fewer days than these are no gap worth filling.
pub const SHORTEST_GAP: i64 = 28;
/// The hardiest crops go in so long before the average last frost, which is when a bed's year begins.
const EARLIEST: i64 = 42;

/// The year of all beds.
#[derive(Clone, Debug, PartialEq)]
pub struct YearView {
    /// The frost dates, where the garden has entered them.
    pub frost: Option<FrostYear>,
    /// Bed by bed, in the order of their labels.
    pub beds: Vec<BedYear>,
}

/// The year of one bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedYear {
    /// Which.
    pub bed: BedId,
    /// Its label.
    pub label: String,
    /// Its plantings, by when they begin.
    pub bars: Vec<Bar>,
    /// When nothing stands in it; only with frost dates.
    pub gaps: Vec<Gap>,
    /// Plantings whose days could not be worked out, with the reason.
    pub unknown: Vec<(PlantingId, String)>,
}

/// One planting over the weeks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// Which.
    pub planting: PlantingId,
    /// What.
    pub crop: String,
    /// Whether it is a cover crop.
    pub cover: bool,
    /// How far it has come.
    pub state: PlantingState,
    /// Sown in place, or set out as plants.
    pub starts_as: StartsAs,
    /// The first day in the ground.
    pub from: Day,
    /// The first day of picking.
    pub picked_from: Option<Day>,
    /// The last day in the ground.
    pub to: Day,
    /// Whether the last day is an estimate.
    pub estimated: bool,
    /// Its weeks, from 0 to 51.
    pub weeks: (i64, i64),
}

/// A gap, and what could fill it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// Its days.
    pub gap: Gap,
    /// Crops that can be sown and picked in it.
    pub crops: Vec<CropFit>,
    /// Cover crops that can grow in it.
    pub covers: Vec<CoverFit>,
}

/// The week of the year that a day lies in, from 0 to 51; the days of other years lie in the first or the last.
pub fn week_of(day: Day, year: i16) -> i64 {
    match day.year() {
        before if before < year => 0,
        after if after > year => WEEKS - 1,
        _same => ((i64::from(day.day_of_year()) - 1) / 7).min(WEEKS - 1),
    }
}

/// The year of every bed that was not given up. What could fill a gap is asked for gap by gap: [`filling`].
pub fn of_year(garden: &Garden, books: &Books, year: i16) -> YearView {
    let frost = FrostYear::of(garden, year).ok();
    let mut planted = by_bed(garden, year);
    // Worked out once a year and not once a planting: a large garden has many.
    let frosts = [FrostYear::of(garden, year - 1).ok(), frost.clone()];
    let mut beds = Vec::new();
    for (bed, record) in garden.open_beds() {
        let plantings = planted.remove(&bed).unwrap_or_default();
        let (bars, unknown) = bars_of(books, &frosts, year, &plantings);
        // A planting that may stand anywhere leaves no day that is surely free.
        let frost = frost.as_ref().filter(|_| unknown.is_empty());
        let gaps = frost.map(|frost| gaps_of(&bars, frost));
        beds.push(BedYear {
            bed,
            label: record.label.clone(),
            bars,
            gaps: gaps.unwrap_or_default(),
            unknown,
        });
    }
    YearView { frost, beds }
}

/// What could fill a gap of a bed: crops that can be sown and picked in it, and cover crops.
pub fn filling(garden: &Garden, books: &Books, frost: &FrostYear, bed: BedId, gap: Gap) -> Filling {
    Filling {
        gap,
        crops: fits::crops(books, frost, gap),
        covers: fits::covers(garden, books, frost, bed, gap),
    }
}

/// A planting with its id.
type Planted<'a> = (PlantingId, &'a Planting);

/// What is planned of this year and the one before, which may stand in this one too: rye, garlic.
fn by_bed(garden: &Garden, year: i16) -> Map<BedId, Vec<Planted<'_>>> {
    let mut beds: Map<BedId, Vec<Planted<'_>>> = Map::new();
    let seasons = garden.seasons.range(year - 1..=year);
    for (id, planting) in seasons.flat_map(|(_, season)| &season.plantings) {
        if planting.ended_on.is_none() {
            beds.entry(planting.bed).or_default().push((*id, planting));
        }
    }
    beds
}

fn bars_of(
    books: &Books,
    frosts: &[Option<FrostYear>; 2],
    year: i16,
    plantings: &[Planted<'_>],
) -> (Vec<Bar>, Vec<(PlantingId, String)>) {
    let (mut bars, mut unknown) = (Vec::new(), Vec::new());
    let gone = |planting: &Planting| planting.cleared_on.is_some_and(|day| day.year() < year);
    for (id, planting) in plantings.iter().filter(|(_, planting)| !gone(planting)) {
        let [before, now] = frosts;
        let frost = if planting.start.year() < year {
            before
        } else {
            now
        };
        match dates::with_frost(books, planting, frost.as_ref()).map(|answer| answer.result) {
            Ok(dates) if dates.last.year() < year || dates.start.year() > year => {}
            Ok(dates) => bars.push(Bar {
                planting: *id,
                crop: planting.crop.clone(),
                cover: planting.cover,
                state: planting.state,
                starts_as: planting.starts_as,
                from: dates.start,
                picked_from: dates.first_picking,
                to: dates.last,
                estimated: dates.estimated,
                weeks: (week_of(dates.start, year), week_of(dates.last, year)),
            }),
            Err(refusal) => unknown.push((*id, refusal.to_string())),
        }
    }
    ordered::sort_by_key(&mut bars, |bar| (bar.from, bar.planting));
    (bars, unknown)
}

/// The days between bars, from when the hardiest crops go in to the end of the year.
fn gaps_of(bars: &[Bar], frost: &FrostYear) -> Vec<Gap> {
    let year = frost.average_last.year();
    let Some(end) = Day::new(year, 12, 31) else {
        return Vec::new();
    };
    let mut free = frost.average_last.plus_days(-EARLIEST);
    let mut gaps = Vec::new();
    for bar in bars {
        let to = bar.from.plus_days(-1);
        gaps.push(Gap {
            from: free,
            to,
            open_ended: false,
        });
        free = free.max(bar.to.plus_days(1));
    }
    gaps.push(Gap {
        from: free,
        to: end,
        open_ended: true,
    });
    gaps.retain(|gap| gap.days() >= SHORTEST_GAP && gap.from <= frost.first_day().plus_days(21));
    gaps
}
