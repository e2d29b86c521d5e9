//! The table of a shared job: hours due, done and still to do, account by account; and the form of a job.

use std::collections::BTreeSet;

use selion_core::document::hours_done::{self, HoursFrom, HoursLine};
use selion_core::document::ids::{BedId, JobId, MemberId};
use selion_core::document::records::{Job, Payer};
use selion_core::document::{Garden, shared_out};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Minutes, Money};
use selion_core::shares::hours::HoursShares;

use super::share_rows::{ShareRow, ShareTable};
use super::typed::with_unit;
use super::wording::{capital, day_words};

/// How the hours of a job are due, as the garden has agreed.
pub fn caption(garden: &Garden) -> String {
    let rules = garden.profile.as_ref().map(|profile| profile.rules);
    match rules.unwrap_or_default().hours_by_area {
        100 => "Hours by bed area".to_owned(),
        0 => "Hours, alike for all with a bed".to_owned(),
        percent => format!("Hours, {percent} % by bed area"),
    }
}

/// Hours due, done and still to do; and, where the garden sets hours against money and whoever looks sees money, what those
/// still to do stand for.
pub fn table(
    garden: &Garden,
    shares: &HoursShares<MemberId>,
    me: Option<MemberId>,
    sees_money: bool,
) -> ShareTable {
    let mut table = hours_table(garden, shares, me);
    let profile = garden.profile.as_ref().filter(|_| sees_money);
    let profile = profile.filter(|profile| profile.rules.hour_in_lieu.is_positive());
    let Some(profile) = profile else {
        return table;
    };
    table.heads.push("in lieu".to_owned());
    let mut sum = Money::ZERO;
    for (row, share) in table.rows.iter_mut().zip(&shares.accounts) {
        // Nobody pays for the garden's own hours: they are open to anybody.
        let owes = matches!(row.payer, Payer::Member(_));
        let owed = hours_done::in_lieu(garden, share.open).filter(|_| owes);
        sum = [sum, owed.unwrap_or_default()].into_iter().sum();
        row.cells
            .push(owed.map_or_else(|| "–".to_owned(), |owed| owed.show(profile.currency)));
    }
    table.whole.push(sum.show(profile.currency));
    table
}

fn hours_table(
    garden: &Garden,
    shares: &HoursShares<MemberId>,
    me: Option<MemberId>,
) -> ShareTable {
    let hours = |minutes: Minutes| minutes.show_apart().number;
    let rows = shares.accounts.iter().map(|share| {
        let payer = Payer::from(share.account);
        let mine = me.is_some_and(|me| payer == Payer::Member(me));
        let name = if mine {
            "You".to_owned()
        } else {
            shared_out::payer_name(garden, payer)
        };
        ShareRow {
            payer,
            cells: vec![name, hours(share.due), hours(share.done), hours(share.open)],
            mine,
        }
    });
    ShareTable {
        rows: rows.collect(),
        whole: vec![
            "Whole".to_owned(),
            hours(shares.due),
            hours(shares.done),
            hours(still_to_do(shares)),
        ],
        ..empty()
    }
}

/// The table with nobody in it.
pub fn empty() -> ShareTable {
    let heads = ["Member", "due", "done", "to do"];
    ShareTable {
        heads: heads.map(ToOwned::to_owned).to_vec(),
        ..ShareTable::default()
    }
}

/// The block under the head of a job.
pub fn block(shares: &HoursShares<MemberId>) -> Vec<(String, String)> {
    [
        ("Due in all", shares.due),
        ("Done", shares.done),
        ("Still to do", still_to_do(shares)),
    ]
    .map(|(name, minutes)| (name.to_owned(), minutes.show()))
    .to_vec()
}

/// What was done beyond what was due of those who did it, in a sentence, if anything was.
pub fn beyond_words(shares: &HoursShares<MemberId>) -> Option<String> {
    let beyond: Minutes = shares
        .accounts
        .iter()
        .filter_map(|share| share.done.checked_sub(share.due))
        .filter(|more| more.is_positive())
        .sum();
    beyond.is_positive().then(|| {
        format!(
            "{} were done beyond what was due of those who did them; that lessens nobody else's part.",
            beyond.show()
        )
    })
}

