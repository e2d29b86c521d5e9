//! A phone's copy of a garden: what the service has confirmed, and that with the phone's own waiting edits on top.
//!
//! - here: what is shown, and writing.
//! - `taking`: what frames of the service change.
//! - `telling`: what the person must be told of it.
//! - `keeping`: how it stands in the phone's storage.

mod keeping;
mod taking;
mod telling;

pub use keeping::Stored;

use std::collections::BTreeSet;

use super::notices::Notice;
use super::outbox::{Outbox, Row, RowState};
use super::replica::Replica;
use super::vault::{Keep, Store};
use crate::document::edit::{NoteBase, NoteOf};
use crate::document::ids::{EditId, GardenId, MemberId};
use crate::document::stored::ActorBytes;
use crate::document::{DocumentName, Edit, Envelope, Garden, Role};
use crate::json::{self, record};
use crate::ordered::Map;
use crate::policy::{Judges, Refused};
use crate::quantities::Moment;

/// The actor of a phone's documents, which are read and never written.
const READER: ActorBytes = [0xDF; 16];
/// No log is longer; a place beyond it is a damaged number.
const LONGEST_LOG: u64 = 1 << 32;

/// What the phone shows of a garden, and what it has to say to the service.
#[derive(Clone, Debug)]
pub struct LocalCopy {
    garden_id: GardenId,
    confirmed: Replica,
    judges: Judges,
    shown: Garden,
    cursors: Map<DocumentName, u64>,
    saved_to: Map<DocumentName, u64>,
    /// The edits of this phone that the confirmed documents carry already, perhaps before they were answered.
    carried: Map<DocumentName, BTreeSet<EditId>>,
    /// How long the service said each log is when it last said welcome.
    announced: Map<DocumentName, u64>,
    seat: Seat,
    outbox: Outbox,
    told: Vec<ToldRow>,
    /// The confirmed picture up to which the person was told what concerns them.
    told_up_to: Garden,
}

/// Who this phone's person is, as far as the service has said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Seat {
    epoch: Option<String>,
    member: Option<MemberId>,
    role: Option<Role>,
    in_step_at: Option<Moment>,
}

record!(Seat {
    epoch,
    member,
    role,
    in_step_at
});

/// Something the person was told and has not put away yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToldRow {
    /// Its number on this phone.
    pub number: u64,
    /// When it came.
    pub at: Moment,
    /// What it is.
    pub notice: Notice,
}

record!(ToldRow { number, at, notice });

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
    /// Whether everything that the service said it has was read.
    pub caught_up: bool,
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
        Self::empty(garden_id, Judges::ALL)
    }

    fn empty(garden_id: GardenId, judges: Judges) -> Self {
        Self {
            judges,
            garden_id,
            confirmed: Replica::empty(garden_id, READER),
            shown: Garden::default(),
            cursors: Map::new(),
            saved_to: Map::new(),
            carried: Map::new(),
            announced: Map::new(),
            seat: Seat::default(),
            outbox: Outbox::default(),
            told: Vec::new(),
            told_up_to: Garden::default(),
        }
    }

    /// What is shown: confirmed, with the waiting edits on top.
    pub fn garden(&self) -> &Garden {
        &self.shown
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
    pub fn cursors(&self) -> &Map<DocumentName, u64> {
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

    /// Whether an edit waits here that cannot be judged yet, and so is not shown.
    pub fn waits_for_judges(&self) -> bool {
        self.unconfirmed()
            .any(|row| !self.judges.know(&row.envelope.edit))
    }

    /// Can judge these edits from now on. Gives whether the screen changes.
    pub fn learn(&mut self, judges: Judges) -> bool {
        if !judges.are_more_than(self.judges) {
            return false;
        }
        let changes = self.waits_for_judges();
        self.judges = judges;
        if changes {
            self.redraw();
        }
        changes
    }

    /// The counts behind the truth line.
    pub fn truth(&self) -> Truth {
        Truth {
            unsaved: self.outbox.unsaved(),
            waiting: self.outbox.waiting().len(),
            set_aside: self.outbox.set_aside().len(),
            in_step_at: self.seat.in_step_at,
            caught_up: self.is_caught_up(),
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
        self.confirmed
            .draw(self.judges, &mut self.shown, &envelope, member)?;
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
            .filter_map(|(_, row)| json::read_bytes::<Row>(row).ok())
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

    /// Draws what is shown anew: confirmed, with the waiting edits over it.
    fn redraw(&mut self) {
        self.shown = self.confirmed.garden().clone();
        let Some(member) = self.seat.member else {
            return;
        };
        let unconfirmed: Vec<Envelope> =
            self.unconfirmed().map(|row| row.envelope.clone()).collect();
        for envelope in unconfirmed {
            // An edit that does not stand on the newer picture is not shown; the service has the last word on it.
            let _not_shown = self
                .confirmed
                .draw(self.judges, &mut self.shown, &envelope, member);
        }
    }
}
