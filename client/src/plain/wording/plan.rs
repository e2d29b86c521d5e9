//! What an edit of the plan does, in a line.

use selion_core::document::records::PlantingState;
use selion_core::document::{Edit, Garden};
use selion_core::quantities::Day;

use super::counts::counted;
use super::days::{day_words, in_a_sentence};

/// What the edit does, such as `Sown: carrot in C4, today`.
#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`edits` lists every edit and sends only these here"
)]
pub(super) fn edit_words(garden: &Garden, edit: &Edit, today: Day) -> String {
    let of = |planting| {
        garden.planting(planting).map_or_else(
            || "a planting that is not here".to_owned(),
            |(_, found)| format!("{} in {}", found.crop, garden.label_of(Some(found.bed))),
        )
    };
    match edit {
        Edit::KeepCrop { record, .. } => format!("Own values: {}", record.name),
        Edit::KeepRecipient { record, .. } => format!("Is given of the harvest: {}", record.name),
        Edit::Plant { plantings, .. } => {
            let crop = plantings.values().next().map_or("", |new| &new.crop);
            let count = counted(plantings.len(), "planting", "plantings");
            format!("Plan {count}: {crop}")
        }
        Edit::ChangePlanting { planting, .. } => format!("Change the plan: {}", of(*planting)),
        Edit::MoveSeries { days, .. } => format!("Move a series by {days} days"),
        Edit::MarkPlanting {
            planting,
            state,
            on,
        } => {
            let verb = match state {
                PlantingState::Planned => "Only planned after all",
                PlantingState::Standing => "Sown or set",
                PlantingState::Cleared => "Cleared",
            };
            format!("{verb}: {}, {}", of(*planting), in_a_sentence(*on, today))
        }
        Edit::AcceptProposal { accepted, .. } => format!("New task: {}", accepted.title),
        Edit::SetProposalAside { accepted, .. } => {
            format!("Not wanted this time: {}", accepted.title)
        }
        Edit::ProposeAgain { task, .. } => {
            let found = garden.task(*task).map(|(_, task)| task.title.as_str());
            format!(
                "Propose again: {}",
                found.unwrap_or("a task that is not here")
            )
        }
        Edit::LogHarvest { harvest, .. } => format!(
            "Picked: {} from {}, {}",
            harvest.crop,
            garden.label_of(Some(harvest.bed)),
            day_words(harvest.day, today)
        ),
        Edit::NoteWeather { readings } => {
            format!(
                "Weather: {}",
                counted(readings.len(), "reading", "readings")
            )
        }
        Edit::StrikeWeather { .. } => "Strike out a reading of the weather".to_owned(),
        _other => "A change of the plan".to_owned(),
    }
}
