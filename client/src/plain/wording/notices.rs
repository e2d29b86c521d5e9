//! What a person is told, in a sentence, and where to look at it.

use selion_core::document::Garden;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::OrderId;
use selion_core::document::records::Task;
use selion_core::quantities::Day;
use selion_core::sync::Notice;

use super::counts::{counted, stand_by};
use super::days::day_words;
use super::edits::{money_words, order_title, place_words, plan_words};

/// A notice ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// The sentence.
    pub words: String,
    /// Where to look at it, if anywhere.
    pub href: Option<String>,
    /// Whether the person lost something by it.
    pub is_loss: bool,
}

/// What the notice says.
pub fn notice_words(garden: &Garden, notice: &Notice, today: Day) -> Told {
    let of = |of: &Claimable| place_words(garden, *of, today);
    match notice {
        Notice::StandsBy { of: what, steps } => loss(
            format!(
                "Another claim arrived first, so you are {}: {}.",
                stand_by(*steps),
                of(what)
            ),
            what,
        ),
        Notice::GotPlace { of: what } => gain(
            format!("A place came free, and you hold it now: {}.", of(what)),
            what,
        ),
        Notice::PutDown { of: what } => {
            gain(format!("You are down for it now: {}.", of(what)), what)
        }
        Notice::TakenOff { of: what, .. } => loss(
            format!(
                "Somebody gave your claim back or handed it on: {}.",
                of(what)
            ),
            what,
        ),
        Notice::CalledOff { of: what } => loss(format!("Called off: {}.", of(what)), what),
        Notice::Moved { of: what, from } => loss(
            {
                let day = |day: Option<Day>| {
                    day.map_or("any day".to_owned(), |day| day_words(day, today))
                };
                let now = task_of(garden, *what).and_then(|task| task.day);
                format!("Moved from {} to {}: {}.", day(*from), day(now), of(what))
            },
            what,
        ),
        Notice::PlanMoved { of: what } => loss(
            {
                let now = task_of(garden, *what).and_then(|task| plan_words(garden, task, today));
                let now = now.unwrap_or_else(|| "it was moved back since".to_owned());
                format!(
                    "The plan moved around what you claimed, {}: {now}.",
                    of(what)
                )
            },
            what,
        ),
        Notice::ClaimedStay { tasks } => Told {
            words: stay_words(*tasks),
            href: Some("/work".to_owned()),
            is_loss: false,
        },
        Notice::OrderClosed { order, pays } => Told {
            words: format!(
                "The order of {} is closed. Your part is {}.",
                order_title(garden, *order),
                money_words(garden, *pays)
            ),
            href: Some(order_href(*order)),
            is_loss: false,
        },
        Notice::RoleChanged { role } => Told {
            words: format!("You are a {} in this garden now.", role.word()),
            href: Some("/garden".to_owned()),
            is_loss: false,
        },
    }
}

fn task_of(garden: &Garden, of: Claimable) -> Option<&Task> {
    match of {
        Claimable::Task(task) => garden.task(task).map(|(_, task)| &**task),
        Claimable::Turn(_) => None,
    }
}

/// What is said of tasks that a change of the plan left on their days.
pub fn stay_words(tasks: usize) -> String {
    let (stayed, people) = if tasks == 1 {
        ("stayed as it was", "whoever claimed it is told")
    } else {
        ("stayed as they were", "those who claimed them are told")
    };
    let tasks = counted(tasks, "claimed task", "claimed tasks");
    format!("You moved the plan; {tasks} {stayed}, and {people}.")
}

/// The address of a task or picking turn.
pub fn place_href(of: Claimable) -> String {
    match of {
        Claimable::Task(task) => format!("/task/{task}"),
        Claimable::Turn(turn) => format!("/picking?turn={turn}"),
    }
}

fn order_href(order: OrderId) -> String {
    format!("/order/{order}")
}

fn gain(words: String, of: &Claimable) -> Told {
    Told {
        words,
        href: Some(place_href(*of)),
        is_loss: false,
    }
}

fn loss(words: String, of: &Claimable) -> Told {
    Told {
        is_loss: true,
        ..gain(words, of)
    }
}
