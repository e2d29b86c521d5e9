//! What fits a gap of a bed: a second sowing, or a cover crop with its seed and its end.

use super::books::Books;
use super::frost::FrostYear;
use crate::document::Garden;
use crate::document::ground_change::units_of;
use crate::document::ids::BedId;
use crate::quantities::{Day, Mass, Rate, Units};
use crate::reckoning::{Reckoning, Source, Step};
use crate::season::cover::{self, CoverCrop};
use crate::season::crops::Crop;
use crate::season::frost::first_sowing;
use crate::season::known::Span;
use crate::season::sowing::SHORT_DAYS;

/// Picking for less than this is no harvest worth a sowing, in days.
const SHORTEST_PICKING: i64 = 7;
/// Sown after this day of the year, crops ripen into short days.
const MIDSUMMER: (i8, i8) = (6, 21);
/// Days of a week.
const WEEK: i64 = 7;

/// Days on which nothing stands in a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The first of them.
    pub from: Day,
    /// The last of them.
    pub to: Day,
    /// Whether the year ends it, not another planting: what stands the winter may go on.
    pub open_ended: bool,
}

impl Gap {
    /// How many days it has.
    pub fn days(&self) -> i64 {
        self.from.days_until(self.to) + 1
    }
}

/// A crop that can be sown and picked within a gap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CropFit {
    /// Its name.
    pub crop: String,
    /// The first day to sow it.
    pub sow_from: Day,
    /// The last day to sow it for a week of picking.
    pub sow_by: Day,
}

/// A cover crop that can grow in a gap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CoverFit {
    /// Its name.
    pub cover: String,
    /// The first day to sow it.
    pub sow_from: Day,
    /// The last day to sow it.
    pub sow_by: Day,
    /// When it is to be ended at the latest, for the wait before the next sowing; nothing where none follows this year.
    pub end_by: Option<Day>,
    /// Weeks to wait before the next sowing.
    pub wait_weeks: Option<Span<i64>>,
    /// When its growth says to end it.
    pub stop_when: Option<String>,
    /// The seed for the bed.
    pub seed: Option<Span<Mass>>,
    /// The nitrogen that the next crop may count on: half of what a full stand holds, turned in.
    pub nitrogen: Option<Span<Rate>>,
}

/// The crops of the tables that fit a gap, the ones with the most room for sowing first.
pub fn crops(books: &Books, frost: &FrostYear, gap: Gap) -> Vec<CropFit> {
    let fitting = books.crops.crops().iter();
    let mut fits: Vec<CropFit> = fitting
        .filter_map(|crop| crop_fit(crop, frost, gap))
        .collect();
    crate::ordered::sort_by_key(&mut fits, |fit| {
        (-fit.sow_from.days_until(fit.sow_by), fit.crop.clone())
    });
    fits
}

fn crop_fit(crop: &Crop, frost: &FrostYear, gap: Gap) -> Option<CropFit> {
    let days = crop.days.as_ref()?.value.most;
    let class = crop.frost_class.as_ref()?.value;
    let first = first_sowing(class, frost.average_last).result.usual;
    let sow_from = gap.from.max(first);
    let end = gap.to.min(frost.first_day());
    let late = |sown: Day| (sown.month(), sown.day()) > MIDSUMMER;
    let before = |short: i64| end.plus_days(-(days + short + SHORTEST_PICKING - 1));
    let sow_by = if late(before(0)) {
        // The days that short days add may carry the last sowing back before midsummer, where they do not count.
        let by = before(SHORT_DAYS);
        if late(by) {
            by
        } else {
            Day::new(by.year(), MIDSUMMER.0, MIDSUMMER.1)?
        }
    } else {
        before(0)
    };
    (sow_from <= sow_by).then(|| CropFit {
        crop: crop.name.clone(),
        sow_from,
        sow_by,
    })
}

/// The cover crops that fit a gap, in the order of the table.
pub fn covers(
    garden: &Garden,
    books: &Books,
    frost: &FrostYear,
    bed: BedId,
    gap: Gap,
) -> Vec<CoverFit> {
    let fitting = books.covers.covers().iter();
    fitting
        .filter_map(|cover| cover_fit(garden, cover, frost, bed, gap))
        .collect()
}

