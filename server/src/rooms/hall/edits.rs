//! Edits: decided one after another, written together, then answered and told.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::{DocumentName, Envelope};
use selion_core::policy::{RefusalCode, Refused};
use selion_core::quantities::Moment;
use selion_core::sync::frame::{Answer, Bytes, ServerFrame, Verdict};
use serde::Deserialize;

use super::super::catch_up::{may_read, whole};
use super::super::room::{Author, Decision, NewChange, Room, RoomError, refusal_of};
use super::super::snapshots;
use super::greeting::LEFT;
use super::{Attendee, Effect, Hall, Pending, SessionId, Turn};
use crate::store::{Read, StoreError};

/// What became of one edit in a turn.
enum Outcome {
    /// It has its answer, to be given once everything is written.
    Answered(Answer),
    /// It is a text without even an id; the sentence says so.
    Unreadable(String),
}

impl Hall {
    /// Takes edits outside any session, as the command line does: one commit, then the answers.
    pub fn take_edits(
        &mut self,
        store: &mut dyn crate::store::Store,
        now: Moment,
        garden: GardenId,
        author: Author,
        edits: &[String],
    ) -> Result<(Vec<Answer>, Vec<Effect>), RoomError> {
        let mut turn = Turn::new(store, now);
        let mut answers = Vec::with_capacity(edits.len());
        for text in edits {
            let outcome = match self.decide(&mut turn, garden, author, text) {
                Ok(Outcome::Answered(answer)) => Ok(answer),
                Ok(Outcome::Unreadable(sentence)) => Err(StoreError::Unreadable(sentence).into()),
                Err(error) => Err(error),
            };
            // What was decided of a list that is not written must not stay in memory.
            answers.push(outcome.inspect_err(|_| self.close(garden))?);
        }
        if self.flush(&mut turn) {
            Ok((answers, turn.effects))
        } else {
            Err(not_written())
        }
    }

    fn close(&mut self, garden: GardenId) {
        self.rooms.remove(&garden);
    }

    /// Tries edits on a copy of the garden: the place of the first that would be refused, and why.
    pub fn rehearse(
        &mut self,
        store: &dyn Read,
        now: Moment,
        garden: GardenId,
        author: Author,
        edits: &[Envelope],
    ) -> Result<Option<(usize, Refused)>, RoomError> {
        let mut copy = self.room(store, garden)?.clone();
        for (place, envelope) in edits.iter().enumerate() {
            if let Verdict::Refused(refused) = copy.decide(envelope, author, now)?.verdict {
                return Ok(Some((place, refused)));
            }
        }
        Ok(None)
    }

    /// Decides about the edits of one frame.
    pub(super) fn edits(
        &mut self,
        turn: &mut Turn<'_>,
        session: SessionId,
        who: Attendee,
        edits: &[String],
    ) {
        if self
            .sessions
            .get(&session)
            .is_none_or(|session| session.greeted_as.is_none())
        {
            // Not greeted yet, or told to begin again: the edits stay in the phone's outbox until it has said hello.
            return turn.send(session, &ServerFrame::Resync);
        }
        match self.still_welcome(&*turn.store, who) {
            Ok(None) => {}
            Ok(Some(reason)) => return self.end(&mut turn.effects, session, reason),
            Err(error) => return self.stumble(turn, session, who.garden, &error),
        }
        let count = u64::try_from(edits.len()).unwrap_or(u64::MAX);
        if self
            .edits_of_device
            .take(who.device, count, turn.now)
            .is_err()
        {
            tracing::warn!(device = %who.device, "a device sends more edits than anybody can write");
            return self.try_later(turn, session);
        }
        let author = Author {
            member: who.member,
            device: Some(who.device),
        };
        for text in edits {
            match self.decide(turn, who.garden, author, text) {
                Ok(Outcome::Answered(answer)) => turn.pending.answer(session, answer),
                Ok(Outcome::Unreadable(message)) => {
                    turn.send(session, &ServerFrame::Wrong { message });
                }
                Err(error) => return self.stumble(turn, session, who.garden, &error),
            }
        }
        if turn.pending.decided.len() >= self.limits.edits_in_commit {
            self.flush(turn);
        }
    }