/// One line of hours as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoursRow {
    /// Who did them.
    pub who: String,
    /// When, on which task, and a word about it.
    pub small: String,
    /// How long.
    pub minutes: String,
    /// Where they were written down.
    pub from: HoursFrom,
    /// Belongs to whoever looks.
    pub mine: bool,
}

/// The lines of hours of a job, the latest first.
pub fn lines(garden: &Garden, job: JobId, me: Option<MemberId>, today: Day) -> Vec<HoursRow> {
    let row = |line: HoursLine| {
        let mine = Some(line.member) == me;
        let task = match line.from {
            HoursFrom::Task(task, _) => garden.task(task).map(|(_, task)| task.title.clone()),
            HoursFrom::Log(_) => None,
        };
        let day = line.day.map(|day| capital(&day_words(day, today)));
        let word = Some(line.word).filter(|word| !word.is_empty());
        let small: Vec<String> = [day, task, word].into_iter().flatten().collect();
        HoursRow {
            who: if mine {
                "You".to_owned()
            } else {
                garden.name_of(line.member).to_owned()
            },
            small: small.join(" · "),
            minutes: line.minutes.show(),
            from: line.from,
            mine,
        }
    };
    let lines = hours_done::lines(garden, job);
    lines.into_iter().rev().map(row).collect()
}

// Hours that somebody did beyond their own do not lessen what the others owe.
fn still_to_do(shares: &HoursShares<MemberId>) -> Minutes {
    shares.accounts.iter().map(|share| share.open).sum()
}

/// A field of the form of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the job is")]
pub enum JobBox {
    Title,
    Total,
}

/// What stands in the form of a job, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is described where the job is")]
pub struct JobTyped {
    pub title: String,
    pub total: String,
    pub left_out: BTreeSet<BedId>,
}

impl JobTyped {
    /// The form as it stands for a job that is changed.
    pub fn of(job: &Job) -> Self {
        let left_out = job.beds_left_out.iter();
        Self {
            title: job.title.clone(),
            total: job.total.show(),
            left_out: left_out
                .filter(|(_, out)| **out)
                .map(|(bed, _)| *bed)
                .collect(),
        }
    }

