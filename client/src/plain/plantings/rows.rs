//! The plantings of a bed, line by line.

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, PlantingId};
use selion_core::document::records::{Planting, PlantingState, StartsAs};
use selion_core::document::season_plan::dates::PlantingDates;
use selion_core::document::season_plan::{Books, dates};
use selion_core::ordered;
use selion_core::quantities::Day;

use crate::plain::wording::{capital, margin_day};

/// How far a planting has come, as people say it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// It is to be.
    Planned,
    /// It was sown.
    Sown,
    /// It was set out.
    Set,
    /// It is picked from.
    Picking,
    /// It is gone.
    Cleared,
}

impl Stage {
    /// Of a planting on a day; without its days nobody knows that it is picked from.
    pub fn of(planting: &Planting, days: Option<PlantingDates>, today: Day) -> Self {
        let first = days.and_then(|days| days.first_picking);
        let is_picked = first.is_some_and(|first| first <= today);
        match (planting.state, planting.starts_as) {
            (PlantingState::Planned, _) => Self::Planned,
            (PlantingState::Cleared, _) => Self::Cleared,
            (PlantingState::Standing, _) if is_picked => Self::Picking,
            (PlantingState::Standing, StartsAs::Sown) => Self::Sown,
            (PlantingState::Standing, StartsAs::Set) => Self::Set,
        }
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Sown => "sown",
            Self::Set => "set out",
            Self::Picking => "picking",
            Self::Cleared => "cleared",
        }
    }
}

/// One planting as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlantingRow {
    /// Which.
    pub planting: PlantingId,
    /// What, with its variety.
    pub what: String,
    /// The day that it begins, for the margin.
    pub begins: String,
    /// Its days, in words.
    pub days: String,
    /// How far it has come.
    pub stage: Stage,
    /// Whether it is a cover crop.
    pub cover: bool,
    start: Day,
}

/// What a planting is called: `Bean, bush snap · Early Green`.
pub fn name_of(planting: &Planting) -> String {
    let crop = capital(&planting.crop);
    let word = planting.word.trim();
    if word.is_empty() {
        crop
    } else {
        format!("{crop} · {word}")
    }
}

/// The plantings of a bed in the years that are open, and what still stands from before: what is over comes last.
pub fn of_bed(garden: &Garden, books: &Books, bed: BedId, today: Day) -> Vec<PlantingRow> {
    let open = garden
        .profile
        .as_ref()
        .map(|profile| profile.open_years())
        .unwrap_or_default();
    let mut rows = Vec::new();
    for (year, season) in &garden.seasons {
        for (id, planting) in &season.plantings {
            let is_shown = open.contains(year) || planting.state == PlantingState::Standing;
            if planting.bed == bed && planting.ended_on.is_none() && is_shown {
                rows.push(row(garden, books, *id, planting, today));
            }
        }
    }
    ordered::sort_by_key(&mut rows, |row| {
        (row.stage == Stage::Cleared, row.start, row.planting)
    });
    rows
}

fn row(
    garden: &Garden,
    books: &Books,
    id: PlantingId,
    planting: &Planting,
    today: Day,
) -> PlantingRow {
    let found = dates::of(garden, books, planting).map(|answer| answer.result);
    let days = found.as_ref().ok().copied();
    let stage = Stage::of(planting, days, today);
    PlantingRow {
        planting: id,
        what: name_of(planting),
        begins: margin_day(planting.start),
        days: days_words(planting, days, today),
        stage,
        cover: planting.cover,
        start: planting.start,
    }
}

/// The days of a planting: `Sown 12 May · first picked 1 Jul · last 28 Jul`.
pub fn days_words(planting: &Planting, days: Option<PlantingDates>, today: Day) -> String {
    let begun = match (planting.state, planting.starts_as) {
        (_, StartsAs::Set) => "Set out",
        (PlantingState::Planned, StartsAs::Sown) => "Sow",
        (PlantingState::Standing | PlantingState::Cleared, StartsAs::Sown) => "Sown",
    };
    let mut words = vec![format!("{begun} {}", brief_day(planting.start, today))];
    match days {
        None => words.push("its other days are not known".to_owned()),
        Some(days) => {
            let first = days.first_picking;
            words.extend(first.map(|day| format!("first picking {}", brief_day(day, today))));
            let last = if planting.state == PlantingState::Cleared {
                "cleared"
            } else if planting.cover {
                "end it"
            } else {
                "last"
            };
            words.push(format!("{last} {}", brief_day(days.last, today)));
        }
    }
    words.join(" · ")
}

/// A day without its weekday, since a plan is made weeks ahead: `12 Jun`, `12 Jun 2027`.
pub fn brief_day(day: Day, today: Day) -> String {
    if day.year() == today.year() {
        margin_day(day)
    } else {
        format!("{} {}", margin_day(day), day.year())
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::plain::sample::{bed, day, planting, planting_id, with_plantings};

    fn lines(garden: &Garden, today: &str) -> Vec<String> {
        let books = Books::of(garden).unwrap();
        let rows = of_bed(garden, &books, bed(1), day(today));
        let line = |row: PlantingRow| format!("{}: {}, {}", row.what, row.stage.word(), row.days);
        rows.into_iter().map(line).collect()
    }

    #[test]
    fn a_bed_lists_what_stands_first_and_what_is_over_last() {
        let mut peas = planting("pea, garden", "2026-04-10");
        peas.state = PlantingState::Cleared;
        peas.cleared_on = Some(day("2026-07-20"));
        let mut beans = planting("bean, bush snap", "2026-05-20");
        beans.state = PlantingState::Standing;
        beans.word = "Early Green".into();
        let mut rye = planting("cereal rye", "2026-10-01");
        rye.cover = true;
        rye.last_picking = Some(day("2027-04-20"));
        let garden = with_plantings([peas, beans, rye]);
        // Sixty days are the most that the table prints for bush beans, four weeks the picking of what is picked over and over.
        let expected = [
            "Bean, bush snap · Early Green: picking, Sown 20 May · first picking 19 Jul · last 15 Aug",
            "Cereal rye: planned, Sow 1 Oct · end it 20 Apr 2027",
            "Pea, garden: cleared, Sown 10 Apr · first picking 29 Jun · cleared 20 Jul",
        ];
        assert_eq!(lines(&garden, "2026-07-25"), expected);
    }

    #[test]
    fn what_stands_from_a_closed_year_is_still_shown_and_what_was_dropped_is_not() {
        let mut garlic = planting("garlic", "2025-10-15");
        garlic.state = PlantingState::Standing;
        let mut dropped = planting("carrot", "2026-05-01");
        dropped.ended_on = Some(day("2026-04-01"));
        let mut garden = with_plantings([dropped]);
        let season = selion_core::document::Season {
            plantings: [(planting_id(9), Arc::new(garlic))].into_iter().collect(),
            ..Default::default()
        };
        garden.seasons.insert(2025, season);
        let expected = ["Garlic: sown, Sown 15 Oct 2025 · its other days are not known"];
        assert_eq!(lines(&garden, "2026-05-01"), expected);
    }
}
