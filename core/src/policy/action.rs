//! The table: role by action.

use crate::document::records::{EntryKind, Role};
use crate::document::{Edit, edit::NoteOf};

/// Something a person can do in a garden, as far as permission goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Action {
    /// Change the profile, open a year.
    KeepGarden,
    /// Add people, change names and roles, invite, revoke devices.
    KeepPeople,
    /// Draw and change beds, holders, structures and fence lines.
    KeepGround,
    /// Write the note of a bed. *Own*: a bed one holds.
    NoteBed,
    /// Put up a task.
    AddTask,
    /// Change a task or call it off. *Own*: a task one put up.
    ChangeTask,
    /// Write the note of a task.
    NoteTask,
    /// Claim a task or a picking turn.
    Claim,
    /// Give back, hand over, say done or not done. *Own*: one's own claim.
    KeepClaim,
    /// Put up picking turns and call them off.
    KeepTurns,
    /// Write down what was picked.
    LogPicking,
    /// Strike a picking out. *Own*: one's own.
    StrikePicking,
    /// Put plantings into the plan and change them. *Own*: in beds one holds.
    Plan,
    /// Say that a planting was sown, set or cleared. Whoever did the work may say so.
    MarkPlanting,
    /// Make tasks of what the plan proposes, or set it aside.
    AcceptProposals,
    /// Write down what a gauge showed.
    NoteWeather,
    /// Strike a reading out. *Own*: what one wrote down.
    StrikeWeather,
    /// Say what grows in a bed, as far as its soil is concerned. *Own*: a bed one holds.
    SetBedCrops,
    /// Enter a laboratory's report sheet. *Own*: for beds that one holds.
    AddSoilTest,
    /// Strike a report sheet out. *Own*: one that one entered.
    StrikeSoilTest,
    /// Write down what was spread on a bed, or that it was dug in. Whoever spread it may, on any bed: the days to wait after
    /// raw manure hang on it, so nobody is sent to ask first.
    LogAmendment,
    /// Strike something spread out. *Own*: what one wrote down.
    StrikeAmendment,
    /// Put up, change and close a shared job.
    KeepJobs,
    /// Write down hours.
    LogHours,
    /// Strike hours out. *Own*: one's own.
    StrikeHours,
    /// See orders, shares and the ledger.
    SeeLedger,
    /// Open, change and close orders.
    KeepOrders,
    /// Say how much of an order is wanted. *Own*: for oneself.
    AskFor,
    /// Tick off who took what home.
    HandOut,
    /// Write down that money was paid or laid out. *Own*: by or to oneself.
    RecordPayment,
    /// Say that an entry is so. *Own*: one that was paid to oneself.
    ConfirmEntry,
    /// Take an entry back. *Own*: one's own that is not confirmed yet.
    ReverseEntry,
    /// Write every other ledger entry, carry a year over.
    KeepLedger,
    /// Ask the coordinators something about money or a load.
    AskCoordinator,
    /// Settle a request. *Own*: one that one asked oneself.
    AnswerRequest,
}

/// Every action, in the order of the table.
pub const ACTIONS: [Action; 35] = [
    Action::KeepGarden,
    Action::KeepPeople,
    Action::KeepGround,
    Action::NoteBed,
    Action::AddTask,
    Action::ChangeTask,
    Action::NoteTask,
    Action::Claim,
    Action::KeepClaim,
    Action::KeepTurns,
    Action::LogPicking,
    Action::StrikePicking,
    Action::Plan,
    Action::MarkPlanting,
    Action::AcceptProposals,
    Action::NoteWeather,
    Action::StrikeWeather,
    Action::SetBedCrops,
    Action::AddSoilTest,
    Action::StrikeSoilTest,
    Action::LogAmendment,
    Action::StrikeAmendment,
    Action::KeepJobs,
    Action::LogHours,
    Action::StrikeHours,
    Action::SeeLedger,
    Action::KeepOrders,
    Action::AskFor,
    Action::HandOut,
    Action::RecordPayment,
    Action::ConfirmEntry,
    Action::ReverseEntry,
    Action::KeepLedger,
    Action::AskCoordinator,
    Action::AnswerRequest,
];

/// What the table grants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grant {
    /// Always.
    Yes,
    /// On what is one's own.
    Own,
    /// Never.
    No,
}

