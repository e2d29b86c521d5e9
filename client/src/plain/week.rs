//! What stands on the screen of the week.

use selion_core::document::ids::{JobId, MemberId, OrderId, TaskId};
use selion_core::document::records::{Job, Order, Payer, Place, Standing};
use selion_core::document::{Garden, hours_done, shared_out};
use selion_core::ordered;
use selion_core::quantities::{Day, Minutes};
use selion_core::reckoning::Caution;
use selion_core::shares::Account;

use super::share_rows;
use super::tasks::{Show, last_done, listed};
use super::turns::{TurnLine, turns_between};
use super::wording::day_words;

/// A closed load stays on the screen so many days.
const JUST_CLOSED_DAYS: i64 = 30;

/// This person's tasks of the week: what is late, then by day, then what can be done any day, then what they did this week.
pub fn my_tasks(garden: &Garden, me: MemberId, today: Day) -> Vec<TaskId> {
    let (first, last) = ends(today);
    let to_do = listed(garden, Show::Mine, Some(me));
    let to_do = to_do
        .into_iter()
        .filter(|(_, task)| task.day.is_none_or(|day| day <= last));
    let done = garden
        .seasons
        .values()
        .flat_map(|season| &season.tasks)
        .filter(|(_, task)| {
            let mine = task.claim_of(me);
            let done_on = mine.and_then(|(_, claim, standing)| {
                claim.done_on.filter(|_| standing == Standing::Done)
            });
            done_on.is_some_and(|day| (first..=last).contains(&day))
        });
    let mut done: Vec<_> = done.collect();
    ordered::sort_by_key(&mut done, |(id, task)| (last_done(task), **id));
    to_do
        .map(|(id, _)| id)
        .chain(done.into_iter().map(|(id, _)| *id))
        .collect()
}

/// How many of this person's tasks are for later weeks.
pub fn my_later_tasks(garden: &Garden, me: MemberId, today: Day) -> usize {
    let (_, last) = ends(today);
    listed(garden, Show::Mine, Some(me))
        .iter()
        .filter(|(_, task)| task.day.is_some_and(|day| day > last))
        .count()
}

/// This person's picking turns of the week, stand-bys and late ones of the week before included.
pub fn my_turns(garden: &Garden, me: MemberId, today: Day) -> Vec<TurnLine> {
    let (first, last) = ends(today);
    let mut turns = turns_between(garden, first.plus_days(-7), last, Some(me), today);
    turns.retain(|turn| turn.mine.is_some() && (turn.day >= first || turn.late));
    ordered::sort_by_key(&mut turns, |turn| (turn.day, turn.turn));
    turns
}

/// Tasks up to the end of the week, and those for any day, that still need people and that this person has no claim on.
pub fn tasks_that_need_people(garden: &Garden, me: Option<MemberId>, today: Day) -> Vec<TaskId> {
    let (_, last) = ends(today);
    listed(garden, Show::NeedsPeople, me)
        .into_iter()
        .filter(|(_, task)| task.day.is_none_or(|day| day <= last))
        .filter(|(_, task)| me.is_none_or(|me| task.claim_of(me).is_none()))
        .map(|(id, _)| id)
        .collect()
}

/// Picking turns from today to the end of the week that nobody has taken.
pub fn turns_that_need_people(garden: &Garden, today: Day) -> Vec<TurnLine> {
    let (_, last) = ends(today);
    let mut turns = turns_between(garden, today, last, None, today);
    turns.retain(|turn| turn.picker.is_none());
    ordered::sort_by_key(&mut turns, |turn| (turn.day, turn.turn));
    turns
}

/// This person's part of a load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadLine {
    /// Which order.
    pub order: OrderId,
    /// What the load is.
    pub material: String,
    /// Weight and bags.
    pub what: String,
    /// When it comes, and how it stands.
    pub small: String,
    /// What they pay.
    pub pays: String,
    /// Whether the shares are frozen.
    pub is_closed: bool,
    /// What to be careful about.
    pub cautions: Vec<Caution>,
}

/// This person's part of every open load and of those closed lately.
pub fn my_loads(garden: &Garden, me: MemberId, today: Day) -> Vec<LoadLine> {
    let orders = garden.ledgers.values().flat_map(|ledger| &ledger.orders);
    orders
        .filter(|(_, order)| order.ended_on.is_none())
        .filter_map(|(id, order)| load_line(garden, *id, order, me, today))
        .collect()
}

fn load_line(
    garden: &Garden,
    id: OrderId,
    order: &Order,
    me: MemberId,
    today: Day,
) -> Option<LoadLine> {
    let profile = garden.profile.as_ref()?;
    // An order that cannot be shared out as it stands is shown under Shares with the reason.
    let standing = shared_out::standing(garden, order).ok()?;
    let cautions = standing.answer.cautions.clone();
    let payer = Payer::Member(me);
    let pays = standing.part(payer)?.pays;
    let state = match standing.closed_on {
        Some(on) if on.days_until(today) > JUST_CLOSED_DAYS => return None,
        Some(on) => format!("closed {}", day_words(on, today)),
        None => "still open".to_owned(),
    };
    let words = share_rows::part_words(&standing, payer)?;
    let small = [order.arrives.trim(), state.as_str()];
    Some(LoadLine {
        order: id,
        material: order.title.clone(),
        what: format!("Your part: {words}"),
        small: small
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>()
            .join(" · "),
        pays: pays.show(profile.currency),
        is_closed: order.closed.is_some(),
        cautions,
    })
}

