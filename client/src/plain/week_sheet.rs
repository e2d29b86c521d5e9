//! The week on paper, for the shed door: each day's tasks and turns by bed, who has claimed them, squares to sign for the rest.

use std::sync::Arc;

use selion_core::document::ids::TaskId;
use selion_core::document::records::{Place, Standing, Task};
use selion_core::document::{Garden, manure_days};
use selion_core::ordered;
use selion_core::quantities::{Day, Week};
use selion_core::reckoning::Caution;

use super::tasks::{Show, listed};
use super::turns::{TurnLine, turns_between};
use super::wording::{margin_day, plan_words, week_of, weekday};

/// Open places of one task that get a square each; for more there is a number.
const MOST_SQUARES: usize = 8;

/// The sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WeekSheet {
    /// The week by its number and days.
    pub title: String,
    /// What is to be done, day by day; what is late first, any day last. A day without anything is left out.
    pub days: Vec<SheetDay>,
    /// What to be careful about in this week's work.
    pub cautions: Vec<String>,
}

/// One day of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetDay {
    /// Which.
    pub heading: String,
    /// By bed.
    pub lines: Vec<SheetLine>,
}

/// One thing to be done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetLine {
    /// The bed's label, or `all`.
    pub bed: String,
    /// What.
    pub what: String,
    /// How long for one person, where it is elsewhere by the plan, who stands by.
    pub small: String,
    /// Who has claimed a place; who is done is marked.
    pub names: Vec<String>,
    /// How many squares to sign.
    pub squares: usize,
    /// Open places beyond those.
    pub more: usize,
}

/// The sheet of a week, as things stand today.
pub fn sheet(garden: &Garden, week: Week, today: Day) -> WeekSheet {
    let (first, last) = (week.first_day(), week.first_day().plus_days(6));
    let tasks = listed(garden, Show::ToDo, None);
    let turns = turns_between(garden, first, last, None, today);
    let order = bed_order(garden);
    let mut days = Vec::new();
    let mut put = |heading: String, of: &dyn Fn(Option<Day>) -> bool| {
        let of_day = tasks.iter().filter(|(_, task)| of(task.day));
        let mut lines: Vec<(usize, SheetLine)> = of_day
            .map(|(_, task)| (order(task.bed), task_line(garden, task, today)))
            .collect();
        let picked = turns.iter().filter(|turn| of(Some(turn.day)) && !turn.done);
        lines.extend(picked.map(|turn| (order(Some(turn.bed)), turn_line(turn))));
        ordered::sort_by_key(&mut lines, |(bed, line)| (*bed, line.what.clone()));
        let lines: Vec<SheetLine> = lines.into_iter().map(|(_, line)| line).collect();
        if !lines.is_empty() {
            days.push(SheetDay { heading, lines });
        }
    };
    // What is late belongs on the sheet of the week that is going on.
    if (first..=last).contains(&today) {
        put("Late".to_owned(), &|day| day.is_some_and(|day| day < first));
    }
    for step in 0..7 {
        let day = first.plus_days(step);
        let heading = format!("{} {}", weekday(day.weekday()), margin_day(day));
        put(heading, &|of| of == Some(day));
    }
    put("Any day".to_owned(), &|day| day.is_none());
    let this_week = |task: &Task| task.day.is_none_or(|day| day <= last);
    WeekSheet {
        title: format!("Week {} · {}", week.number(), week_of(week)),
        days,
        cautions: cautions(garden, &tasks, this_week, &turns, today),
    }
}

/// Beds as labels are read, what is for the whole garden first.
fn bed_order(garden: &Garden) -> impl Fn(Option<selion_core::document::ids::BedId>) -> usize {
    let beds: Vec<_> = garden.open_beds().into_iter().map(|(bed, _)| bed).collect();
    move |bed| {
        bed.map_or(0, |bed| {
            let place = beds.iter().position(|known| *known == bed);
            place.map_or(usize::MAX, |place| place + 1)
        })
    }
}

fn task_line(garden: &Garden, task: &Task, today: Day) -> SheetLine {
    let standings = task.in_order();
    let name = |member| garden.name_of(member).to_owned();
    let names = standings
        .iter()
        .filter_map(|(_, claim, standing)| match standing {
            Standing::Holds => Some(name(claim.member)),
            Standing::Done => Some(format!("{}, done", name(claim.member))),
            Standing::StandsBy(_) => None,
        });
    let by: Vec<String> = standings
        .iter()
        .filter(|(_, _, standing)| matches!(standing, Standing::StandsBy(_)))
        .map(|(_, claim, _)| name(claim.member))
        .collect();
    let time = task.minutes.is_positive().then(|| task.minutes.show());
    let plan = plan_words(garden, task, today);
    let by = (!by.is_empty()).then(|| format!("stands by: {}", by.join(", ")));
    let small: Vec<String> = time.into_iter().chain(plan).chain(by).collect();
    let open = task.places().saturating_sub(task.taken());
    SheetLine {
        bed: garden.label_of(task.bed).to_owned(),
        what: task.title.clone(),
        small: small.join(" · "),
        names: names.collect(),
        squares: open.min(MOST_SQUARES),
        more: open.saturating_sub(MOST_SQUARES),
    }
}

