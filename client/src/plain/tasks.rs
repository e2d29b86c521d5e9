//! Tasks as the screens list them: which ones, in which order, under which heading.

use std::sync::Arc;

use selion_core::document::Garden;
use selion_core::document::ids::{ClaimId, MemberId, TaskId};
use selion_core::document::records::{Place, Standing, Task};
use selion_core::ordered;
use selion_core::quantities::Day;

use super::wording::{capital, day_words, plan_words};

/// One line about a task.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaskLine {
    /// Which.
    pub task: TaskId,
    /// The bed's label, or `all`.
    pub bed: String,
    /// What is to be done.
    pub title: String,
    /// When and how long, in a few words.
    pub small: String,
    /// How long for one person, if somebody said, and where the plan has it now, if elsewhere.
    pub time: String,
    /// How many places there are.
    pub places: usize,
    /// How many are taken.
    pub taken: usize,
    /// How many stand by.
    pub standing_by: usize,
    /// The claim of whoever looks, if they have one.
    pub mine: Option<(ClaimId, Standing)>,
    /// Its day has passed and it is not done.
    pub late: bool,
    /// Every place is done.
    pub done: bool,
}

impl TaskLine {
    /// What the task looks like to this person.
    pub fn of(garden: &Garden, task: TaskId, me: Option<MemberId>, today: Day) -> Option<Self> {
        let (_, record) = garden.task(task)?;
        let standings = record.in_order();
        let done = record.is_done();
        let time = record.minutes.is_positive().then(|| record.minutes.show());
        let plan = plan_words(garden, record, today);
        let time = joined(time.into_iter().chain(plan));
        let late = !done && record.day.is_some_and(|day| day < today);
        Some(Self {
            task,
            bed: garden.label_of(record.bed).to_owned(),
            title: record.title.clone(),
            small: joined([when(record, late, today), time.clone()].into_iter()),
            time,
            places: record.places(),
            taken: record.taken(),
            standing_by: standings.len().saturating_sub(record.places()),
            mine: me
                .and_then(|me| record.claim_of(me))
                .map(|(claim, _, standing)| (claim, standing)),
            late,
            done,
        })
    }

    /// Whether a place is free.
    pub fn needs_people(&self) -> bool {
        self.taken < self.places
    }
}

fn joined(words: impl Iterator<Item = String>) -> String {
    let words: Vec<String> = words.filter(|words| !words.is_empty()).collect();
    words.join(" · ")
}

fn when(task: &Task, late: bool, today: Day) -> String {
    task.day.map_or_else(String::new, |day| {
        let words = day_words(day, today);
        if late {
            format!("was for {words}")
        } else {
            capital(&words)
        }
    })
}

/// Which tasks are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Show {
    /// Everything that is not done.
    ToDo,
    /// What still needs people.
    NeedsPeople,
    /// What this person has a claim on and is not done with.
    Mine,
    /// What is done.
    Done,
}

/// The tasks of all years that were not called off and are to be shown, by day, those for any day last; done ones latest first.
pub fn listed(garden: &Garden, show: Show, me: Option<MemberId>) -> Vec<(TaskId, &Arc<Task>)> {
    let mut tasks: Vec<_> = garden
        .seasons
        .values()
        .flat_map(|season| &season.tasks)
        .filter(|(_, task)| task.ended_on.is_none() && is_shown(task, show, me))
        .map(|(id, task)| (*id, task))
        .collect();
    ordered::sort_by_key(&mut tasks, |(id, task)| (task.day.is_none(), task.day, *id));
    if show == Show::Done {
        ordered::sort_by_key(&mut tasks, |(id, task)| {
            std::cmp::Reverse((last_done(task), *id))
        });
    }
    tasks
}

fn is_shown(task: &Task, show: Show, me: Option<MemberId>) -> bool {
    match show {
        Show::ToDo => !task.is_done(),
        Show::NeedsPeople => task.needs_people(),
        Show::Mine => me
            .and_then(|me| task.claim_of(me))
            .is_some_and(|(_, _, standing)| standing != Standing::Done),
        Show::Done => task.is_done(),
    }
}

/// The day a task was finished.
pub fn last_done(task: &Task) -> Option<Day> {
    task.claims.values().filter_map(|claim| claim.done_on).max()
}

/// What tasks are gathered under.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its heading.
    pub heading: String,
    /// Whether the heading names the one day that all its tasks are for.
    pub is_one_day: bool,
    /// Its tasks, in order.
    pub tasks: Vec<TaskId>,
}

/// The tasks under the day they are for, what is late first.
pub fn by_day(tasks: &[(TaskId, &Arc<Task>)], today: Day) -> Vec<Group> {
    gather(tasks.iter().map(|(id, task)| {
        let heading = match task.day {
            None => "Any day".to_owned(),
            Some(day) if day < today => "Late".to_owned(),
            Some(day) => capital(&day_words(day, today)),
        };
        let is_one_day = task.day.is_some_and(|day| day >= today);
        (heading, is_one_day, *id)
    }))
}

/// Done tasks under the day they were finished.
pub fn by_day_done(tasks: &[(TaskId, &Arc<Task>)], today: Day) -> Vec<Group> {
    gather(tasks.iter().map(|(id, task)| {
        let day = last_done(task).map(|day| capital(&day_words(day, today)));
        (day.unwrap_or_else(|| "Done".to_owned()), false, *id)
    }))
}

