//! The simulated machine of the service: the real decisions ([`Hall`]) over a store in memory, with commits that fail,
//! restarts, and backups that are put back.

use std::collections::BTreeMap;

use selion_core::document::ids::MemberId;
use selion_core::document::{DocumentName, Garden};
use selion_core::quantities::Moment;
use selion_core::sync::frame::Verdict;
use selion_core::sync::{FirstChange, Replica};
use selion_server::config::Limits;
use selion_server::ids::{DeviceId, PersonId};
use selion_server::rooms::{Arrival, Attendee, Effect, Hall, SessionId};
use selion_server::secret::SecretHash;
use selion_server::store::memory::{Fate, MemoryStore};
use selion_server::store::rows::{self, Write};
use selion_server::store::{Read, Store};

use crate::chance::Chance;
use crate::small_garden::ids;

/// A device's id by its number.
pub(crate) fn device(number: u8) -> DeviceId {
    format!("00000000-0000-7000-8000-0000000000{number:02x}")
        .parse()
        .unwrap()
}

fn person(number: u8) -> PersonId {
    format!("00000000-0000-7000-9000-0000000000{number:02x}")
        .parse()
        .unwrap()
}

/// The service's machine.
pub(crate) struct Service {
    hall: Option<Hall>,
    store: MemoryStore,
    epoch: u8,
    backups: Vec<MemoryStore>,
    limits: Limits,
    /// How many of a thousand commits fail.
    pub(crate) failing_commits: u32,
    /// Whether no commit gets through at all.
    pub(crate) disk_is_full: bool,
    chance: Chance,
    /// How often a backup was put back.
    pub(crate) restored: u32,
}

impl Service {
    /// A machine with one garden on it.
    pub(crate) fn new(changes: &[FirstChange], chance: Chance, limits: Limits) -> Self {
        let mut store = MemoryStore::new();
        let garden = ids::garden(1);
        let mut writes = vec![Write::AddGarden(rows::Garden {
            id: garden,
            made_at: ids::NOW,
        })];
        let mut lengths: BTreeMap<DocumentName, u64> = BTreeMap::new();
        for (document, bytes) in changes {
            let seq = lengths
                .entry(*document)
                .and_modify(|seq| *seq += 1)
                .or_insert(1);
            let change = rows::Change {
                garden,
                document: *document,
                seq: *seq,
                bytes: bytes.clone(),
            };
            writes.push(Write::AddChange(change));
        }
        store.commit(&writes).unwrap();
        let mut service = Self {
            hall: None,
            store,
            epoch: 1,
            backups: Vec::new(),
            limits,
            failing_commits: 0,
            disk_is_full: false,
            chance,
            restored: 0,
        };
        service.start();
        service
    }

    /// Enrols a phone of a member.
    pub(crate) fn enrol(&mut self, number: u8, member: MemberId, now: Moment) {
        let made_at = now;
        let someone = rows::Person {
            id: person(number),
            name: "Somebody".to_owned(),
            sign_in: None,
            made_at,
        };
        let phone = rows::Device {
            id: device(number),
            person: person(number),
            name: format!("phone {number}"),
            token: SecretHash::from_bytes([number; 32]),
            garden: None,
            made_at,
            last_seen: now,
            revoked_at: None,
        };
        let garden = ids::garden(1);
        let membership = rows::Membership {
            person: person(number),
            garden,
            member,
            made_at,
        };
        let mut writes = vec![Write::AddPerson(someone), Write::AddDevice(phone)];
        // A second phone of the same person is, here, a second person on the same member's behalf.
        if self
            .store
            .person_of_member(garden, member)
            .unwrap()
            .is_none()
        {
            writes.push(Write::AddMembership(membership));
        }
        self.store.commit(&writes).unwrap();
    }

    pub(crate) fn is_up(&self) -> bool {
        self.hall.is_some()
    }

