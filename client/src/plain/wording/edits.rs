//! What an edit does, in a line: for the list of what was set aside.

use selion_core::document::edit::{Claimable, NoteOf, TaskField};
use selion_core::document::ids::{BedId, JobId, OrderId, TaskId};
use selion_core::document::records::{EntryKind, Task};
use selion_core::document::{Edit, Garden};
use selion_core::quantities::{Day, Mass, Money, Units};

use super::counts::counted;
use super::days::{day_words, in_a_sentence};
use super::{plan, soil};

/// The most letters of a note that are repeated.
const NOTE_LETTERS: usize = 60;

/// What the edit does, such as `Claim: Hoe between the bean rows (C4)`.
#[expect(clippy::too_many_lines, reason = "one arm an edit")]
pub fn edit_words(garden: &Garden, edit: &Edit, today: Day) -> String {
    let of = |of: &Claimable| place_words(garden, *of, today);
    let job = |job: &JobId| job_title(garden, *job);
    let bed_label = |bed: &BedId| garden.label_of(Some(*bed));
    match edit {
        Edit::ChangeProfile { .. } => "Change the garden's profile".to_owned(),
        Edit::OpenYear { year } => format!("Open the year {year}"),
        Edit::CloseYear { year } => format!("Close the year {year}"),
        Edit::AddMember { name, role, .. } => format!("New on the list: {name}, {}", role.word()),
        Edit::ChangeMember { member, .. } => {
            format!("Change the entry of {}", garden.name_of(*member))
        }
        Edit::AddBed { label, .. } => format!("New bed: {label}"),
        Edit::ChangeBed { bed, .. } => format!("Change bed {}", bed_label(bed)),
        Edit::SplitBed { bed, .. } => format!("Cut bed {}", bed_label(bed)),
        Edit::MergeBeds { bed, with, .. } => {
            format!("Join beds {} and {}", bed_label(bed), bed_label(with))
        }
        Edit::AddStructure { label, .. } | Edit::DrawStructure { label, .. } => {
            format!("New on the ground: {label}")
        }
        Edit::ChangeStructure { structure, .. } => {
            let label = garden.structures.get(structure).map(|found| &found.label);
            format!("Change: {}", label.map_or("something", |label| label))
        }
        Edit::EndStructure { structure, .. } => {
            let label = garden.structures.get(structure).map(|found| &found.label);
            format!(
                "Take off the ground: {}",
                label.map_or("something", |label| label)
            )
        }
        Edit::AddFenceLine { label, .. } => format!("New fence line: {label}"),
        Edit::ChangeFenceLine { fence, .. } => {
            let label = garden.fence_lines.get(fence).map(|found| &found.label);
            format!("Change: {}", label.map_or("a fence line", |label| label))
        }
        Edit::EndFenceLine { fence, .. } => {
            let label = garden.fence_lines.get(fence).map(|found| &found.label);
            format!(
                "Take down a fence line: {}",
                label.map_or("one that is not here", |label| label)
            )
        }
        Edit::WriteNote { of, text, .. } => {
            let of = match of {
                NoteOf::Bed(bed) => format!("bed {}", bed_label(bed)),
                NoteOf::Task(task) => task_words(garden, *task),
            };
            format!("Note on {of}: “{}”", shortened(text))
        }
        Edit::AddTask { title, bed, .. } => format!("New task: {}", with_bed(garden, title, *bed)),
        Edit::ChangeTask { task, set } => {
            let verb = if set.iter().any(is_the_end) {
                "Call off"
            } else {
                "Change"
            };
            format!("{verb}: {}", task_words(garden, *task))
        }
        Edit::Claim { of: what, .. } => format!("Claim: {}", of(what)),
        Edit::GiveBack { of: what, .. } => format!("Give back: {}", of(what)),
        Edit::HandOver { of: what, to, .. } => {
            format!("Hand over to {}: {}", garden.name_of(*to), of(what))
        }
        Edit::Done {
            of: what, minutes, ..
        } => {
            let time = minutes
                .is_positive()
                .then(|| format!(" in {}", minutes.show()));
            format!("Done{}: {}", time.unwrap_or_default(), of(what))
        }
        Edit::NotDone { of: what, .. } => format!("Not done after all: {}", of(what)),
        Edit::AddTurns { turns } => {
            let bed = turns.first().map_or("?", |turn| bed_label(&turn.bed));
            format!(
                "New for {bed}: {}",
                counted(turns.len(), "picking turn", "picking turns")
            )
        }
        Edit::EndTurn { turn, .. } => format!("Call off: {}", of(&Claimable::Turn(*turn))),
        Edit::LogPicking {
            bed,
            crop,
            mass,
            day,
            ..
        } => format!(
            "Picked: {} of {crop} from {}, {}",
            mass_words(garden, *mass),
            bed_label(bed),
            day_words(*day, today)
        ),
        Edit::StrikePicking { picking, .. } => {
            let found = garden
                .seasons
                .values()
                .find_map(|season| season.pickings.get(picking));
            let of =
                found.map(|found| format!(" of {} from {}", found.crop, bed_label(&found.bed)));
            format!("Strike out the picking{}", of.unwrap_or_default())
        }
        Edit::AddJob { title, .. } => format!("New shared job: {title}"),
        Edit::ChangeJob { job: which, .. } => format!("Change the job: {}", job(which)),
        Edit::CloseJob { job: which, .. } => format!("Close the hours: {}", job(which)),
        Edit::LogHours {
            job: which,
            minutes,
            ..
        } => {
            format!("Hours: {} for {}", minutes.show(), job(which))
        }
        Edit::StrikeHours { .. } => "Strike out a line of hours".to_owned(),
        Edit::AddOrder { new, .. } => format!("New order: {}", new.title),
        Edit::ChangeOrder { order, .. } => {
            format!("Change the order: {}", order_title(garden, *order))
        }
        Edit::CloseOrder { order, .. } => {
            format!("Close the order: {}", order_title(garden, *order))
        }
        Edit::AskFor {
            order,
            line,
            amount,
            ..
        } => {
            let line = garden
                .order(*order)
                .and_then(|(_, order)| order.lines.get(line));
            let words = line.map_or_else(
                || order_title(garden, *order).to_owned(),
                |line| {
                    let amount = line.counted_in.show(*amount, units(garden));
                    format!("{amount} of {}", line.material)
                },
            );
            format!("Ask for: {words}")
        }
        Edit::EnterInvoice { order, .. } => {
            format!("Enter the bill: {}", order_title(garden, *order))
        }
        Edit::HandOut { order, taken, .. } => {
            let verb = if *taken { "Tick off" } else { "Not taken home" };
            format!("{verb}: {}", order_title(garden, *order))
        }
        Edit::AddEntry { kind, amount, .. } => {
            let kind = match kind {
                EntryKind::Payment => "Payment",
                EntryKind::Outlay => "Laid out",
                EntryKind::HoursInLieu => "Hours in lieu",
                EntryKind::Adjustment => "Put right",
            };
            format!("{kind}: {}", money_words(garden, *amount))
        }
        Edit::ConfirmEntry { .. } => "Confirm a line of the ledger".to_owned(),
        Edit::CarryOver { .. } => "Carry the balances over".to_owned(),
        Edit::ReverseEntry { .. } => "Take back a line of the ledger".to_owned(),
        Edit::AskCoordinator { text, .. } => {
            format!("Ask the coordinator: “{}”", shortened(text))
        }
        Edit::AnswerRequest { .. } => "Answer a request".to_owned(),
        Edit::KeepCrop { .. }
        | Edit::KeepRecipient { .. }
        | Edit::Plant { .. }
        | Edit::ChangePlanting { .. }
        | Edit::MoveSeries { .. }
        | Edit::MarkPlanting { .. }
        | Edit::AcceptProposal { .. }
        | Edit::SetProposalAside { .. }
        | Edit::ProposeAgain { .. }
        | Edit::LogHarvest { .. }
        | Edit::NoteWeather { .. }
        | Edit::StrikeWeather { .. } => plan::edit_words(garden, edit, today),
        Edit::AddSoilTest { .. }
        | Edit::StrikeSoilTest { .. }
        | Edit::SetBedCrops { .. }
        | Edit::LogAmendment { .. }
        | Edit::DigIn { .. }
        | Edit::StrikeAmendment { .. } => soil::edit_words(garden, edit, today),
    }
}