/// The tasks under their beds in the order of their labels, the whole garden last.
pub fn by_bed(garden: &Garden, tasks: &[(TaskId, &Arc<Task>)]) -> Vec<Group> {
    let of_bed = |bed| {
        let tasks = tasks.iter().filter(move |(_, task)| task.bed == Some(bed));
        tasks.map(move |(id, _)| (garden.label_of(Some(bed)).to_owned(), *id))
    };
    let on_beds = garden
        .open_beds()
        .into_iter()
        .flat_map(|(bed, _)| of_bed(bed));
    let elsewhere = tasks.iter().filter_map(|(id, task)| match task.bed {
        None => Some(("Whole garden".to_owned(), *id)),
        Some(bed) if garden.open_bed(bed).is_none() => {
            Some(("Beds given up since".to_owned(), *id))
        }
        Some(_) => None,
    });
    let mut elsewhere: Vec<_> = elsewhere.collect();
    ordered::sort_by_key(&mut elsewhere, |(heading, _)| {
        std::cmp::Reverse(heading.clone())
    });
    gather(
        on_beds
            .chain(elsewhere)
            .map(|(heading, id)| (heading, false, id)),
    )
}

/// Neighbours with the same heading come together.
fn gather(lines: impl Iterator<Item = (String, bool, TaskId)>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (heading, is_one_day, task) in lines {
        match groups.last_mut() {
            Some(group) if group.heading == heading => group.tasks.push(task),
            _ => groups.push(Group {
                heading,
                is_one_day,
                tasks: vec![task],
            }),
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;

    use super::*;
    use crate::plain::sample::{bed, by, claim, day, done, hoe, member, task, with_tasks};

    fn on(text: &str) -> Task {
        Task {
            day: Some(day(text)),
            ..hoe()
        }
    }

    fn claimed(
        task: Task,
        claims: impl IntoIterator<Item = (ClaimId, selion_core::document::records::Claim)>,
    ) -> Task {
        Task {
            claims: claims.into_iter().collect(),
            ..task
        }
    }

    #[test]
    fn a_line_tells_places_stand_bys_and_what_is_late() {
        let claims = [(claim(1), by(member(2), 1)), (claim(2), by(member(1), 2))];
        let garden = with_tasks([claimed(on("2026-06-09"), claims)]);
        let line = TaskLine::of(&garden, task(1), Some(member(1)), day("2026-06-11")).unwrap();
        assert_eq!(
            (line.places, line.taken, line.standing_by, line.late),
            (1, 1, 1, true)
        );
        assert_eq!(line.mine, Some((claim(2), Standing::StandsBy(1))));
        assert_eq!(line.small, "was for Tue 9 June · 30 min");
        assert_eq!(line.time, "30 min");
        assert_eq!(line.bed, "C4");
    }

    #[test]
    fn a_claimed_task_says_where_the_plan_has_it_now() {
        let claims = [(claim(1), by(member(1), 1))];
        let mut record = claimed(on("2026-06-12"), claims);
        let small = |record: &Task| {
            let garden = with_tasks([record.clone()]);
            TaskLine::of(&garden, task(1), None, day("2026-06-11"))
                .unwrap()
                .small
        };
        let mut plan = record.by_plan();
        record.stay(plan);
        assert_eq!(small(&record), "Tomorrow · 30 min", "where it stands");
        plan.day = Some(day("2026-06-20"));
        record.stay(plan);
        assert_eq!(
            small(&record),
            "Tomorrow · 30 min · the plan has it on Sat 20 June now"
        );
        plan.bed = Some(bed(1));
        record.stay(plan);
        assert!(small(&record).ends_with("the plan has it in A2 on Sat 20 June now"));
        plan.off = Some(day("2026-06-10"));
        record.stay(plan);
        assert!(small(&record).ends_with("the plan does not ask for it any more"));
    }

    #[test]
    fn days_come_in_order_and_any_day_last() {
        let garden = with_tasks([
            hoe(),
            on("2026-06-12"),
            on("2026-06-09"),
            on("2026-06-11"),
            on("2026-06-10"),
        ]);
        let groups = by_day(&listed(&garden, Show::ToDo, None), day("2026-06-11"));
        let told: Vec<_> = groups
            .iter()
            .map(|group| (group.heading.as_str(), group.tasks.len()))
            .collect();
        assert_eq!(
            told,
            [("Late", 2), ("Today", 1), ("Tomorrow", 1), ("Any day", 1)]
        );
    }

    #[test]
    fn filters_show_what_they_say() {
        let me = member(1);
        let mine = claimed(hoe(), [(claim(1), by(me, 1))]);
        let finished = claimed(hoe(), [(claim(2), done(by(me, 1), "2026-06-10", 20))]);
        let called_off = Task {
            ended_on: Some(day("2026-06-01")),
            ..hoe()
        };
        let garden = with_tasks([hoe(), mine, finished, called_off]);
        let shown = |show| -> Vec<TaskId> {
            listed(&garden, show, Some(me))
                .into_iter()
                .map(|(id, _)| id)
                .collect()
        };
        assert_eq!(shown(Show::ToDo), [task(1), task(2)]);
        assert_eq!(shown(Show::NeedsPeople), [task(1)]);
        assert_eq!(shown(Show::Mine), [task(2)]);
        assert_eq!(shown(Show::Done), [task(3)]);
    }

    #[test]
    fn beds_come_by_label_and_the_whole_garden_last() {
        let everywhere = Task { bed: None, ..hoe() };
        let first = Task {
            bed: Some(bed(1)),
            claims: Map::new(),
            ..hoe()
        };
        let garden = with_tasks([everywhere, hoe(), first]);
        let groups = by_bed(&garden, &listed(&garden, Show::ToDo, None));
        let headings: Vec<_> = groups.iter().map(|group| group.heading.as_str()).collect();
        assert_eq!(headings, ["A2", "C4", "Whole garden"]);
    }
}