    /// Decides about one edit, or finds the answer it got before.
    fn decide(
        &mut self,
        turn: &mut Turn<'_>,
        garden: GardenId,
        author: Author,
        text: &str,
    ) -> Result<Outcome, RoomError> {
        let read = Envelope::read(text);
        let edit = match &read {
            Ok(envelope) => envelope.id,
            Err(error) => match id_in(text) {
                Some(id) => id,
                None => return Ok(Outcome::Unreadable(error.to_string())),
            },
        };
        if let Some((member, verdict)) = earlier(&*turn.store, &turn.pending, garden, edit)? {
            let verdict = if member == author.member {
                verdict
            } else {
                somebody_elses()
            };
            return Ok(Outcome::Answered(Answer {
                edit,
                verdict,
                again: true,
            }));
        }
        let decision = match &read {
            Ok(envelope) => match self
                .room(&*turn.store, garden)?
                .decide(envelope, author, turn.now)
            {
                Ok(decision) => decision,
                Err(error) => {
                    tracing::error!(%garden, %edit, %error, "the work on an edit failed");
                    // What was decided before it is sound and gets written; what is in memory now is not.
                    let written = self.flush(turn);
                    self.rooms.remove(&garden);
                    if !written {
                        return Err(not_written());
                    }
                    Room::refuse(garden, edit, text, author, failed(), turn.now)
                }
            },
            Err(error) => {
                let refused = refusal_of(error);
                if refused.code == RefusalCode::NewerVersion {
                    // Not written down: once this program is newer too, the same edit may stand.
                    let verdict = Verdict::Refused(refused);
                    return Ok(Outcome::Answered(Answer {
                        edit,
                        verdict,
                        again: false,
                    }));
                }
                Room::refuse(garden, edit, text, author, refused, turn.now)
            }
        };
        let Decision {
            verdict,
            changes,
            writes,
        } = decision;
        let pending = &mut turn.pending;
        pending
            .decided
            .insert((garden, edit), (author.member, verdict.clone()));
        pending.gardens.insert(garden);
        pending.writes.extend(writes);
        pending
            .changes
            .extend(changes.into_iter().map(|change| (garden, change)));
        Ok(Outcome::Answered(Answer {
            edit,
            verdict,
            again: false,
        }))
    }

    /// Writes what was decided, then tells and answers. False if it could not be written.
    pub(super) fn flush(&mut self, turn: &mut Turn<'_>) -> bool {
        let pending = std::mem::take(&mut turn.pending);
        if !pending.writes.is_empty()
            && let Err(error) = turn.store.commit(&pending.writes)
        {
            tracing::error!(%error, edits = pending.decided.len(), "edits could not be written; phones send them again");
            self.undo(turn, &pending);
            return false;
        }
        self.tell(turn, &pending);
        for (session, answers) in pending.answers {
            turn.send(session, &ServerFrame::Answers { answers });
        }
        true
    }

    /// Forgets what was decided but could not be written. Everybody in the gardens comes back and begins again from their
    /// cursors: it may have been written after all, only the report of it lost.
    fn undo(&mut self, turn: &mut Turn<'_>, pending: &Pending) {
        let senders = pending.answers.iter().map(|(session, _)| *session);
        let mut sessions: BTreeSet<SessionId> = senders.collect();
        for garden in &pending.gardens {
            self.rooms.remove(garden);
            sessions.extend(self.present.get(garden).into_iter().flatten());
        }
        for session in sessions {
            self.try_later(turn, session);
        }
    }

