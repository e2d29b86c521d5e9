//! What a person must be told when the garden changed under them: nobody is bumped in silence.

use std::sync::Arc;

use crate::document::edit::Claimable;
use crate::document::ids::{ClaimId, MemberId, OrderId};
use crate::document::records::{ClaimState, Payer, Place, Role, Standing, Task};
use crate::document::{Garden, Season};
use crate::json::tagged;
use crate::quantities::{Day, Money};

/// Something a person is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Notice {
    /// Somebody else's claim arrived first; this one stands by.
    StandsBy {
        /// Of what.
        of: Claimable,
        /// How many steps from a place.
        steps: usize,
    },
    /// A place came free, and the stand-by holds it now.
    GotPlace {
        /// Of what.
        of: Claimable,
    },
    /// Somebody handed a place over to this person, or put them down for a turn.
    PutDown {
        /// Of what.
        of: Claimable,
    },
    /// Somebody else gave this person's claim back or handed it on.
    TakenOff {
        /// Of what.
        of: Claimable,
        /// Which claim.
        claim: ClaimId,
    },
    /// A task or turn this person had claimed was called off.
    CalledOff {
        /// Of what.
        of: Claimable,
    },
    /// The day of a task this person had claimed was changed.
    Moved {
        /// Of what.
        of: Claimable,
        /// The day that it was for.
        from: Option<Day>,
    },
    /// The plan moved on around a task this person had claimed; the task stayed.
    PlanMoved {
        /// Of what.
        of: Claimable,
    },
    /// Tasks stayed as they were when this person changed the plan, since they were claimed.
    ClaimedStay {
        /// How many.
        tasks: usize,
    },
    /// An order was closed, and this is the person's part.
    OrderClosed {
        /// Which order.
        order: OrderId,
        /// What they pay.
        pays: Money,
    },
    /// Their role changed.
    RoleChanged {
        /// What it is now.
        role: Role,
    },
}

tagged!(Notice by "notice" {
    "stands_by" => StandsBy { of, steps },
    "got_place" => GotPlace { of },
    "put_down" => PutDown { of },
    "taken_off" => TakenOff { of, claim },
    "called_off" => CalledOff { of },
    "moved" => Moved { of, from },
    "plan_moved" => PlanMoved { of },
    "claimed_stay" => ClaimedStay { tasks },
    "order_closed" => OrderClosed { order, pays },
    "role_changed" => RoleChanged { role },
});

/// What a member must be told about the step from one picture to the next. Claims on these tasks are on their way.
pub fn notices(
    before: &Garden,
    after: &Garden,
    me: MemberId,
    under_way: &[Claimable],
) -> Vec<Notice> {
    // The first picture a phone gets is not news.
    if before.profile.is_none() {
        return Vec::new();
    }
    let mut told = Vec::new();
    if let (Some(was), Some(is)) = (before.members.get(&me), after.members.get(&me))
        && was.role != is.role
    {
        told.push(Notice::RoleChanged { role: is.role });
    }
    for (year, season) in &after.seasons {
        let Some(old) = before.seasons.get(year) else {
            continue;
        };
        about_season(old, season, me, under_way, &mut told);
    }
    about_vanished_places(before, after, me, &mut told);
    for (year, ledger) in &after.ledgers {
        let Some(old) = before.ledgers.get(year) else {
            continue;
        };
        for (id, order) in &ledger.orders {
            let was_open = old
                .orders
                .get(id)
                .is_some_and(|order| order.closed.is_none());
            let share = order
                .closed
                .as_ref()
                .and_then(|closed| closed.shares.accounts.get(&Payer::Member(me)));
            if let (true, Some(share)) = (was_open, share) {
                told.push(Notice::OrderClosed {
                    order: *id,
                    pays: share.pays,
                });
            }
        }
    }
    told
}

