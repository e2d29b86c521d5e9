//! The hours of a shared job by bed area, by head, or in part by each, in quarter hours.
//!
//! The whole is rounded up to a full quarter hour and shared by largest remainder; hours done stand against hours due. By
//! head everybody with a bed that takes part counts once; the garden's common beds count by area alone.

use std::fmt;

use serde::Serialize;

use super::accounts::{Account, Holding, LoadBed, holdings};
use super::apportion::{HAMILTON_IN_WORDS, apportion};
use crate::quantities::{Area, Minutes, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The smallest piece that is shared out.
const QUARTER_HOUR: i64 = 15;
/// The longest job: 100 000 hours.
const LONGEST: Minutes = Minutes::new(6_000_000);

/// A job that everybody with ground owes a part of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HoursCase<B, M> {
    /// The job, in the garden's words: "Deer fence".
    pub title: String,
    /// How long it takes in all.
    pub total: Minutes,
    /// The beds that it is shared over.
    pub beds: Vec<LoadBed<B, M>>,
    /// How much of it is due by bed area, in percent; the rest is due by head.
    pub by_area: i64,
    /// The garden's units, for the working.
    pub units: Units,
}

/// The hours of a job shared out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HoursShares<M> {
    /// The job.
    pub title: String,
    /// What was asked for, rounded up to a quarter hour: the sum of all that is due.
    pub due: Minutes,
    /// What was done so far, by everybody.
    pub done: Minutes,
    /// Members in order of their first bed, then the garden, then helpers who did hours without a bed.
    pub accounts: Vec<HoursShare<M>>,
}

/// One account's hours.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HoursShare<M> {
    /// Whose. The garden's hours, for the common beds, are open to anybody.
    pub account: Account<M>,
    /// Their ground.
    pub area: Area,
    /// What is theirs to do.
    pub due: Minutes,
    /// What they did.
    pub done: Minutes,
    /// What is still to do; nothing when they did more than was due.
    pub open: Minutes,
    /// The working of this account.
    pub steps: Vec<Step>,
}

/// Shares the hours of a job out by bed area.
///
/// ```
/// use selion_core::quantities::{Area, Minutes, Units};
/// use selion_core::shares::LoadBed;
/// use selion_core::shares::hours::{self, HoursCase};
///
/// let bed = |bed: u8, area, holder| LoadBed { bed, label: format!("A{bed}"), area, holders: vec![(holder, 1)] };
/// let case = HoursCase {
///     title: "Deer fence".to_owned(),
///     total: Minutes::parse("10 h 5 min")?,
///     beds: vec![bed(1, Area::parse("20 m2")?, "Ines"), bed(2, Area::parse("10 m2")?, "Wren")],
///     by_area: 100,
///     units: Units::Metric,
/// };
/// let shares = hours::share(&case)?.result.against(&[("Wren", Minutes::parse("3 h")?)]);
/// assert_eq!(shares.due.show(), "10 h 15 min");
/// let open: Vec<String> = shares.accounts.iter().map(|share| share.open.show()).collect();
/// assert_eq!(open, ["6 h 45 min", "30 min"]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn share<B, M>(case: &HoursCase<B, M>) -> Result<Reckoning<HoursShares<M>>, Refusal>
where
    B: PartialEq,
    M: Clone + Ord,
{
    check(case)?;
    let holdings = holdings(&case.beds)?;
    let quarters = (case.total.get() + QUARTER_HOUR - 1) / QUARTER_HOUR;
    let due = Minutes::new(quarters * QUARTER_HOUR);
    let area: Area = case.beds.iter().map(|bed| bed.area).sum();
    let areas: Vec<i64> = holdings
        .iter()
        .map(|holding| holding.area().mm2())
        .collect();
    let parts = Parts::of(case, &holdings, quarters, &areas)?;
    let accounts = holdings
        .iter()
        .enumerate()
        .map(|(place, holding)| account(case, holding, parts.at(place), (&parts, area)))
        .collect();
    let shares = HoursShares {
        title: case.title.clone(),
        due,
        done: Minutes::ZERO,
        accounts,
    };
    let rule = match case.by_area {
        100 => "by bed area".to_owned(),
        0 => "by head".to_owned(),
        percent => format!("{percent} % by bed area, the rest by head"),
    };
    let source = Source::arithmetic(format!(
        "Hours as put in; shared {rule}, the garden's rule."
    ));
    Ok(Reckoning::new(shares, source)
        .step(Step::new(
            format!("{} in all", case.title),
            case.total.show(),
        ))
        .step(Step::new("Rounded up to a quarter hour", due.show()))
        .step(Step::new(
            format!("Area of {} beds", case.beds.len()),
            area.show(case.units),
        ))
        .on("Bed areas as drawn on the plan; a bed with several holders counts for each by parts.")
        .on("The hours of common beds are the garden's: anybody may do them.")
        .rounded(format!(
            "Quarter hours are shared by {HAMILTON_IN_WORDS}. They add up to {} exactly.",
            due.show()
        )))
}

