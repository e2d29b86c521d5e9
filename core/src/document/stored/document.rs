//! One Automerge document.

use std::fmt;

use automerge::transaction::{CommitOptions, Transactable};
use automerge::{
    ActorId, Automerge, AutomergeError, Change, ChangeHash, LoadOptions, ObjId, ObjType,
    PatchAction, PatchLog, Prop, ROOT, ReadDoc, TextEncoding,
};
use serde_json::Value;

use super::both_words::{both_changes, both_words};
use super::bridge::{NOTE, object_at, read_map, write_map};
use super::shelf_name::{ShelfName, Touched};
use super::write::Write;
use crate::document::edit::NoteBase;
use crate::document::ids::EditId;
use crate::document::name::DocumentName;
use crate::json::{form, serde_form};
use crate::ordered;
use crate::quantities::Moment;

/// Positions in a text are counted in code points, on the phone and at the service alike.
const ENCODING: TextEncoding = TextEncoding::UnicodeCodePoint;
/// The newest shape of documents that this program writes.
const VERSION: i64 = 1;

/// Who authors changes: the garden's service with its own bytes, a phone's draft with others.
pub type ActorBytes = [u8; 16];

/// The heads of a document: two documents with the same heads hold the same history.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heads(pub Vec<String>);

form!(Heads: inside);
serde_form!(Heads);

impl fmt::Display for Heads {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.join("+"))
    }
}

/// A change that was made, as it is stored and sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The change's bytes.
    pub bytes: Vec<u8>,
    /// The records it touched.
    pub touched: Touched,
}

/// What changes that were taken have brought.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Brought {
    /// The records they touched.
    pub touched: Touched,
    /// The edits they carry, those that were there already included.
    pub edits: Vec<EditId>,
}

/// Why a document could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum DocumentError {
    /// Automerge refuses it.
    #[error("{document}: the stored document cannot be worked with: {cause}")]
    Automerge {
        /// Which document.
        document: DocumentName,
        /// What Automerge says.
        cause: String,
    },
    /// A change does not follow on what is there.
    #[error("{document}: a change came whose forerunners are missing")]
    Gap {
        /// Which document.
        document: DocumentName,
    },
    /// A change is not what it was when it was made.
    #[error("{document}: a stored change is damaged")]
    Damaged {
        /// Which document.
        document: DocumentName,
    },
    /// A record cannot be put into stored form.
    #[error("{document}: a record cannot be written: {cause}")]
    Record {
        /// Which document.
        document: DocumentName,
        /// What is wrong.
        cause: String,
    },
}

/// One of a garden's documents.
#[derive(Clone)]
pub struct Document {
    name: DocumentName,
    history: Automerge,
}

impl fmt::Debug for Document {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Document")
            .field("name", &self.name)
            .field("heads", &self.heads())
            .finish_non_exhaustive()
    }
}

impl Document {
    /// A new document. Its first change makes every container, so that two sides never create the same key.
    pub fn begin(
        name: DocumentName,
        actor: ActorBytes,
        now: Moment,
    ) -> Result<(Self, Vec<u8>), DocumentError> {
        let mut history = Automerge::new_with_encoding(ENCODING).with_actor(ActorId::from(actor));
        let failed = |error: AutomergeError| automerge(name, &error);
        let mut tx = history.transaction();
        tx.put(ROOT, "version", VERSION).map_err(failed)?;
        tx.put(ROOT, "document", name.to_string()).map_err(failed)?;
        for shelf in ShelfName::ALL.iter().filter(|shelf| shelf.is_in(name)) {
            tx.put_object(ROOT, shelf.key(), ObjType::Map)
                .map_err(failed)?;
        }
        tx.commit_with(
            CommitOptions::default()
                .with_message("begin")
                .with_time(seconds(now)),
        );
        let bytes = history
            .get_changes(&[])
            .into_iter()
            .next()
            .map(|mut change| change.bytes().to_vec());
        Ok((Self { name, history }, bytes.unwrap_or_default()))
    }