    /// The job that was typed.
    pub fn read(&self) -> Result<Job, Map<JobBox, String>> {
        let mut wrong = Map::new();
        let title = self.title.trim().to_owned();
        if title.is_empty() {
            let bad = BadInput::new("title", "what is to be done, such as Deer fence", "");
            wrong.insert(JobBox::Title, capital(&bad.to_string()));
        }
        let total = Minutes::parse(&with_unit(&self.total, "h"))
            .and_then(|total| {
                let enough = total.is_positive().then_some(total);
                enough.ok_or_else(|| BadInput::new("hours", "more than nothing", &self.total))
            })
            .map_err(|bad| bad.named("hours"));
        let total = total.unwrap_or_else(|bad| {
            wrong.insert(JobBox::Total, capital(&bad.to_string()));
            Minutes::ZERO
        });
        if !wrong.is_empty() {
            return Err(wrong);
        }
        Ok(Job {
            title,
            total,
            beds_left_out: self.left_out.iter().map(|bed| (*bed, true)).collect(),
            fence: None,
            closed: None,
            ended_on: None,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::records::{Profile, Task};

    use super::*;
    use crate::plain::sample::{bed, by, claim, day, done, garden, hoe, member, with_tasks};

    fn typed(title: &str, total: &str) -> JobTyped {
        JobTyped {
            title: title.into(),
            total: total.into(),
            left_out: BTreeSet::new(),
        }
    }

    #[test]
    fn hours_stand_in_columns_and_ones_own_row_is_marked() {
        let garden = garden();
        let job = typed("Deer fence", "10").read().unwrap();
        let shares = shared_out::job(&garden, &job).unwrap().result;
        let shares = shares.against(&[(member(2), Minutes::new(90))]);
        let table = table(&garden, &shares, Some(member(2)), true);
        let rows: Vec<String> = table.rows.iter().map(|row| row.cells.join(" ")).collect();
        assert_eq!(rows, ["Ines 5.00 0.00 5.00", "You 5.00 1.50 3.50"]);
        assert_eq!(table.whole, ["Whole", "10.00", "1.50", "8.50"]);
        assert!(table.rows.last().unwrap().mine);
        let figures: Vec<String> = block(&shares).into_iter().map(|(_, hours)| hours).collect();
        assert_eq!(figures, ["10 h", "1 h 30 min", "8 h 30 min"]);
        assert_eq!(beyond_words(&shares), None);
        let helped = shares.against(&[(member(7), Minutes::new(60))]);
        let words = beyond_words(&helped).unwrap();
        assert!(words.starts_with("1 h were done beyond"), "{words}");
    }

    #[test]
    fn hours_still_to_do_stand_for_money_where_the_garden_says_so_and_the_looker_sees_money() {
        let mut garden = garden();
        let mut profile = Profile::clone(garden.profile.as_ref().unwrap());
        profile.rules.hour_in_lieu = Money::from_minor(1_200);
        profile.rules.hours_by_area = 70;
        garden.profile = Some(Arc::new(profile));
        let job = typed("Deer fence", "10").read().unwrap();
        let shares = shared_out::job(&garden, &job).unwrap().result;
        let shares = shares.against(&[(member(2), Minutes::new(90))]);
        let seen = |sees_money| table(&garden, &shares, Some(member(2)), sees_money);
        let last = |table: ShareTable| {
            let cells = table
                .rows
                .into_iter()
                .map(|row| row.cells)
                .chain([table.whole]);
            cells
                .filter_map(|cells| cells.last().cloned())
                .collect::<Vec<_>>()
        };
        assert_eq!(last(seen(true)), ["$60.00", "$42.00", "$102.00"]);
        assert_eq!(seen(false).heads.len(), 4, "a helper sees hours alone");
        assert_eq!(caption(&garden), "Hours, 70 % by bed area");
    }

    #[test]
    fn a_line_tells_who_when_and_for_which_task() {
        let job = JobId::fresh(selion_core::quantities::Moment::from_millis(1), [0; 10]);
        let claims = [(claim(1), done(by(member(2), 1), "2026-06-10", 90))];
        let task = Task {
            job: Some(job),
            claims: claims.into_iter().collect(),
            ..hoe()
        };
        let garden = with_tasks([task]);
        let rows = lines(&garden, job, Some(member(2)), day("2026-06-11"));
        let [row] = rows.as_slice() else {
            panic!("one line, not {}", rows.len());
        };
        assert_eq!(row.who, "You");
        assert_eq!(row.small, "Yesterday · Hoe between the bean rows");
        assert_eq!(row.minutes, "1 h 30 min");
    }

    #[test]
    fn a_bare_number_is_hours() {
        assert_eq!(
            typed("Fence", "40").read().unwrap().total,
            Minutes::new(2_400)
        );
        assert_eq!(
            typed("Fence", "90 min").read().unwrap().total,
            Minutes::new(90)
        );
    }

    #[test]
    fn a_job_needs_a_title_and_some_hours() {
        let wrong = typed(" ", "0").read().unwrap_err();
        let fields: Vec<JobBox> = wrong.keys().copied().collect();
        assert_eq!(fields, [JobBox::Title, JobBox::Total]);
    }

    #[test]
    fn a_job_shown_and_read_again_is_the_same() {
        let job = JobTyped {
            left_out: BTreeSet::from([bed(2)]),
            ..typed("Deer fence", "10 h 5 min")
        };
        let job = job.read().unwrap();
        assert_eq!(JobTyped::of(&job).read().unwrap(), job);
    }
}