    /// Tells everybody in the gardens what changed, and looks after what follows from it.
    fn tell(&mut self, turn: &mut Turn<'_>, pending: &Pending) {
        let mut runs: BTreeMap<(GardenId, DocumentName), Vec<&NewChange>> = BTreeMap::new();
        for (garden, change) in &pending.changes {
            runs.entry((*garden, change.document))
                .or_default()
                .push(change);
        }
        for ((garden, document), changes) in &runs {
            let (Some(open), Some(first)) = (self.rooms.get(garden), changes.first()) else {
                continue;
            };
            let frame = ServerFrame::Changes {
                document: *document,
                first: first.seq,
                changes: changes
                    .iter()
                    .map(|change| Bytes(change.bytes.clone()))
                    .collect(),
                heads: open.room.heads(*document),
            };
            let text: Arc<str> = frame.write().into();
            for (session, role) in self.greeted(*garden) {
                if may_read(role, *document) {
                    turn.effects.push(Effect::Send(session, Arc::clone(&text)));
                }
            }
        }
        for (garden, document) in runs.keys() {
            if *document == DocumentName::Ground {
                self.roles_may_have_changed(turn, *garden);
            }
        }
        for garden in &pending.gardens {
            self.snapshots_due(turn, *garden);
        }
    }

    /// After a change of the ground: whoever left is let go; whoever sees more or less than before is told.
    fn roles_may_have_changed(&mut self, turn: &mut Turn<'_>, garden: GardenId) {
        for (id, before) in self.greeted(garden) {
            let (Some(open), Some(session)) = (self.rooms.get(&garden), self.sessions.get_mut(&id))
            else {
                continue;
            };
            let Some(member) = open.room.picture().open_member(session.who.member) else {
                self.end(&mut turn.effects, id, LEFT);
                continue;
            };
            session.greeted_as = Some(member.role);
            for document in open.room.lengths().into_keys() {
                match (may_read(before, document), may_read(member.role, document)) {
                    (true, false) => turn.send(id, &ServerFrame::Withdrawn { document }),
                    (false, true) => match whole(&open.room, document) {
                        Ok(Some(frame)) => turn.send(id, &frame),
                        Ok(None) => {}
                        Err(error) => {
                            tracing::error!(%garden, %document, %error, "a document cannot be sent");
                        }
                    },
                    (true, true) | (false, false) => {}
                }
            }
        }
    }

    fn snapshots_due(&mut self, turn: &mut Turn<'_>, garden: GardenId) {
        let Some(open) = self.rooms.get_mut(&garden) else {
            return;
        };
        for document in open
            .room
            .due_for_snapshot(self.limits.changes_between_snapshots)
        {
            if let Err(error) = snapshots::make(turn.store, &open.room, garden, document, turn.now)
            {
                tracing::error!(%garden, %document, %error, "no snapshot was made; the changes stay");
            }
            // Also after a failure: the next try comes after as many changes again, not at every edit.
            open.room.snapshot_tried(document);
        }
    }
}

impl Pending {
    fn answer(&mut self, session: SessionId, answer: Answer) {
        match self.answers.last_mut() {
            Some((last, answers)) if *last == session => answers.push(answer),
            _ => self.answers.push((session, vec![answer])),
        }
    }
}

/// The answer an edit got before, in this turn or any time, and whose edit it was.
fn earlier(
    store: &dyn Read,
    pending: &Pending,
    garden: GardenId,
    edit: EditId,
) -> Result<Option<(MemberId, Verdict)>, RoomError> {
    if let Some(decided) = pending.decided.get(&(garden, edit)) {
        return Ok(Some(decided.clone()));
    }
    let Some(row) = store.edit(garden, edit)? else {
        return Ok(None);
    };
    let verdict = serde_json::from_str(&row.verdict)
        .map_err(|error| StoreError::Unreadable(error.to_string()))?;
    Ok(Some((row.member, verdict)))
}

/// The id in a text that is otherwise no envelope, so that its author can be told which edit it was.
fn id_in(text: &str) -> Option<EditId> {
    #[derive(Deserialize)]
    struct JustId {
        id: EditId,
    }
    serde_json::from_str::<JustId>(text)
        .ok()
        .map(|found| found.id)
}

fn somebody_elses() -> Verdict {
    let message = "This change has the same id as one that somebody else wrote.";
    Verdict::Refused(Refused::new(RefusalCode::AlreadyThere, message))
}

fn failed() -> Refused {
    Refused::new(
        RefusalCode::Failed,
        "The service failed while it worked on this change; nothing was changed.",
    )
}

fn not_written() -> RoomError {
    StoreError::Failed("what was decided could not be written".to_owned()).into()
}
