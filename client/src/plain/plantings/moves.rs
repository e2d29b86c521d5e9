//! Moving a planting, or the rest of its series, and what follows it.

use selion_core::document::Garden;
use selion_core::document::edit::{Edit, PlantingField};
use selion_core::document::ids::{PlantingId, SeriesId};
use selion_core::document::proposals::comes_from;
use selion_core::document::records::{ClaimState, Planting, PlantingState, Task};
use selion_core::quantities::{BadInput, Day};

use super::marks::is_free;
use crate::plain::wording::{counted, day_words};

/// No planting is moved farther, in days.
const FARTHEST: i64 = 400;

/// How far something is moved, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShiftTyped {
    /// How many days or weeks.
    pub amount: String,
    /// Weeks, not days.
    pub weeks: bool,
    /// Earlier, not later.
    pub earlier: bool,
}

impl ShiftTyped {
    /// The days that it is moved by; below nought earlier.
    pub fn days(&self) -> Result<i64, BadInput> {
        let most = if self.weeks { FARTHEST / 7 } else { FARTHEST };
        let number = self.amount.trim().parse::<i64>().ok();
        let number = number
            .filter(|number| (1..=most).contains(number))
            .ok_or_else(|| {
                let expected = format!("a whole number from 1 to {most}");
                BadInput::new("days", expected, &self.amount)
            })?;
        let days = if self.weeks { number * 7 } else { number };
        Ok(if self.earlier { -days } else { days })
    }
}

/// The sowings of a series that are still to be, in the order of their days.
pub fn to_come(garden: &Garden, year: i16, series: SeriesId) -> Vec<(PlantingId, Planting)> {
    let plantings = garden
        .seasons
        .get(&year)
        .into_iter()
        .flat_map(|season| &season.plantings);
    let mut found: Vec<(PlantingId, Planting)> = plantings
        .filter(|(_, it)| it.series == Some(series) && it.ended_on.is_none())
        .filter(|(_, it)| it.state == PlantingState::Planned)
        .map(|(id, it)| (*id, Planting::clone(it)))
        .collect();
    found.sort_by_key(|(id, it)| (it.start, *id));
    found
}

/// The edit that moves one planting; what people expect of its picking moves with it.
pub fn moved(planting: PlantingId, record: &Planting, days: i64) -> Edit {
    let later = |day: Option<Day>| day.map(|day| day.plus_days(days));
    let mut set = vec![PlantingField::Start(record.start.plus_days(days))];
    if record.first_picking.is_some() {
        set.push(PlantingField::FirstPicking(later(record.first_picking)));
    }
    if record.last_picking.is_some() {
        set.push(PlantingField::LastPicking(later(record.last_picking)));
    }
    Edit::ChangePlanting { planting, set }
}

/// What a move takes along, in sentences: the tasks that nobody has claimed; and those that stay, each with its day.
pub fn follows(garden: &Garden, plantings: &[PlantingId], today: Day) -> Vec<String> {
    let of_these = |task: &Task| {
        let from = task.from.as_deref();
        from.is_some_and(|from| plantings.iter().any(|planting| comes_from(from, *planting)))
    };
    let seasons = garden.seasons.values();
    let tasks = seasons.flat_map(|season| season.tasks.values());
    let tasks: Vec<&Task> = tasks
        .map(AsRef::as_ref)
        .filter(|task| task.ended_on.is_none() && of_these(task))
        .collect();
    let free = tasks.iter().filter(|task| is_free(task)).count();
    let mut words = Vec::new();
    if free > 0 {
        let verb = if free == 1 { "moves" } else { "move" };
        words.push(format!("{} {verb} along.", counted(free, "task", "tasks")));
    }
    for task in tasks.iter().filter(|task| !is_free(task) && !is_done(task)) {
        let day = task
            .day
            .map_or_else(String::new, |day| format!(", {}", day_words(day, today)));
        words.push(format!(
            "Claimed, so it stays on its day: {}{day}.",
            task.title
        ));
    }
    if words.is_empty() {
        words.push("No task has come from it yet.".to_owned());
    }
    words
}

fn is_done(task: &Task) -> bool {
    let mut claims = task.claims.values().peekable();
    claims.peek().is_some() && claims.all(|claim| claim.state != ClaimState::Standing)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::plain::sample::{
        by, claim, day, hoe, member, planting, planting_id, task, with_plantings,
    };

    fn shift(amount: &str) -> ShiftTyped {
        ShiftTyped {
            amount: amount.into(),
            weeks: false,
            earlier: false,
        }
    }

    fn read(typed: &ShiftTyped) -> Result<i64, String> {
        typed.days().map_err(|bad| bad.field)
    }

    #[test]
    fn a_shift_is_days_or_weeks_to_either_side() {
        assert_eq!(read(&shift("3")), Ok(3));
        let back = ShiftTyped {
            weeks: true,
            earlier: true,
            ..shift(" 2 ")
        };
        assert_eq!(read(&back), Ok(-14));
        for wrong in ["", "0", "-3", "1.5", "401", "a week"] {
            assert_eq!(read(&shift(wrong)), Err("days".into()), "{wrong}");
        }
        let far = ShiftTyped {
            weeks: true,
            ..shift("58")
        };
        assert_eq!(read(&far), Err("days".into()));
    }

    #[test]
    fn what_people_expect_moves_along_and_what_the_table_says_follows_by_itself() {
        let mut beans = planting("bean, bush snap", "2026-05-20");
        beans.last_picking = Some(day("2026-08-01"));
        let Edit::ChangePlanting { set, .. } = moved(planting_id(1), &beans, 7) else {
            panic!("another edit")
        };
        let expected = [
            PlantingField::Start(day("2026-05-27")),
            PlantingField::LastPicking(Some(day("2026-08-08"))),
        ];
        assert_eq!(set, expected);
    }

    #[test]
    fn claimed_tasks_stay_and_are_named() {
        let mut garden = with_plantings([planting("carrot", "2026-05-10")]);
        let season = garden.seasons.get_mut(&2026).unwrap();
        let mut thin = Task {
            from: Some(format!("thin:{}", planting_id(1))),
            ..hoe()
        };
        season.tasks.insert(task(1), Arc::new(thin.clone()));
        thin.title = "Sow carrot".into();
        thin.day = Some(day("2026-05-10"));
        thin.claims.insert(claim(1), by(member(2), 1));
        season.tasks.insert(task(2), Arc::new(thin));
        let words = follows(&garden, &[planting_id(1)], day("2026-05-01"));
        let expected = [
            "1 task moves along.",
            "Claimed, so it stays on its day: Sow carrot, Sun 10 May.",
        ];
        assert_eq!(words, expected);
        let none = follows(&garden, &[planting_id(2)], day("2026-05-01"));
        assert_eq!(none, ["No task has come from it yet."]);
    }

    #[test]
    fn the_rest_of_a_series_is_what_is_not_sown_yet() {
        let series = SeriesId::fresh(selion_core::quantities::Moment::from_millis(9), [3; 10]);
        let of = |start: &str, state| Planting {
            series: Some(series),
            state,
            ..planting("radish", start)
        };
        let garden = with_plantings([
            of("2026-06-01", PlantingState::Planned),
            of("2026-05-01", PlantingState::Standing),
            of("2026-05-15", PlantingState::Planned),
        ]);
        let starts: Vec<Day> = to_come(&garden, 2026, series)
            .into_iter()
            .map(|(_, it)| it.start)
            .collect();
        assert_eq!(starts, [day("2026-05-15"), day("2026-06-01")]);
    }
}
