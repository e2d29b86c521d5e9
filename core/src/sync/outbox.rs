//! A phone's own edits on their way.

use crate::document::ids::EditId;
use crate::document::{DocumentName, Envelope};
use crate::json::{Fields, Object, Record, Unreadable, one_object, put, tagged};
use crate::ordered;
use crate::ordered::Map;
use crate::policy::{Refused, Told};
use crate::quantities::Moment;

/// How long an accepted edit is kept, so that it can be offered again to a service restored from an older backup.
const KEPT_AFTER_ACCEPTANCE_MILLIS: i64 = 30 * 24 * 60 * 60 * 1000;

/// One edit of this phone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its place in the order of writing on this phone.
    pub number: u64,
    /// The edit as it is sent.
    pub envelope: Envelope,
    /// What became of it.
    pub state: RowState,
    /// Whether it stands safely in the phone's storage. Not stored: what was read from there does.
    pub saved: bool,
}

impl Record for Row {
    fn from_fields(fields: Fields<'_>) -> Result<Self, Unreadable> {
        Ok(Self {
            number: fields.read("number")?,
            envelope: fields.read("envelope")?,
            state: fields.read("state")?,
            saved: true,
        })
    }

    fn put_fields(&self, object: &mut Object) {
        put(object, "number", &self.number);
        put(object, "envelope", &self.envelope);
        put(object, "state", &self.state);
    }
}

one_object!(Row);

/// What became of an edit of this phone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RowState {
    /// Not answered yet.
    Waiting,
    /// Accepted by the garden's service.
    Accepted {
        /// In which document.
        document: DocumentName,
        /// Its place in the log, if it changed anything.
        sequence: Option<u64>,
        /// What its author was told.
        told: Option<Told>,
        /// When the answer came.
        at: Moment,
    },
    /// Refused, and set aside for its author to redo or drop.
    SetAside {
        /// Why.
        refused: Refused,
        /// When the answer came.
        at: Moment,
    },
}

tagged!(RowState by "state" {
    "waiting" => Waiting,
    "accepted" => Accepted { document, sequence, told, at },
    "set_aside" => SetAside { refused, at },
});

/// All of a phone's edits of one garden that are not history yet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outbox {
    rows: Map<EditId, Row>,
}

impl Outbox {
    /// What was stored.
    pub fn from_rows(rows: impl IntoIterator<Item = Row>) -> Self {
        Self {
            rows: rows.into_iter().map(|row| (row.envelope.id, row)).collect(),
        }
    }

    /// Adds a new edit behind the others.
    pub fn push(&mut self, envelope: Envelope) -> Row {
        let number = self.rows.values().map(|row| row.number).max().unwrap_or(0) + 1;
        let row = Row {
            number,
            envelope,
            state: RowState::Waiting,
            saved: false,
        };
        self.rows.insert(row.envelope.id, row.clone());
        row
    }

    /// A row by its edit's id.
    pub fn get(&self, edit: EditId) -> Option<&Row> {
        self.rows.get(&edit)
    }

    /// A row to be changed.
    pub fn get_mut(&mut self, edit: EditId) -> Option<&mut Row> {
        self.rows.get_mut(&edit)
    }

    /// Takes a row that another tab of the same phone wrote.
    pub fn put(&mut self, row: Row) {
        self.rows.insert(row.envelope.id, row);
    }

    /// Takes a row away.
    pub fn remove(&mut self, edit: EditId) -> Option<Row> {
        self.rows.remove(&edit)
    }

    /// All rows in the order of writing.
    pub fn in_order(&self) -> Vec<&Row> {
        let mut rows: Vec<&Row> = self.rows.values().collect();
        ordered::sort_by_key(&mut rows, |row| (row.number, row.envelope.id));
        rows
    }

    /// The rows not answered yet, in the order of writing.
    pub fn waiting(&self) -> Vec<&Row> {
        self.in_order()
            .into_iter()
            .filter(|row| row.state == RowState::Waiting)
            .collect()
    }

    /// The refused rows, in the order of writing.
    pub fn set_aside(&self) -> Vec<&Row> {
        self.in_order()
            .into_iter()
            .filter(|row| matches!(row.state, RowState::SetAside { .. }))
            .collect()
    }

    /// How many rows are waiting that the storage does not hold yet.
    pub fn unsaved(&self) -> usize {
        self.rows.values().filter(|row| !row.saved).count()
    }

    /// The rows that the confirmed documents do not show yet: waiting, or accepted further on in the log than was read.
    pub fn unconfirmed<'a>(
        &'a self,
        cursors: &'a Map<DocumentName, u64>,
    ) -> impl Iterator<Item = &'a Row> {
        self.in_order()
            .into_iter()
            .filter(move |row| match &row.state {
                RowState::Waiting => true,
                RowState::Accepted {
                    document,
                    sequence: Some(sequence),
                    ..
                } => cursors.get(document).copied().unwrap_or(0) < *sequence,
                RowState::Accepted { sequence: None, .. } | RowState::SetAside { .. } => false,
            })
    }

    /// Offers the accepted edits again: the service was restored from a backup that may lack them.
    pub fn offer_again(&mut self) -> Vec<Row> {
        let mut again = Vec::new();
        for row in self.rows.values_mut() {
            if matches!(row.state, RowState::Accepted { .. }) {
                row.state = RowState::Waiting;
                again.push(row.clone());
            }
        }
        again
    }

    /// The accepted edits that are old enough to be forgotten.
    pub fn forget_old(&mut self, now: Moment) -> Vec<EditId> {
        let old: Vec<EditId> = self
            .rows
            .values()
            .filter(|row| match &row.state {
                RowState::Accepted { at, .. } => {
                    now.millis() - at.millis() > KEPT_AFTER_ACCEPTANCE_MILLIS
                }
                RowState::Waiting | RowState::SetAside { .. } => false,
            })
            .map(|row| row.envelope.id)
            .collect();
        for edit in &old {
            self.rows.remove(edit);
        }
        old
    }
}
