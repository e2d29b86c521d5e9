//! One open garden: its documents, how long each one's log is, and the decision about one edit.
//!
//! A room decides in memory and says what is to be written. Only when that is on the disk may anybody hear of it; if
//! writing fails, the room is thrown away and loaded again.

use std::panic::{AssertUnwindSafe, catch_unwind};

use selion_core::document::edit::EnvelopeError;
use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::stored::{ActorBytes, DocumentError, Heads};
use selion_core::document::{DocumentName, Envelope, Garden};
use selion_core::ordered::Map;
use selion_core::policy::{RefusalCode, Refused};
use selion_core::quantities::Moment;
use selion_core::sync::frame::Verdict;
use selion_core::sync::{Applied, GardenStart, Replica};
use thiserror::Error;

use crate::ids::DeviceId;
use crate::store::rows::{self, Write};
use crate::store::{Read, StoreError};

/// Changes read from the store at a time.
const CHANGES_AT_ONCE: usize = 2_000;

/// How much larger a document is in memory than its snapshot: measured at 264 KB stored, 4 to 7 MB in memory.
const MEMORY_PER_SNAPSHOT_BYTE: usize = 20;
/// The same for changes kept as they are: 1.75 MB of changes for those 4 to 7 MB.
const MEMORY_PER_CHANGE_BYTE: usize = 4;

/// Why a room cannot work.
#[derive(Debug, Error)]
pub enum RoomError {
    /// There is no such garden.
    #[error("there is no such garden")]
    NoGarden,
    /// The storage failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A stored document cannot be worked with.
    #[error(transparent)]
    Document(#[from] DocumentError),
    /// The work on a document panicked; what is in memory cannot be trusted any more.
    #[error("the work on a document panicked: {0}")]
    Panicked(String),
}

/// Who writes: as which member, on which device. Edits made on the command line have no device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Author {
    /// As which member.
    pub member: MemberId,
    /// On which device.
    pub device: Option<DeviceId>,
}

/// One garden in memory.
#[derive(Clone, Debug)]
pub struct Room {
    garden: GardenId,
    replica: Replica,
    logs: Map<DocumentName, Log>,
}

/// A document's log.
#[derive(Clone, Debug, Default)]
struct Log {
    /// How many changes it has.
    length: u64,
    /// Up to where the newest snapshot reaches.
    snapshot_upto: u64,
    /// What the document takes in memory, about.
    bytes: usize,
}

/// A change that a decision made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewChange {
    /// Of which document.
    pub document: DocumentName,
    /// Its place in the log.
    pub seq: u64,
    /// The change.
    pub bytes: Vec<u8>,
}

/// What was decided about an edit, not yet written.
#[derive(Clone, Debug)]
pub struct Decision {
    /// What the author is answered once it is written.
    pub verdict: Verdict,
    /// The changes everybody is told of once they are written.
    pub changes: Vec<NewChange>,
    /// What is to be written.
    pub writes: Vec<Write>,
}

impl Room {
    /// A new garden, and what is to be written of it.
    pub fn begin(
        start: GardenStart,
        actor: ActorBytes,
        now: Moment,
    ) -> Result<(Self, Vec<Write>), RoomError> {
        let garden = start.garden;
        let (replica, changes) = guarded(|| Ok(Replica::begin(start, actor, now)?))?;
        let mut room = Self {
            garden,
            replica,
            logs: Map::new(),
        };
        let changes: Vec<NewChange> = changes
            .into_iter()
            .map(|(document, bytes)| room.append(document, bytes))
            .collect();
        Ok((room, change_rows(garden, changes).collect()))
    }

    /// Loads a garden from the store.
    pub fn load(store: &dyn Read, garden: GardenId, actor: ActorBytes) -> Result<Self, RoomError> {
        let names = store.documents(garden)?;
        if names.is_empty() {
            return Err(RoomError::NoGarden);
        }
        let mut room = Self {
            garden,
            replica: Replica::empty(garden, actor),
            logs: Map::new(),
        };
        for name in names {
            let log = guarded(|| load_document(store, &mut room.replica, garden, name))?;
            room.logs.insert(name, log);
        }
        Ok(room)
    }

