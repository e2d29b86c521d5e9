//! The lists of the screen of shares: open and closed loads, shared jobs, each with one's own part.

use selion_core::document::ids::{JobId, MemberId, OrderId};
use selion_core::document::records::{Job, Payer};
use selion_core::document::{Garden, hours_done, shared_out};
use selion_core::ordered;
use selion_core::quantities::{Currency, Day, Minutes};
use selion_core::shares::Account;

use super::share_rows;
use super::wording::{capital, day_words};

/// One load as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadRow {
    /// Which order.
    pub order: OrderId,
    /// What the load is.
    pub material: String,
    /// One's own part, and when it comes or was closed.
    pub small: String,
    /// What one pays; the whole bill where one has no part.
    pub pays: String,
    /// What that amount is.
    pub of: String,
    /// Whether one has a part in it.
    pub mine: bool,
    /// Open, closed or called off.
    pub state: LoadState,
}

/// How a load stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadState {
    /// It can still be changed.
    Open,
    /// Its shares are frozen.
    Closed,
    /// It was called off.
    CalledOff,
}

/// All loads, the latest first.
pub fn loads(
    garden: &Garden,
    me: Option<MemberId>,
    today: Day,
    currency: Currency,
) -> Vec<LoadRow> {
    let orders = garden.ledgers.values().flat_map(|ledger| &ledger.orders);
    let mut rows: Vec<LoadRow> = orders
        .map(|(id, order)| {
            let state = match (&order.closed, order.ended_on) {
                (Some(_), _) => LoadState::Closed,
                (None, Some(_)) => LoadState::CalledOff,
                (None, None) => LoadState::Open,
            };
            let standing = shared_out::standing(garden, order).ok();
            let own = standing.as_ref().zip(me).and_then(|(standing, me)| {
                let payer = Payer::Member(me);
                let share = standing.part(payer)?;
                Some((share_rows::part_words(standing, payer)?, share.pays))
            });
            let (pays, of) = match (&own, &standing) {
                (Some((_, pays)), _) => (pays.show(currency), "your part".to_owned()),
                (None, Some(standing)) => {
                    (standing.shares().total.show(currency), "in all".to_owned())
                }
                (None, None) => (String::new(), String::new()),
            };
            let own_words = own.as_ref().map(|(words, _)| format!("Your part {words}"));
            let when = match (&order.closed, order.ended_on) {
                (Some(closed), _) => Some(format!("closed {}", day_words(closed.on, today))),
                (None, Some(on)) => Some(format!("called off {}", day_words(on, today))),
                (None, None) => Some(order.arrives.clone()).filter(|words| !words.is_empty()),
            };
            let small: Vec<String> = own_words.into_iter().chain(when).collect();
            LoadRow {
                order: *id,
                material: order.title.clone(),
                small: capital(&small.join(" · ")),
                pays,
                of,
                mine: own.is_some(),
                state,
            }
        })
        .collect();
    ordered::sort_by_key(&mut rows, |row| std::cmp::Reverse(row.order));
    rows
}

/// The load that was opened last and not called off.
pub fn latest_load(garden: &Garden) -> Option<OrderId> {
    let orders = garden.ledgers.values().flat_map(|ledger| &ledger.orders);
    orders
        .filter(|(_, order)| order.ended_on.is_none())
        .map(|(id, _)| *id)
        .max()
}

/// One shared job as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobRow {
    /// Which.
    pub job: JobId,
    /// What is to be done.
    pub title: String,
    /// How the whole stands.
    pub small: String,
    /// What whoever looks did.
    pub done: String,
    /// Of how much; empty when nothing is due of them.
    pub due: String,
    /// Whether something is due of whoever looks, or they did something.
    pub mine: bool,
    /// Called off, or closed with all hours done.
    pub over: bool,
}

/// All shared jobs, those over last, each group the latest first.
pub fn jobs(garden: &Garden, me: Option<MemberId>, today: Day) -> Vec<JobRow> {
    let jobs = garden.seasons.values().flat_map(|season| &season.jobs);
    let mut rows: Vec<JobRow> = jobs
        .map(|(id, job)| job_row(garden, *id, job, me, today))
        .collect();
    ordered::sort_by_key(&mut rows, |row| (row.over, std::cmp::Reverse(row.job)));
    rows
}

