//! The hours that were done for a shared job, and how they stand against the hours due.

use super::Garden;
use super::ids::{ClaimId, HoursId, JobId, MemberId, TaskId};
use super::records::{ClaimState, ClosedJob, Job, Payer};
use super::shared_out;
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::{Area, Day, Minutes, Money};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::shares::Account;
use crate::shares::hours::{HoursShare, HoursShares};

/// Hours that one person did for a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoursLine {
    /// Who.
    pub member: MemberId,
    /// When, if it is known.
    pub day: Option<Day>,
    /// How long.
    pub minutes: Minutes,
    /// Where it was written down.
    pub from: HoursFrom,
    /// A word about it.
    pub word: String,
}

/// Where hours were written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HoursFrom {
    /// With a task of the job that was done.
    Task(TaskId, ClaimId),
    /// On a line of their own.
    Log(HoursId),
}

/// Every line of hours done for a job, earliest first: done claims of its tasks, and hours logged without a task.
pub fn lines(garden: &Garden, job: JobId) -> Vec<HoursLine> {
    let mut lines = Vec::new();
    for season in garden.seasons.values() {
        for (task, record) in &season.tasks {
            if record.job != Some(job) {
                continue;
            }
            let done = record
                .claims
                .iter()
                .filter(|(_, claim)| claim.state == ClaimState::Done);
            lines.extend(done.map(|(claim, record)| HoursLine {
                member: record.member,
                day: record.done_on,
                minutes: record.minutes,
                from: HoursFrom::Task(*task, *claim),
                word: record.word.clone(),
            }));
        }
        let logged = season
            .hours
            .iter()
            .filter(|(_, hours)| hours.job == job && hours.ended_on.is_none());
        lines.extend(logged.map(|(id, hours)| HoursLine {
            member: hours.member,
            day: Some(hours.day),
            minutes: hours.minutes,
            from: HoursFrom::Log(*id),
            word: hours.word.clone(),
        }));
    }
    ordered::sort_by_key(&mut lines, |line| line.day);
    lines
}

/// All the hours that one person did for a job.
pub fn of_member(garden: &Garden, job: JobId, member: MemberId) -> Minutes {
    lines(garden, job)
        .iter()
        .filter(|line| line.member == member)
        .map(|line| line.minutes)
        .sum()
}

/// Hours done against hours due: of the beds as they are now while the job is open, as they were frozen once it is closed.
pub fn standing(
    garden: &Garden,
    id: JobId,
    job: &Job,
) -> Result<Reckoning<HoursShares<MemberId>>, Refusal> {
    let shares = match &job.closed {
        None => shared_out::job(garden, job)?,
        Some(closed) => frozen(job, closed),
    };
    let mut done = Map::<MemberId, Minutes>::new();
    for line in lines(garden, id) {
        let sum = done.entry(line.member).or_default();
        *sum = [*sum, line.minutes].into_iter().sum();
    }
    let done: Vec<(MemberId, Minutes)> = done.into_iter().collect();
    Ok(shares.map(|shares| shares.against(&done)))
}

/// What hours still to do stand for in money, to the nearest minor unit; nothing where the garden does not set work
/// against money.
pub fn in_lieu(garden: &Garden, open: Minutes) -> Option<Money> {
    let hour = garden.profile.as_ref()?.rules.hour_in_lieu;
    if !hour.is_positive() || !open.is_positive() {
        return None;
    }
    let exact = i128::from(hour.minor()) * i128::from(open.get());
    i64::try_from((exact + 30) / 60).ok().map(Money::from_minor)
}