/// This person's hours for a shared job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoursLine {
    /// Which job.
    pub job: JobId,
    /// What is to be done.
    pub title: String,
    /// What they did.
    pub done: Minutes,
    /// What is theirs to do.
    pub due: Minutes,
}

/// This person's hours for every shared job that they owe hours for or did hours for.
pub fn my_hours(garden: &Garden, me: MemberId) -> Vec<HoursLine> {
    let jobs = garden.seasons.values().flat_map(|season| &season.jobs);
    jobs.filter(|(_, job)| job.ended_on.is_none())
        .map(|(id, job)| HoursLine {
            job: *id,
            title: job.title.clone(),
            done: hours_done::of_member(garden, *id, me),
            due: due(garden, job, me),
        })
        .filter(|line| line.due.is_positive() || line.done.is_positive())
        .collect()
}

fn due(garden: &Garden, job: &Job, me: MemberId) -> Minutes {
    if let Some(closed) = &job.closed {
        return closed
            .due
            .get(&Payer::Member(me).to_string())
            .copied()
            .unwrap_or_default();
    }
    let shares = shared_out::job(garden, job).ok();
    shares
        .and_then(|answer| {
            let mut accounts = answer.result.accounts.into_iter();
            accounts.find(|share| share.account == Account::Member(me))
        })
        .map(|share| share.due)
        .unwrap_or_default()
}

/// Monday and Sunday of the week that a day lies in.
fn ends(today: Day) -> (Day, Day) {
    let first = today.week().first_day();
    (first, first.plus_days(6))
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::records::Task;
    use selion_core::quantities::{Moment, Units};

    use super::*;
    use crate::plain::order_form::OrderTyped;
    use crate::plain::sample::{
        by, claim, day, done, garden, hoe, lime, member, pick, task, turn, with_tasks, with_turns,
    };

    const TODAY: &str = "2026-06-11";

    fn mine(on: Option<&str>) -> Task {
        Task {
            day: on.map(day),
            claims: Map::from([(claim(1), by(member(1), 1))]),
            ..hoe()
        }
    }

    #[test]
    fn my_week_has_what_is_late_and_nothing_of_later_weeks() {
        let finished = |on| Task {
            claims: Map::from([(claim(1), done(by(member(1), 1), on, 20))]),
            ..hoe()
        };
        let garden = with_tasks([
            mine(None),
            mine(Some("2026-06-14")),
            mine(Some("2026-06-15")),
            mine(Some("2026-05-20")),
            finished("2026-06-08"),
            finished("2026-06-07"),
        ]);
        assert_eq!(
            my_tasks(&garden, member(1), day(TODAY)),
            [task(4), task(2), task(1), task(5)]
        );
        assert_eq!(my_later_tasks(&garden, member(1), day(TODAY)), 1);
    }

    #[test]
    fn what_needs_people_is_not_what_i_already_claimed() {
        let two_places = Task {
            places: 2,
            ..mine(None)
        };
        let garden = with_tasks([two_places, hoe()]);
        let needed = |me| tasks_that_need_people(&garden, Some(me), day(TODAY));
        assert_eq!(needed(member(1)), [task(2)]);
        assert_eq!(needed(member(2)), [task(1), task(2)]);
    }

    #[test]
    fn turns_of_the_week_and_the_late_ones_of_the_last() {
        let my = |on| selion_core::document::records::Turn {
            claims: Map::from([(claim(1), by(member(1), 1))]),
            ..pick(on)
        };
        let garden = with_turns([
            my("2026-06-03"),
            my("2026-06-12"),
            my("2026-06-16"),
            pick("2026-06-10"),
            pick("2026-06-13"),
        ]);
        let turns: Vec<_> = my_turns(&garden, member(1), day(TODAY))
            .iter()
            .map(|line| (line.turn, line.late))
            .collect();
        assert_eq!(turns, [(turn(1), true), (turn(2), false)]);
        let open: Vec<_> = turns_that_need_people(&garden, day(TODAY))
            .iter()
            .map(|line| line.turn)
            .collect();
        assert_eq!(open, [turn(5)]);
    }

    #[test]
    fn my_part_of_an_open_load_carries_its_caution() {
        let mut garden = garden();
        let typed = OrderTyped {
            arrives: "Tuesday, at the gate".into(),
            ..lime("75 lb/1000 sq ft", "50 lb", "7.00")
        };
        let dollars = selion_core::quantities::Currency::new("USD").unwrap();
        let lime = typed.read(Units::UsCustomary, dollars, None).unwrap();
        let id = OrderId::fresh(Moment::from_millis(1), [9; 10]);
        let orders = Map::from([(id, Arc::new(lime))]);
        garden.ledgers.insert(
            2026,
            Ledger {
                orders,
                ..Ledger::default()
            },
        );
        let loads = my_loads(&garden, member(1), day(TODAY));
        assert_eq!(loads.len(), 1);
        // Two beds of the same size share the one bag: half of 7.00 each.
        assert_eq!(loads[0].pays, "$3.50");
        assert_eq!(loads[0].small, "Tuesday, at the gate · still open");
        assert!(loads[0].cautions.contains(&Caution::LimeDust));
        assert!(
            my_loads(&garden, member(3), day(TODAY)).is_empty(),
            "no bed, no part"
        );
    }
}