fn job_row(garden: &Garden, id: JobId, job: &Job, me: Option<MemberId>, today: Day) -> JobRow {
    let standing = hours_done::standing(garden, id, job).map(|standing| standing.result);
    let (due, done, own) = match &standing {
        Ok(shares) => {
            let own = me.and_then(|me| {
                shares
                    .accounts
                    .iter()
                    .find(|share| share.account == Account::Member(me))
            });
            (shares.due, shares.done, own.map(|own| (own.due, own.done)))
        }
        Err(_no_beds) => (job.total, Minutes::ZERO, None),
    };
    let (own_due, own_done) = own.unwrap_or_default();
    let whole = format!("{} of {} done in all", done.show(), due.show());
    let state = match (&job.closed, job.ended_on) {
        (_, Some(on)) => format!("called off {}", day_words(on, today)),
        (Some(_), None) => "hours due are closed".to_owned(),
        (None, None) => String::new(),
    };
    let small: Vec<String> = [whole, state]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect();
    let hours = |minutes: Minutes| minutes.show_apart().to_string();
    JobRow {
        job: id,
        title: job.title.clone(),
        small: small.join(" · "),
        done: hours(own_done),
        due: if own_due.is_positive() {
            format!("of {} due", hours(own_due))
        } else {
            String::new()
        },
        mine: own.is_some(),
        over: job.ended_on.is_some() || (job.closed.is_some() && done >= due),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::records::Order;
    use selion_core::quantities::{Moment, Units};

    use super::*;
    use crate::plain::hours_rows::JobTyped;
    use crate::plain::order_form::OrderTyped;
    use crate::plain::sample::{day, garden, lime, member};

    fn shown() -> (Units, Currency) {
        (Units::UsCustomary, Currency::new("USD").unwrap())
    }

    fn with_orders() -> Garden {
        let typed = OrderTyped {
            arrives: "Tuesday, at the gate".into(),
            ..lime("75", "3 lb", "2.01")
        };
        let (units, currency) = shown();
        let open = typed.read(units, currency, None).unwrap();
        let mut garden = garden();
        let shares = shared_out::order(&garden, &open).unwrap().result;
        let closed = Order {
            closed: Some(shared_out::freeze(
                &garden,
                &open,
                day("2026-06-10"),
                &shares,
            )),
            ..open.clone()
        };
        let called_off = Order {
            ended_on: Some(day("2026-06-01")),
            ..open.clone()
        };
        let mut ledger = Ledger::default();
        for (number, order) in (1..).zip([called_off, closed, open]) {
            let id = OrderId::fresh(Moment::from_millis(number), [0; 10]);
            ledger.orders.insert(id, Arc::new(order));
        }
        garden.ledgers.insert(2026, ledger);
        garden
    }

    #[test]
    fn loads_tell_ones_own_part_latest_first() {
        let rows = loads(
            &with_orders(),
            Some(member(1)),
            day("2026-06-11"),
            shown().1,
        );
        let lines: Vec<String> = rows
            .iter()
            .map(|row| format!("{:?}: {} | {} {}", row.state, row.small, row.pays, row.of))
            .collect();
        let expected = [
            "Open: Your part 2.4 lb · Tuesday, at the gate | $2.01 your part",
            "Closed: Your part 2.4 lb · closed yesterday | $2.01 your part",
            "CalledOff: Your part 2.4 lb · called off Mon 1 June | $2.01 your part",
        ];
        assert_eq!(lines, expected);
        let first = rows.first().map(|row| row.order);
        assert_eq!(latest_load(&with_orders()), first);
    }

    #[test]
    fn who_has_no_bed_sees_the_whole_bill() {
        let rows = loads(
            &with_orders(),
            Some(member(9)),
            day("2026-06-11"),
            shown().1,
        );
        let first = rows.first().unwrap();
        assert_eq!(
            (first.pays.as_str(), first.of.as_str()),
            ("$4.02", "in all")
        );
        assert!(!first.mine);
    }

    #[test]
    fn jobs_tell_hours_done_against_hours_due() {
        let mut garden = garden();
        let typed = JobTyped {
            title: "Deer fence".into(),
            total: "6".into(),
            ..JobTyped::default()
        };
        let id = JobId::fresh(Moment::from_millis(1), [0; 10]);
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.jobs.insert(id, Arc::new(typed.read().unwrap()));
        let rows = jobs(&garden, Some(member(1)), day("2026-06-11"));
        let row = rows.first().unwrap();
        assert_eq!(row.small, "0 min of 6 h done in all");
        assert_eq!(
            (row.done.as_str(), row.due.as_str()),
            ("0.00 h", "of 3.00 h due")
        );
        assert!(row.mine && !row.over);
    }
}
