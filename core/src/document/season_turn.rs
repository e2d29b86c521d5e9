//! From one year to the next: what is still open, what people are asked about, and the edits that carry it over.
//!
//! Beds, people, own crops and recipients stay where they are, in the ground. Plantings stay in their year and are the history
//! that rotation goes by; what stands over the winter is shown in both years. Balances are carried over by their own edit.

use super::edit::{Claimable, Edit, TaskField};
use super::garden::Garden;
use super::ids::{ClaimId, EntryId, JobId, OrderId, PlantingId, TaskId, TurnId};
use super::name::DocumentName;
use super::records::{Place, PlantingState, Standing, Task};
use crate::quantities::Day;

/// What is open at the end of a year.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct YearEnd {
    /// Tasks that are neither done nor called off.
    pub tasks: Vec<TaskId>,
    /// Picking turns that were neither called off nor said to be picked.
    pub turns: Vec<TurnId>,
    /// Plantings that stand and were not cleared.
    pub standing: Vec<PlantingId>,
    /// Plantings that were never sown.
    pub never_sown: Vec<PlantingId>,
    /// Orders that were neither closed nor called off.
    pub orders: Vec<OrderId>,
    /// Jobs whose hours were not closed.
    pub jobs: Vec<JobId>,
    /// Lines of the ledger that nobody confirmed.
    pub unconfirmed: Vec<EntryId>,
    /// Whether the balances were carried into the next year.
    pub carried_over: bool,
    /// Whether the next year is open.
    pub next_is_open: bool,
}

impl YearEnd {
    /// Whether the year can be closed without leaving anything behind.
    pub fn is_clear(&self) -> bool {
        self.next_is_open
            && self.carried_over
            && self.tasks.is_empty()
            && self.turns.is_empty()
            && self.never_sown.is_empty()
            && self.orders.is_empty()
            && self.jobs.is_empty()
            && self.unconfirmed.is_empty()
    }
}

/// What is open in a year.
pub fn of_year(garden: &Garden, year: i16) -> YearEnd {
    let mut end = YearEnd::default();
    if let Some(season) = garden.seasons.get(&year) {
        let open = season.tasks.iter().filter(|(_, task)| is_unfinished(task));
        end.tasks = open.map(|(id, _)| *id).collect();
        let is_logged = |turn: &TurnId| {
            let mut pickings = season.pickings.values();
            pickings.any(|it| it.turn == Some(*turn) && it.ended_on.is_none())
        };
        let turns = season.turns.iter();
        let open =
            turns.filter(|(id, turn)| turn.ended_on.is_none() && !turn.is_done() && !is_logged(id));
        end.turns = open.map(|(id, _)| *id).collect();
        for (id, planting) in &season.plantings {
            match (planting.ended_on, planting.state) {
                (None, PlantingState::Standing) => end.standing.push(*id),
                (None, PlantingState::Planned) => end.never_sown.push(*id),
                (_, PlantingState::Cleared) | (Some(_), _) => {}
            }
        }
        let jobs = season.jobs.iter();
        let open = jobs.filter(|(_, job)| job.closed.is_none() && job.ended_on.is_none());
        end.jobs = open.map(|(id, _)| *id).collect();
    }
    if let Some(ledger) = garden.ledgers.get(&year) {
        let orders = ledger.orders.iter();
        let open = orders.filter(|(_, order)| order.closed.is_none() && order.ended_on.is_none());
        end.orders = open.map(|(id, _)| *id).collect();
        let waiting = ledger.entries.iter().filter(|(id, entry)| {
            entry.confirmed_by.is_none() && entry.reverses.is_none() && !ledger.is_taken_back(**id)
        });
        end.unconfirmed = waiting.map(|(id, _)| *id).collect();
    }
    let profile = garden.profile.as_ref();
    let years = profile
        .map(|profile| profile.open_years())
        .unwrap_or_default();
    end.next_is_open = years.contains(&(year + 1));
    let next = garden.ledgers.get(&(year + 1));
    end.carried_over = next.is_some_and(|ledger| ledger.opening.is_some());
    end
}

fn is_unfinished(task: &Task) -> bool {
    task.ended_on.is_none() && !task.is_done()
}

/// What people say about an unfinished task.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It is done next year, as this new task.
    Carried(TaskId),
    /// It was done by those who hold its places, in the time that was expected.
    Done,
    /// It is not done at all.
    CalledOff,
}

/// The edits that put an unfinished task where people say, each with its document; nothing for one that is not there.
///
/// The new task comes first: if the phone loses its way between the two, the work is there twice and not gone.
pub fn settle(
    garden: &Garden,
    year: i16,
    task: TaskId,
    fate: Fate,
    on: Day,
) -> Vec<(DocumentName, Edit)> {
    let season = garden.seasons.get(&year);
    let Some(record) = season.and_then(|season| season.tasks.get(&task)) else {
        return Vec::new();
    };
    let document = DocumentName::Season(year);
    let mut edits = Vec::new();
    if fate == Fate::Done {
        let holders = holders(record);
        for claim in &holders {
            let done = Edit::Done {
                of: Claimable::Task(task),
                claim: *claim,
                minutes: record.minutes,
                on,
                word: String::new(),
            };
            edits.push((document, done));
        }
        // Fewer people did it than there were places: the rest are needed no more.
        let places = record.taken();
        if let Some(set) = with_places(record, places).filter(|_| !holders.is_empty()) {
            edits.push((document, Edit::ChangeTask { task, set }));
        }
        return edits;
    }
    if let Fate::Carried(new) = fate {
        let open = record.bed.filter(|bed| garden.open_bed(*bed).is_some());
        let again = Edit::AddTask {
            task: new,
            title: record.title.clone(),
            bed: open,
            day: None,
            places: record.places,
            minutes: record.minutes,
            job: None,
            note: record.note.clone(),
        };
        edits.push((DocumentName::Season(year + 1), again));
    }
    edits.push((document, called_off(task, Some(on))));
    edits
}

/// The edits that take [`settle`] back, seen from the garden before it.
pub fn unsettle(
    before: &Garden,
    year: i16,
    task: TaskId,
    fate: Fate,
    on: Day,
) -> Vec<(DocumentName, Edit)> {
    let season = before.seasons.get(&year);
    let Some(record) = season.and_then(|season| season.tasks.get(&task)) else {
        return Vec::new();
    };
    let document = DocumentName::Season(year);
    match fate {
        Fate::CalledOff => vec![(document, called_off(task, None))],
        Fate::Carried(new) => vec![
            (document, called_off(task, None)),
            (DocumentName::Season(year + 1), called_off(new, Some(on))),
        ],
        Fate::Done => {
            let set = vec![TaskField::Places(record.places)];
            let of = Claimable::Task(task);
            let not_done = |claim| (document, Edit::NotDone { of, claim });
            let mut edits: Vec<_> = holders(record).into_iter().map(not_done).collect();
            edits.push((document, Edit::ChangeTask { task, set }));
            edits
        }
    }
}

fn called_off(task: TaskId, on: Option<Day>) -> Edit {
    let set = vec![TaskField::EndedOn(on)];
    Edit::ChangeTask { task, set }
}

/// The claims that have a place and are not done.
pub fn holders(task: &Task) -> Vec<ClaimId> {
    let claims = task.in_order().into_iter();
    claims
        .filter(|(.., standing)| *standing == Standing::Holds)
        .map(|(claim, ..)| claim)
        .collect()
}

fn with_places(task: &Task, places: usize) -> Option<Vec<TaskField>> {
    let places = u32::try_from(places).ok()?;
    (places > 0 && places < task.places).then(|| vec![TaskField::Places(places)])
}
