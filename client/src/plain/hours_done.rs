//! The hours people did for a shared job: on its tasks, and written down without a task.

use selion_core::document::Garden;
use selion_core::document::ids::{JobId, MemberId};
use selion_core::document::records::ClaimState;
use selion_core::quantities::Minutes;

/// Everybody's hours for a job; one person may stand there more than once.
pub fn hours_done(garden: &Garden, job: JobId) -> Vec<(MemberId, Minutes)> {
    let seasons = || garden.seasons.values();
    let on_tasks = seasons()
        .flat_map(|season| season.tasks.values())
        .filter(move |task| task.job == Some(job))
        .flat_map(|task| task.claims.values())
        .filter(|claim| claim.state == ClaimState::Done)
        .map(|claim| (claim.member, claim.minutes));
    let without = seasons()
        .flat_map(|season| season.hours.values())
        .filter(move |hours| hours.job == job && hours.ended_on.is_none())
        .map(|hours| (hours.member, hours.minutes));
    on_tasks.chain(without).collect()
}

/// One person's hours for a job.
pub fn hours_of(garden: &Garden, job: JobId, member: MemberId) -> Minutes {
    hours_done(garden, job)
        .into_iter()
        .filter(|(who, _)| *who == member)
        .map(|(_, minutes)| minutes)
        .sum()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::sync::Arc;

    use selion_core::document::ids::HoursId;
    use selion_core::document::records::{Hours, Task};
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{by, claim, day, done, hoe, member, with_tasks};

    #[test]
    fn hours_on_tasks_and_without_come_together() {
        let job = JobId::fresh(Moment::from_millis(5), [5; 10]);
        let claims = [
            (claim(1), done(by(member(1), 1), "2026-06-08", 90)),
            (claim(2), by(member(2), 2)),
        ];
        let for_the_job = Task {
            job: Some(job),
            claims: BTreeMap::from(claims.clone()),
            ..hoe()
        };
        let for_nothing = Task {
            claims: BTreeMap::from(claims),
            ..hoe()
        };
        let mut garden = with_tasks([for_the_job, for_nothing]);
        let line = |minutes, ended: bool| Hours {
            job,
            member: member(1),
            day: day("2026-06-09"),
            minutes: Minutes::new(minutes),
            word: String::new(),
            task: None,
            ended_on: ended.then(|| day("2026-06-10")),
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, record) in (1..).zip([line(30, false), line(500, true)]) {
            let id = HoursId::fresh(Moment::from_millis(number), [0; 10]);
            season.hours.insert(id, Arc::new(record));
        }
        assert_eq!(hours_of(&garden, job, member(1)), Minutes::new(120));
        assert_eq!(hours_of(&garden, job, member(2)), Minutes::ZERO);
    }
}
