//! Why an edit does not stand: a stable code, and a sentence for its author.

use crate::json::{record, words};
use crate::quantities::BadInput;

/// A refused edit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Refused {
    /// The kind of reason, stable for programs.
    pub code: RefusalCode,
    /// One sentence for the person.
    pub message: String,
}

record!(Refused { code, message });

impl Refused {
    /// A refusal with its sentence.
    pub fn new(code: RefusalCode, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
        }
    }
}

impl From<BadInput> for Refused {
    fn from(bad: BadInput) -> Self {
        Self::new(RefusalCode::BadInput, bad.to_string())
    }
}

/// The kinds of reasons.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RefusalCode {
    /// A field is not of the form or size.
    BadInput,
    /// The edit was written by a newer program than the garden's service.
    NewerVersion,
    /// The edit is for another garden or another document than it says.
    WrongPlace,
    /// The author is no longer in the garden.
    NotAMember,
    /// The author's role does not allow it.
    NotAllowed,
    /// The device was revoked before the edit arrived.
    DeviceRevoked,
    /// The year is not open.
    YearNotOpen,
    /// What the edit is about does not exist.
    NotThere,
    /// What the edit is about was ended meanwhile: a bed given up, a task called off.
    Ended,
    /// A record with this id is already there.
    AlreadyThere,
    /// The author already has a claim on it.
    AlreadyClaimed,
    /// The claim was given back, or done, meanwhile.
    ClaimGone,
    /// A stand-by has no place yet, so it cannot be done.
    OnStandBy,
    /// There are more holders than the new number of places.
    PlacesTaken,
    /// It is closed, and what is closed does not change.
    Closed,
    /// The order was closed before the wish arrived; the coordinator may still help.
    TooLate,
    /// The shares are no longer those that the coordinator saw.
    SharesChanged,
    /// What the author changed looks otherwise by now.
    Changed,
    /// The amounts cannot be shared out as they are.
    CannotShare,
    /// The garden would be left without a coordinator.
    LastCoordinator,
    /// The document was written by a newer program and is only shown.
    ReadOnly,
    /// The service failed while working on it; nothing was changed.
    Failed,
}

words!(RefusalCode {
    "bad_input" => BadInput,
    "newer_version" => NewerVersion,
    "wrong_place" => WrongPlace,
    "not_a_member" => NotAMember,
    "not_allowed" => NotAllowed,
    "device_revoked" => DeviceRevoked,
    "year_not_open" => YearNotOpen,
    "not_there" => NotThere,
    "ended" => Ended,
    "already_there" => AlreadyThere,
    "already_claimed" => AlreadyClaimed,
    "claim_gone" => ClaimGone,
    "on_stand_by" => OnStandBy,
    "places_taken" => PlacesTaken,
    "closed" => Closed,
    "too_late" => TooLate,
    "shares_changed" => SharesChanged,
    "changed" => Changed,
    "cannot_share" => CannotShare,
    "last_coordinator" => LastCoordinator,
    "read_only" => ReadOnly,
    "failed" => Failed,
});
