//! A store in memory, for simulations: the same answers as the real one, and a hook that fails chosen writes.
//!
//! [`MemoryStore::fail_commits`] decides for each commit, by its number, whether it fails and how: before anything is
//! written, or after everything is (a reply that was lost on the way back from the disk). Cloning a store copies what is
//! "on the disk", so a restart is a clone opened by a new owner.

mod disk;

use std::fmt;

use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, MemberId, PictureId};

use disk::{Disk, signs_in_as};

use super::rows::{
    Change, Device, Edit, Feed, Garden, Invite, Membership, Person, Picture, Snapshot, Write,
};
use super::{Answer, Read, Store, StoreError};
use crate::ids::{DeviceId, InviteId, PersonId};
use crate::secret::SecretHash;

/// What becomes of one commit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It is written and says so.
    Written,
    /// Nothing is written, and it says so.
    Failed,
    /// It is written, but reports a failure.
    WrittenButReportedFailed,
}

type Hook = Box<dyn FnMut(u64) -> Fate + Send>;

/// A store in memory.
#[derive(Default)]
pub struct MemoryStore {
    disk: Disk,
    commits: u64,
    hook: Option<Hook>,
}

impl MemoryStore {
    /// An empty store.
    pub fn new() -> Self {
        Self::default()
    }

    /// Decides the fate of each commit from now on; it is given the commit's number, from 1.
    pub fn fail_commits(&mut self, hook: impl FnMut(u64) -> Fate + Send + 'static) {
        self.hook = Some(Box::new(hook));
    }

    /// What a new owner would find on the disk after a crash now.
    #[must_use]
    pub fn after_restart(&self) -> Self {
        Self {
            disk: self.disk.clone(),
            commits: 0,
            hook: None,
        }
    }

    /// How many commits were asked for.
    pub fn commits(&self) -> u64 {
        self.commits
    }
}

impl fmt::Debug for MemoryStore {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("MemoryStore")
            .field("commits", &self.commits)
            .finish_non_exhaustive()
    }
}

impl Read for MemoryStore {
    fn person(&self, person: PersonId) -> Answer<Option<Person>> {
        Ok(self.disk.people.get(&person).cloned())
    }

    fn person_by_sign_in(&self, name: &str) -> Answer<Option<Person>> {
        Ok(self
            .disk
            .people
            .values()
            .find(|person| signs_in_as(person, name))
            .cloned())
    }

    fn person_of_member(&self, garden: GardenId, member: MemberId) -> Answer<Option<PersonId>> {
        let found = self
            .disk
            .memberships
            .iter()
            .find(|row| row.garden == garden && row.member == member);
        Ok(found.map(|row| row.person))
    }

    fn device(&self, device: DeviceId) -> Answer<Option<Device>> {
        Ok(self
            .disk
            .devices
            .iter()
            .find(|row| row.id == device)
            .cloned())
    }

    fn device_by_token(&self, token: &SecretHash) -> Answer<Option<Device>> {
        Ok(self
            .disk
            .devices
            .iter()
            .find(|device| device.token == *token)
            .cloned())
    }

    fn devices_of(&self, person: PersonId) -> Answer<Vec<Device>> {
        Ok(self
            .disk
            .devices
            .iter()
            .filter(|row| row.person == person)
            .cloned()
            .collect())
    }

    fn is_barred(&self, device: DeviceId, garden: GardenId) -> Answer<bool> {
        Ok(self.disk.barred.contains(&(device, garden)))
    }

    fn gardens(&self) -> Answer<Vec<Garden>> {
        Ok(self.disk.gardens.clone())
    }

    fn memberships_of(&self, person: PersonId) -> Answer<Vec<Membership>> {
        Ok(self
            .disk
            .memberships
            .iter()
            .filter(|row| row.person == person)
            .copied()
            .collect())
    }

    fn membership(&self, person: PersonId, garden: GardenId) -> Answer<Option<Membership>> {
        let found = self
            .disk
            .memberships
            .iter()
            .find(|row| row.person == person && row.garden == garden);
        Ok(found.copied())
    }

    fn enrolled(&self, garden: GardenId) -> Answer<Vec<Membership>> {
        Ok(self
            .disk
            .memberships
            .iter()
            .filter(|row| row.garden == garden)
            .copied()
            .collect())
    }

    fn invite(&self, invite: InviteId) -> Answer<Option<Invite>> {
        Ok(self
            .disk
            .invites
            .iter()
            .find(|row| row.id == invite)
            .cloned())
    }