    /// Reads a saved document.
    pub fn load(
        name: DocumentName,
        bytes: &[u8],
        actor: ActorBytes,
    ) -> Result<Self, DocumentError> {
        let history =
            Automerge::load_with_options(bytes, LoadOptions::new().text_encoding(ENCODING))
                .map_err(|error| automerge(name, &error))?
                .with_actor(ActorId::from(actor));
        Ok(Self { name, history })
    }

    /// A document with nothing in it yet, to be filled by changes.
    pub fn empty(name: DocumentName, actor: ActorBytes) -> Self {
        Self {
            name,
            history: Automerge::new_with_encoding(ENCODING).with_actor(ActorId::from(actor)),
        }
    }

    /// The document as it stood at a moment, by the times that the garden's service gave its changes; nothing from before
    /// it was begun.
    pub fn as_of(&self, moment: Moment) -> Result<Option<Self>, DocumentError> {
        let until = seconds(moment);
        let mut heads = Vec::new();
        // Forerunners come first, so what a change stands on is replaced by the change.
        for change in self.history.get_changes_meta(&[]) {
            if change.timestamp <= until {
                heads.retain(|head| !change.deps.contains(head));
                heads.push(change.hash);
            }
        }
        if heads.is_empty() {
            return Ok(None);
        }
        let history = self.history.fork_at(&heads);
        let history = history.map_err(|error| automerge(self.name, &error))?;
        Ok(Some(Self {
            name: self.name,
            history,
        }))
    }

    /// The whole document as bytes.
    pub fn save(&self) -> Vec<u8> {
        self.history.save()
    }

    /// The same without squeezing it together: a phone keeps it so, as what squeezes would have to be loaded first.
    pub fn save_loose(&self) -> Vec<u8> {
        self.history.save_nocompress()
    }

    /// Its name.
    pub fn name(&self) -> DocumentName {
        self.name
    }

    /// Its heads, in a fixed order.
    pub fn heads(&self) -> Heads {
        let mut heads: Vec<String> = self
            .history
            .get_heads()
            .iter()
            .map(ToString::to_string)
            .collect();
        ordered::sort(&mut heads);
        Heads(heads)
    }

    /// Whether a newer program wrote it, so that it may be shown but not written.
    pub fn is_newer_than_us(&self) -> bool {
        match self.history.get(ROOT, "version") {
            Ok(Some((value, _))) => value.as_i64().is_some_and(|version| version > VERSION),
            Ok(None) | Err(_) => false,
        }
    }

    /// The ids of the edits that its changes carry, in no particular order.
    pub fn edits(&self) -> Vec<EditId> {
        self.history
            .get_changes_meta(&[])
            .iter()
            .filter_map(|meta| {
                meta.message
                    .as_ref()
                    .and_then(|message| message.parse().ok())
            })
            .collect()
    }

