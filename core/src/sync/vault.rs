//! What a phone keeps in its own storage, as plain keys and values, so that any storage can carry it.
//!
//! | store | key | value |
//! |---|---|---|
//! | outbox | garden/edit id | the row as JSON |
//! | documents | garden/document | `sequence:heads` line, then the saved document |
//! | changes | garden/document/place, 16 digits | change bytes |
//! | meta | garden/session | epoch, member, role as JSON |
//! | view | garden | the picture as JSON, for the first paint |

/// One store of the phone's storage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "described in the table above")]
pub enum Store {
    Outbox,
    Documents,
    Changes,
    Meta,
    View,
}

impl Store {
    /// Every store.
    pub const ALL: [Self; 5] = [
        Self::Outbox,
        Self::Documents,
        Self::Changes,
        Self::Meta,
        Self::View,
    ];

    /// Its name in the storage.
    pub fn name(self) -> &'static str {
        match self {
            Self::Outbox => "outbox",
            Self::Documents => "documents",
            Self::Changes => "changes",
            Self::Meta => "meta",
            Self::View => "view",
        }
    }
}

/// One thing to be done to the storage. A list of them is done whole or not at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Keep {
    /// Put a value.
    Put(Store, String, Vec<u8>),
    /// Take a value away.
    Delete(Store, String),
    /// Take away every value whose key begins so.
    DeletePrefix(Store, String),
}