/// What changed of the places of a season.
fn about_season(
    old: &Season,
    season: &Season,
    me: MemberId,
    under_way: &[Claimable],
    told: &mut Vec<Notice>,
) {
    for (id, task) in &season.tasks {
        let was = old.tasks.get(id);
        if was != Some(task) {
            let called_off =
                task.ended_on.is_some() && was.is_some_and(|was| was.ended_on.is_none());
            about_place(
                Claimable::Task(*id),
                was.map(|was| -> &dyn Place { was.as_ref() }),
                task.as_ref(),
                called_off,
                me,
                told,
            );
            about_day(Claimable::Task(*id), was, task, me, under_way, told);
        }
    }
    for (id, turn) in &season.turns {
        let was = old.turns.get(id);
        if was != Some(turn) {
            let called_off =
                turn.ended_on.is_some() && was.is_some_and(|was| was.ended_on.is_none());
            about_place(
                Claimable::Turn(*id),
                was.map(|was| -> &dyn Place { was.as_ref() }),
                turn.as_ref(),
                called_off,
                me,
                told,
            );
        }
    }
}

/// Nothing is ever deleted; but a backup that was put back may not know a task or turn yet.
fn about_vanished_places(before: &Garden, after: &Garden, me: MemberId, told: &mut Vec<Notice>) {
    for (year, old) in &before.seasons {
        let season = after.seasons.get(year);
        let tasks = old
            .tasks
            .iter()
            .filter(|(id, _)| season.is_none_or(|season| !season.tasks.contains_key(id)))
            .filter_map(|(id, task)| Some((Claimable::Task(*id), task.claim_of(me)?.0)));
        let turns = old
            .turns
            .iter()
            .filter(|(id, _)| season.is_none_or(|season| !season.turns.contains_key(id)))
            .filter_map(|(id, turn)| Some((Claimable::Turn(*id), turn.claim_of(me)?.0)));
        told.extend(
            tasks
                .chain(turns)
                .map(|(of, claim)| Notice::TakenOff { of, claim }),
        );
    }
}

/// Whether a task was moved under somebody, or the plan around it.
fn about_day(
    of: Claimable,
    was: Option<&Arc<Task>>,
    is: &Task,
    me: MemberId,
    under_way: &[Claimable],
    told: &mut Vec<Notice>,
) {
    let comes = |(_, _, standing)| standing != Standing::Done;
    let is_mine = is.claim_of(me).is_some_and(comes) || under_way.contains(&of);
    let Some(was) = was.filter(|_| is_mine && is.ended_on.is_none()) else {
        return;
    };
    if was.day != is.day {
        told.push(Notice::Moved { of, from: was.day });
    } else if is.plan_now.is_some() && was.plan_now != is.plan_now {
        told.push(Notice::PlanMoved { of });
    }
}

fn about_place(
    of: Claimable,
    was: Option<&dyn Place>,
    is: &dyn Place,
    called_off: bool,
    me: MemberId,
    told: &mut Vec<Notice>,
) {
    let before = was
        .and_then(|was| was.claim_of(me))
        .map(|(claim, record, standing)| (claim, record.order, standing));
    let after = is.claim_of(me);
    match (before, after) {
        (Some(_), Some(_)) if called_off => told.push(Notice::CalledOff { of }),
        (Some((_, _, Standing::StandsBy(_))), Some((_, _, Standing::Holds))) => {
            told.push(Notice::GotPlace { of });
        }
        // Never while the service runs on; but a backup that was put back may have known less than was decided since.
        (
            Some((_, _, Standing::Holds | Standing::Done)),
            Some((_, _, Standing::StandsBy(steps))),
        ) => told.push(Notice::StandsBy { of, steps }),
        (Some((claim, ..)), None) => told.push(Notice::TakenOff { of, claim }),
        (None, Some((claim, record, standing))) => {
            // A claim that took over the order of one given back was handed over; one with a new turn was put down.
            let handed = is.claims().iter().any(|(id, other)| {
                *id != claim && other.order == record.order && other.state == ClaimState::GivenBack
            });
            if handed || was.is_none() {
                told.push(Notice::PutDown { of });
            }
            if let Standing::StandsBy(steps) = standing {
                told.push(Notice::StandsBy { of, steps });
            }
        }
        _ => {}
    }
}