/// What has places, in a few words: `Hoe between the bean rows (C4)`, `picking A2 on Thu 12 June`.
pub fn place_words(garden: &Garden, of: Claimable, today: Day) -> String {
    match of {
        Claimable::Task(task) => task_words(garden, task),
        Claimable::Turn(turn) => garden.turn(turn).map_or_else(
            || "a picking turn that is not here".to_owned(),
            |(_, turn)| {
                let bed = garden.label_of(Some(turn.bed));
                format!("picking {bed} {}", in_a_sentence(turn.day, today))
            },
        ),
    }
}

/// Where the plan has a task now that stayed elsewhere since it was claimed: `the plan has it on Sat 13 June`.
pub fn plan_words(garden: &Garden, task: &Task, today: Day) -> Option<String> {
    let plan = task.plan_now?;
    if plan.off.is_some() {
        return Some("the plan does not ask for it any more".to_owned());
    }
    let day = plan.day.filter(|_| plan.day != task.day);
    let day = day.map(|day| in_a_sentence(day, today));
    let bed = plan.bed.filter(|_| plan.bed != task.bed);
    let bed = bed.map(|bed| format!("in {}", garden.label_of(Some(bed))));
    let where_and_when: Vec<String> = bed.into_iter().chain(day).collect();
    Some(format!("the plan has it {} now", where_and_when.join(" ")))
}

/// A weight in the garden's units.
pub(super) fn mass_words(garden: &Garden, mass: Mass) -> String {
    mass.show(units(garden))
}

fn units(garden: &Garden) -> Units {
    garden
        .profile
        .as_ref()
        .map_or(Units::Metric, |profile| profile.units)
}

/// An amount of money in the garden's currency.
pub(super) fn money_words(garden: &Garden, amount: Money) -> String {
    garden.profile.as_ref().map_or_else(
        || "an amount".to_owned(),
        |profile| amount.show(profile.currency),
    )
}

/// What an order is of.
pub(super) fn order_title(garden: &Garden, order: OrderId) -> &str {
    garden
        .order(order)
        .map_or("something", |(_, order)| order.title.as_str())
}

fn task_words(garden: &Garden, task: TaskId) -> String {
    garden.task(task).map_or_else(
        || "a task that is not here".to_owned(),
        |(_, task)| with_bed(garden, &task.title, task.bed),
    )
}

fn with_bed(garden: &Garden, title: &str, bed: Option<BedId>) -> String {
    bed.map_or_else(
        || title.to_owned(),
        |bed| format!("{title} ({})", garden.label_of(Some(bed))),
    )
}

fn job_title(garden: &Garden, job: JobId) -> &str {
    garden
        .job(job)
        .map_or("a job that is not here", |(_, job)| job.title.as_str())
}

fn is_the_end(field: &TaskField) -> bool {
    matches!(field, TaskField::EndedOn(Some(_)))
}

fn shortened(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() <= NOTE_LETTERS {
        return text.to_owned();
    }
    let start: String = text.chars().take(NOTE_LETTERS).collect();
    format!("{}…", start.trim_end())
}