    /// The plain picture of the garden.
    pub fn picture(&self) -> &Garden {
        self.replica.garden()
    }

    /// How long each document's log is.
    pub fn lengths(&self) -> Map<DocumentName, u64> {
        self.logs
            .iter()
            .map(|(name, log)| (*name, log.length))
            .collect()
    }

    /// A document's heads.
    pub fn heads(&self, document: DocumentName) -> Heads {
        self.replica.heads(document)
    }

    /// A whole document, and the place in the log that it reaches to.
    pub fn save(&self, document: DocumentName) -> Result<Option<(u64, Vec<u8>)>, RoomError> {
        let Some(log) = self.logs.get(&document) else {
            return Ok(None);
        };
        let bytes = guarded(|| Ok(self.replica.save(document)))?;
        Ok(bytes.map(|bytes| (log.length, bytes)))
    }

    /// What the garden takes in memory, about.
    pub fn bytes(&self) -> usize {
        self.logs.values().map(|log| log.bytes).sum()
    }

    /// The documents that have grown by so many changes since their last snapshot.
    pub fn due_for_snapshot(&self, every: u64) -> Vec<DocumentName> {
        let due = self
            .logs
            .iter()
            .filter(|(_, log)| log.length - log.snapshot_upto >= every);
        due.map(|(name, _)| *name).collect()
    }

    /// Notes that a snapshot was made just now, or that making one failed and is to be tried again later.
    pub fn snapshot_tried(&mut self, document: DocumentName) {
        if let Some(log) = self.logs.get_mut(&document) {
            log.snapshot_upto = log.length;
        }
    }

    /// Decides about an edit and applies it in memory. After an error the room is to be thrown away.
    pub fn decide(
        &mut self,
        envelope: &Envelope,
        author: Author,
        now: Moment,
    ) -> Result<Decision, RoomError> {
        let outcome = guarded(|| Ok(self.replica.apply(envelope, author.member, now)))?;
        match outcome {
            Ok(applied) => self.accept(envelope, author, applied, now),
            Err(refused) => Ok(Self::refuse(
                self.garden,
                envelope.id,
                &envelope.write(),
                author,
                refused,
                now,
            )),
        }
    }

    /// The decision that an edit does not stand.
    pub fn refuse(
        garden: GardenId,
        edit: EditId,
        body: &str,
        author: Author,
        refused: Refused,
        now: Moment,
    ) -> Decision {
        let verdict = Verdict::Refused(refused);
        let row = edit_row(garden, (edit, body.to_owned()), author, &verdict, None, now);
        Decision {
            verdict,
            changes: Vec::new(),
            writes: vec![Write::AddEdit(row)],
        }
    }

    fn accept(
        &mut self,
        envelope: &Envelope,
        author: Author,
        applied: Applied,
        now: Moment,
    ) -> Result<Decision, RoomError> {
        let mut changes = Vec::new();
        if let Some(bytes) = applied.change {
            changes.push(self.append(applied.document, bytes));
        }
        let sequence = changes.first().map(|change| change.seq);
        let verdict = Verdict::Accepted {
            document: applied.document,
            sequence,
            told: applied.told,
        };
        let place = sequence.map(|seq| (applied.document, seq));
        let row = edit_row(
            self.garden,
            (envelope.id, envelope.write()),
            author,
            &verdict,
            place,
            now,
        );
        // Opening a year calls for its documents.
        if applied.document == DocumentName::Ground {
            for (document, bytes) in guarded(|| Ok(self.replica.begin_missing(now)?))? {
                changes.push(self.append(document, bytes));
            }
        }
        let mut writes = vec![Write::AddEdit(row)];
        writes.extend(change_rows(self.garden, changes.iter().cloned()));
        Ok(Decision {
            verdict,
            changes,
            writes,
        })
    }