    /// Takes changes of the garden's service; those already there are passed over.
    pub fn take_changes<'a>(
        &mut self,
        changes: impl IntoIterator<Item = &'a [u8]>,
    ) -> Result<Brought, DocumentError> {
        let name = self.name;
        let mut read = Vec::new();
        for bytes in changes {
            read.push(sound_change(name, bytes)?);
        }
        let wanted: Vec<ChangeHash> = read.iter().map(Change::hash).collect();
        let edits = read
            .iter()
            .filter_map(|change| change.message()?.parse().ok())
            .collect();
        let mut log = PatchLog::active();
        self.history
            .apply_changes_log_patches(read, &mut log)
            .map_err(|error| automerge(name, &error))?;
        // A change whose forerunners are missing is queued without a word, so ask.
        if wanted
            .iter()
            .any(|hash| self.history.get_change_meta_by_hash(hash).is_none())
        {
            return Err(DocumentError::Gap { document: name });
        }
        Ok(Brought {
            touched: touched_by(&self.history.make_patches(&mut log)),
            edits,
        })
    }

    /// Writes records as one change. `None` when everything already stands as given.
    pub fn write(
        &mut self,
        writes: &[Write],
        edit: EditId,
        now: Moment,
    ) -> Result<Option<Made>, DocumentError> {
        let name = self.name;
        if let [
            Write::Note {
                shelf,
                id,
                text,
                base,
            },
        ] = writes
        {
            return self.write_note(*shelf, id, text, base, edit, now);
        }
        let mut tx = self.history.transaction();
        let mut touched = Touched::new();
        for write in writes {
            let (shelf, id) = write.place();
            put_record(&mut tx, shelf, &id, &write.fields())
                .map_err(|error| automerge(name, &error))?;
            touched.insert((shelf, id));
        }
        let (hash, _) = tx.commit_with(
            CommitOptions::default()
                .with_message(edit.to_string())
                .with_time(seconds(now)),
        );
        Ok(self.made(hash, touched))
    }

    /// Writes a note as if at the heads it was written against, so that both people's words survive.
    fn write_note(
        &mut self,
        shelf: ShelfName,
        id: &str,
        text: &str,
        base: &NoteBase,
        edit: EditId,
        now: Moment,
    ) -> Result<Option<Made>, DocumentError> {
        let name = self.name;
        let failed = |error: AutomergeError| automerge(name, &error);
        let Some(note) = self.note_object(shelf, id).map_err(failed)? else {
            return Err(DocumentError::Record {
                document: name,
                cause: format!("there is no note at {id}"),
            });
        };
        let heads = self.heads_of(base);
        let stands = self.history.text(&note).map_err(failed)?;
        let both;
        let (mut tx, text) = match heads {
            None => {
                both = both_words(&stands, text);
                (self.history.transaction(), both.as_str())
            }
            Some(heads) if heads == self.history.get_heads() => (self.history.transaction(), text),
            Some(heads) => {
                let at = self
                    .history
                    .transaction_at(PatchLog::inactive(), &heads)
                    .map_err(|error| DocumentError::Automerge {
                        document: name,
                        cause: error.to_string(),
                    })?;
                (at, text)
            }
        };
        tx.update_text(&note, text).map_err(failed)?;
        let (hash, _) = tx.commit_with(
            CommitOptions::default()
                .with_message(edit.to_string())
                .with_time(seconds(now)),
        );
        Ok(self.made(hash, Touched::from([(shelf, id.to_owned())])))
    }

    /// A note as it will stand once a text that was written against `base` has come in; told from the texts alone, so what
    /// two people changed in the same words stands twice until the garden's service has merged it.
    pub(super) fn note_to_be(
        &self,
        shelf: ShelfName,
        id: &str,
        text: &str,
        base: &NoteBase,
    ) -> String {
        let Ok(Some(note)) = self.note_object(shelf, id) else {
            // The record itself is not confirmed yet, so nobody else has written.
            return text.to_owned();
        };
        let stands = self.history.text(&note).unwrap_or_default();
        let before = self
            .heads_of(base)
            .and_then(|heads| self.history.text_at(&note, &heads).ok());
        match before {
            Some(before) => both_changes(&before, &stands, text),
            None => both_words(&stands, text),
        }
    }

    fn note_object(&self, shelf: ShelfName, id: &str) -> Result<Option<ObjId>, AutomergeError> {
        let Some(record) = self.record_object(shelf, id)? else {
            return Ok(None);
        };
        object_at(&self.history, &record, NOTE)
    }

    fn record_object(&self, shelf: ShelfName, id: &str) -> Result<Option<ObjId>, AutomergeError> {
        let Some(shelf) = object_at(&self.history, &ROOT, shelf.key())? else {
            return Ok(None);
        };
        object_at(&self.history, &shelf, id)
    }

    /// The heads that a note was written against, if they are known here. They are not when a backup was put back that is
    /// older than what the writer saw.
    fn heads_of(&self, base: &NoteBase) -> Option<Vec<ChangeHash>> {
        let known: Vec<ChangeHash> = base
            .heads
            .iter()
            .filter_map(|text| text.parse().ok())
            .filter(|hash| self.history.get_change_meta_by_hash(hash).is_some())
            .collect();
        if known.is_empty() || known.len() < base.heads.len() {
            return None;
        }
        // The writer's own earlier edit stands on those heads, so its change alone tells where the writer was.
        let after = base.after.map(|edit| edit.to_string()).and_then(|earlier| {
            self.history
                .get_changes_meta(&known)
                .iter()
                .find(|meta| meta.message.as_deref() == Some(earlier.as_str()))
                .map(|meta| meta.hash)
        });
        Some(after.map_or(known, |change| vec![change]))
    }

    fn made(&self, hash: Option<ChangeHash>, touched: Touched) -> Option<Made> {
        let mut change = self.history.get_change_by_hash(&hash?)?;
        Some(Made {
            bytes: change.bytes().to_vec(),
            touched,
        })
    }

    /// A record's fields as they stand.
    pub(super) fn read_record(&self, shelf: ShelfName, id: &str) -> Option<Value> {
        let record = self.record_object(shelf, id).ok().flatten()?;
        read_map(&self.history, &record).ok()
    }

    /// The ids of all records in a container.
    pub(super) fn record_ids(&self, shelf: ShelfName) -> Vec<String> {
        match object_at(&self.history, &ROOT, shelf.key()) {
            Ok(Some(map)) => self.history.keys(&map).collect(),
            Ok(None) | Err(_) => Vec::new(),
        }
    }
}

