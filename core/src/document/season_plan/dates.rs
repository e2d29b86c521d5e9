//! When a planting is sown or set, picked, and out of the ground.
//!
//! People's own days come first. Where they said none, the first picking comes after the longest days that the crop table
//! prints, and picking goes on for two weeks, or four of a crop that is picked again and again; frost ends what it kills. The
//! tables print no confirmed length of picking, so that end is an estimate and marked as one.

use super::Books;
use super::frost::FrostYear;
use crate::document::Garden;
use crate::document::records::{Planting, PlantingState};
use crate::quantities::Day;
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::season::crops::FrostClass;
use crate::season::sowing;

/// Days of picking where nobody says otherwise: of a crop that is cut once, and of one that is picked over and over.
const CUT_ONCE: i64 = 14;
const PICKED_OVER: i64 = 28;
/// A sowing after this day of the year ripens into short days.
const MIDSUMMER: (i8, i8) = (6, 21);

/// The days of a planting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlantingDates {
    /// Sown or set.
    pub start: Day,
    /// Picked from; nothing for a cover crop.
    pub first_picking: Option<Day>,
    /// Picked to, or when a cover crop is ended.
    pub last: Day,
    /// Whether the last day is an estimate.
    pub estimated: bool,
}

impl PlantingDates {
    /// Whether it is in the ground on a day.
    pub fn stands_on(&self, day: Day) -> bool {
        self.start <= day && day <= self.last
    }
}

/// The days of a planting, with what each rests on. Without frost dates nothing is cut short by frost.
pub fn of(
    garden: &Garden,
    books: &Books,
    planting: &Planting,
) -> Result<Reckoning<PlantingDates>, Refusal> {
    let frost = FrostYear::of(garden, planting.start.year()).ok();
    with_frost(books, planting, frost.as_ref())
}

/// The same where the frost dates of the year it is sown in are known already.
pub fn with_frost(
    books: &Books,
    planting: &Planting,
    frost: Option<&FrostYear>,
) -> Result<Reckoning<PlantingDates>, Refusal> {
    let mut answer = if planting.cover {
        of_cover(books, planting)?
    } else {
        of_crop(books, planting, frost)?
    };
    if planting.state == PlantingState::Cleared
        && let Some(cleared) = planting.cleared_on
    {
        answer.result.last = cleared;
        answer.result.estimated = false;
        answer = answer.step(Step::sum("Cleared", cleared.to_string()));
    }
    Ok(answer)
}

fn of_crop(
    books: &Books,
    planting: &Planting,
    frost: Option<&FrostYear>,
) -> Result<Reckoning<PlantingDates>, Refusal> {
    let crop = books.crop(planting)?;
    let start = planting.start;
    let source = Source::published("The crop table, or the garden's own values.");
    let mut steps = vec![Step::new("Sown or set", start.to_string())];
    let first = if let Some(day) = planting.first_picking {
        steps.push(Step::new("First picking, as entered", day.to_string()));
        day
    } else {
        let days = sowing::days_of(crop)?;
        let late = (start.month(), start.day()) > MIDSUMMER;
        let short = if late { sowing::SHORT_DAYS } else { 0 };
        let label = format!("Days to harvest{}", days.origin.mark());
        steps.push(Step::new(label, days.value.to_string()));
        if late {
            steps.push(Step::new(
                "Short days after 21 June",
                format!("{short} days"),
            ));
        }
        let day = start.plus_days(days.value + short);
        steps.push(Step::new("First picking", day.to_string()));
        day
    };
    let picked = if crop.pick_every.is_some() {
        PICKED_OVER
    } else {
        CUT_ONCE
    };
    let mut last = planting
        .last_picking
        .unwrap_or_else(|| first.plus_days(picked - 1));
    let killed = crop
        .frost_class
        .as_ref()
        .is_some_and(|class| matches!(class.value, FrostClass::Tender | FrostClass::WarmLoving));
    let ends = frost
        .map(FrostYear::first_day)
        .filter(|day| killed && planting.last_picking.is_none() && (start..last).contains(day));
    if let Some(day) = ends {
        steps.push(Step::new(
            "Ended by the first frost of fall",
            day.to_string(),
        ));
        last = day;
    }
    steps.push(Step::sum("Last picking", last.to_string()));
    let result = PlantingDates {
        start,
        first_picking: Some(first),
        last,
        estimated: planting.last_picking.is_none(),
    };
    let answer = Reckoning::new(result, source).on(format!(
        "How long a crop is picked is an estimate: {CUT_ONCE} days, {PICKED_OVER} where it is picked again and again."
    ));
    Ok(steps.into_iter().fold(answer, Reckoning::step))
}

fn of_cover(books: &Books, planting: &Planting) -> Result<Reckoning<PlantingDates>, Refusal> {
    let cover = books.cover(planting)?;
    let needs = cover.needs_days.as_ref().map(|days| days.value.most);
    let last = planting
        .last_picking
        .or_else(|| needs.map(|days| planting.start.plus_days(days)))
        .ok_or_else(|| Refusal::Missing {
            what: format!("When {} is ended", cover.name),
            why: "it stands the winter, so the plan says on which day it is turned in".to_owned(),
        })?;
    let result = PlantingDates {
        start: planting.start,
        first_picking: None,
        last,
        estimated: planting.last_picking.is_none(),
    };
    let source = Source::published("The table of cover crops, or the garden's own values.");
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Sown", planting.start.to_string()))
        .step(Step::sum("Ended", last.to_string()));
    if let Some(stop) = &cover.stop_when {
        answer = answer.on(format!("End it {}.", stop.value));
    }
    Ok(answer)
}