impl<M: Clone + PartialEq> HoursShares<M> {
    /// The same shares with the hours that were done, by whom; one person may stand there more than once.
    ///
    /// A helper without a bed gets an account of their own, with nothing due.
    #[must_use]
    pub fn against(mut self, done: &[(M, Minutes)]) -> Self {
        for (member, minutes) in done {
            let account = Account::Member(member.clone());
            let place = self
                .accounts
                .iter()
                .position(|share| share.account == account)
                .unwrap_or_else(|| {
                    self.accounts.push(HoursShare::of(
                        account,
                        Area::ZERO,
                        Minutes::ZERO,
                        Vec::new(),
                    ));
                    self.accounts.len() - 1
                });
            if let Some(share) = self.accounts.get_mut(place) {
                share.done = [share.done, *minutes].into_iter().sum();
            }
            self.done = [self.done, *minutes].into_iter().sum();
        }
        for share in &mut self.accounts {
            share.open = share
                .due
                .checked_sub(share.done)
                .unwrap_or(Minutes::ZERO)
                .max(Minutes::ZERO);
            share.steps.push(Step::new("Done", share.done.show()));
            share
                .steps
                .push(Step::sum("Still to do", share.open.show()));
        }
        self
    }
}

impl<M> HoursShare<M> {
    fn of(account: Account<M>, area: Area, due: Minutes, steps: Vec<Step>) -> Self {
        Self {
            account,
            area,
            due,
            done: Minutes::ZERO,
            open: due,
            steps,
        }
    }
}

/// The quarter hours that are due by area and by head, of the whole and of everybody.
struct Parts {
    by_area: (i64, Vec<i64>),
    by_head: (i64, Vec<i64>),
    heads: i64,
}

impl Parts {
    fn of<B, M: PartialEq>(
        case: &HoursCase<B, M>,
        holdings: &[Holding<M>],
        quarters: i64,
        areas: &[i64],
    ) -> Result<Self, Refusal> {
        let head = |holding: &Holding<M>| i64::from(holding.account != Account::Garden);
        let heads: Vec<i64> = holdings.iter().map(head).collect();
        let count: i64 = heads.iter().sum();
        // Without anybody to count, all of it goes by area.
        let by_area = if count == 0 { 100 } else { case.by_area };
        let of_area = (quarters * by_area + 50) / 100;
        let of_heads = quarters - of_area;
        Ok(Self {
            by_area: (of_area, apportion(of_area, areas)?),
            by_head: if of_heads == 0 {
                (0, vec![0; areas.len()])
            } else {
                (of_heads, apportion(of_heads, &heads)?)
            },
            heads: count,
        })
    }

    fn at(&self, place: usize) -> (i64, i64) {
        let part = |parts: &[i64]| parts.get(place).copied().unwrap_or(0);
        (part(&self.by_area.1), part(&self.by_head.1))
    }
}

fn account<B, M: Clone>(
    case: &HoursCase<B, M>,
    holding: &Holding<M>,
    (by_area, by_head): (i64, i64),
    (whole, whole_area): (&Parts, Area),
) -> HoursShare<M> {
    let hours = |quarters: i64| Minutes::new(quarters * QUARTER_HOUR);
    let due = hours(by_area + by_head);
    let area = holding.area();
    let mut steps = holding.area_steps(&case.beds, case.units);
    if whole.by_area.0 > 0 {
        let of = format!(
            "{} of {}",
            area.show(case.units),
            whole_area.show(case.units)
        );
        steps.push(Step::new(
            format!("{} by area, {of}", hours(whole.by_area.0).show()),
            hours(by_area).show(),
        ));
    }
    if by_head > 0 {
        let all = hours(whole.by_head.0).show();
        steps.push(Step::new(
            format!("{all} by head, 1 of {}", whole.heads),
            hours(by_head).show(),
        ));
    }
    if whole.by_area.0 > 0 && by_head > 0 {
        steps.push(Step::sum("Due", due.show()));
    }
    HoursShare::of(holding.account.clone(), area, due, steps)
}

