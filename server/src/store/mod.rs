//! What the service keeps, behind two small traits: [`Read`] asks, [`Store`] also writes.
//!
//! Everything to be written is a [`Write`], and [`Store::commit`] takes a whole list of them: either all of them are on
//! the disk when it returns, or none is. Nothing is answered to a phone before that. The rules of accounts and gardens
//! decide *what* to write and never see a database, so they run the same over SQLite and over memory.

pub mod memory;
pub mod readers;
pub mod rows;
pub mod sqlite;

#[cfg(test)]
mod conformance;

use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, MemberId, PictureId};
use thiserror::Error;

use crate::ids::{DeviceId, InviteId, PersonId};
use crate::secret::SecretHash;
use rows::{
    Change, Device, Edit, Feed, Garden, Invite, Membership, Person, Picture, Snapshot, Write,
};

/// Names of the service's own values.
pub mod value {
    /// The key that signs access tokens.
    pub const ACCESS_KEY: &str = "access_key";
    /// Changes when a backup is restored, so that phones offer their accepted edits again.
    pub const EPOCH: &str = "epoch";
    /// The address in links, as the service last knew it, for links made on the command line.
    pub const ORIGIN: &str = "origin";
}

/// Why a store could not do what was asked. The details are for the log, never for an answer.
#[derive(Debug, Error)]
pub enum StoreError {
    /// Something with this key is there already, or a row this one needs is not.
    #[error("the rows clash with what is stored: {0}")]
    Clash(String),
    /// The disk or the database failed; nothing of the list was written.
    #[error("the storage failed: {0}")]
    Failed(String),
    /// What is stored cannot be read back.
    #[error("the storage holds something unreadable: {0}")]
    Unreadable(String),
    /// The storage was written by a newer program.
    #[error(
        "the storage has version {found}, this program knows versions up to {known}; start the newer program"
    )]
    Newer {
        /// The version found.
        found: i64,
        /// The newest version known here.
        known: i64,
    },
}

/// What every question to a store answers.
pub type Answer<T> = Result<T, StoreError>;

/// The questions that can be asked of a store.
pub trait Read: Send {
    /// A person by id.
    fn person(&self, person: PersonId) -> Answer<Option<Person>>;
    /// A person by the name they sign in with; capitals do not matter.
    fn person_by_sign_in(&self, name: &str) -> Answer<Option<Person>>;
    /// Which person a member of a garden is.
    fn person_of_member(&self, garden: GardenId, member: MemberId) -> Answer<Option<PersonId>>;

    /// A device by id, revoked ones too.
    fn device(&self, device: DeviceId) -> Answer<Option<Device>>;
    /// A device by the hash of its token, revoked ones too.
    fn device_by_token(&self, token: &SecretHash) -> Answer<Option<Device>>;
    /// A person's devices, oldest first, revoked ones too.
    fn devices_of(&self, person: PersonId) -> Answer<Vec<Device>>;

    /// Whether a coordinator signed a device out of a garden.
    fn is_barred(&self, device: DeviceId, garden: GardenId) -> Answer<bool>;

    /// All gardens, oldest first.
    fn gardens(&self) -> Answer<Vec<Garden>>;
    /// The gardens of a person, oldest membership first.
    fn memberships_of(&self, person: PersonId) -> Answer<Vec<Membership>>;
    /// A person's membership in a garden.
    fn membership(&self, person: PersonId, garden: GardenId) -> Answer<Option<Membership>>;
    /// Everybody enrolled in a garden, oldest membership first.
    fn enrolled(&self, garden: GardenId) -> Answer<Vec<Membership>>;

    /// An invite by id.
    fn invite(&self, invite: InviteId) -> Answer<Option<Invite>>;
    /// An invite by the hash of its secret.
    fn invite_by_secret(&self, secret: &SecretHash) -> Answer<Option<Invite>>;
    /// A garden's invites, oldest first, used and revoked ones too.
    fn invites_of(&self, garden: GardenId) -> Answer<Vec<Invite>>;

    /// The calendar link with the hash of this secret, one that was taken back too.
    fn feed_by_secret(&self, secret: &SecretHash) -> Answer<Option<Feed>>;
    /// The calendar link of a person that was not taken back.
    fn feed_of(&self, person: PersonId) -> Answer<Option<Feed>>;

    /// A picture of a garden.
    fn picture(&self, garden: GardenId, picture: PictureId) -> Answer<Option<Picture>>;
    /// The pictures of a garden, the oldest first.
    fn pictures_of(&self, garden: GardenId) -> Answer<Vec<PictureId>>;

    /// An edit that arrived before.
    fn edit(&self, garden: GardenId, edit: EditId) -> Answer<Option<Edit>>;
    /// All edits of a garden in order of arrival, at most `limit`, after the given one.
    fn edits(&self, garden: GardenId, after: Option<EditId>, limit: usize) -> Answer<Vec<Edit>>;
    /// The documents a garden has.
    fn documents(&self, garden: GardenId) -> Answer<Vec<DocumentName>>;
    /// A document's changes after a number, in order, at most `limit`.
    fn changes(
        &self,
        garden: GardenId,
        document: DocumentName,
        after: u64,
        limit: usize,
    ) -> Answer<Vec<Change>>;
    /// A document's snapshots, newest first.
    fn snapshots(&self, garden: GardenId, document: DocumentName) -> Answer<Vec<Snapshot>>;

    /// One of the service's own values.
    fn value(&self, name: &str) -> Answer<Option<Vec<u8>>>;
}

/// A store that can also be written. There is one of these at a time, owned by one thread.
pub trait Store: Read {
    /// Writes the whole list durably, or nothing of it.
    fn commit(&mut self, writes: &[Write]) -> Answer<()>;

    /// The same store as something to ask.
    fn as_read(&self) -> &dyn Read;
}
