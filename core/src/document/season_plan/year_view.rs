//! A year of every bed: a bar for each planting over the weeks, the frost dates, and the gaps that something could fill.

use super::fits::{self, CoverFit, CropFit, Gap};
use super::frost::FrostYear;
use super::{Books, dates};
use crate::document::Garden;
use crate::document::ids::{BedId, PlantingId};
use crate::document::records::PlantingState;
use crate::ordered;
use crate::quantities::Day;

/// The weeks of a year, counted from 1 January in sevens; the last one has a day or two more.
pub const WEEKS: i64 = 52;
/// Fewer days than these are no gap worth filling.
const SHORTEST_GAP: i64 = 28;
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
    pub gaps: Vec<Filling>,
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
    /// The first day in the ground.
    pub from: Day,
    /// The first day of picking.
    pub picked_from: Option<Day>,
    /// The last day in the ground.
    pub to: Day,
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

/// The year of every bed that was not given up.
pub fn of_year(garden: &Garden, books: &Books, year: i16) -> YearView {
    let frost = FrostYear::of(garden, year).ok();
    let beds = garden.open_beds().into_iter();
    YearView {
        beds: beds
            .map(|(bed, record)| {
                let mut view = bars_of(garden, books, year, bed, &record.label);
                if let Some(frost) = &frost {
                    view.gaps = gaps_of(&view.bars, frost)
                        .into_iter()
                        .map(|gap| Filling {
                            gap,
                            crops: fits::crops(books, frost, gap),
                            covers: fits::covers(garden, books, frost, bed, gap),
                        })
                        .collect();
                }
                view
            })
            .collect(),
        frost,
    }
}

fn bars_of(garden: &Garden, books: &Books, year: i16, bed: BedId, label: &str) -> BedYear {
    let mut view = BedYear {
        bed,
        label: label.to_owned(),
        bars: Vec::new(),
        gaps: Vec::new(),
        unknown: Vec::new(),
    };
    // What was sown last year may stand in this one: rye, garlic.
    for season in garden
        .seasons
        .range(year - 1..=year)
        .map(|(_, season)| season)
    {
        for (id, planting) in &season.plantings {
            if planting.bed != bed || planting.ended_on.is_some() {
                continue;
            }
            match dates::of(garden, books, planting).map(|answer| answer.result) {
                Ok(dates) if dates.last.year() < year || dates.start.year() > year => {}
                Ok(dates) => view.bars.push(Bar {
                    planting: *id,
                    crop: planting.crop.clone(),
                    cover: planting.cover,
                    state: planting.state,
                    from: dates.start,
                    picked_from: dates.first_picking,
                    to: dates.last,
                    weeks: (week_of(dates.start, year), week_of(dates.last, year)),
                }),
                Err(refusal) => view.unknown.push((*id, refusal.to_string())),
            }
        }
    }
    ordered::sort_by_key(&mut view.bars, |bar| (bar.from, bar.planting));
    view
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
