//! What the frames of the service change in a phone's copy, and what of it is to be kept.

use super::{LONGEST_LOG, LocalCopy, Taken};
use crate::document::ids::{EditId, MemberId};
use crate::document::stored::Heads;
use crate::document::{DocumentName, Edit, Role};
use crate::ordered::Map;
use crate::policy::Told;
use crate::quantities::Moment;
use crate::sync::frame::{Answer, Bytes, ServerFrame, Verdict};
use crate::sync::notices::Notice;
use crate::sync::outbox::RowState;
use crate::sync::vault::{Keep, Store};

/// After so many changes a document is saved whole again.
const CHANGES_BEFORE_SAVING: u64 = 200;

impl LocalCopy {
    /// Takes a frame of the service.
    pub fn take(&mut self, frame: &ServerFrame, now: Moment) -> Taken {
        match frame {
            ServerFrame::Welcome {
                epoch,
                member,
                role,
                documents,
                ..
            } => self.welcomed(epoch, *member, *role, documents, now),
            ServerFrame::Changes {
                document,
                first,
                changes,
                heads,
            } => self.take_changes(*document, *first, changes, heads, now),
            ServerFrame::Snapshot {
                document,
                sequence,
                bytes,
                heads,
            } => self.take_snapshot(*document, *sequence, &bytes.0, heads, now),
            ServerFrame::Answers { answers } => self.answered(answers, now),
            ServerFrame::Withdrawn { document } => {
                let keep = self.forget(*document);
                self.redraw();
                Taken {
                    keep,
                    changed: true,
                    again: None,
                }
            }
            ServerFrame::Resync
            | ServerFrame::Revoked { .. }
            | ServerFrame::Wrong { .. }
            | ServerFrame::Pong => Taken::default(),
        }
    }

    /// The phone is in step: nothing waits and nothing is outstanding.
    pub fn in_step(&mut self, now: Moment) -> Vec<Keep> {
        self.seat.in_step_at = Some(now);
        vec![self.keep_seat()]
    }

    fn welcomed(
        &mut self,
        epoch: &str,
        member: MemberId,
        role: Role,
        documents: &Map<DocumentName, u64>,
        now: Moment,
    ) -> Taken {
        let mut keep = Vec::new();
        let restored = self
            .seat
            .epoch
            .as_deref()
            .is_some_and(|known| known != epoch);
        if restored {
            // The log begins anew, and what was acknowledged may be missing from the backup: offer it again. What the
            // phone has is shown, and kept without a place in the log, until the whole has come.
            for name in self.confirmed.names() {
                keep.extend(self.save_whole(name, 0));
                self.cursors.remove(&name);
                self.saved_to.remove(&name);
            }
            for row in self.outbox.offer_again() {
                keep.push(self.keep_row(&row));
            }
        }
        let withdrawn: Vec<DocumentName> = self
            .confirmed
            .names()
            .into_iter()
            .filter(|name| !documents.contains_key(name))
            .collect();
        for name in withdrawn {
            keep.extend(self.forget(name));
        }
        for edit in self.outbox.forget_old(now) {
            keep.push(Keep::Delete(Store::Outbox, self.row_key(edit)));
        }
        self.announced.clone_from(documents);
        self.seat.epoch = Some(epoch.to_owned());
        self.seat.member = Some(member);
        self.seat.role = Some(role);
        keep.push(self.keep_seat());
        self.redraw();
        Taken {
            keep,
            changed: true,
            again: None,
        }
    }