/// The nitrogen that the next crop may count on once a full stand is turned in; nothing of a crop that brings none.
pub fn nitrogen_credit(cover: &CoverCrop, units: Units) -> Option<Reckoning<Span<Rate>>> {
    let known = cover.nitrogen.as_ref()?;
    let half = |rate: Rate| rate.scaled(1, 2);
    let credit = Span {
        least: half(known.value.least)?,
        most: half(known.value.most)?,
    };
    let source = "UC Santa Cruz, Teaching Organic Farming & Gardening, Unit 1.6, after SARE; others count a third.";
    let held = format!("A full stand holds{}", known.origin.mark());
    let answer = Reckoning::new(credit, Source::published(source))
        .step(Step::new(held, known.value.show(|rate| rate.show(units))))
        .step(Step::new("Turned in", "a half of it"))
        .step(Step::sum(
            "For the next crop",
            credit.show(|rate| rate.show(units)),
        ))
        .on("Of a full stand that is ended in its time; a cut and dried sample tells more.")
        .on("Left on top where it is cool, half as much.");
    Some(answer)
}

/// When the bed is free for the next sowing after a cover crop that is ended on a day; nothing where no wait is known.
pub fn free_from(cover: &CoverCrop, ended: Day) -> Option<Reckoning<Span<Day>>> {
    let wait = cover.wait_weeks.as_ref()?;
    let free = Span {
        least: ended.plus_days(wait.value.least * WEEK),
        most: ended.plus_days(wait.value.most * WEEK),
    };
    let source = Source::published("The table of cover crops, or the garden's own values.");
    let weeks = format!("Wait{}", wait.origin.mark());
    let answer = Reckoning::new(free, source)
        .step(Step::new("Ended", ended.to_string()))
        .step(Step::new(weeks, format!("{} weeks", wait.value)))
        .step(Step::sum("Free", free.show(|day| day.to_string())))
        .on("Small seed wants the longer wait; plants that are set out stand less of it.");
    Some(answer)
}

fn cover_fit(
    garden: &Garden,
    cover: &CoverCrop,
    frost: &FrostYear,
    bed: BedId,
    gap: Gap,
) -> Option<CoverFit> {
    let wait = cover.wait_weeks.as_ref().map(|weeks| weeks.value);
    let wait_days = wait.map_or(0, |weeks| weeks.most * WEEK);
    let end_by = (!gap.open_ended).then(|| gap.to.plus_days(-wait_days));
    let window = cover::window::window(cover, frost.first_day()).ok()?.result;
    let summer = cover.days_before_frost.is_none();
    let from = if summer {
        frost.average_last
    } else {
        window.from.unwrap_or(gap.from)
    };
    let sow_from = gap.from.max(from);
    let latest = window.at_the_latest.unwrap_or(window.by);
    // What frost ends must grow its days before the next sowing; what stands the winter wants an open end.
    let needs = cover.needs_days.as_ref().map(|days| days.value.most);
    let sow_by = match (needs, end_by) {
        (Some(needs), Some(end)) => latest.min(end.plus_days(-needs)),
        (None, Some(_ends_this_year)) => return None,
        (_, None) => latest,
    };
    let sow_by = sow_by.min(gap.to);
    if sow_from > sow_by {
        return None;
    }
    let outline = garden.beds.get(&bed).map(|bed| &bed.outline)?;
    let seed = cover::seed::seed(&cover::seed::SeedCase {
        parts: vec![cover::seed::Part {
            cover: cover.clone(),
            share: None,
        }],
        area: outline.area(),
        sown: cover::seed::Sown::Garden,
        units: units_of(garden),
    });
    let seed = seed.map(|answer| answer.result.parts).unwrap_or_default();
    let seed = seed.first().map(|part| part.seed);
    let nitrogen = nitrogen_credit(cover, units_of(garden)).map(|answer| answer.result);
    Some(CoverFit {
        cover: cover.name.clone(),
        sow_from,
        sow_by,
        end_by,
        wait_weeks: wait,
        stop_when: cover.stop_when.as_ref().map(|stop| stop.value.clone()),
        seed,
        nitrogen,
    })
}