    /// The program starts, on whatever is on the disk.
    pub(crate) fn start(&mut self) {
        self.store = self.store.after_restart();
        self.hall = Some(Hall::new([100 + self.epoch; 16], self.limits.clone()));
        let (mut chance, full) = (self.chance.branch(), self.disk_is_full);
        let failing = self.failing_commits;
        self.store.fail_commits(move |_number| {
            if full {
                Fate::Failed
            } else if !chance.in_a_thousand(failing) {
                Fate::Written
            } else if chance.in_a_thousand(500) {
                Fate::Failed
            } else {
                Fate::WrittenButReportedFailed
            }
        });
    }

    /// The program dies between two turns.
    pub(crate) fn die(&mut self) {
        self.hall = None;
    }

    pub(crate) fn back_up(&mut self) {
        self.backups.push(self.store.after_restart());
    }

    /// The disk is lost, and an older backup is put in its place. False if there is none.
    pub(crate) fn restore(&mut self) -> bool {
        let number = self.chance.below(self.backups.len());
        let Some(backup) = self.backups.get(number) else {
            return false;
        };
        self.store = backup.after_restart();
        self.epoch += 1;
        self.restored += 1;
        self.start();
        true
    }

    /// Takes what arrived and says what is to be done.
    pub(crate) fn turn(&mut self, now: Moment, arrivals: Vec<Arrival>) -> Vec<Effect> {
        match &mut self.hall {
            Some(hall) => hall.turn(&mut self.store, now, arrivals),
            None => Vec::new(),
        }
    }

    /// Signs a phone out, if the disk lets it be written down.
    pub(crate) fn revoke(&mut self, number: u8, now: Moment) -> Option<Vec<Effect>> {
        let hall = self.hall.as_mut()?;
        self.store
            .commit(&[Write::RevokeDevice(device(number), now)])
            .ok()?;
        Some(hall.revoke(device(number), None))
    }

    pub(crate) fn is_revoked(&self, number: u8) -> bool {
        self.store
            .device(device(number))
            .unwrap()
            .is_some_and(|device| device.revoked_at.is_some())
    }

    /// The garden as it was decided and written.
    pub(crate) fn picture(&mut self) -> Option<Garden> {
        let hall = self.hall.as_mut()?;
        Some(hall.picture(&self.store, ids::garden(1)).unwrap().clone())
    }

    /// Every edit that was answered, in order of arrival, with its answer.
    pub(crate) fn log(&self) -> Vec<(rows::Edit, Verdict)> {
        let edits = self.store.edits(ids::garden(1), None, usize::MAX).unwrap();
        let with_verdict = edits.into_iter().map(|edit| {
            let verdict = serde_json::from_str(&edit.verdict).unwrap();
            (edit, verdict)
        });
        with_verdict.collect()
    }

    /// The garden as a new owner of the disk would load it, and how long each log is.
    pub(crate) fn reload(&self) -> (Replica, BTreeMap<DocumentName, u64>) {
        let garden = ids::garden(1);
        let mut replica = Replica::empty(garden, [99; 16]);
        let mut lengths = BTreeMap::new();
        for name in self.store.documents(garden).unwrap() {
            let snapshots = self.store.snapshots(garden, name).unwrap();
            let mut length = 0;
            if let Some(newest) = snapshots
                .iter()
                .find(|snapshot| snapshot.verified_at.is_some())
            {
                replica.load(name, &newest.bytes).unwrap();
                length = newest.upto_seq;
            }
            let changes = self
                .store
                .changes(garden, name, length, usize::MAX)
                .unwrap();
            for change in &changes {
                length += 1;
                assert_eq!(change.seq, length, "the log of {name} has no gap");
                replica
                    .take_changes(name, [change.bytes.as_slice()])
                    .unwrap();
            }
            lengths.insert(name, length);
        }
        (replica, lengths)
    }
}

/// Somebody at a connection.
pub(crate) fn attendee(number: u8, member: MemberId) -> Attendee {
    Attendee {
        garden: ids::garden(1),
        member,
        device: device(number),
    }
}

/// Whom an effect is for.
pub(crate) fn receiver(effect: &Effect) -> SessionId {
    match effect {
        Effect::Send(session, _) | Effect::Close(session, _) => *session,
    }
}
