//! What must hold once everything has settled.

use std::collections::BTreeSet;

use selion_core::document::edit::{Claimable, NoteOf};
use selion_core::document::ids::{ClaimId, EditId};
use selion_core::document::records::Standing;
use selion_core::document::{Edit, Garden};
use selion_core::ordered::Map;
use selion_core::sync::frame::Verdict;
use selion_core::sync::{Link, Notice, Replica, RowState};

use super::phone::{Phone, places};
use super::{World, Written};
use crate::small_garden::ids;

impl World {
    /// Every check, in an order in which the first to fail says the most.
    pub(crate) fn check_all(&mut self) {
        let (stored, lengths) = self.service.reload();
        let picture = self.service.picture().unwrap();
        assert_eq!(
            *stored.garden(),
            picture,
            "what is on the service's disk is what it shows"
        );
        let log = self.log();
        no_edit_is_doubled(&stored, &log);
        let sums = crate::orders::all_together(&picture);
        assert!(
            sums.iter().all(|sum| *sum == 0),
            "all balances together are nothing: {sums:?}"
        );
        for phone in 0..self.phones.len() {
            if self.may_not_be_here(phone, &picture) {
                self.check_it_keeps_what_was_written(phone);
                continue;
            }
            let one = &self.phones[phone];
            let copy = one.copy();
            assert_eq!(one.ended, None, "phone {phone} was turned away");
            assert!(
                matches!(one.running.as_ref().unwrap().session.link(), Link::Up(_)),
                "phone {phone} is in touch"
            );
            assert_eq!(copy.truth().waiting, 0, "phone {phone} has nothing waiting");
            let readable = lengths
                .iter()
                .filter(|(name, _)| one.may_read(&picture, **name));
            let readable: Map<_, _> = readable.map(|(name, length)| (*name, *length)).collect();
            assert_eq!(
                *copy.cursors(),
                readable,
                "phone {phone} has read every log to its end"
            );
            for name in readable.keys() {
                assert_eq!(
                    copy.confirmed().heads(*name),
                    stored.heads(*name),
                    "phone {phone}: {name}"
                );
            }
            let mut expected = picture.clone();
            expected.ledgers.retain(|year, _| {
                one.may_read(&picture, selion_core::document::DocumentName::Ledger(*year))
            });
            assert_eq!(
                *copy.confirmed().garden(),
                expected,
                "phone {phone} has the garden that the service has"
            );
            assert_eq!(
                copy.garden(),
                copy.confirmed().garden(),
                "phone {phone} shows what is confirmed"
            );
            self.check_every_edit(phone, &log);
            self.check_nobody_was_bumped_in_silence(phone, &picture);
        }
        self.check_words(&picture, &log);
    }

    fn log(&self) -> Map<EditId, Verdict> {
        let mut log = Map::new();
        for (edit, verdict) in self.service.log() {
            assert!(
                log.insert(edit.id, verdict).is_none(),
                "{} is in the log twice",
                edit.id
            );
        }
        log
    }

    fn may_not_be_here(&self, phone: usize, picture: &Garden) -> bool {
        let phone = &self.phones[phone];
        picture.open_member(phone.member).is_none() || self.service.is_revoked(phone.number)
    }

    /// A phone that was signed out keeps what its owner wrote.
    fn check_it_keeps_what_was_written(&self, phone: usize) {
        for (id, written) in self.written_on(phone) {
            if written.said_saved && !written.put_away {
                assert!(
                    self.phones[phone].copy().outbox().get(*id).is_some(),
                    "{id} was said to be saved"
                );
            }
        }
    }

    fn written_on(&self, phone: usize) -> impl Iterator<Item = (&EditId, &Written)> {
        self.written
            .iter()
            .filter(move |(_, written)| written.phone == phone)
    }

    /// Whatever was written is accepted, or set aside with a reason, or was never said to be saved.
    fn check_every_edit(&self, phone: usize, log: &Map<EditId, Verdict>) {
        for (id, written) in self.written_on(phone) {
            let row = self.phones[phone].copy().outbox().get(*id);
            match row.map(|row| &row.state) {
                Some(RowState::Waiting) => panic!("{id} still waits"),
                Some(RowState::Accepted {
                    document,
                    sequence,
                    told,
                    ..
                }) => {
                    let (document, sequence, told) = (*document, *sequence, *told);
                    assert_eq!(
                        log.get(id),
                        Some(&Verdict::Accepted {
                            document,
                            sequence,
                            told
                        })
                    );
                }
                Some(RowState::SetAside { refused, .. }) => {
                    assert!(!refused.message.is_empty());
                    let stands = matches!(log.get(id), Some(Verdict::Accepted { .. }));
                    // With several backups, a later one may again hold what an earlier one did not.
                    let known = self.service.restored < 2;
                    assert!(!stands || !known, "{id} was set aside and stands");
                }
                None => assert!(
                    !written.said_saved || written.put_away,
                    "{id} was said to be saved and is gone"
                ),
            }
        }
    }

