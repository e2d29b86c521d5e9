//! The tasks that came from the plan: how they follow it, and how proposals become tasks or are set aside.
//!
//! A task that came from a planting and that nobody has claimed moves with it. One that is claimed never moves: who said they
//! would come on a day is not sent away by a pencil stroke. It keeps in mind where the plan has it now, which its people are
//! shown; and whoever changed the plan is told how many there are.

use super::season::season;
use super::{Case, Judged, Told, Verdict, already_there, not_there, write};
use crate::document::edit::AcceptedTask;
use crate::document::ids::{PlantingId, TaskId};
use crate::document::records::{ClaimState, PlanNow, Planting, Task};
use crate::document::stored::Write;
use crate::document::{Edit, Season};
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::Day;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::AcceptProposal { task, accepted } => make(case, *task, accepted, None),
        Edit::SetProposalAside { task, accepted, on } => make(case, *task, accepted, Some(*on)),
        Edit::ProposeAgain { task, on } => propose_again(case, *task, *on),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change is not about a proposal.",
        )),
    }
}

/// Makes a task of a proposal, or a task that is off from the start where nobody wants it this time.
///
/// A proposal that was accepted or set aside before is a task already, whatever became of it: nothing more is written, so
/// that two who do it at once make one.
fn make(case: &Case<'_>, id: TaskId, accepted: &AcceptedTask, off: Option<Day>) -> Verdict {
    let there = season(case)?.tasks.get(&id);
    let same = |task: &Task| task.from.as_deref() == Some(accepted.key.as_str());
    let mut tasks = case
        .garden
        .seasons
        .values()
        .flat_map(|season| season.tasks.values());
    if tasks.any(|task| same(task)) {
        return Ok(Judged {
            writes: Vec::new(),
            told: None,
        });
    }
    // Proposed again and taken up once more, it is the same task.
    let again =
        there.filter(|task| task.from.is_none() && task.ended_on.is_some() && !task.is_claimed());
    if there.is_some() && again.is_none() {
        return Err(already_there("task"));
    }
    accepted.bed.map_or(Ok(()), |bed| case.check_bed(bed))?;
    let record = Task {
        title: accepted.title.clone(),
        bed: accepted.bed,
        day: Some(accepted.day),
        places: accepted.places,
        minutes: accepted.minutes,
        job: None,
        note: String::new(),
        made_by: case.author,
        from: Some(accepted.key.clone()),
        plan_now: None,
        claims: again.map(|task| task.claims.clone()).unwrap_or_default(),
        ended_on: off,
    };
    write(Write::Task(id, record))
}

/// Takes a task that came from a proposal off again, so that the proposal stands as if nobody had decided on it.
fn propose_again(case: &Case<'_>, id: TaskId, on: Day) -> Verdict {
    let task = season(case)?
        .tasks
        .get(&id)
        .ok_or_else(|| not_there("task"))?;
    if task.is_claimed() {
        return Err(Refused::new(
            RefusalCode::PlacesTaken,
            format!(
                "Somebody has claimed the task “{}”; call it off instead, and they are told.",
                task.title
            ),
        ));
    }
    if task.from.is_none() {
        if task.ended_on.is_some() {
            return Ok(Judged {
                writes: Vec::new(),
                told: None,
            });
        }
        return Err(not_there("task from a proposal"));
    }
    let mut record = Task::clone(task);
    record.from = None;
    record.plan_now = None;
    record.ended_on = record.ended_on.or(Some(on));
    write(Write::Task(id, record))
}

/// Whether the plan asks for a task.
#[derive(Clone, Copy)]
pub(super) enum Off {
    /// Not any more, since this day.
    On(Day),
    /// Again, if it was called off with the plan on this day.
    Back(Day),
}

/// The tasks of a season, as they come out of a change of its plan.
pub(super) struct Followers<'a> {
    season: &'a Season,
    changed: Map<TaskId, Task>,
}

impl<'a> Followers<'a> {
    pub(super) fn of(case: &Case<'a>) -> Result<Self, Refused> {
        Ok(Self {
            season: season(case)?,
            changed: Map::new(),
        })
    }

    /// Tasks of a planting go with it, each with the day that it hangs on.
    pub(super) fn follow(&mut self, id: PlantingId, before: &Planting, after: &Planting) {
        let by = |before: Option<Day>, after: Option<Day>| {
            before
                .zip(after)
                .map(|(before, after)| before.days_until(after))
        };
        let start = before.start.days_until(after.start);
        let bed = (before.bed != after.bed).then_some(after.bed);
        self.each(id, |kind, plan| {
            let moved = match kind {
                "pick" => by(before.first_picking, after.first_picking),
                "clear" | "end_cover" => by(before.last_picking, after.last_picking),
                _begins_with_it => None,
            };
            let days = moved.unwrap_or(start);
            plan.day = plan.day.map(|day| day.plus_days(days));
            plan.bed = bed.or(plan.bed);
        });
    }

    /// Tasks of a planting are called off with it, or come back with it.
    pub(super) fn come(&mut self, id: PlantingId, off: Off) {
        self.each(id, |_, plan| off.put(plan));
    }

    /// The same for the tasks of one kind.
    pub(super) fn come_of_kind(&mut self, id: PlantingId, wanted: &str, off: Off) {
        self.each(id, |kind, plan| {
            if kind == wanted {
                off.put(plan);
            }
        });
    }

    fn each(&mut self, planting: PlantingId, change: impl Fn(&str, &mut PlanNow)) {
        let (season, planting) = (self.season, planting.to_string());
        for (id, stands) in &season.tasks {
            // Such as `thin:PLANTING` or `scout:PLANTING:3`.
            let mut key = stands.from.as_deref().unwrap_or_default().split(':');
            let (kind, of) = (key.next().unwrap_or_default(), key.next());
            if of != Some(planting.as_str()) {
                continue;
            }
            let task = self.changed.get(id).unwrap_or(stands.as_ref());
            let is = |state: ClaimState| task.claims.values().any(|claim| claim.state == state);
            let stays = is(ClaimState::Standing);
            if is(ClaimState::Done) && !stays {
                continue;
            }
            let mut plan = task.by_plan();
            change(kind, &mut plan);
            // What a person called off does not move; it may only come back.
            let comes_back = plan.off.is_none() && task.by_plan().off.is_some();
            if plan == task.by_plan() || (task.ended_on.is_some() && !comes_back) {
                continue;
            }
            let mut task = task.clone();
            if stays {
                task.stay(plan);
            } else {
                task.follow(plan);
            }
            self.changed.insert(*id, task);
        }
    }

    /// What is written: these, and the tasks that differ; with how many claimed ones stay where the plan has them no more.
    pub(super) fn judged(self, mut writes: Vec<Write>) -> Judged {
        let mut stay = 0;
        for (id, task) in self.changed {
            let stands = self.season.tasks.get(&id);
            if stands.is_some_and(|stands| **stands == task) {
                continue;
            }
            if task.plan_now.is_some() {
                stay += 1;
            }
            writes.push(Write::Task(id, task));
        }
        Judged {
            writes,
            told: (stay > 0).then_some(Told::ClaimedStay(stay)),
        }
    }
}

impl Off {
    fn put(self, plan: &mut PlanNow) {
        match self {
            Self::On(day) => plan.off = plan.off.or(Some(day)),
            Self::Back(day) if plan.off == Some(day) => plan.off = None,
            Self::Back(_) => {}
        }
    }
}
