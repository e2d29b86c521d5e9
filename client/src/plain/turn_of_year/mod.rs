//! The turn of the year as a checklist: which year is turned, what of it is still open, and the edits behind each answer.

#[cfg(test)]
mod tests;

use selion_core::document::edit::{Edit, PlantingField};
use selion_core::document::ids::{JobId, OrderId, PlantingId, TaskId, TurnId};
use selion_core::document::records::{Place, PlantingState, Task};
use selion_core::document::season_turn::{self, Fate, YearEnd};
use selion_core::document::{DocumentName, Garden};
use selion_core::quantities::Day;

use super::wording::{capital, counted, day_words};
use super::year_rows::told::said;

/// An edit with the document that it belongs into.
pub type Written = (DocumentName, Edit);

/// The year whose end is looked at: the earliest that is open.
pub fn year_of(garden: &Garden) -> Option<i16> {
    let profile = garden.profile.as_ref()?;
    profile.open_years().into_iter().next()
}

/// The years that were closed, the latest first: each can be opened again.
pub fn closed_years(garden: &Garden) -> Vec<i16> {
    let open = garden
        .profile
        .as_ref()
        .map(|profile| profile.open_years())
        .unwrap_or_default();
    let years = garden.seasons.keys().rev();
    years.copied().filter(|year| !open.contains(year)).collect()
}

/// Where the year after stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// Nobody has opened it.
    NotOpen,
    /// It is opened on this phone, and begins once the garden's service has heard of it.
    OnItsWay,
    /// It can be written in.
    Here,
}

/// Where the year after stands on this phone.
pub fn next_of(garden: &Garden, year: i16) -> Next {
    let profile = garden.profile.as_ref();
    let is_open = profile.is_some_and(|profile| profile.open_years().contains(&(year + 1)));
    match (is_open, garden.seasons.contains_key(&(year + 1))) {
        (false, _) => Next::NotOpen,
        (true, false) => Next::OnItsWay,
        (true, true) => Next::Here,
    }
}

/// An unfinished task that people are asked about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenTask {
    /// Which.
    pub task: TaskId,
    /// The bed's label, or `all`.
    pub bed: String,
    /// What was to be done.
    pub title: String,
    /// For when it was, and who holds a place.
    pub small: String,
    /// Who would have done it; empty where nobody holds a place.
    pub holders: Vec<String>,
    /// How long each is taken to have needed, in words.
    pub minutes: String,
}

/// The unfinished tasks, by the day that they were for.
pub fn open_tasks(garden: &Garden, year: i16, today: Day) -> Vec<OpenTask> {
    let end = season_turn::of_year(garden, year);
    let tasks = end.tasks.into_iter();
    let mut tasks: Vec<(Option<Day>, OpenTask)> = tasks
        .filter_map(|id| {
            let (_, task) = garden.task(id)?;
            Some((task.day, open_task(garden, id, task, today)))
        })
        .collect();
    selion_core::ordered::sort_by_key(&mut tasks, |(day, task)| (day.is_none(), *day, task.task));
    tasks.into_iter().map(|(_, task)| task).collect()
}

fn open_task(garden: &Garden, id: TaskId, task: &Task, today: Day) -> OpenTask {
    let holders: Vec<String> = season_turn::holders(task)
        .into_iter()
        .filter_map(|claim| task.claims.get(&claim))
        .map(|claim| garden.name_of(claim.member).to_owned())
        .collect();
    let when = task.day.map_or_else(
        || "For any day".to_owned(),
        |day| capital(&day_words(day, today)),
    );
    let who = if holders.is_empty() {
        "nobody has it".to_owned()
    } else {
        format!("held by {}", holders.join(", "))
    };
    OpenTask {
        task: id,
        bed: garden.label_of(task.bed).to_owned(),
        title: task.title.clone(),
        small: format!("{when} · {who}"),
        holders,
        minutes: if task.minutes.is_positive() {
            task.minutes.show()
        } else {
            String::new()
        },
    }
}

/// What is written for an answer about a task, and what takes it back; the new id is for a task that is carried.
pub fn answer(
    garden: &Garden,
    year: i16,
    (task, fate): (TaskId, Fate),
    on: Day,
) -> (Vec<Written>, Vec<Written>) {
    (
        season_turn::settle(garden, year, task, fate, on),
        season_turn::unsettle(garden, year, task, fate, on),
    )
}

/// A planting in the list, with its bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlantingRow {
    /// Which.
    pub planting: PlantingId,
    /// Its bed's label.
    pub bed: String,
    /// What.
    pub crop: String,
    /// When it was to be sown, or was.
    pub small: String,
}

