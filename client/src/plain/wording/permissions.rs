//! Why a button is grey: the table of permissions in a sentence.

use selion_core::document::Role;
use selion_core::policy::{Action, Grant, grant};

/// Who may do this instead: `Only a coordinator can put up picking turns and call them off.`
pub fn forbidden(action: Action) -> String {
    let always: Vec<String> = Role::ALL
        .into_iter()
        .filter(|role| grant(*role, action) == Grant::Yes)
        .map(|role| format!("a {}", role.word()))
        .collect();
    let own = whose(action).map(|whose| format!(", or whoever {whose},"));
    format!(
        "Only {}{} can {}.",
        always.join(" or "),
        own.unwrap_or_default(),
        verb(action)
    )
}

/// What is done, as it stands behind "can".
fn verb(action: Action) -> &'static str {
    match action {
        Action::KeepGarden => "change the garden's profile",
        Action::KeepPeople => "change people and roles",
        Action::KeepGround => "draw and change the ground",
        Action::NoteBed => "write the note of a bed",
        Action::AddTask => "put up a task",
        Action::ChangeTask => "change a task",
        Action::NoteTask => "write the note of a task",
        Action::Claim => "claim",
        Action::KeepClaim => "give back, hand over or finish a claim",
        Action::KeepTurns => "put up picking turns and call them off",
        Action::LogPicking => "write down what was picked",
        Action::StrikePicking => "strike a picking out",
        Action::Plan => "change what is planted",
        Action::MarkPlanting => "say that something was sown or cleared",
        Action::AcceptProposals => "make tasks of what the plan proposes",
        Action::NoteWeather => "write the weather down",
        Action::StrikeWeather => "strike a reading out",
        Action::SetBedCrops => "say what grows in a bed",
        Action::AddSoilTest => "enter a soil test",
        Action::StrikeSoilTest => "strike a soil test out",
        Action::LogAmendment => "write down what was spread",
        Action::StrikeAmendment => "strike something spread out",
        Action::KeepJobs => "put up and change a shared job",
        Action::LogHours => "write down hours",
        Action::StrikeHours => "strike hours out",
        Action::SeeLedger => "see orders and the ledger",
        Action::KeepOrders => "open, change and close orders",
        Action::AskFor => "say how much is wanted",
        Action::HandOut => "tick off who took what",
        Action::RecordPayment => "write a payment down",
        Action::ConfirmEntry => "confirm a payment",
        Action::ReverseEntry => "take back a line of the ledger",
        Action::KeepLedger => "write into the ledger",
        Action::AskCoordinator => "ask about money and loads",
        Action::AnswerRequest => "answer a request",
    }
}

/// What makes it one's own, for what the table grants on one's own only.
fn whose(action: Action) -> Option<&'static str> {
    match action {
        Action::NoteBed | Action::SetBedCrops | Action::Plan => Some("holds the bed"),
        Action::AddSoilTest => Some("holds its beds"),
        Action::ChangeTask => Some("put it up"),
        Action::KeepClaim => Some("gave the claim"),
        Action::StrikeSoilTest => Some("entered it"),
        Action::StrikePicking
        | Action::StrikeWeather
        | Action::StrikeAmendment
        | Action::StrikeHours => Some("wrote it down"),
        Action::AskFor => Some("it is for"),
        Action::RecordPayment => Some("paid it or had it"),
        Action::ConfirmEntry => Some("was paid"),
        Action::ReverseEntry => Some("wrote it down, before it is confirmed"),
        Action::AnswerRequest => Some("asked"),
        Action::KeepGarden
        | Action::KeepPeople
        | Action::KeepGround
        | Action::AddTask
        | Action::NoteTask
        | Action::Claim
        | Action::KeepTurns
        | Action::MarkPlanting
        | Action::AcceptProposals
        | Action::NoteWeather
        | Action::LogPicking
        | Action::LogAmendment
        | Action::KeepJobs
        | Action::LogHours
        | Action::SeeLedger
        | Action::KeepOrders
        | Action::HandOut
        | Action::KeepLedger
        | Action::AskCoordinator => None,
    }
}