    /// Whoever was ever shown to hold a place holds it, or gave it up, or was told.
    fn check_nobody_was_bumped_in_silence(&self, phone: usize, picture: &Garden) {
        let one = &self.phones[phone];
        for (of, claim) in &one.was_shown_holding {
            let place = places(picture)
                .find(|(other, _)| other == of)
                .map(|(_, place)| place);
            let standing = place.and_then(|place| {
                place
                    .in_order()
                    .into_iter()
                    .find(|(id, ..)| id == claim)
                    .map(|(.., standing)| standing)
            });
            // Perhaps by another claim, made on their other phone.
            let now = place
                .and_then(|place| place.claim_of(one.member))
                .map(|(.., standing)| standing);
            if matches!(now, Some(Standing::Holds | Standing::Done))
                || self.never_said_saved(phone, *claim)
            {
                continue;
            }
            let aside = self.was_set_aside(phone, *claim);
            let own = self.gave_up(phone, *of);
            assert!(
                aside || own || is_told(one, *of),
                "phone {phone}: {of:?} {claim} is now {standing:?}, and its person was told only {:?}\n{}",
                one.copy().told(),
                self.story_of(&claim.to_string())
            );
        }
    }

    /// Everything that was written about an id and what became of it, for whoever looks into a failing seed.
    fn story_of(&self, id: &str) -> String {
        let log = self.service.log();
        let mut lines = vec![format!("backups put back: {}", self.service.restored)];
        for (edit, verdict) in log.iter().filter(|(edit, _)| edit.body.contains(id)) {
            let at = edit.received_at.millis();
            lines.push(format!("arrived at {at}: {} -> {verdict:?}", edit.body));
        }
        let about = self
            .written
            .iter()
            .filter(|(_, written)| written.envelope.write().contains(id));
        for (edit, written) in about {
            let state = self.phones[written.phone]
                .copy()
                .outbox()
                .get(*edit)
                .map(|row| &row.state);
            lines.push(format!(
                "written on phone {}: {} -> {state:?}",
                written.phone,
                written.envelope.write()
            ));
        }
        lines.join("\n")
    }

    fn was_set_aside(&self, phone: usize, claim: ClaimId) -> bool {
        self.written_on(phone).any(|(id, written)| {
            let row = self.phones[phone].copy().outbox().get(*id);
            let aside = row.is_some_and(|row| matches!(row.state, RowState::SetAside { .. }));
            makes(&written.envelope.edit, claim) && (aside || written.put_away)
        })
    }

    fn never_said_saved(&self, phone: usize, claim: ClaimId) -> bool {
        self.written_on(phone).any(|(id, written)| {
            let gone = self.phones[phone].copy().outbox().get(*id).is_none();
            makes(&written.envelope.edit, claim) && gone && !written.said_saved
        })
    }

    /// Whether the person gave a place up on this phone: this claim, or another one that had taken its stead.
    fn gave_up(&self, phone: usize, about: Claimable) -> bool {
        self.written_on(phone).any(|(_, written)| {
            matches!(
                &written.envelope.edit,
                Edit::GiveBack { of, .. } | Edit::HandOver { of, .. } if *of == about
            )
        })
    }

    /// Every word of every accepted note is in it; once, unless a backup made phones offer old notes again.
    fn check_words(&self, picture: &Garden, log: &Map<EditId, Verdict>) {
        for (id, written) in &self.written {
            let (Some((of, word)), Some(Verdict::Accepted { .. })) = (&written.word, log.get(id))
            else {
                continue;
            };
            let note = match of {
                NoteOf::Bed(bed) => &picture.beds[bed].note,
                NoteOf::Task(task) => &picture.task(*task).unwrap().1.note,
            };
            let count = note.split(' ').filter(|other| other == word).count();
            assert!(count >= 1, "{word} of {id} is lost from “{note}”");
            if self.service.restored == 0 {
                assert_eq!(count, 1, "{word} of {id} is doubled in “{note}”");
            }
        }
    }
}

/// Whether an edit makes this claim.
#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "these are the edits with a new claim in them"
)]
fn makes(edit: &Edit, wanted: ClaimId) -> bool {
    match edit {
        Edit::Claim { claim, .. } => *claim == wanted,
        Edit::HandOver { new_claim, .. } => *new_claim == wanted,
        Edit::AddTurns { turns } => turns
            .iter()
            .any(|turn| turn.holder.is_some_and(|(_, claim)| claim == wanted)),
        _ => false,
    }
}

fn is_told(phone: &Phone, about: Claimable) -> bool {
    phone.copy().told().iter().any(|row| {
        matches!(&row.notice, Notice::StandsBy { of, .. } | Notice::TakenOff { of, .. } if *of == about)
    })
}

/// Every accepted edit that changed something is exactly one change of its document, and no change is of another edit.
fn no_edit_is_doubled(stored: &Replica, log: &Map<EditId, Verdict>) {
    let mut seen: BTreeSet<EditId> = BTreeSet::new();
    for name in stored.names() {
        for edit in stored.edits(name) {
            assert!(seen.insert(edit), "{edit} is in {name} twice");
        }
    }
    for (edit, verdict) in log {
        let changed = matches!(
            verdict,
            Verdict::Accepted {
                sequence: Some(_),
                ..
            }
        );
        assert_eq!(seen.remove(edit), changed, "{edit}: {verdict:?}");
    }
    // What is left was written while the small garden was made, before the service ran.
    let before = |edit: &EditId| edit.as_bytes()[..6] == ids::edit(1).as_bytes()[..6];
    assert!(
        seen.iter().all(before),
        "changes that nobody was answered for: {seen:?}"
    );
}
