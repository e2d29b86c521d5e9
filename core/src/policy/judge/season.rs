//! Edits of a season: tasks, turns, pickings, shared jobs.

use std::collections::BTreeSet;

use super::{Case, Judged, Verdict, already_there, check_fence, ended, not_there, write};
use crate::document::edit::{JobField, NewTurn, TaskField};
use crate::document::ids::{BedId, JobId, TaskId};
use crate::document::records::{
    Claim, ClaimState, ClosedJob, Hours, Job, Picking, Place, Task, Turn,
};
use crate::document::stored::Write;
use crate::document::{Edit, Season, shared_out};
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::{Day, Minutes};

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::AddTask { task, .. } => add_task(case, *task),
        Edit::ChangeTask { task, set } => change_task(case, *task, set),
        Edit::AddTurns { turns } => add_turns(case, turns),
        Edit::EndTurn { turn, on } => {
            let mut record = Turn::clone(
                season(case)?
                    .turns
                    .get(turn)
                    .ok_or_else(|| not_there("picking turn"))?,
            );
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::Turn(*turn, record))
        }
        Edit::LogPicking { .. } | Edit::StrikePicking { .. } => pickings(case),
        Edit::AddJob {
            job,
            title,
            total,
            beds_left_out,
        } => {
            if season(case)?.jobs.contains_key(job) {
                return Err(already_there("job"));
            }
            check_left_out(case, beds_left_out)?;
            let record = Job {
                title: title.clone(),
                total: *total,
                beds_left_out: beds_left_out.clone(),
                fence: None,
                closed: None,
                ended_on: None,
            };
            write(Write::Job(*job, record))
        }
        Edit::ChangeJob { job, set } => change_job(case, *job, set),
        Edit::CloseJob { job, on, seen } => close_job(case, *job, *on, seen),
        Edit::LogHours { .. } | Edit::StrikeHours { .. } => hours(case),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong into a season.",
        )),
    }
}

pub(super) fn season<'a>(case: &Case<'a>) -> Result<&'a Season, Refused> {
    case.garden
        .seasons
        .get(&case.year())
        .ok_or_else(|| not_there("season"))
}

fn add_task(case: &Case<'_>, id: TaskId) -> Verdict {
    let Edit::AddTask {
        title,
        bed,
        day,
        places,
        minutes,
        job,
        note,
        ..
    } = &case.envelope.edit
    else {
        return Err(not_there("task"));
    };
    if season(case)?.tasks.contains_key(&id) {
        return Err(already_there("task"));
    }
    bed.map_or(Ok(()), |bed| case.check_bed(bed))?;
    job.map_or(Ok(()), |job| check_job(case, job))?;
    let record = Task {
        title: title.clone(),
        bed: *bed,
        day: *day,
        places: *places,
        minutes: *minutes,
        job: *job,
        note: note.clone(),
        made_by: case.author,
        from: None,
        plan_now: None,
        claims: Map::new(),
        ended_on: None,
    };
    write(Write::Task(id, record))
}

fn change_task(case: &Case<'_>, id: TaskId, set: &[TaskField]) -> Verdict {
    let mut record = Task::clone(
        season(case)?
            .tasks
            .get(&id)
            .ok_or_else(|| not_there("task"))?,
    );
    let put_up_again = set
        .iter()
        .any(|field| matches!(field, TaskField::EndedOn(None)));
    if record.ended_on.is_some() && !put_up_again {
        return Err(ended(
            &format!("The task “{}”", record.title),
            "was called off",
        ));
    }
    for field in set {
        match field {
            TaskField::Title(title) => record.title.clone_from(title),
            TaskField::Bed(bed) => {
                bed.map_or(Ok(()), |bed| case.check_bed(bed))?;
                record.bed = *bed;
            }
            TaskField::Day(day) => record.day = *day,
            TaskField::Places(places) => {
                let held = record.taken();
                if usize::try_from(*places).unwrap_or(usize::MAX) < held {
                    return Err(Refused::new(
                        RefusalCode::PlacesTaken,
                        format!(
                            "places: {held} people already have a place, so there cannot be fewer than {held} places."
                        ),
                    ));
                }
                record.places = *places;
            }
            TaskField::Minutes(minutes) => record.minutes = *minutes,
            TaskField::Job(job) => {
                job.map_or(Ok(()), |job| check_job(case, job))?;
                record.job = *job;
            }
            TaskField::EndedOn(day) => record.ended_on = *day,
        }
    }
    if let Some(plan) = record.plan_now {
        record.stay(plan);
    }
    write(Write::Task(id, record))
}