/// Reads a change and compares its sum. Automerge compares it for whole documents alone, and a damaged change can panic it.
fn sound_change(document: DocumentName, bytes: &[u8]) -> Result<Change, DocumentError> {
    let change = Change::from_bytes(bytes.to_vec()).map_err(|error| DocumentError::Automerge {
        document,
        cause: error.to_string(),
    })?;
    // After four bytes that mark the format stand the first four of the hash.
    if bytes.get(4..8) == change.hash().0.get(..4) {
        Ok(change)
    } else {
        Err(DocumentError::Damaged { document })
    }
}

fn put_record(
    tx: &mut impl Transactable,
    shelf: ShelfName,
    id: &str,
    fields: &serde_json::Map<String, Value>,
) -> Result<(), AutomergeError> {
    // A container that an older program did not know is made by the one writer, so never twice.
    let shelf = match object_at(tx, &ROOT, shelf.key())? {
        Some(shelf) => shelf,
        None => tx.put_object(ROOT, shelf.key(), ObjType::Map)?,
    };
    let record = match object_at(tx, &shelf, id)? {
        Some(record) => record,
        None => tx.put_object(&shelf, id, ObjType::Map)?,
    };
    write_map(tx, &record, fields)
}

fn touched_by(patches: &[automerge::Patch]) -> Touched {
    let mut touched = Touched::new();
    for patch in patches {
        let mut keys = patch.path.iter().filter_map(|(_, prop)| match prop {
            Prop::Map(key) => Some(key.as_str()),
            Prop::Seq(_) => None,
        });
        let Some(shelf) = keys.next().and_then(ShelfName::from_key) else {
            continue;
        };
        let id = keys.next().or(match &patch.action {
            PatchAction::PutMap { key, .. } | PatchAction::DeleteMap { key } => Some(key.as_str()),
            PatchAction::PutSeq { .. }
            | PatchAction::Insert { .. }
            | PatchAction::SpliceText { .. }
            | PatchAction::Increment { .. }
            | PatchAction::Conflict { .. }
            | PatchAction::DeleteSeq { .. }
            | PatchAction::Mark { .. } => None,
        });
        if let Some(id) = id {
            touched.insert((shelf, id.to_owned()));
        }
    }
    touched
}

fn automerge(document: DocumentName, error: &AutomergeError) -> DocumentError {
    DocumentError::Automerge {
        document,
        cause: error.to_string(),
    }
}

fn seconds(now: Moment) -> i64 {
    now.millis().div_euclid(1000)
}