fn check<B, M>(case: &HoursCase<B, M>) -> Result<(), Refusal> {
    if case.title.trim().is_empty() {
        return Err(Refusal::bad("job", "a name such as Deer fence", ""));
    }
    if !case.total.is_positive() || case.total > LONGEST {
        return Err(Refusal::bad(
            "hours in all",
            "more than nothing and at most 100,000 h",
            case.total.show(),
        ));
    }
    if !(0..=100).contains(&case.by_area) {
        let came = case.by_area.to_string();
        return Err(Refusal::bad("part by bed area", "0 to 100 percent", came));
    }
    Ok(())
}

impl<M: fmt::Display> fmt::Display for HoursShares<M> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            out,
            "{}: {} due, {} done",
            self.title,
            self.due.show(),
            self.done.show()
        )?;
        for share in &self.accounts {
            let name = match &share.account {
                Account::Member(member) => member.to_string(),
                Account::Garden => "Garden".to_owned(),
            };
            writeln!(
                out,
                "  {name:20} {:>14} due {:>14} done {:>14} to do",
                share.due.show(),
                share.done.show(),
                share.open.show()
            )?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(total: i64, areas: &[i64]) -> HoursCase<usize, usize> {
        let bed = |(bed, area): (usize, &i64)| LoadBed {
            bed,
            label: bed.to_string(),
            area: Area::from_mm2(*area),
            // Every third bed is common.
            holders: if bed % 3 == 2 { vec![] } else { vec![(bed, 1)] },
        };
        HoursCase {
            by_area: 100,
            title: "Deer fence".to_owned(),
            total: Minutes::new(total),
            beds: areas.iter().enumerate().map(bed).collect(),
            units: Units::Metric,
        }
    }

    #[test]
    fn hours_done_stand_against_hours_due() {
        let done = vec![
            (0, Minutes::new(50)),
            (0, Minutes::new(30)),
            (9, Minutes::new(20)),
        ];
        let shares = share(&case(120, &[10_000_000, 20_000_000, 10_000_000]))
            .unwrap()
            .result
            .against(&done);
        let row = |index: usize| {
            let share = &shares.accounts[index];
            (
                share.account,
                share.due.get(),
                share.done.get(),
                share.open.get(),
            )
        };
        assert_eq!(row(0), (Account::Member(0), 30, 80, 0));
        assert_eq!(row(1), (Account::Member(1), 60, 0, 60));
        assert_eq!(row(2), (Account::Garden, 30, 0, 30));
        assert_eq!(
            row(3),
            (Account::Member(9), 0, 20, 0),
            "a helper without a bed owes nothing"
        );
        assert_eq!(shares.done.get(), 100);
    }

    #[test]
    fn senseless_hours_are_refused_by_name() {
        let refusal = |case| share(&case).unwrap_err().to_string();
        assert!(refusal(case(0, &[1])).starts_with("hours in all"));
        assert!(refusal(case(i64::MAX, &[1])).starts_with("hours in all"));
        assert!(refusal(case(60, &[])).starts_with("beds"));
    }

    #[test]
    fn by_head_everybody_with_a_bed_counts_once_and_a_mix_is_both() {
        let due = |by_area| {
            let mut case = case(240, &[10, 30, 20]);
            case.beds[2].holders.clear();
            case.by_area = by_area;
            let shares = share(&case).unwrap().result;
            let due = shares.accounts.iter().map(|share| share.due.get());
            due.collect::<Vec<_>>()
        };
        assert_eq!(due(100), [45, 120, 75]);
        assert_eq!(due(0), [120, 120, 0]);
        assert_eq!(due(50), [75, 120, 45]);
    }

    proptest! {
        #[test]
        fn quarter_hours_sum_to_the_whole(total in 1_i64..1_000_000, areas in prop::collection::vec(1_i64..1_000_000_000, 1..30), by_area in 0_i64..=100) {
            let mut case = case(total, &areas);
            case.by_area = by_area;
            let shares = share(&case).unwrap().result;
            prop_assert_eq!(shares.accounts.iter().map(|share| share.due).sum::<Minutes>(), shares.due);
            prop_assert!((0..15).contains(&(shares.due.get() - total)));
            prop_assert!(shares.accounts.iter().all(|share| share.due.get() % 15 == 0 && share.open == share.due));
        }
    }
}