fn add_turns(case: &Case<'_>, turns: &[NewTurn]) -> Verdict {
    let season = season(case)?;
    let mut writes = Vec::new();
    let mut seen = BTreeSet::new();
    for new in turns {
        if season.turns.contains_key(&new.turn) || !seen.insert(new.turn) {
            return Err(already_there("picking turn"));
        }
        case.check_bed(new.bed)?;
        let mut claims = Map::new();
        if let Some((member, claim)) = new.holder {
            match case.garden.members.get(&member) {
                None => return Err(not_there("person")),
                Some(record) if record.ended_on.is_some() => {
                    return Err(ended(&record.name, "left the garden"));
                }
                Some(_) => {}
            }
            claims.insert(
                claim,
                Claim {
                    member,
                    order: 1,
                    at: case.written_at(),
                    state: ClaimState::Standing,
                    minutes: Minutes::ZERO,
                    done_on: None,
                    word: String::new(),
                },
            );
        }
        writes.push(Write::Turn(
            new.turn,
            Turn {
                bed: new.bed,
                day: new.day,
                claims,
                ended_on: None,
            },
        ));
    }
    Ok(Judged { writes, told: None })
}

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
fn pickings(case: &Case<'_>) -> Verdict {
    let season = season(case)?;
    match &case.envelope.edit {
        Edit::LogPicking {
            picking,
            bed,
            day,
            crop,
            mass,
            picked,
            turn,
            word,
        } => {
            if season.pickings.contains_key(picking) {
                return Err(already_there("picking"));
            }
            // What was picked was picked, even if the bed was given up since.
            if !case.garden.beds.contains_key(bed) {
                return Err(not_there("bed"));
            }
            if turn.is_some_and(|turn| !season.turns.contains_key(&turn)) {
                return Err(not_there("picking turn"));
            }
            let record = Picking {
                bed: *bed,
                day: *day,
                crop: crop.clone(),
                mass: *mass,
                picked: *picked,
                member: case.author,
                turn: *turn,
                word: word.clone(),
                parts: None,
                planting: None,
                ended_on: None,
            };
            write(Write::Picking(*picking, record))
        }
        Edit::StrikePicking { picking, on } => {
            let mut record = Picking::clone(
                season
                    .pickings
                    .get(picking)
                    .ok_or_else(|| not_there("picking"))?,
            );
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::Picking(*picking, record))
        }
        _other => Err(not_there("picking")),
    }
}

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
fn hours(case: &Case<'_>) -> Verdict {
    let season = season(case)?;
    match &case.envelope.edit {
        Edit::LogHours {
            hours,
            job,
            minutes,
            day,
            word,
        } => {
            if season.hours.contains_key(hours) {
                return Err(already_there("line of hours"));
            }
            // Hours done count, even for a job called off since.
            if !season.jobs.contains_key(job) {
                return Err(not_there("job"));
            }
            let record = Hours {
                job: *job,
                member: case.author,
                day: *day,
                minutes: *minutes,
                word: word.clone(),
                task: None,
                ended_on: None,
            };
            write(Write::Hours(*hours, record))
        }
        Edit::StrikeHours { hours, on } => {
            let mut record = Hours::clone(
                season
                    .hours
                    .get(hours)
                    .ok_or_else(|| not_there("line of hours"))?,
            );
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::Hours(*hours, record))
        }
        _other => Err(not_there("line of hours")),
    }
}

fn check_job(case: &Case<'_>, job: JobId) -> Result<(), Refused> {
    match season(case)?.jobs.get(&job) {
        None => Err(not_there("job")),
        Some(record) if record.ended_on.is_some() => Err(ended(
            &format!("The job “{}”", record.title),
            "was called off",
        )),
        Some(_) => Ok(()),
    }
}

/// A job that can still be changed.
fn open_job(case: &Case<'_>, job: JobId) -> Result<Job, Refused> {
    let record = Job::clone(
        season(case)?
            .jobs
            .get(&job)
            .ok_or_else(|| not_there("job"))?,
    );
    if record.closed.is_some() {
        return Err(Refused::new(
            RefusalCode::Closed,
            format!(
                "The hours of “{}” are closed and do not change any more.",
                record.title
            ),
        ));
    }
    Ok(record)
}

fn change_job(case: &Case<'_>, job: JobId, set: &[JobField]) -> Verdict {
    let mut record = open_job(case, job)?;
    for field in set {
        match field {
            JobField::Title(title) => record.title.clone_from(title),
            JobField::Total(total) => record.total = *total,
            JobField::BedsLeftOut(beds) => {
                check_left_out(case, beds)?;
                record.beds_left_out.clone_from(beds);
            }
            JobField::Fence(fence) => {
                check_fence(case, *fence)?;
                record.fence = *fence;
            }
            JobField::EndedOn(day) => record.ended_on = *day,
        }
    }
    write(Write::Job(job, record))
}

fn check_left_out(case: &Case<'_>, beds: &Map<BedId, bool>) -> Result<(), Refused> {
    if beds.keys().all(|bed| case.garden.beds.contains_key(bed)) {
        Ok(())
    } else {
        Err(not_there("bed"))
    }
}

fn close_job(case: &Case<'_>, job: JobId, on: Day, seen: &str) -> Verdict {
    let mut record = open_job(case, job)?;
    if record.ended_on.is_some() {
        return Err(ended(
            &format!("The job “{}”", record.title),
            "was called off",
        ));
    }
    let shares = shared_out::job(case.garden, &record)
        .map_err(|refusal| Refused::new(RefusalCode::CannotShare, refusal.to_string()))?;
    if shared_out::mark_of_hours(&shares.result) != seen {
        return Err(Refused::new(
            RefusalCode::SharesChanged,
            format!(
                "The hours of “{}” have changed since you looked (a bed, a holder or the total); look at them again, then close.",
                record.title
            ),
        ));
    }
    record.closed = Some(ClosedJob {
        on,
        due: shared_out::hours_due(&shares.result),
    });
    write(Write::Job(job, record))
}
