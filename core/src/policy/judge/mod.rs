//! What must hold in the current garden for an edit to stand, and what it then writes.

mod claims;
mod drawing;
mod ground;
mod ledger;
mod note;
mod notes;
mod orders;
mod plan;
mod plan_tasks;
mod requests;
mod season;
mod soil;

pub use self::ledger::told_of;
use super::{Action, RefusalCode, Refused, may};
use crate::document::edit::{Claimable, NoteOf};
use crate::document::ids::{BedId, EntryId, FenceId, MemberId};
use crate::document::records::{Member, Payer, Role};
use crate::document::stored::Write;
use crate::document::{DocumentName, Edit, Envelope, Garden};
use crate::json::choice;
use crate::quantities::Moment;

/// An edit that stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// What is to be written; empty when everything already is as the edit wants it.
    pub writes: Vec<Write>,
    /// Something the author should be told.
    pub told: Option<Told>,
}

/// What the author of an accepted edit should be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// The claim has a place.
    Holds,
    /// The places are taken: the claim stands by, so many steps from a place.
    StandsBy(usize),
    /// So many tasks that came from the planting are claimed, and so were left on their days.
    ClaimedStay(usize),
    /// The entry does not count before whoever was paid, or a coordinator, confirms it.
    Unconfirmed,
    /// The entry looks like an earlier one; it does not count before it is confirmed as a further one.
    LooksLike(EntryId),
}

choice!(Told {
    "holds" => Holds,
    "stands_by" => StandsBy(steps),
    "claimed_stay" => ClaimedStay(tasks),
    "unconfirmed" => Unconfirmed,
    "looks_like" => LooksLike(entry),
});

/// An edit on the bench: the picture it is judged against and its author.
struct Case<'a> {
    garden: &'a Garden,
    envelope: &'a Envelope,
    author: MemberId,
    role: Role,
}

type Verdict = Result<Judged, Refused>;

/// Judges an edit of a member against the garden as it is now.
///
/// The phone's clock decides nothing: `written_at` is only kept to be shown.
pub fn judge(garden: &Garden, author: MemberId, envelope: &Envelope) -> Verdict {
    Judges::ALL.judge(garden, author, envelope)
}

/// Which edits can be judged: all of them, or those alone that a phone's first screens write. What judges all others is
/// large, and a phone loads it later.
#[derive(Clone, Copy, Debug)]
pub struct Judges {
    others: Option<fn(&Garden, MemberId, &Envelope) -> Verdict>,
}

impl Judges {
    /// For all edits.
    pub const ALL: Self = Self {
        others: Some(judge_other),
    };
    /// For what the first screens write: claims and notes.
    pub const FIRST: Self = Self { others: None };

    /// Whether such edits can be judged.
    pub fn know(self, edit: &Edit) -> bool {
        self.others.is_some() || is_of_first_screens(edit)
    }

    /// Whether these are more than those.
    pub fn are_more_than(self, others: Self) -> bool {
        self.others.is_some() && others.others.is_none()
    }

    /// Judges an edit as [`judge`] does.
    pub fn judge(self, garden: &Garden, author: MemberId, envelope: &Envelope) -> Verdict {
        if is_of_first_screens(&envelope.edit) {
            return judge_first(garden, author, envelope);
        }
        self.others.map_or_else(
            || {
                Err(Refused::new(
                    RefusalCode::Failed,
                    "The part of Selion that looks at this change is not on the phone yet; it comes with the next signal.",
                ))
            },
            |judge| judge(garden, author, envelope),
        )
    }
}

fn is_of_first_screens(edit: &Edit) -> bool {
    matches!(
        edit,
        Edit::Claim { .. }
            | Edit::GiveBack { .. }
            | Edit::HandOver { .. }
            | Edit::Done { .. }
            | Edit::NotDone { .. }
            | Edit::WriteNote { .. }
    )
}