/// Plantings by their bed and day.
pub fn plantings(garden: &Garden, year: i16, of: &[PlantingId]) -> Vec<PlantingRow> {
    let season = garden.seasons.get(&year);
    let rows = of.iter().filter_map(|id| {
        let planting = season?.plantings.get(id)?;
        let verb = if planting.state == PlantingState::Planned {
            "planned for"
        } else {
            "since"
        };
        Some(PlantingRow {
            planting: *id,
            bed: garden.label_of(Some(planting.bed)).to_owned(),
            crop: capital(&planting.crop),
            small: capital(&format!("{verb} {}", said(planting.start, year))),
        })
    });
    rows.collect()
}

/// Takes a planting out of the plan, or puts it back.
pub fn out_of_plan(year: i16, planting: PlantingId, on: Option<Day>) -> Written {
    let set = vec![PlantingField::EndedOn(on)];
    let edit = Edit::ChangePlanting { planting, set };
    (DocumentName::Season(year), edit)
}

/// A picking turn in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TurnRow {
    /// Which.
    pub turn: TurnId,
    /// Its bed's label.
    pub bed: String,
    /// For when it was.
    pub what: String,
    /// Who has it.
    pub small: String,
}

/// Open picking turns, by day.
pub fn turns(garden: &Garden, year: i16, of: &[TurnId], today: Day) -> Vec<TurnRow> {
    let season = garden.seasons.get(&year);
    let mut rows: Vec<(Day, TurnRow)> = of
        .iter()
        .filter_map(|id| {
            let turn = season?.turns.get(id)?;
            let holder = turn.in_order().into_iter().next();
            let small = holder.map_or_else(
                || "Nobody took it".to_owned(),
                |(_, claim, _)| format!("Taken by {}", garden.name_of(claim.member)),
            );
            let row = TurnRow {
                turn: *id,
                bed: garden.label_of(Some(turn.bed)).to_owned(),
                what: capital(&day_words(turn.day, today)),
                small,
            };
            Some((turn.day, row))
        })
        .collect();
    selion_core::ordered::sort_by_key(&mut rows, |(day, row)| (*day, row.turn));
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Something of the money that is still open, with where it is dealt with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoneyRow {
    /// What.
    pub what: String,
    /// Why it is open.
    pub small: &'static str,
    /// Where to.
    pub href: String,
}

/// Open loads, shared jobs and entries.
pub fn money(garden: &Garden, year: i16, end: &YearEnd) -> Vec<MoneyRow> {
    let order = |id: &OrderId| {
        let (_, order) = garden.order(*id)?;
        Some(MoneyRow {
            what: order.title.clone(),
            small: "A load that is neither closed nor called off",
            href: format!("/order/{id}"),
        })
    };
    let job = |id: &JobId| {
        let job = garden.seasons.get(&year)?.jobs.get(id)?;
        Some(MoneyRow {
            what: job.title.clone(),
            small: "Shared work whose hours are not closed",
            href: format!("/job/{id}"),
        })
    };
    let mut rows: Vec<MoneyRow> = end.orders.iter().filter_map(order).collect();
    rows.extend(end.jobs.iter().filter_map(job));
    if !end.unconfirmed.is_empty() {
        let entries = counted(end.unconfirmed.len(), "entry", "entries");
        rows.push(MoneyRow {
            what: format!("{entries} of the ledger"),
            small: "Not confirmed yet, so not counted",
            href: "/settle".to_owned(),
        });
    }
    rows
}

/// What happens when the year is closed, and what of it is left open, in sentences.
pub fn closing_words(end: &YearEnd, year: i16) -> String {
    let mut words = format!(
        "Nothing more is written into {year}: no task, planting, picking, load or entry. It stays to be looked at under The year, and rotation goes by it. Beds, people and own crops stay as they are."
    );
    let mut open = Vec::new();
    let mut add = |count: usize, one: &str, several: &str| {
        if count > 0 {
            open.push(counted(count, one, several));
        }
    };
    add(end.tasks.len(), "unfinished task", "unfinished tasks");
    add(end.turns.len(), "open picking turn", "open picking turns");
    add(
        end.never_sown.len(),
        "planting never sown",
        "plantings never sown",
    );
    add(end.orders.len(), "open load", "open loads");
    add(end.jobs.len(), "open job", "open jobs");
    add(
        end.unconfirmed.len(),
        "entry not confirmed",
        "entries not confirmed",
    );
    if !open.is_empty() {
        words.push_str(" It would be closed with ");
        words.push_str(&open.join(", "));
        words.push('.');
    }
    if !end.carried_over {
        words.push_str(" Its balances are not carried over yet: better do that first.");
    }
    words.push_str(" A coordinator can open it again.");
    words
}