/// The hours due as they were frozen.
fn frozen(job: &Job, closed: &ClosedJob) -> Reckoning<HoursShares<MemberId>> {
    let accounts = closed.due.iter().filter_map(|(payer, due)| {
        let account = match payer.parse().ok()? {
            Payer::Garden => Account::Garden,
            Payer::Supplier => return None,
            Payer::Member(member) => Account::Member(member),
        };
        Some(HoursShare {
            account,
            area: Area::ZERO,
            due: *due,
            done: Minutes::ZERO,
            open: *due,
            steps: vec![Step::new(
                format!("Due, as closed on {}", closed.on),
                due.show(),
            )],
        })
    });
    let shares = HoursShares {
        title: job.title.clone(),
        due: closed.due.values().copied().sum(),
        done: Minutes::ZERO,
        accounts: accounts.collect(),
    };
    let source = Source::arithmetic("Hours due as they were frozen when the job was closed.");
    let due = shares.due.show();
    Reckoning::new(shares, source)
        .step(Step::new(format!("{} in all", job.title), job.total.show()))
        .step(Step::new(format!("Due, as closed on {}", closed.on), due))
        .on("What the ground does after the closing changes nothing here.")
        .on("The hours of common beds are the garden's: anybody may do them.")
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::document::Season;
    use crate::document::records::{Bed, Claim, Hours, Task};
    use crate::geometry::Outline;
    use crate::quantities::Moment;

    fn id<T>(make: fn(Moment, [u8; 10]) -> T, number: i64) -> T {
        make(Moment::from_millis(number), [0; 10])
    }

    fn member(number: i64) -> MemberId {
        id(MemberId::fresh, number)
    }

    fn job_id() -> JobId {
        id(JobId::fresh, 1)
    }

    fn job() -> Job {
        Job {
            title: "Deer fence".to_owned(),
            total: Minutes::new(600),
            beds_left_out: Map::new(),
            fence: None,
            closed: None,
            ended_on: None,
        }
    }

    fn claim(of: MemberId, state: ClaimState, minutes: i64) -> Claim {
        Claim {
            member: of,
            order: 1,
            at: Moment::from_millis(0),
            state,
            minutes: Minutes::new(minutes),
            done_on: Day::parse("2026-05-02").ok(),
            word: String::new(),
        }
    }

    fn task(job: Option<JobId>, claims: Vec<Claim>) -> Task {
        Task {
            from: None,
            plan_now: None,
            title: "Set corner posts".to_owned(),
            bed: None,
            day: None,
            places: 2,
            minutes: Minutes::ZERO,
            job,
            note: String::new(),
            made_by: member(1),
            claims: (1..).map(|at| id(ClaimId::fresh, at)).zip(claims).collect(),
            ended_on: None,
        }
    }

    fn hours(of: MemberId, minutes: i64, struck: bool) -> Hours {
        let day = Day::parse("2026-05-01").unwrap();
        Hours {
            job: job_id(),
            member: of,
            day,
            minutes: Minutes::new(minutes),
            word: String::new(),
            task: None,
            ended_on: struck.then_some(day),
        }
    }

    /// One bed of member 1, one of member 2 twice as large; member 3 helps.
    fn garden() -> Garden {
        let (one, two, three) = (member(1), member(2), member(3));
        let mut garden = Garden::default();
        for (number, holder, width) in [(1, one, 1_000), (2, two, 2_000)] {
            let outline =
                Outline::parse(&format!("POLYGON((0 0,{width} 0,{width} 1000,0 1000,0 0))"));
            let bed = Bed {
                label: format!("A{number}"),
                outline: outline.unwrap(),
                holders: Map::from([(holder, 1)]),
                note: String::new(),
                ended_on: None,
            };
            garden
                .beds
                .insert(id(super::super::ids::BedId::fresh, number), Arc::new(bed));
        }
        let mut season = Season::default();
        let done = vec![
            claim(one, ClaimState::Done, 90),
            claim(three, ClaimState::Done, 60),
            claim(two, ClaimState::Standing, 0),
        ];
        let tasks = [
            task(Some(job_id()), done),
            task(None, vec![claim(two, ClaimState::Done, 500)]),
        ];
        for (number, task) in (1..).zip(tasks) {
            season
                .tasks
                .insert(id(TaskId::fresh, number), Arc::new(task));
        }
        for (number, line) in (1..).zip([hours(two, 30, false), hours(two, 300, true)]) {
            season
                .hours
                .insert(id(HoursId::fresh, number), Arc::new(line));
        }
        garden.seasons.insert(2026, season);
        garden
    }

    fn figures(job: &Job) -> Vec<(Account<MemberId>, String, String, String)> {
        let shares = standing(&garden(), job_id(), job).unwrap().result;
        shares
            .accounts
            .iter()
            .map(|share| {
                (
                    share.account,
                    share.due.show(),
                    share.done.show(),
                    share.open.show(),
                )
            })
            .collect()
    }

    fn row(
        of: i64,
        due: &str,
        done: &str,
        open: &str,
    ) -> (Account<MemberId>, String, String, String) {
        let account = Account::Member(member(of));
        (account, due.to_owned(), done.to_owned(), open.to_owned())
    }

    #[test]
    fn done_claims_of_its_tasks_and_logged_hours_count_and_nothing_else() {
        let expected = [
            row(1, "3 h 15 min", "1 h 30 min", "1 h 45 min"),
            row(2, "6 h 45 min", "30 min", "6 h 15 min"),
            row(3, "0 min", "1 h", "0 min"),
        ];
        assert_eq!(figures(&job()), expected);
    }

    #[test]
    fn a_closed_job_keeps_its_hours_due() {
        let closed = ClosedJob {
            on: Day::parse("2026-04-01").unwrap(),
            due: Map::from([
                (member(1).to_string(), Minutes::new(120)),
                ("garden".to_owned(), Minutes::new(480)),
            ]),
        };
        let job = Job {
            closed: Some(closed),
            ..job()
        };
        let figures = figures(&job);
        assert_eq!(figures[0], row(1, "2 h", "1 h 30 min", "30 min"));
        assert_eq!(figures[1].0, Account::Garden);
        assert_eq!(figures[2], row(2, "0 min", "30 min", "0 min"));
    }

    #[test]
    fn lines_stand_by_day_and_say_where_they_come_from() {
        let lines = lines(&garden(), job_id());
        let minutes: Vec<i64> = lines.iter().map(|line| line.minutes.get()).collect();
        assert_eq!(minutes, [30, 90, 60]);
        assert!(matches!(lines[0].from, HoursFrom::Log(_)));
        assert!(matches!(lines[1].from, HoursFrom::Task(..)));
    }

    #[test]
    fn one_persons_hours_on_tasks_and_without_come_together() {
        let of = |number| of_member(&garden(), job_id(), member(number));
        assert_eq!(of(1), Minutes::new(90));
        assert_eq!(of(2), Minutes::new(30));
        assert_eq!(of(9), Minutes::ZERO);
    }
}
