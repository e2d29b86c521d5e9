//! Which records an edit is about, so that a line on the screen can say that something of it still waits.

use selion_core::document::Edit;
use selion_core::document::edit::{Claimable, NoteOf};

/// The ids, as text, of the records that the edit is about.
#[expect(clippy::too_many_lines, reason = "one arm an edit")]
pub fn subjects(edit: &Edit) -> Vec<String> {
    match edit {
        Edit::ChangeProfile { .. } | Edit::OpenYear { .. } | Edit::CloseYear { .. } => {
            vec!["garden".to_owned()]
        }
        Edit::KeepCrop { crop, .. } => vec![crop.to_string()],
        Edit::KeepRecipient { recipient, .. } => vec![recipient.to_string()],
        Edit::Plant { plantings, .. } => plantings.keys().map(ToString::to_string).collect(),
        Edit::ChangePlanting { planting, .. } | Edit::MarkPlanting { planting, .. } => {
            vec![planting.to_string()]
        }
        Edit::MoveSeries { series, .. } => vec![series.to_string()],
        Edit::ProposeAgain { task, .. } => vec![task.to_string()],
        Edit::AcceptProposal { task, accepted } | Edit::SetProposalAside { task, accepted, .. } => {
            vec![task.to_string(), accepted.key.clone()]
        }
        Edit::LogHarvest { picking, .. } => vec![picking.to_string()],
        Edit::NoteWeather { readings } => readings.keys().map(ToString::to_string).collect(),
        Edit::StrikeWeather { reading, .. } => vec![reading.to_string()],
        Edit::AddMember { member, .. } | Edit::ChangeMember { member, .. } => {
            vec![member.to_string()]
        }
        Edit::AddBed { bed, .. }
        | Edit::ChangeBed { bed, .. }
        | Edit::WriteNote {
            of: NoteOf::Bed(bed),
            ..
        } => {
            vec![bed.to_string()]
        }
        Edit::SplitBed { bed, pieces, .. } => std::iter::once(bed)
            .chain(pieces.keys())
            .map(ToString::to_string)
            .collect(),
        Edit::MergeBeds { bed, with, .. } => vec![bed.to_string(), with.to_string()],
        Edit::AddStructure { structure, .. }
        | Edit::DrawStructure { structure, .. }
        | Edit::ChangeStructure { structure, .. }
        | Edit::EndStructure { structure, .. } => {
            vec![structure.to_string()]
        }
        Edit::AddFenceLine { fence, .. }
        | Edit::ChangeFenceLine { fence, .. }
        | Edit::EndFenceLine { fence, .. } => {
            vec![fence.to_string()]
        }
        Edit::AddTask { task, .. }
        | Edit::ChangeTask { task, .. }
        | Edit::WriteNote {
            of: NoteOf::Task(task),
            ..
        } => {
            vec![task.to_string()]
        }
        Edit::Claim { of, .. }
        | Edit::GiveBack { of, .. }
        | Edit::HandOver { of, .. }
        | Edit::Done { of, .. }
        | Edit::NotDone { of, .. } => vec![match of {
            Claimable::Task(task) => task.to_string(),
            Claimable::Turn(turn) => turn.to_string(),
        }],
        Edit::AddTurns { turns } => turns.iter().map(|new| new.turn.to_string()).collect(),
        Edit::EndTurn { turn, .. } => vec![turn.to_string()],
        Edit::LogPicking { picking, .. } | Edit::StrikePicking { picking, .. } => {
            vec![picking.to_string()]
        }
        Edit::AddJob { job, .. } | Edit::ChangeJob { job, .. } | Edit::CloseJob { job, .. } => {
            vec![job.to_string()]
        }
        Edit::LogHours { hours, job, .. } => vec![hours.to_string(), job.to_string()],
        Edit::StrikeHours { hours, .. } => vec![hours.to_string()],
        Edit::AddOrder { order, .. }
        | Edit::ChangeOrder { order, .. }
        | Edit::CloseOrder { order, .. }
        | Edit::AskFor { order, .. }
        | Edit::EnterInvoice { order, .. }
        | Edit::HandOut { order, .. } => {
            vec![order.to_string()]
        }
        Edit::AddSoilTest { test, sheet } => {
            let beds = sheet.beds.keys().map(ToString::to_string);
            std::iter::once(test.to_string()).chain(beds).collect()
        }
        Edit::StrikeSoilTest { test, .. } => vec![test.to_string()],
        Edit::SetBedCrops { bed, .. } => vec![bed.to_string()],
        Edit::LogAmendment { amendment, bed, .. } => vec![amendment.to_string(), bed.to_string()],
        Edit::DigIn { amendment, .. } | Edit::StrikeAmendment { amendment, .. } => {
            vec![amendment.to_string()]
        }
        Edit::AddEntry { entry, .. }
        | Edit::ConfirmEntry { entry }
        | Edit::ReverseEntry { entry, .. } => vec![entry.to_string()],
        Edit::AskCoordinator { request, .. } | Edit::AnswerRequest { request, .. } => {
            vec![request.to_string()]
        }
        Edit::CarryOver { .. } => Vec::new(),
    }
}