fn judge_first(garden: &Garden, author: MemberId, envelope: &Envelope) -> Verdict {
    if let Some(bad) = envelope.edit.first_bounds() {
        bad?;
    }
    let case = Case::open(garden, author, envelope)?;
    if let Edit::WriteNote { of, text, base } = &envelope.edit {
        note::judge(&case, *of, text, base)
    } else {
        claims::judge(&case)
    }
}

fn judge_other(garden: &Garden, author: MemberId, envelope: &Envelope) -> Verdict {
    envelope.edit.check_bounds()?;
    let case = Case::open(garden, author, envelope)?;
    match &envelope.edit {
        Edit::ChangeProfile { .. }
        | Edit::OpenYear { .. }
        | Edit::CloseYear { .. }
        | Edit::AddMember { .. }
        | Edit::ChangeMember { .. }
        | Edit::AddBed { .. }
        | Edit::ChangeBed { .. } => ground::judge(&case),
        Edit::SplitBed { .. }
        | Edit::MergeBeds { .. }
        | Edit::AddStructure { .. }
        | Edit::DrawStructure { .. }
        | Edit::ChangeStructure { .. }
        | Edit::EndStructure { .. }
        | Edit::AddFenceLine { .. }
        | Edit::ChangeFenceLine { .. }
        | Edit::EndFenceLine { .. } => drawing::judge(&case),
        Edit::Plant { .. }
        | Edit::ChangePlanting { .. }
        | Edit::MoveSeries { .. }
        | Edit::MarkPlanting { .. } => plan::judge(&case),
        Edit::AcceptProposal { .. } | Edit::SetProposalAside { .. } | Edit::ProposeAgain { .. } => {
            plan_tasks::judge(&case)
        }
        Edit::KeepCrop { .. }
        | Edit::KeepRecipient { .. }
        | Edit::LogHarvest { .. }
        | Edit::NoteWeather { .. }
        | Edit::StrikeWeather { .. } => notes::judge(&case),
        Edit::AddTask { .. }
        | Edit::ChangeTask { .. }
        | Edit::AddTurns { .. }
        | Edit::EndTurn { .. }
        | Edit::LogPicking { .. }
        | Edit::StrikePicking { .. }
        | Edit::AddJob { .. }
        | Edit::ChangeJob { .. }
        | Edit::CloseJob { .. }
        | Edit::LogHours { .. }
        | Edit::StrikeHours { .. } => season::judge(&case),
        Edit::AddOrder { .. }
        | Edit::ChangeOrder { .. }
        | Edit::CloseOrder { .. }
        | Edit::AskFor { .. }
        | Edit::EnterInvoice { .. }
        | Edit::HandOut { .. } => orders::judge(&case),
        Edit::AddEntry { .. }
        | Edit::ConfirmEntry { .. }
        | Edit::ReverseEntry { .. }
        | Edit::CarryOver { .. } => ledger::judge(&case),
        Edit::AskCoordinator { .. } | Edit::AnswerRequest { .. } => requests::judge(&case),
        Edit::AddSoilTest { .. }
        | Edit::StrikeSoilTest { .. }
        | Edit::SetBedCrops { .. }
        | Edit::LogAmendment { .. }
        | Edit::DigIn { .. }
        | Edit::StrikeAmendment { .. } => soil::judge(&case),
        Edit::WriteNote { .. }
        | Edit::Claim { .. }
        | Edit::GiveBack { .. }
        | Edit::HandOver { .. }
        | Edit::Done { .. }
        | Edit::NotDone { .. } => judge_first(garden, author, envelope),
    }
}

fn author_of(garden: &Garden, author: MemberId) -> Result<&Member, Refused> {
    garden
        .open_member(author)
        .map(AsRef::as_ref)
        .ok_or_else(|| {
            Refused::new(
                RefusalCode::NotAMember,
                "You are no longer on this garden's list of people, so this was not entered.",
            )
        })
}

impl<'a> Case<'a> {
    /// Puts an edit on the bench, if its author may write it where it says.
    fn open(garden: &'a Garden, author: MemberId, envelope: &'a Envelope) -> Result<Self, Refused> {
        let case = Self {
            garden,
            envelope,
            author,
            role: author_of(garden, author)?.role,
        };
        case.check_document()?;
        case.check_permission()?;
        Ok(case)
    }
}

