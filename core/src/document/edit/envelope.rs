//! What goes around an edit on its way: which garden and document, which id, which version of the shapes.

use super::{Edit, LIMITS};
use crate::document::ids::{EditId, GardenId};
use crate::document::name::DocumentName;
use crate::json::{
    self, Fields, Json, Object, Record, Unreadable, Value, one_object, put, serde_form,
};
use crate::quantities::Moment;

/// An edit on its way from a phone to the garden.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Envelope {
    /// The version of the shapes it was written in.
    pub version: u16,
    /// Its id. The same id is never applied twice.
    pub id: EditId,
    /// For which garden.
    pub garden: GardenId,
    /// For which of its documents.
    pub document: DocumentName,
    /// When it was written, by the phone's clock; only shown, never decided by.
    pub written_at: Moment,
    /// The change itself.
    pub edit: Edit,
}

impl Record for Envelope {
    fn from_fields(fields: Fields<'_>) -> Result<Self, Unreadable> {
        Ok(Self {
            version: fields.read("version")?,
            id: fields.read("id")?,
            garden: fields.read("garden")?,
            document: fields.read("document")?,
            written_at: fields.read("written_at")?,
            edit: Edit::from_fields(fields)?,
        })
    }

    /// The edit's own fields stand beside the envelope's.
    fn put_fields(&self, object: &mut Object) {
        put(object, "version", &self.version);
        put(object, "id", &self.id);
        put(object, "garden", &self.garden);
        put(object, "document", &self.document);
        put(object, "written_at", &self.written_at);
        self.edit.put_fields(object);
    }
}

one_object!(Envelope);
serde_form!(Envelope);

/// Why a text is no envelope.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EnvelopeError {
    /// It is longer than any edit may be.
    #[error("edit: expected at most {max} bytes, but {came} came.")]
    TooLong {
        /// The most that is taken.
        max: usize,
        /// How much came.
        came: usize,
    },
    /// It was written by a newer program.
    #[error(
        "edit: expected version {known} or older, but version {came} came; this program must be brought up to date first."
    )]
    Newer {
        /// The newest version known here.
        known: u16,
        /// The version that came.
        came: u16,
    },
    /// It is not of the shape.
    #[error("edit: expected an edit of version {version}, but it cannot be read: {why}.")]
    Shape {
        /// The version it says it is.
        version: u16,
        /// What is wrong with it.
        why: String,
    },
}

/// The longest reason that is repeated in a message.
const LONGEST_REASON: usize = 300;

/// Why a text is not of its shape, fit to stand in a sentence: on one line, and cut where the text itself, which may say
/// anything, would swamp it.
pub(crate) fn why_unreadable(error: &Unreadable) -> String {
    let reason = error.to_string();
    let mut told: String = reason
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .take(LONGEST_REASON)
        .collect();
    if reason.chars().nth(LONGEST_REASON).is_some() {
        told.push('…');
    }
    told
}

impl Envelope {
    /// The newest version of the shapes.
    pub const VERSION: u16 = 1;

    /// Reads an envelope of any version ever shipped.
    pub fn read(text: &str) -> Result<Self, EnvelopeError> {
        if text.len() > LIMITS.envelope_bytes {
            return Err(EnvelopeError::TooLong {
                max: LIMITS.envelope_bytes,
                came: text.len(),
            });
        }
        let shape = |version: u16, error: &Unreadable| EnvelopeError::Shape {
            version,
            why: why_unreadable(error),
        };
        let value: Value = json::read(text).map_err(|error| shape(0, &error))?;
        let version = Fields::of(&value)
            .and_then(|fields| fields.read("version"))
            .map_err(|error| shape(0, &error))?;
        match version {
            1 => Self::from_json(&value).map_err(|error| shape(1, &error)),
            0 => Err(EnvelopeError::Shape {
                version,
                why: "there was never a version 0".to_owned(),
            }),
            newer => Err(EnvelopeError::Newer {
                known: Self::VERSION,
                came: newer,
            }),
        }
    }

    /// The envelope as text.
    pub fn write(&self) -> String {
        json::write(self)
    }
}
