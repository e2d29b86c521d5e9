//! Where the rota leaves a crop too long: the gaps of this week and the next, each with the turns that would close it.

use selion_core::document::Garden;
use selion_core::document::harvest_totals::{Mark, RotaGap, rota_gaps};
use selion_core::document::ids::{BedId, PlantingId};
use selion_core::document::season_plan::Books;
use selion_core::ordered;
use selion_core::quantities::Day;
use selion_core::reckoning::Reckoning;

use super::wording::{capital, counted, day_words, in_a_sentence};

/// The first gap of a planting.
#[derive(Clone, Debug, PartialEq)]
pub struct GapRow {
    /// Which planting.
    pub planting: PlantingId,
    /// The bed's label.
    pub label: String,
    /// Which crop.
    pub crop: String,
    /// What is wrong, in a line.
    pub words: String,
    /// How it was found.
    pub working: Reckoning<i64>,
    /// Turns that would close it: of which bed, the first, days from one to the next, how many.
    pub offer: Option<(BedId, Day, i64, usize)>,
}

/// The gaps that touch this week or the next and are not over yet, by bed as labels are read.
pub fn gaps(garden: &Garden, today: Day) -> Vec<GapRow> {
    let Ok(books) = Books::of(garden) else {
        return Vec::new();
    };
    let last = today.week().next().first_day().plus_days(6);
    // The whole year is looked at, so that a gap is measured from the turn before it and not from Monday.
    let year = today.year();
    let span = Day::new(year, 1, 1).zip(Day::new(year, 12, 31));
    let Some(span) = span else { return Vec::new() };
    let mut found = rota_gaps(garden, &books, year, span);
    found.retain(|gap| gap.to > today && gap.from <= last);
    let beds = garden.open_beds();
    let place = |bed| beds.iter().position(|(open, _)| *open == bed);
    ordered::sort_by_key(&mut found, |gap| (place(gap.bed), gap.planting, gap.from));
    // The first of each planting is told; once it is closed, the next stands there.
    let each = found.chunk_by(|one, next| one.planting == next.planting);
    let first = each.filter_map(|of_one| of_one.split_first());
    first
        .map(|(gap, more)| row(garden, &books, gap, more.len(), (today, last)))
        .collect()
}

fn row(
    garden: &Garden,
    books: &Books,
    gap: &RotaGap,
    more: usize,
    (today, last): (Day, Day),
) -> GapRow {
    let days = |days: i64| counted(usize::try_from(days).unwrap_or(0), "day", "days");
    let from = match gap.from_mark {
        Mark::Plan => format!("picking begins {}", in_a_sentence(gap.from, today)),
        Mark::Turn => format!("turn {}", in_a_sentence(gap.from, today)),
        Mark::Picked => format!("picked {}", in_a_sentence(gap.from, today)),
    };
    let to = match gap.to_mark {
        Mark::Plan => format!("none until it ends {}", in_a_sentence(gap.to, today)),
        Mark::Turn => format!("the next {}", in_a_sentence(gap.to, today)),
        Mark::Picked => format!("picked {}", in_a_sentence(gap.to, today)),
    };
    let more = match more {
        0 => String::new(),
        more => format!(". {more} more after it"),
    };
    let words = format!(
        "{}, {to}: {} between, and it waits {} at most{more}",
        capital(&from),
        days(gap.from.days_until(gap.to)),
        days(gap.allows)
    );
    let mut working = gap.working(books);
    let ahead = coming(gap, today, last);
    if !ahead.is_empty() {
        let told: Vec<String> = ahead.iter().map(|day| day_words(*day, today)).collect();
        working = working.on(format!("Turns that close it: {}.", told.join(", ")));
    }
    GapRow {
        planting: gap.planting,
        label: garden.label_of(Some(gap.bed)).to_owned(),
        crop: capital(&gap.crop),
        words,
        working,
        offer: ahead
            .first()
            .map(|first| (gap.bed, *first, gap.allows, ahead.len())),
    }
}

/// The turns that close what is left of a gap: the first as soon as it is due, then as often as the crop asks.
fn coming(gap: &RotaGap, today: Day, last: Day) -> Vec<Day> {
    let due = gap.offered.first().copied().unwrap_or(gap.to);
    let first = if due < today { today } else { due };
    let days = std::iter::successors(Some(first), |day| Some(day.plus_days(gap.allows)));
    days.take_while(|day| *day < gap.to && *day <= last)
        .collect()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::records::{Planting, PlantingRows, PlantingState, StartsAs, Turn};
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{bed, day, member, pick, with_turns};

    /// Cucumber in A2, picked from 1 July to 30 August; the table says every 2 to 3 days.
    fn cucumber(turns: &[&str]) -> Garden {
        let turns: Vec<Turn> = turns.iter().map(|on| pick(on)).collect();
        let mut garden = with_turns(turns);
        let record = Planting {
            bed: bed(1),
            crop: "cucumber".into(),
            cover: false,
            part: None,
            rows: PlantingRows::default(),
            start: day("2026-05-10"),
            starts_as: StartsAs::default(),
            first_picking: Some(day("2026-07-01")),
            last_picking: Some(day("2026-08-30")),
            state: PlantingState::Standing,
            cleared_on: None,
            series: None,
            made_by: member(1),
            word: String::new(),
            ended_on: None,
        };
        let id = PlantingId::fresh(Moment::from_millis(1), [0; 10]);
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.plantings.insert(id, Arc::new(record));
        garden
    }

    #[test]
    fn a_gap_is_measured_from_the_turn_before_and_offers_what_is_still_to_come() {
        // Today is Wednesday 8 July 2026; next week ends on the 19th.
        let garden = cucumber(&["2026-07-02", "2026-07-05", "2026-07-07", "2026-07-16"]);
        let rows = gaps(&garden, day("2026-07-08"));
        assert_eq!(rows.len(), 1);
        assert_eq!(
            rows[0].words,
            "Turn yesterday, the next on Thu 16 July: 9 days between, and it waits 3 days at most. 1 more after it"
        );
        assert_eq!(rows[0].offer, Some((bed(1), day("2026-07-10"), 3, 2)));
        assert!(rows[0].working.steps.iter().any(|step| step.value == "9"));
        assert!(
            rows[0]
                .working
                .basis
                .iter()
                .any(|line| line.contains("Fri 10 July, Mon 13 July"))
        );
    }

    #[test]
    fn what_is_overdue_is_offered_today_and_a_met_crop_says_nothing() {
        let garden = cucumber(&["2026-07-02"]);
        let rows = gaps(&garden, day("2026-07-08"));
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].offer, Some((bed(1), day("2026-07-08"), 3, 4)));
        let every: Vec<String> = (0..24)
            .map(|n| day("2026-07-01").plus_days(n * 3).to_string())
            .collect();
        let every: Vec<&str> = every.iter().map(String::as_str).collect();
        assert!(gaps(&cucumber(&every), day("2026-07-08")).is_empty());
        assert!(
            gaps(&cucumber(&[]), day("2026-11-08")).is_empty(),
            "picking is over"
        );
    }
}
