//! How a phone's copy stands in the phone's storage, and how it comes back from there.

use super::{LONGEST_LOG, LocalCopy};
use crate::document::DocumentName;
use crate::document::ids::{EditId, GardenId};
use crate::json;
use crate::ordered::Map;
use crate::policy::Judges;
use crate::sync::outbox::{Outbox, Row};
use crate::sync::vault::{Keep, Store};

/// What was found in the phone's storage for one garden, key and value, as [`crate::sync::vault`] lists them.
#[derive(Clone, Debug, Default)]
pub struct Stored {
    /// The outbox rows.
    pub outbox: Vec<(String, Vec<u8>)>,
    /// The saved documents.
    pub documents: Vec<(String, Vec<u8>)>,
    /// The changes since.
    pub changes: Vec<(String, Vec<u8>)>,
    /// Session and notices.
    pub meta: Vec<(String, Vec<u8>)>,
}

impl LocalCopy {
    /// What the phone's storage holds. What cannot be read is left to the service to send again; an outbox row that
    /// cannot be read stays in the storage.
    pub fn restore(garden_id: GardenId, stored: &Stored) -> Self {
        Self::restore_with(Judges::ALL, garden_id, stored)
    }

    /// The same on a phone that cannot judge all edits yet.
    pub fn restore_with(judges: Judges, garden_id: GardenId, stored: &Stored) -> Self {
        let mut copy = Self::empty(garden_id, judges);
        copy.outbox = Outbox::from_rows(
            stored
                .outbox
                .iter()
                .filter_map(|(_, row)| json::read_bytes(row).ok()),
        );
        for (key, value) in &stored.meta {
            if *key == copy.session_key() {
                copy.seat = json::read_bytes(value).unwrap_or_default();
            } else if *key == copy.notices_key() {
                copy.told = json::read_bytes(value).unwrap_or_default();
            }
        }
        for (key, value) in &stored.documents {
            let name = key.rsplit('/').next().and_then(|name| name.parse().ok());
            if let (Some(name), Some((sequence, bytes))) = (name, split_saved(value))
                && copy.confirmed.load(name, bytes).is_ok()
                && (1..=LONGEST_LOG).contains(&sequence)
            {
                copy.cursors.insert(name, sequence);
                copy.saved_to.insert(name, sequence);
            }
        }
        copy.restore_changes(&stored.changes);
        for name in copy.confirmed.names() {
            let _known_before = copy.note_carried(name, copy.confirmed.edits(name));
        }
        copy.told_up_to = copy.confirmed.garden().clone();
        copy.redraw();
        copy
    }

    fn restore_changes(&mut self, stored: &[(String, Vec<u8>)]) {
        let mut logs: Map<DocumentName, Map<u64, &[u8]>> = Map::new();
        for (key, value) in stored {
            let mut parts = key.rsplit('/');
            let (place, name) = (
                parts.next().and_then(|place| place.parse().ok()),
                parts.next().and_then(|name| name.parse().ok()),
            );
            if let (Some(place), Some(name)) = (place, name) {
                logs.entry(name).or_default().insert(place, value);
            }
        }
        for (name, log) in logs {
            let start = self.cursors.get(&name).copied().unwrap_or(0);
            // Only an unbroken run counts; the service sends the rest again.
            let run: Vec<&[u8]> = (start + 1..)
                .map_while(|place| log.get(&place).copied())
                .collect();
            let length = u64::try_from(run.len()).unwrap_or(0);
            if length > 0 {
                if self.confirmed.take_changes(name, run).is_ok() {
                    self.cursors.insert(name, start + length);
                } else {
                    self.confirmed.forget(name);
                    self.cursors.remove(&name);
                }
            }
        }
    }

    pub(super) fn save_whole(&mut self, name: DocumentName, sequence: u64) -> Vec<Keep> {
        let Some(bytes) = self.confirmed.save_loose(name) else {
            return Vec::new();
        };
        self.saved_to.insert(name, sequence);
        let mut value = format!("{sequence}\n").into_bytes();
        value.extend(bytes);
        vec![
            Keep::Put(Store::Documents, self.document_key(name), value),
            Keep::DeletePrefix(Store::Changes, self.changes_prefix(name)),
        ]
    }

    pub(super) fn keep_row(&self, row: &Row) -> Keep {
        Keep::Put(
            Store::Outbox,
            self.row_key(row.envelope.id),
            json::write(row).into_bytes(),
        )
    }

    pub(super) fn keep_seat(&self) -> Keep {
        Keep::Put(
            Store::Meta,
            self.session_key(),
            json::write(&self.seat).into_bytes(),
        )
    }

    pub(super) fn keep_told(&self) -> Keep {
        Keep::Put(
            Store::Meta,
            self.notices_key(),
            json::write(&self.told).into_bytes(),
        )
    }

    pub(super) fn row_key(&self, edit: EditId) -> String {
        format!("{}/{edit}", self.garden_id)
    }

    pub(super) fn document_key(&self, name: DocumentName) -> String {
        format!("{}/{name}", self.garden_id)
    }

    pub(super) fn changes_prefix(&self, name: DocumentName) -> String {
        format!("{}/{name}/", self.garden_id)
    }

    pub(super) fn change_key(&self, name: DocumentName, place: u64) -> String {
        format!("{}/{name}/{place:016}", self.garden_id)
    }

    fn session_key(&self) -> String {
        format!("{}/session", self.garden_id)
    }

    fn notices_key(&self) -> String {
        format!("{}/notices", self.garden_id)
    }
}

/// A saved document is its place in the log on a line of its own, then the bytes.
fn split_saved(value: &[u8]) -> Option<(u64, &[u8])> {
    let line = value.iter().position(|byte| *byte == b'\n')?;
    let (sequence, bytes) = value.split_at_checked(line)?;
    let sequence = std::str::from_utf8(sequence).ok()?.parse().ok()?;
    Some((sequence, bytes.get(1..)?))
}
