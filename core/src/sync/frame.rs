//! The messages between a phone and the garden's service, and how large they may be.
//!
//! They are JSON text, one message a frame; the same frames go through a socket or, several at once, through a request.
//! A phone says [`ClientFrame::Hello`] first; the service answers [`ServerFrame::Welcome`] and whatever the phone has not
//! seen. Edits go up in order of writing and each gets one [`Answer`]; changes come down as an ordered log per document.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;

use crate::document::edit::why_unreadable;
use crate::document::ids::{EditId, MemberId};
use crate::document::stored::Heads;
use crate::document::{DocumentName, Envelope, Role};
use crate::json::{self, Json, Unreadable, Value, record, serde_form, tagged};
use crate::ordered::Map;
use crate::policy::{Refused, Told};
use crate::quantities::Moment;

/// The version of the protocol that this program speaks.
pub const PROTOCOL: u16 = 1;
/// The longest frame that is taken from a phone, in bytes.
pub const LONGEST_CLIENT_FRAME: usize = 64 * 1024;
/// The most edits in one frame.
pub const MOST_EDITS: usize = 200;
/// The most bytes of edits that a phone puts into one frame, leaving room for what is around them.
pub const MOST_EDIT_BYTES: usize = 48 * 1024;

/// What a phone says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ClientFrame {
    /// The first word: what the phone already has.
    Hello {
        /// The version of the protocol it speaks.
        protocol: u16,
        /// The epoch its cursors belong to, if it has any.
        epoch: Option<String>,
        /// How far it has read each document's log.
        cursors: Map<DocumentName, u64>,
    },
    /// Edits, in the order they were written. Each is an envelope as text, so that one that cannot be read does not take
    /// the others with it.
    Edits {
        /// The envelopes.
        edits: Vec<String>,
    },
    /// The phone's copy of a document does not match the heads; it wants the whole.
    Again {
        /// Which document.
        document: DocumentName,
    },
    /// Are you there?
    Ping,
}

tagged!(ClientFrame by "frame" {
    "hello" => Hello { protocol, epoch, cursors = default },
    "edits" => Edits { edits },
    "again" => Again { document },
    "ping" => Ping,
});

/// What the garden's service says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ServerFrame {
    /// The answer to hello.
    Welcome {
        /// The version of the protocol it speaks.
        protocol: u16,
        /// The epoch of the data; it changes when the service was restored from a backup.
        epoch: String,
        /// The service's clock.
        server_time: Moment,
        /// Who the phone's person is in this garden.
        member: MemberId,
        /// What they may do.
        role: Role,
        /// The documents they may read, and how long each log is.
        documents: Map<DocumentName, u64>,
    },
    /// Further changes of a document.
    Changes {
        /// Which document.
        document: DocumentName,
        /// The place of the first of them in the log; places count from 1.
        first: u64,
        /// The changes.
        changes: Vec<Bytes>,
        /// The document's heads after the last of them.
        heads: Heads,
    },
    /// A whole document, in place of what the phone has.
    Snapshot {
        /// Which document.
        document: DocumentName,
        /// The place in the log that it reaches to.
        sequence: u64,
        /// The saved document.
        bytes: Bytes,
        /// Its heads.
        heads: Heads,
    },
    /// Answers to edits.
    Answers {
        /// One for each edit, in the order they came.
        answers: Vec<Answer>,
    },
    /// The phone may no longer read this document and is to forget it.
    Withdrawn {
        /// Which document.
        document: DocumentName,
    },
    /// The service could not keep up with this connection or could not store just now: say hello again.
    Resync,
    /// The connection ends: the device was revoked, or its person left.
    Revoked {
        /// Why, for the person.
        message: String,
    },
    /// The phone's program is too old, or said something that is no frame.
    Wrong {
        /// Why, in one sentence.
        message: String,
    },
    /// I am here.
    Pong,
}

tagged!(ServerFrame by "frame" {
    "welcome" => Welcome { protocol, epoch, server_time, member, role, documents },
    "changes" => Changes { document, first, changes, heads },
    "snapshot" => Snapshot { document, sequence, bytes, heads },
    "answers" => Answers { answers },
    "withdrawn" => Withdrawn { document },
    "resync" => Resync,
    "revoked" => Revoked { message },
    "wrong" => Wrong { message },
    "pong" => Pong,
});

/// The answer to one edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Which edit.
    pub edit: EditId,
    /// What became of it.
    pub verdict: Verdict,
    /// Whether it had been answered before: the verdict is the earlier one.
    pub again: bool,
}

record!(Answer { edit, verdict, again = default });

/// What became of an edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It stands.
    Accepted {
        /// In which document.
        document: DocumentName,
        /// Its place in that document's log; none when everything already was as the edit wanted it.
        sequence: Option<u64>,
        /// Something the author should be told.
        told: Option<Told>,
    },
    /// It does not stand.
    Refused(Refused),
}

tagged!(Verdict by "verdict" {
    "accepted" => Accepted { document, sequence, told },
    "refused" => Refused(it),
});

/// Bytes that travel as base64 text (RFC 4648).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bytes(pub Vec<u8>);

impl Json for Bytes {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        let text = value.as_str().unwrap_or_default();
        BASE64
            .decode(text)
            .map(Self)
            .map_err(|_not_base64| Unreadable::expected("base64", value))
    }

    fn to_json(&self) -> Value {
        Value::String(BASE64.encode(&self.0))
    }
}

serde_form!(ClientFrame ServerFrame Verdict);

impl ClientFrame {
    /// Reads a frame from a phone; the error is one sentence.
    pub fn read(text: &str) -> Result<Self, String> {
        if text.len() > LONGEST_CLIENT_FRAME {
            return Err(format!(
                "frame: expected at most {LONGEST_CLIENT_FRAME} bytes, but {} came.",
                text.len()
            ));
        }
        let frame: Self = json::read(text).map_err(|error| unreadable(&error))?;
        match &frame {
            Self::Edits { edits } if edits.len() > MOST_EDITS => Err(format!(
                "frame: expected at most {MOST_EDITS} edits, but {} came.",
                edits.len()
            )),
            Self::Edits { .. } | Self::Hello { .. } | Self::Again { .. } | Self::Ping => Ok(frame),
        }
    }

    /// The frame as text.
    pub fn write(&self) -> String {
        json::write(self)
    }

    /// Frames for these envelopes, each within the limits, in order.
    pub fn for_edits<'a>(envelopes: impl IntoIterator<Item = &'a Envelope>) -> Vec<Self> {
        let mut frames = Vec::new();
        let mut edits = Vec::new();
        let mut bytes = 0;
        for envelope in envelopes {
            let text = envelope.write();
            // Inside a frame the text is quoted once more, which can lengthen it.
            let length = text.len() + text.len() / 8;
            if !edits.is_empty() && (bytes + length > MOST_EDIT_BYTES || edits.len() == MOST_EDITS)
            {
                frames.push(Self::Edits {
                    edits: std::mem::take(&mut edits),
                });
                bytes = 0;
            }
            bytes += length;
            edits.push(text);
        }
        if !edits.is_empty() {
            frames.push(Self::Edits { edits });
        }
        frames
    }
}

impl ServerFrame {
    /// Reads a frame from the service; the error is one sentence.
    pub fn read(text: &str) -> Result<Self, String> {
        json::read(text).map_err(|error| unreadable(&error))
    }

    /// The frame as text.
    pub fn write(&self) -> String {
        json::write(self)
    }
}

fn unreadable(error: &Unreadable) -> String {
    format!("frame: it cannot be read: {}.", why_unreadable(error))
}