impl Case<'_> {
    /// The document that the edit says it is for must be the one where such edits belong, open, and ours to write.
    fn check_document(&self) -> Result<(), Refused> {
        let document = self.envelope.document;
        if !self.fits(document) {
            return Err(Refused::new(
                RefusalCode::WrongPlace,
                format!("document: this kind of change does not belong into {document}."),
            ));
        }
        if self.garden.read_only.contains(&document) {
            return Err(Refused::new(
                RefusalCode::ReadOnly,
                format!(
                    "The {document} was written by a newer version of the program and can only be looked at until this one is brought up to date."
                ),
            ));
        }
        let open = document.year().is_none_or(|year| {
            self.garden
                .profile
                .as_ref()
                .is_some_and(|profile| profile.open_years().contains(&year))
        });
        if open {
            return Ok(());
        }
        Err(Refused::new(
            RefusalCode::YearNotOpen,
            format!("The {document} is not open; a coordinator opens a year under Garden."),
        ))
    }

    /// Whether the edit belongs into this document.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the action of an edit tells the document; only notes need a look"
    )]
    fn fits(&self, document: DocumentName) -> bool {
        match &self.envelope.edit {
            Edit::WriteNote {
                of: NoteOf::Bed(_), ..
            } => document == DocumentName::Ground,
            Edit::WriteNote {
                of: NoteOf::Task(_),
                ..
            } => matches!(document, DocumentName::Season(_)),
            edit => match edit.action() {
                Action::KeepGarden
                | Action::KeepPeople
                | Action::KeepGround
                | Action::NoteBed
                | Action::AddSoilTest
                | Action::StrikeSoilTest => document == DocumentName::Ground,
                Action::KeepOrders
                | Action::AskFor
                | Action::HandOut
                | Action::RecordPayment
                | Action::ConfirmEntry
                | Action::ReverseEntry
                | Action::KeepLedger
                | Action::AskCoordinator
                | Action::AnswerRequest
                | Action::SeeLedger => {
                    matches!(document, DocumentName::Ledger(_))
                }
                Action::AddTask
                | Action::ChangeTask
                | Action::NoteTask
                | Action::Claim
                | Action::KeepClaim
                | Action::KeepTurns
                | Action::LogPicking
                | Action::StrikePicking
                | Action::Plan
                | Action::MarkPlanting
                | Action::AcceptProposals
                | Action::NoteWeather
                | Action::StrikeWeather
                | Action::SetBedCrops
                | Action::LogAmendment
                | Action::StrikeAmendment
                | Action::KeepJobs
                | Action::LogHours
                | Action::StrikeHours => matches!(document, DocumentName::Season(_)),
            },
        }
    }

    fn check_permission(&self) -> Result<(), Refused> {
        let action = self.envelope.edit.action();
        if may(self.role, action, self.is_own()) {
            return Ok(());
        }
        Err(Refused::new(
            RefusalCode::NotAllowed,
            format!(
                "As {} you may not do this; ask a coordinator.",
                self.role.word()
            ),
        ))
    }

    /// Whether what the edit is about is the author's own.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "only actions that the table grants as *own* are looked at here"
    )]
    fn is_own(&self) -> bool {
        // Only the edit's own year counts: what carries the same id in another year says nothing about this one.
        let season = self
            .envelope
            .document
            .year()
            .and_then(|year| self.garden.seasons.get(&year));
        let claim_is_own = |of: Claimable, claim| {
            let claims = season.and_then(|season| match of {
                Claimable::Task(task) => season.tasks.get(&task).map(|task| &task.claims),
                Claimable::Turn(turn) => season.turns.get(&turn).map(|turn| &turn.claims),
            });
            claims
                .and_then(|claims| claims.get(&claim))
                .is_some_and(|claim| claim.member == self.author)
        };
        match &self.envelope.edit {
            Edit::WriteNote {
                of: NoteOf::Bed(bed),
                ..
            }
            | Edit::SetBedCrops { bed, .. } => self.holds(*bed),
            Edit::AddSoilTest { sheet, .. } => sheet.beds.keys().all(|bed| self.holds(*bed)),
            Edit::StrikeSoilTest { test, .. } => {
                (self.garden.soil_tests.get(test)).is_some_and(|test| test.member == self.author)
            }
            Edit::StrikeAmendment { amendment, .. } => season
                .and_then(|season| season.amendments.get(amendment))
                .is_some_and(|amendment| amendment.member == self.author),
            Edit::ChangeTask { task, .. } => season
                .and_then(|season| season.tasks.get(task))
                .is_some_and(|task| task.made_by == self.author),
            Edit::GiveBack { of, claim }
            | Edit::HandOver { of, claim, .. }
            | Edit::Done { of, claim, .. }
            | Edit::NotDone { of, claim } => claim_is_own(*of, *claim),
            Edit::AskFor { whose, .. } => *whose == Payer::Member(self.author),
            Edit::AddEntry { from, to, .. } => [*from, *to].contains(&Payer::Member(self.author)),
            Edit::ConfirmEntry { entry } => {
                ledger::is_own(self, *entry, |entry| entry.to == Payer::Member(self.author))
            }
            Edit::ReverseEntry { reverses, .. } => ledger::is_own(self, *reverses, |entry| {
                entry.written_by == self.author && entry.confirmed_by.is_none()
            }),
            Edit::AnswerRequest { request, .. } => ledger::of(self).is_ok_and(|ledger| {
                (ledger.requests.get(request)).is_some_and(|asked| asked.asked_by == self.author)
            }),
            Edit::StrikePicking { picking, .. } => season
                .and_then(|season| season.pickings.get(picking))
                .is_some_and(|picking| picking.member == self.author),
            Edit::Plant { .. } | Edit::ChangePlanting { .. } | Edit::MoveSeries { .. } => {
                plan::is_own(self)
            }
            Edit::StrikeWeather { reading, .. } => season
                .and_then(|season| season.weather.get(reading))
                .is_some_and(|reading| reading.member == self.author),
            Edit::StrikeHours { hours, .. } => season
                .and_then(|season| season.hours.get(hours))
                .is_some_and(|hours| hours.member == self.author),
            _other => false,
        }
    }

    fn holds(&self, bed: BedId) -> bool {
        let bed = self.garden.beds.get(&bed);
        bed.is_some_and(|bed| bed.is_held_by(self.author))
    }

    fn year(&self) -> i16 {
        self.envelope.document.year().unwrap_or_default()
    }

    fn written_at(&self) -> Moment {
        self.envelope.written_at
    }

    /// The bed must be there and not given up.
    fn check_bed(&self, bed: BedId) -> Result<(), Refused> {
        match self.garden.beds.get(&bed) {
            None => Err(not_there("bed")),
            Some(record) if record.ended_on.is_some() => {
                Err(ended(&format!("Bed {}", record.label), "was given up"))
            }
            Some(_) => Ok(()),
        }
    }
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "the last word of every judgement that stands"
)]
fn write(write: Write) -> Verdict {
    Ok(Judged {
        writes: vec![write],
        told: None,
    })
}

/// A fence line that work or material is for; one that was taken down since is still known.
fn check_fence(case: &Case<'_>, fence: Option<FenceId>) -> Result<(), Refused> {
    match fence {
        Some(fence) if !case.garden.fence_lines.contains_key(&fence) => {
            Err(not_there("fence line"))
        }
        Some(_) | None => Ok(()),
    }
}

fn not_there(what: &str) -> Refused {
    Refused::new(
        RefusalCode::NotThere,
        format!("There is no such {what} in this garden."),
    )
}

fn already_there(what: &str) -> Refused {
    Refused::new(
        RefusalCode::AlreadyThere,
        format!("There already is a {what} with this id."),
    )
}

fn ended(what: &str, how: &str) -> Refused {
    Refused::new(RefusalCode::Ended, format!("{what} {how} meanwhile."))
}