/// The table of permissions.
#[expect(
    clippy::match_same_arms,
    reason = "a table is read row by row; equal rows stay rows of their own"
)]
pub fn grant(role: Role, action: Action) -> Grant {
    use Grant::{No, Own, Yes};
    let (coordinator, member, helper) = match action {
        Action::KeepGarden | Action::KeepPeople | Action::KeepGround => (Yes, No, No),
        Action::NoteBed | Action::SetBedCrops | Action::Plan => (Yes, Own, No),
        Action::AddSoilTest | Action::StrikeSoilTest => (Yes, Own, No),
        Action::AddTask => (Yes, Yes, No),
        Action::ChangeTask => (Yes, Own, No),
        Action::NoteTask
        | Action::Claim
        | Action::LogPicking
        | Action::MarkPlanting
        | Action::NoteWeather
        | Action::LogAmendment
        | Action::LogHours => (Yes, Yes, Yes),
        Action::KeepClaim
        | Action::StrikePicking
        | Action::StrikeWeather
        | Action::StrikeAmendment
        | Action::StrikeHours => (Yes, Own, Own),
        Action::KeepTurns
        | Action::AcceptProposals
        | Action::KeepJobs
        | Action::KeepOrders
        | Action::KeepLedger => (Yes, No, No),
        Action::SeeLedger | Action::HandOut | Action::AskCoordinator => (Yes, Yes, No),
        Action::AskFor
        | Action::RecordPayment
        | Action::ConfirmEntry
        | Action::ReverseEntry
        | Action::AnswerRequest => (Yes, Own, No),
    };
    match role {
        Role::Coordinator => coordinator,
        Role::Member => member,
        Role::Helper => helper,
    }
}

/// Whether a role may do something, given whether the thing is their own.
pub fn may(role: Role, action: Action, own: bool) -> bool {
    match grant(role, action) {
        Grant::Yes => true,
        Grant::Own => own,
        Grant::No => false,
    }
}

impl Edit {
    /// What the edit does, as far as permission goes.
    #[expect(clippy::too_many_lines, reason = "every edit is named once")]
    pub fn action(&self) -> Action {
        match self {
            Self::ChangeProfile { .. } | Self::OpenYear { .. } | Self::CloseYear { .. } => {
                Action::KeepGarden
            }
            Self::AddMember { .. } | Self::ChangeMember { .. } => Action::KeepPeople,
            Self::AddBed { .. }
            | Self::ChangeBed { .. }
            | Self::KeepCrop { .. }
            | Self::KeepRecipient { .. }
            | Self::SplitBed { .. }
            | Self::MergeBeds { .. }
            | Self::AddStructure { .. }
            | Self::DrawStructure { .. }
            | Self::ChangeStructure { .. }
            | Self::EndStructure { .. }
            | Self::AddFenceLine { .. }
            | Self::ChangeFenceLine { .. }
            | Self::EndFenceLine { .. } => Action::KeepGround,
            Self::WriteNote {
                of: NoteOf::Bed(_), ..
            } => Action::NoteBed,
            Self::WriteNote {
                of: NoteOf::Task(_),
                ..
            } => Action::NoteTask,
            Self::AddTask { .. } => Action::AddTask,
            Self::ChangeTask { .. } => Action::ChangeTask,
            Self::Claim { .. } => Action::Claim,
            Self::GiveBack { .. }
            | Self::HandOver { .. }
            | Self::Done { .. }
            | Self::NotDone { .. } => Action::KeepClaim,
            Self::AddTurns { .. } | Self::EndTurn { .. } => Action::KeepTurns,
            Self::LogPicking { .. } | Self::LogHarvest { .. } => Action::LogPicking,
            Self::Plant { .. } | Self::ChangePlanting { .. } | Self::MoveSeries { .. } => {
                Action::Plan
            }
            Self::MarkPlanting { .. } => Action::MarkPlanting,
            Self::AcceptProposal { .. }
            | Self::SetProposalAside { .. }
            | Self::ProposeAgain { .. } => Action::AcceptProposals,
            Self::NoteWeather { .. } => Action::NoteWeather,
            Self::StrikeWeather { .. } => Action::StrikeWeather,
            Self::StrikePicking { .. } => Action::StrikePicking,
            Self::SetBedCrops { .. } => Action::SetBedCrops,
            Self::AddSoilTest { .. } => Action::AddSoilTest,
            Self::StrikeSoilTest { .. } => Action::StrikeSoilTest,
            Self::LogAmendment { .. } | Self::DigIn { .. } => Action::LogAmendment,
            Self::StrikeAmendment { .. } => Action::StrikeAmendment,
            Self::AddJob { .. } | Self::ChangeJob { .. } | Self::CloseJob { .. } => {
                Action::KeepJobs
            }
            Self::LogHours { .. } => Action::LogHours,
            Self::StrikeHours { .. } => Action::StrikeHours,
            Self::AddOrder { .. }
            | Self::ChangeOrder { .. }
            | Self::CloseOrder { .. }
            | Self::EnterInvoice { .. } => Action::KeepOrders,
            Self::AskFor { .. } => Action::AskFor,
            Self::HandOut { .. } => Action::HandOut,
            Self::AddEntry {
                kind: EntryKind::Payment | EntryKind::Outlay,
                ..
            } => Action::RecordPayment,
            Self::ConfirmEntry { .. } => Action::ConfirmEntry,
            Self::ReverseEntry { .. } => Action::ReverseEntry,
            Self::AddEntry {
                kind: EntryKind::HoursInLieu | EntryKind::Adjustment,
                ..
            }
            | Self::CarryOver { .. } => Action::KeepLedger,
            Self::AskCoordinator { .. } => Action::AskCoordinator,
            Self::AnswerRequest { .. } => Action::AnswerRequest,
        }
    }
}
