//! A phone's copy of a garden: what the service has confirmed, and that with the phone's own waiting edits on top.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::frame::{Answer, Bytes, ServerFrame, Verdict};
use super::notices::{Notice, notices};
use super::outbox::{Outbox, Row, RowState};
use super::replica::Replica;
use super::vault::{Keep, Store};
use crate::document::edit::{Claimable, NoteBase, NoteOf};
use crate::document::ids::{ClaimId, EditId, GardenId, MemberId};
use crate::document::records::{ClaimState, Place as _};
use crate::document::stored::{ActorBytes, Heads};
use crate::document::{DocumentName, Edit, Envelope, Garden, Role};
use crate::policy::{Refused, Told};
use crate::quantities::Moment;

/// Changes on a phone carry this actor; they are drafts and never leave it.
const DRAFT: ActorBytes = [0xDF; 16];
/// After so many changes a document is saved whole again.
const CHANGES_BEFORE_SAVING: u64 = 200;

/// No log is longer; a place beyond it is a damaged number.
const LONGEST_LOG: u64 = 1 << 32;

/// What the phone shows of a garden, and what it has to say to the service.
#[derive(Clone, Debug)]
pub struct LocalCopy {
    garden_id: GardenId,
    confirmed: Replica,
    shown: Replica,
    cursors: BTreeMap<DocumentName, u64>,
    saved_to: BTreeMap<DocumentName, u64>,
    /// The edits of this phone that the confirmed documents carry already, perhaps before they were answered.
    carried: BTreeMap<DocumentName, BTreeSet<EditId>>,
    /// How long the service said each log is when it last said welcome.
    announced: BTreeMap<DocumentName, u64>,
    seat: Seat,
    outbox: Outbox,
    told: Vec<ToldRow>,
    /// The confirmed picture up to which the person was told what concerns them.
    told_up_to: Garden,
}

/// Who this phone's person is, as far as the service has said.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
struct Seat {
    epoch: Option<String>,
    member: Option<MemberId>,
    role: Option<Role>,
    in_step_at: Option<Moment>,
}

/// Something the person was told and has not put away yet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ToldRow {
    /// Its number on this phone.
    pub number: u64,
    /// When it came.
    pub at: Moment,
    /// What it is.
    pub notice: Notice,
}

/// What was found in the phone's storage for one garden, key and value, as [`super::vault`] lists them.
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

/// The counts behind the truth line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Truth {
    /// Edits the storage does not hold yet.
    pub unsaved: usize,
    /// Edits not answered yet.
    pub waiting: usize,
    /// Edits set aside.
    pub set_aside: usize,
    /// When the phone last was in step with the garden.
    pub in_step_at: Option<Moment>,
}

/// What came of a frame.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    /// What is to be kept, all in one.
    pub keep: Vec<Keep>,
    /// Whether the screen changes.
    pub changed: bool,
    /// A document that does not match and must be fetched whole.
    pub again: Option<DocumentName>,
}

impl LocalCopy {
    /// A garden the phone knows nothing of yet.
    pub fn new(garden_id: GardenId) -> Self {
        let confirmed = Replica::empty(garden_id, DRAFT);
        Self {
            garden_id,
            shown: confirmed.clone(),
            confirmed,
            cursors: BTreeMap::new(),
            saved_to: BTreeMap::new(),
            carried: BTreeMap::new(),
            announced: BTreeMap::new(),
            seat: Seat::default(),
            outbox: Outbox::default(),
            told: Vec::new(),
            told_up_to: Garden::default(),
        }
    }

