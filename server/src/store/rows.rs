//! The rows of the store and the list of everything that can be written.

use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, MemberId, PictureId};
use selion_core::quantities::Moment;

use crate::ids::{DeviceId, InviteId, PersonId};
use crate::secret::{PassphraseHash, SecretHash};

/// Somebody who uses the service.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// Their id.
    pub id: PersonId,
    /// What they are called.
    pub name: String,
    /// The name and the passphrase's hash they sign in with, if they chose one.
    pub sign_in: Option<SignIn>,
    /// When they first came.
    pub made_at: Moment,
}

/// How somebody signs in on a new device without a link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignIn {
    /// The chosen name.
    pub name: String,
    /// argon2id, in PHC form.
    pub passphrase: PassphraseHash,
}

/// A phone or computer that may act for a person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// Its id.
    pub id: DeviceId,
    /// Whose it is.
    pub person: PersonId,
    /// What its owner calls it.
    pub name: String,
    /// The hash of the token in its cookie.
    pub token: SecretHash,
    /// The only garden it may see, if it is so limited.
    pub garden: Option<GardenId>,
    /// When it was enrolled.
    pub made_at: Moment,
    /// When it last asked for anything, to the nearest few minutes.
    pub last_seen: Moment,
    /// Since when it may do nothing any more.
    pub revoked_at: Option<Moment>,
}

/// A garden; everything else about it stands in its documents.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Garden {
    /// Its id.
    pub id: GardenId,
    /// When it was made.
    pub made_at: Moment,
}

/// Which member of a garden a person is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Membership {
    /// Who.
    pub person: PersonId,
    /// Where.
    pub garden: GardenId,
    /// As which member.
    pub member: MemberId,
    /// Since when.
    pub made_at: Moment,
}

/// What an invite is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InviteKind {
    /// To enrol as a member of a garden, or to enrol again on another device.
    Garden {
        /// Which garden.
        garden: GardenId,
        /// As which member.
        member: MemberId,
    },
    /// To make a garden and become its first coordinator.
    NewGarden,
    /// To enrol one more device of the same person.
    Device {
        /// Whose device.
        person: PersonId,
        /// The limit of the device that made the link; the new one gets the same.
        garden: Option<GardenId>,
    },
}

/// A link that can be used once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Invite {
    /// Its id; not its secret.
    pub id: InviteId,
    /// The hash of its secret.
    pub secret: SecretHash,
    /// What it is good for.
    pub kind: InviteKind,
    /// Who made it; nobody when it was made on the command line.
    pub made_by: Option<PersonId>,
    /// When it was made.
    pub made_at: Moment,
    /// Until when it is good.
    pub expires_at: Moment,
    /// When it was used.
    pub used_at: Option<Moment>,
    /// When it was withdrawn.
    pub revoked_at: Option<Moment>,
}

/// A person's calendar link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Feed {
    /// The hash of its secret.
    pub secret: SecretHash,
    /// Whose calendar it shows.
    pub person: PersonId,
    /// The only garden that it shows, if it is so limited.
    pub garden: Option<GardenId>,
    /// When it was made.
    pub made_at: Moment,
    /// When it was taken back.
    pub revoked_at: Option<Moment>,
}

/// What a picture is, as its first bytes say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    Webp,
}

impl PictureKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Jpeg, Self::Png, Self::Webp];

    /// Its word, as it is stored.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Jpeg => "jpeg",
            Self::Png => "png",
            Self::Webp => "webp",
        }
    }

    /// The kind of these bytes, by how files of each kind begin (ITU T.81 annex B; W3C PNG; the RIFF container of WebP).
    pub fn of(bytes: &[u8]) -> Option<Self> {
        if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
            return Some(Self::Jpeg);
        }
        if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            return Some(Self::Png);
        }
        let is_webp = bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP".as_slice());
        is_webp.then_some(Self::Webp)
    }
}