    fn append(&mut self, document: DocumentName, bytes: Vec<u8>) -> NewChange {
        let log = self.logs.entry(document).or_default();
        log.length += 1;
        log.bytes += bytes.len() * MEMORY_PER_CHANGE_BYTE;
        NewChange {
            document,
            seq: log.length,
            bytes,
        }
    }
}

fn edit_row(
    garden: GardenId,
    (id, body): (EditId, String),
    author: Author,
    verdict: &Verdict,
    change: Option<(DocumentName, u64)>,
    now: Moment,
) -> rows::Edit {
    rows::Edit {
        garden,
        id,
        member: author.member,
        device: author.device,
        body,
        // A verdict has a JSON form (string keys, no floats), so writing one cannot fail.
        verdict: serde_json::to_string(verdict).unwrap_or_default(),
        change,
        received_at: now,
    }
}

/// Changes as rows to write.
fn change_rows(
    garden: GardenId,
    changes: impl IntoIterator<Item = NewChange>,
) -> impl Iterator<Item = Write> {
    changes.into_iter().map(
        move |NewChange {
                  document,
                  seq,
                  bytes,
              }| {
            Write::AddChange(rows::Change {
                garden,
                document,
                seq,
                bytes,
            })
        },
    )
}

/// Why an envelope that cannot be read does not stand.
pub(super) fn refusal_of(error: &EnvelopeError) -> Refused {
    let code = match error {
        EnvelopeError::Newer { .. } => RefusalCode::NewerVersion,
        EnvelopeError::TooLong { .. } | EnvelopeError::Shape { .. } => RefusalCode::BadInput,
    };
    Refused::new(code, error.to_string())
}

/// Runs work on documents; a panic becomes an error, so that one garden's trouble does not stop the others.
pub(super) fn guarded<T>(work: impl FnOnce() -> Result<T, RoomError>) -> Result<T, RoomError> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|panic| {
        let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
        let text = text.or_else(|| panic.downcast_ref::<String>().cloned());
        Err(RoomError::Panicked(
            text.unwrap_or_else(|| "without a word".to_owned()),
        ))
    })
}

/// Loads one document: the newest snapshot that was verified and still loads, and the changes after it.
fn load_document(
    store: &dyn Read,
    replica: &mut Replica,
    garden: GardenId,
    name: DocumentName,
) -> Result<Log, RoomError> {
    let mut log = Log::default();
    for snapshot in store
        .snapshots(garden, name)?
        .into_iter()
        .filter(|snapshot| snapshot.verified_at.is_some())
    {
        match guarded(|| Ok(replica.load(name, &snapshot.bytes)?)) {
            Ok(()) => {
                log.length = snapshot.upto_seq;
                log.snapshot_upto = snapshot.upto_seq;
                log.bytes = snapshot.bytes.len() * MEMORY_PER_SNAPSHOT_BYTE;
                break;
            }
            Err(error) => {
                tracing::error!(%garden, document = %name, upto = snapshot.upto_seq, %error, "a snapshot does not load; trying an older one");
            }
        }
    }
    loop {
        let changes = store.changes(garden, name, log.length, CHANGES_AT_ONCE)?;
        let (Some(first), Some(last)) = (changes.first(), changes.last()) else {
            return Ok(log);
        };
        if first.seq != log.length + 1 || last.seq != log.length + length(&changes) {
            return Err(DocumentError::Gap { document: name }.into());
        }
        log.length = last.seq;
        log.bytes += changes
            .iter()
            .map(|change| change.bytes.len() * MEMORY_PER_CHANGE_BYTE)
            .sum::<usize>();
        replica.take_changes(name, changes.iter().map(|change| change.bytes.as_slice()))?;
    }
}

fn length(changes: &[rows::Change]) -> u64 {
    u64::try_from(changes.len()).unwrap_or(u64::MAX)
}