    /// What the phone's storage holds. What cannot be read is left to the service to send again; an outbox row that
    /// cannot be read stays in the storage.
    pub fn restore(garden_id: GardenId, stored: &Stored) -> Self {
        let mut copy = Self::new(garden_id);
        copy.outbox = Outbox::from_rows(
            stored
                .outbox
                .iter()
                .filter_map(|(_, row)| serde_json::from_slice(row).ok()),
        );
        for (key, value) in &stored.meta {
            if *key == copy.session_key() {
                copy.seat = serde_json::from_slice(value).unwrap_or_default();
            } else if *key == copy.notices_key() {
                copy.told = serde_json::from_slice(value).unwrap_or_default();
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
        let mut logs: BTreeMap<DocumentName, BTreeMap<u64, &[u8]>> = BTreeMap::new();
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

    /// What is shown: confirmed, with the waiting edits on top.
    pub fn garden(&self) -> &Garden {
        self.shown.garden()
    }

    /// What the service has confirmed.
    pub fn confirmed(&self) -> &Replica {
        &self.confirmed
    }

    /// Which garden this is.
    pub fn garden_id(&self) -> GardenId {
        self.garden_id
    }

    /// This phone's person, once the service has said who that is.
    pub fn member(&self) -> Option<MemberId> {
        self.seat.member
    }

    /// What they may do, as the shown garden has it.
    pub fn role(&self) -> Option<Role> {
        let member = self.seat.member?;
        self.garden()
            .members
            .get(&member)
            .map(|member| member.role)
            .or(self.seat.role)
    }

    /// The edits of this phone.
    pub fn outbox(&self) -> &Outbox {
        &self.outbox
    }

    /// What the person was told and has not put away.
    pub fn told(&self) -> &[ToldRow] {
        &self.told
    }

    /// How far each document's log was read.
    pub fn cursors(&self) -> &BTreeMap<DocumentName, u64> {
        &self.cursors
    }

    /// The epoch that the cursors belong to.
    pub fn epoch(&self) -> Option<&str> {
        self.seat.epoch.as_deref()
    }

    /// Whether every log has been read as far as the service said it goes.
    pub fn is_caught_up(&self) -> bool {
        self.announced
            .iter()
            .all(|(name, length)| self.cursors.get(name).copied().unwrap_or(0) >= *length)
    }

    /// What a note written now is written against: the confirmed heads, and the person's own note that still waits.
    pub fn note_base(&self, of: NoteOf, document: DocumentName) -> NoteBase {
        let same_note = |row: &&Row| matches!(&row.envelope.edit, Edit::WriteNote { of: other, .. } if *other == of);
        let after = self
            .unconfirmed()
            .filter(same_note)
            .last()
            .map(|row| row.envelope.id);
        NoteBase {
            heads: self.confirmed.heads(document).0,
            after,
        }
    }

    /// The counts behind the truth line.
    pub fn truth(&self) -> Truth {
        Truth {
            unsaved: self.outbox.unsaved(),
            waiting: self.outbox.waiting().len(),
            set_aside: self.outbox.set_aside().len(),
            in_step_at: self.seat.in_step_at,
        }
    }

    /// Writes an edit: it is shown at once and waits in the outbox. The caller keeps the returned rows with strict
    /// durability and then says [`LocalCopy::saved`].
    ///
    /// An edit that cannot stand even on this phone is refused here and now, and leaves no trace.
    pub fn write(
        &mut self,
        id: EditId,
        document: DocumentName,
        edit: Edit,
        now: Moment,
    ) -> Result<Vec<Keep>, Refused> {
        let envelope = Envelope {
            version: Envelope::VERSION,
            id,
            garden: self.garden_id,
            document,
            written_at: now,
            edit,
        };
        let Some(member) = self.seat.member else {
            return Err(Refused::new(
                crate::policy::RefusalCode::NotAMember,
                "This phone has not met the garden yet; open it once with a signal.",
            ));
        };
        self.shown.apply(&envelope, member, now)?;
        let row = self.outbox.push(envelope);
        Ok(vec![self.keep_row(&row)])
    }

    /// The rows stand safely in the phone's storage and may be sent.
    pub fn saved(&mut self, edits: &[EditId]) {
        for edit in edits {
            if let Some(row) = self.outbox.get_mut(*edit) {
                row.saved = true;
            }
        }
    }

    /// Takes over rows that another tab of the same phone wrote into the storage.
    pub fn adopt(&mut self, rows: &[(String, Vec<u8>)]) {
        for row in rows
            .iter()
            .filter_map(|(_, row)| serde_json::from_slice::<Row>(row).ok())
        {
            if self.outbox.get(row.envelope.id).is_none() {
                self.outbox.put(row);
            }
        }
        self.redraw();
    }

    /// Writes a set-aside edit anew, under a new id, against the garden as it is now.
    pub fn redo(
        &mut self,
        set_aside: EditId,
        id: EditId,
        now: Moment,
    ) -> Result<Vec<Keep>, Refused> {
        let Some(row) = self
            .outbox
            .get(set_aside)
            .filter(|row| matches!(row.state, RowState::SetAside { .. }))
            .cloned()
        else {
            return Ok(Vec::new());
        };
        let mut keep = self.write(id, row.envelope.document, row.envelope.edit, now)?;
        keep.extend(self.drop_row(set_aside));
        Ok(keep)
    }

    /// Drops a set-aside edit.
    pub fn drop_row(&mut self, set_aside: EditId) -> Vec<Keep> {
        match self.outbox.get(set_aside) {
            Some(row) if matches!(row.state, RowState::SetAside { .. }) => {
                self.outbox.remove(set_aside);
                vec![Keep::Delete(Store::Outbox, self.row_key(set_aside))]
            }
            Some(_) | None => Vec::new(),
        }
    }

    /// Puts a notice away.
    pub fn put_away(&mut self, number: u64) -> Vec<Keep> {
        self.told.retain(|row| row.number != number);
        vec![self.keep_told()]
    }

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
        documents: &BTreeMap<DocumentName, u64>,
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
            if let (
                Verdict::Accepted {
                    told: Some(Told::StandsBy(steps)),
                    ..
                },
                Edit::Claim { of, .. },
            ) = (&answer.verdict, &row.envelope.edit)
            {
                self.add_told(
                    Notice::StandsBy {
                        of: *of,
                        steps: *steps,
                    },
                    now,
                );
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

    /// What the person must be told about the step from the picture they were last told about to the confirmed one.
    ///
    /// Not from the one just before: changes that did not lead to the expected heads have changed the confirmed picture,
    /// and the whole document that then replaces it would seem to bring nothing new.
    fn tell(&mut self, newly_carried: &[EditId], now: Moment) -> Option<Keep> {
        let before = std::mem::replace(&mut self.told_up_to, self.confirmed.garden().clone());
        let me = self.seat.member?;
        let news: Vec<Notice> = notices(&before, &self.told_up_to, me)
            .into_iter()
            .chain(self.lost_at_once(&before, newly_carried))
            .filter(|notice| !self.is_own_doing(notice))
            .collect();
        if news.is_empty() {
            return None;
        }
        for notice in news {
            self.add_told(notice, now);
        }
        Some(self.keep_told())
    }

    /// Claims of this phone that came down together with what then became of them: the phone showed them all the while,
    /// but no confirmed picture ever had them standing.
    fn lost_at_once(&self, before: &Garden, newly_carried: &[EditId]) -> Vec<Notice> {
        let claims = newly_carried.iter().filter_map(|edit| {
            match self.outbox.get(*edit).map(|row| &row.envelope.edit) {
                Some(Edit::Claim { of, claim }) => Some((*of, *claim)),
                _ => None,
            }
        });
        let garden = self.confirmed.garden();
        claims
            .filter_map(|(of, claim)| {
                let (year, record, ended_on) = match of {
                    Claimable::Task(task) => {
                        let (year, task) = garden.task(task)?;
                        (year, task.claims.get(&claim)?, task.ended_on)
                    }
                    Claimable::Turn(turn) => {
                        let (year, turn) = garden.turn(turn)?;
                        (year, turn.claims.get(&claim)?, turn.ended_on)
                    }
                };
                // The first picture of a year is not news.
                before.seasons.get(&year)?;
                match record.state {
                    ClaimState::GivenBack => Some(Notice::TakenOff { of, claim }),
                    ClaimState::Standing | ClaimState::Done if ended_on.is_some() => {
                        Some(Notice::CalledOff { of })
                    }
                    ClaimState::Standing | ClaimState::Done => None,
                }
            })
            .collect()
    }

    /// Whether the person did it themselves, on this phone.
    fn is_own_doing(&self, notice: &Notice) -> bool {
        let mine = |wanted: &dyn Fn(&Edit) -> bool| {
            self.outbox
                .in_order()
                .iter()
                .any(|row| wanted(&row.envelope.edit))
        };
        match notice {
            Notice::TakenOff { claim: gone, .. } => mine(
                &|edit| matches!(edit, Edit::GiveBack { claim, .. } | Edit::HandOver { claim, .. } if claim == gone),
            ),
            Notice::CalledOff { of } => mine(&|edit| match (edit, of) {
                (Edit::ChangeTask { task, .. }, Claimable::Task(called_off)) => task == called_off,
                (Edit::EndTurn { turn, .. }, Claimable::Turn(called_off)) => turn == called_off,
                _other => false,
            }),
            Notice::PutDown { of } => mine(&|edit| match (edit, of) {
                (Edit::AddTurns { turns }, Claimable::Turn(put_up)) => {
                    turns.iter().any(|new| new.turn == *put_up)
                }
                (Edit::HandOver { of: handed, .. } | Edit::Claim { of: handed, .. }, of) => {
                    handed == of
                }
                _other => false,
            }),
            Notice::OrderClosed { order: closed, .. } => {
                mine(&|edit| matches!(edit, Edit::CloseOrder { order, .. } if order == closed))
            }
            // The answer to the claim tells it.
            Notice::StandsBy { of, .. } => {
                let standing = self.own_claim(*of);
                mine(&|edit| matches!(edit, Edit::Claim { claim, .. } if Some(*claim) == standing))
            }
            Notice::GotPlace { .. } | Notice::RoleChanged { .. } => false,
        }
    }

    /// The person's claim that is confirmed and was not given back.
    fn own_claim(&self, of: Claimable) -> Option<ClaimId> {
        let (garden, me) = (self.confirmed.garden(), self.seat.member?);
        let found = match of {
            Claimable::Task(task) => garden.task(task)?.1.claim_of(me),
            Claimable::Turn(turn) => garden.turn(turn)?.1.claim_of(me),
        };
        found.map(|(claim, ..)| claim)
    }

    fn add_told(&mut self, notice: Notice, now: Moment) {
        let number = self.told.iter().map(|row| row.number).max().unwrap_or(0) + 1;
        self.told.push(ToldRow {
            number,
            at: now,
            notice,
        });
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

    /// The edits of this phone that the confirmed documents do not show yet. One of them may have come down as a change
    /// before its answer, or instead of it; to draw it a second time would double the words of a note.
    fn unconfirmed(&self) -> impl Iterator<Item = &Row> {
        let carried = |row: &Row| {
            self.carried
                .get(&row.envelope.document)
                .is_some_and(|carried| carried.contains(&row.envelope.id))
        };
        self.outbox
            .unconfirmed(&self.cursors)
            .filter(move |row| !carried(row))
    }

    /// Notes which of this phone's edits a document carries, and gives those that it had not carried before.
    fn note_carried(&mut self, name: DocumentName, edits: Vec<EditId>) -> Vec<EditId> {
        let carried = self.carried.entry(name).or_default();
        edits
            .into_iter()
            .filter(|edit| self.outbox.get(*edit).is_some() && carried.insert(*edit))
            .collect()
    }

    /// Draws what is shown anew: confirmed, and the waiting edits replayed on a draft.
    fn redraw(&mut self) {
        self.shown = self.confirmed.draft(DRAFT);
        let Some(member) = self.seat.member else {
            return;
        };
        let unconfirmed: Vec<Envelope> =
            self.unconfirmed().map(|row| row.envelope.clone()).collect();
        for envelope in unconfirmed {
            // An edit that does not stand on the newer picture is not shown; the service has the last word on it.
            let _not_shown = self.shown.apply(&envelope, member, envelope.written_at);
        }
    }

    fn save_whole(&mut self, name: DocumentName, sequence: u64) -> Vec<Keep> {
        let Some(bytes) = self.confirmed.save(name) else {
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

    fn keep_row(&self, row: &Row) -> Keep {
        // Rows, seats and notices have string keys and no floats, so writing them as JSON cannot fail.
        Keep::Put(
            Store::Outbox,
            self.row_key(row.envelope.id),
            serde_json::to_vec(row).unwrap_or_default(),
        )
    }

    fn keep_seat(&self) -> Keep {
        Keep::Put(
            Store::Meta,
            self.session_key(),
            serde_json::to_vec(&self.seat).unwrap_or_default(),
        )
    }

    fn keep_told(&self) -> Keep {
        Keep::Put(
            Store::Meta,
            self.notices_key(),
            serde_json::to_vec(&self.told).unwrap_or_default(),
        )
    }

    fn row_key(&self, edit: EditId) -> String {
        format!("{}/{edit}", self.garden_id)
    }

    fn document_key(&self, name: DocumentName) -> String {
        format!("{}/{name}", self.garden_id)
    }

    fn changes_prefix(&self, name: DocumentName) -> String {
        format!("{}/{name}/", self.garden_id)
    }

    fn change_key(&self, name: DocumentName, place: u64) -> String {
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
