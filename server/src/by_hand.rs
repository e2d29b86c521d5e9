//! Edits made at the service itself, by an import or for the demonstration: ordinary edits, judged like all others.

use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::quantities::{BadInput, Moment};
use thiserror::Error;

use crate::chance;
use crate::error::AppError;
use crate::rooms::{Author, Desk, RoomError};

/// Edits taken in one commit.
const IN_ONE_COMMIT: usize = 500;

/// Why edits made by hand were not taken.
#[derive(Debug, Error)]
pub enum ByHandError {
    /// One of them does not stand; none was taken.
    #[error("{about}: {sentence}")]
    Refused {
        /// Which edit it was, counted from 1, and what it does.
        about: String,
        /// Why.
        sentence: String,
    },
    /// What was handed in cannot be read.
    #[error(transparent)]
    Input(#[from] BadInput),
    /// What was asked cannot be done.
    #[error("{0}")]
    Asked(String),
    /// A garden cannot be worked on.
    #[error(transparent)]
    Room(#[from] RoomError),
    /// The rules of accounts say no.
    #[error(transparent)]
    Account(#[from] AppError),
}

/// A garden and who writes in it.
#[derive(Clone, Copy, Debug)]
pub struct Hand {
    /// The garden.
    pub garden: GardenId,
    /// The author of the edits.
    pub member: MemberId,
}

impl Hand {
    /// An edit as it would come from a phone.
    pub fn envelope(self, now: Moment, document: DocumentName, edit: Edit) -> Envelope {
        Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(now, chance::bytes()),
            garden: self.garden,
            document,
            written_at: now,
            edit,
        }
    }

    /// Makes the edits, all of them or, when one does not stand, none.
    pub fn make(
        self,
        desk: &mut Desk<'_>,
        edits: Vec<(DocumentName, Edit)>,
    ) -> Result<(), ByHandError> {
        let now = desk.now;
        let envelopes: Vec<Envelope> = edits
            .into_iter()
            .map(|(document, edit)| self.envelope(now, document, edit))
            .collect();
        let author = Author {
            member: self.member,
            device: None,
        };
        if let Some((place, refused)) =
            desk.hall
                .rehearse(desk.store.as_read(), now, self.garden, author, &envelopes)?
        {
            let about = format!("change {} of {}", place + 1, envelopes.len());
            return Err(ByHandError::Refused {
                about,
                sentence: refused.message,
            });
        }
        for some in envelopes.chunks(IN_ONE_COMMIT) {
            let texts: Vec<String> = some.iter().map(Envelope::write).collect();
            let (_, effects) =
                desk.hall
                    .take_edits(desk.store, now, self.garden, author, &texts)?;
            desk.also(effects);
        }
        Ok(())
    }
}