    fn take_changes(
        &mut self,
        name: DocumentName,
        first: u64,
        changes: &[Bytes],
        heads: &Heads,
        now: Moment,
    ) -> Taken {
        let cursor = self.cursors.get(&name).copied().unwrap_or(0);
        let last = first.saturating_add(u64::try_from(changes.len()).unwrap_or(0));
        // From the place behind the last to the last itself.
        let last = last.saturating_sub(1);
        if changes.is_empty() || last <= cursor || last > LONGEST_LOG {
            return Taken::default();
        }
        let again = Taken {
            again: Some(name),
            ..Taken::default()
        };
        if first > cursor + 1 {
            return again;
        }
        let taken = self
            .confirmed
            .take_changes(name, changes.iter().map(|change| change.0.as_slice()));
        let Ok(edits) = taken else {
            return again;
        };
        if self.confirmed.heads(name) != *heads {
            return again;
        }
        let news = self.note_carried(name, edits);
        self.cursors.insert(name, last);
        let mut keep: Vec<Keep> = (first..)
            .zip(changes)
            .map(|(place, change)| {
                Keep::Put(
                    Store::Changes,
                    self.change_key(name, place),
                    change.0.clone(),
                )
            })
            .collect();
        if last - self.saved_to.get(&name).copied().unwrap_or(0) > CHANGES_BEFORE_SAVING {
            keep.extend(self.save_whole(name, last));
        }
        keep.extend(self.tell(&news, now));
        self.redraw();
        Taken {
            keep,
            changed: true,
            again: None,
        }
    }

    fn take_snapshot(
        &mut self,
        name: DocumentName,
        sequence: u64,
        bytes: &[u8],
        heads: &Heads,
        now: Moment,
    ) -> Taken {
        if sequence > LONGEST_LOG
            || self.confirmed.load(name, bytes).is_err()
            || self.confirmed.heads(name) != *heads
        {
            return Taken {
                again: Some(name),
                ..Taken::default()
            };
        }
        self.cursors.insert(name, sequence);
        let before = self.carried.remove(&name).unwrap_or_default();
        let mut news = self.note_carried(name, self.confirmed.edits(name));
        news.retain(|edit| !before.contains(edit));
        let mut keep = self.save_whole(name, sequence);
        keep.extend(self.tell(&news, now));
        self.redraw();
        Taken {
            keep,
            changed: true,
            again: None,
        }
    }

    fn answered(&mut self, answers: &[Answer], now: Moment) -> Taken {
        let mut keep = Vec::new();
        for answer in answers {
            let Some(row) = self.outbox.get_mut(answer.edit) else {
                continue;
            };
            if row.state != RowState::Waiting {
                continue;
            }
            row.state = match &answer.verdict {
                Verdict::Accepted {
                    document,
                    sequence,
                    told,
                } => RowState::Accepted {
                    document: *document,
                    sequence: *sequence,
                    told: *told,
                    at: now,
                },
                Verdict::Refused(refused) => RowState::SetAside {
                    refused: refused.clone(),
                    at: now,
                },
            };
            let row = row.clone();
            if let Some(notice) = told_by(&answer.verdict, &row.envelope.edit) {
                self.add_told(notice, now);
                keep.push(self.keep_told());
            }
            keep.push(self.keep_row(&row));
        }
        let changed = !keep.is_empty();
        if changed {
            self.redraw();
        }
        Taken {
            keep,
            changed,
            again: None,
        }
    }

    fn forget(&mut self, name: DocumentName) -> Vec<Keep> {
        self.confirmed.forget(name);
        self.cursors.remove(&name);
        self.saved_to.remove(&name);
        self.carried.remove(&name);
        vec![
            Keep::Delete(Store::Documents, self.document_key(name)),
            Keep::DeletePrefix(Store::Changes, self.changes_prefix(name)),
        ]
    }

    /// Notes which of this phone's edits a document carries, and gives those that it had not carried before.
    pub(super) fn note_carried(&mut self, name: DocumentName, edits: Vec<EditId>) -> Vec<EditId> {
        let carried = self.carried.entry(name).or_default();
        edits
            .into_iter()
            .filter(|edit| self.outbox.get(*edit).is_some() && carried.insert(*edit))
            .collect()
    }
}

/// What the person is told with the answer to their edit.
fn told_by(verdict: &Verdict, edit: &Edit) -> Option<Notice> {
    let Verdict::Accepted {
        told: Some(told), ..
    } = verdict
    else {
        return None;
    };
    match (told, edit) {
        (Told::StandsBy(steps), Edit::Claim { of, .. }) => Some(Notice::StandsBy {
            of: *of,
            steps: *steps,
        }),
        (Told::ClaimedStay(tasks), _) => Some(Notice::ClaimedStay { tasks: *tasks }),
        _other => None,
    }
}