    fn invite_by_secret(&self, secret: &SecretHash) -> Answer<Option<Invite>> {
        Ok(self
            .disk
            .invites
            .iter()
            .find(|invite| invite.secret == *secret)
            .cloned())
    }

    fn invites_of(&self, garden: GardenId) -> Answer<Vec<Invite>> {
        Ok(self
            .disk
            .invites
            .iter()
            .filter(|invite| invite.kind.garden() == Some(garden))
            .cloned()
            .collect())
    }

    fn feed_by_secret(&self, secret: &SecretHash) -> Answer<Option<Feed>> {
        let mut feeds = self.disk.feeds.iter();
        Ok(feeds.find(|feed| feed.secret == *secret).copied())
    }

    fn feed_of(&self, person: PersonId) -> Answer<Option<Feed>> {
        let open = |feed: &&Feed| feed.person == person && feed.revoked_at.is_none();
        Ok(self.disk.feeds.iter().rev().find(open).copied())
    }

    fn picture(&self, garden: GardenId, picture: PictureId) -> Answer<Option<Picture>> {
        let found = self.disk.pictures.get(&(garden, picture));
        Ok(found.map(|picture| Picture::clone(picture)))
    }

    fn pictures_of(&self, garden: GardenId) -> Answer<Vec<PictureId>> {
        let of_garden = self.disk.pictures.values();
        let mut found: Vec<_> = of_garden
            .filter(|picture| picture.garden == garden)
            .map(|picture| (picture.made_at, picture.id))
            .collect();
        found.sort_unstable();
        Ok(found.into_iter().map(|(_, id)| id).collect())
    }

    fn edit(&self, garden: GardenId, edit: EditId) -> Answer<Option<Edit>> {
        let place = self.disk.edit_places.get(&(garden, edit));
        let edits = self.disk.edits.get(&garden);
        Ok(place
            .zip(edits)
            .and_then(|(place, edits)| edits.get(*place))
            .map(|edit| Edit::clone(edit)))
    }

    fn edits(&self, garden: GardenId, after: Option<EditId>, limit: usize) -> Answer<Vec<Edit>> {
        let from = match after {
            None => 0,
            Some(edit) => self
                .disk
                .edit_places
                .get(&(garden, edit))
                .map_or(0, |place| place + 1),
        };
        let edits = self.disk.edits.get(&garden);
        Ok(edits
            .into_iter()
            .flatten()
            .skip(from)
            .take(limit)
            .map(|edit| Edit::clone(edit))
            .collect())
    }

    fn documents(&self, garden: GardenId) -> Answer<Vec<DocumentName>> {
        let changes = self.disk.changes.keys().map(|key| (key.0, key.1));
        let snapshots = self.disk.snapshots.keys().map(|key| (key.0, key.1));
        let mut names: Vec<DocumentName> = changes
            .chain(snapshots)
            .filter(|(of, _)| *of == garden)
            .map(|(_, name)| name)
            .collect();
        names.sort_unstable();
        names.dedup();
        Ok(names)
    }

    fn changes(
        &self,
        garden: GardenId,
        document: DocumentName,
        after: u64,
        limit: usize,
    ) -> Answer<Vec<Change>> {
        let range = (garden, document, after.saturating_add(1))..=(garden, document, u64::MAX);
        Ok(self
            .disk
            .changes
            .range(range)
            .take(limit)
            .map(|(_, change)| Change::clone(change))
            .collect())
    }

    fn snapshots(&self, garden: GardenId, document: DocumentName) -> Answer<Vec<Snapshot>> {
        let range = (garden, document, 0)..=(garden, document, u64::MAX);
        Ok(self
            .disk
            .snapshots
            .range(range)
            .rev()
            .map(|(_, snapshot)| Snapshot::clone(snapshot))
            .collect())
    }

    fn value(&self, name: &str) -> Answer<Option<Vec<u8>>> {
        Ok(self.disk.values.get(name).cloned())
    }
}

impl Store for MemoryStore {
    fn commit(&mut self, writes: &[Write]) -> Answer<()> {
        self.commits += 1;
        let fate = self
            .hook
            .as_mut()
            .map_or(Fate::Written, |hook| hook(self.commits));
        if fate == Fate::Failed {
            return Err(StoreError::Failed(
                "this commit was chosen to fail".to_owned(),
            ));
        }
        let mut disk = self.disk.clone();
        for write in writes {
            disk.apply(write)?;
        }
        self.disk = disk;
        if fate == Fate::WrittenButReportedFailed {
            return Err(StoreError::Failed(
                "this commit was chosen to be written and reported as failed".to_owned(),
            ));
        }
        Ok(())
    }

    fn as_read(&self) -> &dyn Read {
        self
    }
}