/// A picture under a garden's plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Of which garden.
    pub garden: GardenId,
    /// Its id, given by the phone that brought it.
    pub id: PictureId,
    /// What it is.
    pub kind: PictureKind,
    /// The file.
    pub bytes: Vec<u8>,
    /// Who brought it.
    pub made_by: PersonId,
    /// When.
    pub made_at: Moment,
}

/// An edit as it arrived and what was answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// Where.
    pub garden: GardenId,
    /// Which.
    pub id: EditId,
    /// Who wrote it.
    pub member: MemberId,
    /// On which device; none when it was made on the command line.
    pub device: Option<DeviceId>,
    /// The envelope, JSON.
    pub body: String,
    /// The verdict, JSON.
    pub verdict: String,
    /// If accepted: the document it changed and the number of that change.
    pub change: Option<(DocumentName, u64)>,
    /// When it arrived.
    pub received_at: Moment,
}

/// One change of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Where.
    pub garden: GardenId,
    /// Of which document.
    pub document: DocumentName,
    /// Its number in the document, from 1 without gaps.
    pub seq: u64,
    /// The change itself.
    pub bytes: Vec<u8>,
}

/// A whole document up to a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Snapshot {
    /// Where.
    pub garden: GardenId,
    /// Of which document.
    pub document: DocumentName,
    /// The last change it contains.
    pub upto_seq: u64,
    /// The document's heads as text, sorted.
    pub heads: Vec<String>,
    /// The document itself.
    pub bytes: Vec<u8>,
    /// When it was made.
    pub made_at: Moment,
    /// When it was loaded back and found equal.
    pub verified_at: Option<Moment>,
}

/// One thing to write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Write {
    /// A new person.
    AddPerson(Person),
    /// A name and passphrase to sign in with, replacing the former.
    SetSignIn(PersonId, SignIn),
    /// A new device.
    AddDevice(Device),
    /// A device was seen.
    SeeDevice(DeviceId, Moment),
    /// A device may do nothing any more. Keeps the first time if it was revoked before.
    RevokeDevice(DeviceId, Moment),
    /// A device may not see one of its person's gardens any more.
    BarDevice(DeviceId, GardenId, Moment),
    /// A device may see a garden again.
    UnbarDevice(DeviceId, GardenId),
    /// A new garden.
    AddGarden(Garden),
    /// A person becomes a member.
    AddMembership(Membership),
    /// A new invite.
    AddInvite(Invite),
    /// An invite is used up. Clashes if it was used before.
    UseInvite(InviteId, Moment),
    /// An invite is withdrawn. Keeps the first time if it was withdrawn before.
    RevokeInvite(InviteId, Moment),
    /// A new calendar link.
    AddFeed(Feed),
    /// All calendar links of a person are taken back. Keeps the first time of those that were before.
    RevokeFeeds(PersonId, Moment),
    /// A picture. Clashes if the garden has one with this id.
    AddPicture(Picture),
    /// A picture that is no longer used goes.
    DropPicture(GardenId, PictureId),
    /// An edit and its answer. Clashes if the garden has an edit with this id.
    AddEdit(Edit),
    /// A change. Clashes if the document has one with this number.
    AddChange(Change),
    /// A snapshot; replaces one up to the same change.
    PutSnapshot(Snapshot),
    /// Drops the changes up to a number and the snapshots before it.
    DropBefore {
        /// Where.
        garden: GardenId,
        /// Of which document.
        document: DocumentName,
        /// The last change to go; a snapshot up to exactly this one stays.
        upto_seq: u64,
    },
    /// One of the service's own values.
    SetValue(&'static str, Vec<u8>),
}

impl InviteKind {
    /// The garden an invite to a garden is for; a link for a further device belongs to no garden's list.
    pub fn garden(&self) -> Option<GardenId> {
        match self {
            Self::Garden { garden, .. } => Some(*garden),
            Self::NewGarden | Self::Device { .. } => None,
        }
    }
}