fn turn_line(turn: &TurnLine) -> SheetLine {
    SheetLine {
        bed: turn.label.clone(),
        what: "Pick this bed".to_owned(),
        names: turn.picker.map(|_| turn.name.clone()).into_iter().collect(),
        squares: usize::from(turn.picker.is_none()),
        ..SheetLine::default()
    }
}

/// What the week's work is known to need care with: by what it was proposed for, by fencing, by manure on what is picked.
fn cautions(
    garden: &Garden,
    tasks: &[(TaskId, &Arc<Task>)],
    this_week: impl Fn(&Task) -> bool,
    turns: &[TurnLine],
    today: Day,
) -> Vec<String> {
    let mut found: Vec<Caution> = Vec::new();
    let mut heavy = false;
    for (_, task) in tasks.iter().filter(|(_, task)| this_week(task)) {
        let kind = task.from.as_deref().and_then(|key| key.split(':').next());
        found.extend(match kind {
            Some("lime") => vec![Caution::LimeDust, Caution::Lifting],
            Some("walk_fence") => vec![Caution::ElectricFence],
            Some("turn_pile") => vec![Caution::Lifting],
            _other => Vec::new(),
        });
        heavy |= task.job.is_some();
    }
    if heavy {
        found.extend([Caution::Digging, Caution::Lifting]);
    }
    let mut words: Vec<String> = Vec::new();
    for caution in found {
        let wording = caution.wording().to_owned();
        if !words.contains(&wording) {
            words.push(wording);
        }
    }
    for turn in turns.iter().filter(|turn| !turn.done) {
        if let Some(early) = manure_days::too_early(garden, turn.bed, turn.day) {
            let say = |day: Day| super::wording::day_words(day, today);
            let line = format!("{}: {}", turn.label, early.words(turn.day, say));
            if !words.contains(&line) {
                words.push(line);
            }
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;

    use super::*;
    use crate::plain::sample::{bed, by, claim, day, garden, hoe, member, pick, task, turn};

    const TODAY: &str = "2026-06-11";

    fn week() -> Week {
        day(TODAY).week()
    }

    fn on(text: &str) -> Task {
        Task {
            day: Some(day(text)),
            ..hoe()
        }
    }

    fn sheet_of(tasks: Vec<Task>) -> WeekSheet {
        let mut garden = garden();
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, record) in (1..).zip(tasks) {
            season.tasks.insert(task(number), Arc::new(record));
        }
        season.turns.insert(turn(1), Arc::new(pick("2026-06-12")));
        sheet(&garden, week(), day(TODAY))
    }

    #[test]
    fn days_stand_in_order_with_late_first_and_any_day_last() {
        let sheet = sheet_of(vec![
            hoe(),
            on("2026-06-12"),
            on("2026-05-20"),
            on("2026-06-15"),
        ]);
        assert_eq!(sheet.title, "Week 24 · 8 to 14 June");
        let days: Vec<(&str, usize)> = sheet
            .days
            .iter()
            .map(|day| (day.heading.as_str(), day.lines.len()))
            .collect();
        // The task of the week after is on the next sheet; the turn stands with the task of its day.
        assert_eq!(days, [("Late", 1), ("Fri 12 Jun", 2), ("Any day", 1)]);
        let friday = &sheet.days[1].lines;
        assert_eq!((friday[0].bed.as_str(), friday[0].squares), ("A2", 1));
        assert_eq!(friday[1].bed, "C4");
    }

    #[test]
    fn who_claimed_is_named_and_every_open_place_is_a_square() {
        let claims = Map::from([(claim(1), by(member(1), 1)), (claim(2), by(member(2), 2))]);
        let six = Task {
            places: 6,
            claims: claims.clone(),
            ..on("2026-06-11")
        };
        let one = Task {
            claims,
            bed: Some(bed(1)),
            ..on("2026-06-11")
        };
        let many = Task {
            places: 20,
            bed: None,
            ..on("2026-06-11")
        };
        let sheet = sheet_of(vec![six, one, many]);
        let [all, a2, c4] = sheet.days[0].lines.as_slice() else {
            panic!("{sheet:?}")
        };
        assert_eq!((all.squares, all.more), (8, 12));
        assert_eq!((a2.names.join(" "), a2.squares), ("Ines".to_owned(), 0));
        assert_eq!(a2.small, "30 min · stands by: Tomasz");
        assert_eq!((c4.names.len(), c4.squares), (2, 4));
    }

    #[test]
    fn cautions_come_from_what_the_work_is_known_to_be() {
        let lime = Task {
            from: Some("lime:x:2026".into()),
            ..on("2026-06-12")
        };
        let sheet = sheet_of(vec![lime.clone(), lime, on("2026-06-12")]);
        assert_eq!(
            sheet.cautions,
            [Caution::LimeDust, Caution::Lifting].map(|it| it.wording().to_owned())
        );
        let later = Task {
            from: Some("walk_fence:x:2026-07".into()),
            ..on("2026-07-04")
        };
        assert!(sheet_of(vec![later]).cautions.is_empty());
    }
}
