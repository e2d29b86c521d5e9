//! A simulated phone: its storage, its wrong clock, and, while the program runs on it, a copy of the garden with a session.

use std::collections::BTreeSet;

use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, MemberId};
use selion_core::document::records::{Place, Standing};
use selion_core::document::{DocumentName, Garden};
use selion_core::sync::{LocalCopy, Session, Settings};

use super::storage::Storage;
use crate::small_garden::ids;

/// A phone and whoever holds it.
pub(crate) struct Phone {
    pub(crate) number: u8,
    pub(crate) member: MemberId,
    pub(crate) storage: Storage,
    /// How far its clock is ahead, in milliseconds.
    pub(crate) ahead: i64,
    pub(crate) signal: bool,
    /// Whether its network lets sockets through.
    pub(crate) sockets: bool,
    /// Counts the starts of the program; what was meant for an earlier one is not delivered.
    pub(crate) life: u64,
    pub(crate) running: Option<Running>,
    /// What the service said when it ended the connection for good.
    pub(crate) ended: Option<String>,
    /// Every place that the screen ever said this person holds.
    pub(crate) was_shown_holding: BTreeSet<(Claimable, ClaimId)>,
    /// The confirmed picture before the last event.
    pub(crate) before: Garden,
}

/// The program running on a phone.
pub(crate) struct Running {
    pub(crate) copy: LocalCopy,
    pub(crate) session: Session,
    pub(crate) socket: Option<u64>,
    /// The alarm that the session set last.
    pub(crate) tick: Option<u64>,
}

impl Phone {
    pub(crate) fn new(number: u8, member: MemberId) -> Self {
        Self {
            number,
            member,
            storage: Storage::default(),
            ahead: 0,
            signal: true,
            sockets: true,
            life: 0,
            running: None,
            ended: None,
            was_shown_holding: BTreeSet::new(),
            before: Garden::default(),
        }
    }

    /// The program starts from what the storage holds.
    pub(crate) fn start(&mut self) {
        self.life += 1;
        self.ended = None;
        let copy = LocalCopy::restore(ids::garden(1), &self.storage.read());
        self.before = copy.confirmed().garden().clone();
        self.running = Some(Running {
            copy,
            session: Session::new(Settings::default()),
            socket: None,
            tick: None,
        });
    }

    pub(crate) fn copy(&self) -> &LocalCopy {
        &self.running.as_ref().unwrap().copy
    }

    /// The phone died. What it showed and had not stored by then, nobody can know of any more.
    pub(crate) fn forget_what_was_never_stored(&mut self) {
        let copy = LocalCopy::restore(ids::garden(1), &self.storage.read());
        let stored: BTreeSet<ClaimId> = places(copy.garden())
            .flat_map(|(_, place)| place.claims().keys().copied().collect::<Vec<_>>())
            .collect();
        self.was_shown_holding
            .retain(|(_, claim)| stored.contains(claim));
    }

    /// Remembers which places the screen says this person holds.
    pub(crate) fn remember_what_is_shown(&mut self) {
        let Some(running) = &self.running else { return };
        let holding = places(running.copy.garden()).filter_map(|(of, place)| {
            let (claim, _, standing) = place.claim_of(self.member)?;
            (standing == Standing::Holds).then_some((of, claim))
        });
        self.was_shown_holding.extend(holding);
    }

    /// Whether this role's phone keeps a document.
    pub(crate) fn may_read(&self, garden: &Garden, document: DocumentName) -> bool {
        use selion_core::policy::{Action, may};
        let role = garden.members.get(&self.member).map(|member| member.role);
        !document.is_ledger() || role.is_some_and(|role| may(role, Action::SeeLedger, false))
    }
}

/// Every task and turn of every year.
pub(crate) fn places(garden: &Garden) -> impl Iterator<Item = (Claimable, &dyn Place)> {
    garden.seasons.values().flat_map(|season| {
        let tasks = season
            .tasks
            .iter()
            .map(|(id, task)| -> (_, &dyn Place) { (Claimable::Task(*id), &**task) });
        let turns = season
            .turns
            .iter()
            .map(|(id, turn)| -> (_, &dyn Place) { (Claimable::Turn(*id), &**turn) });
        tasks.chain(turns)
    })
}
