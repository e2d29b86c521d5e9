//! A store in memory, for simulations: the same answers as the real one, and a hook that fails chosen writes.
//!
//! [`MemoryStore::fail_commits`] decides for each commit, by its number, whether it fails and how: before anything is
//! written, or after everything is (a reply that was lost on the way back from the disk). Cloning a store copies what is
//! "on the disk", so a restart is a clone opened by a new owner.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::quantities::Moment;

use super::rows::{
    Change, Device, Edit, Garden, Invite, Membership, Person, SignIn, Snapshot, Write,
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

/// What is "on the disk". The bulky rows are shared, since every commit works on a copy.
#[derive(Clone, Default)]
struct Disk {
    people: BTreeMap<PersonId, Person>,
    devices: BTreeMap<DeviceId, Device>,
    barred: BTreeSet<(DeviceId, GardenId)>,
    gardens: BTreeMap<GardenId, Garden>,
    memberships: Vec<Membership>,
    invites: BTreeMap<InviteId, Invite>,
    edits: BTreeMap<GardenId, Vec<Arc<Edit>>>,
    edit_places: BTreeMap<(GardenId, EditId), usize>,
    changes: BTreeMap<(GardenId, DocumentName, u64), Arc<Change>>,
    snapshots: BTreeMap<(GardenId, DocumentName, u64), Arc<Snapshot>>,
    values: BTreeMap<String, Vec<u8>>,
}

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
        Ok(self.disk.devices.get(&device).cloned())
    }

    fn device_by_token(&self, token: &SecretHash) -> Answer<Option<Device>> {
        Ok(self
            .disk
            .devices
            .values()
            .find(|device| device.token == *token)
            .cloned())
    }

    fn devices_of(&self, person: PersonId) -> Answer<Vec<Device>> {
        let mut devices: Vec<Device> = self
            .disk
            .devices
            .values()
            .filter(|row| row.person == person)
            .cloned()
            .collect();
        devices.sort_by_key(|device| (device.made_at, device.id));
        Ok(devices)
    }

    fn is_barred(&self, device: DeviceId, garden: GardenId) -> Answer<bool> {
        Ok(self.disk.barred.contains(&(device, garden)))
    }

    fn gardens(&self) -> Answer<Vec<Garden>> {
        let mut gardens: Vec<Garden> = self.disk.gardens.values().copied().collect();
        gardens.sort_by_key(|garden| (garden.made_at, garden.id));
        Ok(gardens)
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
        Ok(self.disk.invites.get(&invite).cloned())
    }

    fn invite_by_secret(&self, secret: &SecretHash) -> Answer<Option<Invite>> {
        Ok(self
            .disk
            .invites
            .values()
            .find(|invite| invite.secret == *secret)
            .cloned())
    }

    fn invites_of(&self, garden: GardenId) -> Answer<Vec<Invite>> {
        let mut invites: Vec<Invite> = self
            .disk
            .invites
            .values()
            .filter(|invite| invite.kind.garden() == Some(garden))
            .cloned()
            .collect();
        invites.sort_by_key(|invite| (invite.made_at, invite.id));
        Ok(invites)
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

fn signs_in_as(person: &Person, name: &str) -> bool {
    person
        .sign_in
        .as_ref()
        .is_some_and(|sign_in| sign_in.name.eq_ignore_ascii_case(name))
}

fn clash<T>(what: &str) -> Answer<T> {
    Err(StoreError::Clash(what.to_owned()))
}

impl Disk {
    fn apply(&mut self, write: &Write) -> Answer<()> {
        match write {
            Write::AddPerson(person) => self.add_person(person),
            Write::SetSignIn(person, sign_in) => self.set_sign_in(*person, sign_in),
            Write::AddDevice(device) => self.add_device(device),
            Write::SeeDevice(device, at) => self.with_device(*device, |row| row.last_seen = *at),
            Write::RevokeDevice(device, at) => self.with_device(*device, |row| {
                row.revoked_at.get_or_insert(*at);
            }),
            Write::BarDevice(device, garden, _) => {
                if !self.devices.contains_key(device) || !self.gardens.contains_key(garden) {
                    return clash("no such device or garden");
                }
                self.barred.insert((*device, *garden));
                Ok(())
            }
            Write::UnbarDevice(device, garden) => {
                self.barred.remove(&(*device, *garden));
                Ok(())
            }
            Write::AddGarden(garden) => {
                if self.gardens.insert(garden.id, *garden).is_some() {
                    clash("garden")
                } else {
                    Ok(())
                }
            }
            Write::AddMembership(row) => self.add_membership(row),
            Write::AddInvite(invite) => self.add_invite(invite),
            Write::UseInvite(invite, at) => self.use_invite(*invite, *at),
            Write::RevokeInvite(invite, at) => {
                let Some(row) = self.invites.get_mut(invite) else {
                    return clash("no such invite");
                };
                row.revoked_at.get_or_insert(*at);
                Ok(())
            }
            Write::AddEdit(edit) => self.add_edit(edit),
            Write::AddChange(change) => {
                let key = (change.garden, change.document, change.seq);
                if !self.gardens.contains_key(&change.garden) {
                    return clash("no such garden");
                }
                if self.changes.insert(key, Arc::new(change.clone())).is_some() {
                    clash("change")
                } else {
                    Ok(())
                }
            }
            Write::PutSnapshot(snapshot) => {
                self.snapshots.insert(
                    (snapshot.garden, snapshot.document, snapshot.upto_seq),
                    Arc::new(snapshot.clone()),
                );
                Ok(())
            }
            Write::DropBefore {
                garden,
                document,
                upto_seq,
            } => {
                self.drop_before(*garden, *document, *upto_seq);
                Ok(())
            }
            Write::SetValue(name, bytes) => {
                self.values.insert((*name).to_owned(), bytes.clone());
                Ok(())
            }
        }
    }

    fn add_person(&mut self, person: &Person) -> Answer<()> {
        if let Some(sign_in) = &person.sign_in
            && self
                .people
                .values()
                .any(|other| signs_in_as(other, &sign_in.name))
        {
            return clash("sign-in name");
        }
        if self.people.insert(person.id, person.clone()).is_some() {
            clash("person")
        } else {
            Ok(())
        }
    }

    fn set_sign_in(&mut self, person: PersonId, sign_in: &SignIn) -> Answer<()> {
        if self
            .people
            .values()
            .any(|other| other.id != person && signs_in_as(other, &sign_in.name))
        {
            return clash("sign-in name");
        }
        let Some(row) = self.people.get_mut(&person) else {
            return clash("no such person");
        };
        row.sign_in = Some(sign_in.clone());
        Ok(())
    }

    fn add_device(&mut self, device: &Device) -> Answer<()> {
        if !self.people.contains_key(&device.person) {
            return clash("no such person");
        }
        if self
            .devices
            .values()
            .any(|other| other.token == device.token)
        {
            return clash("token");
        }
        if self.devices.insert(device.id, device.clone()).is_some() {
            clash("device")
        } else {
            Ok(())
        }
    }

    fn with_device(&mut self, device: DeviceId, change: impl FnOnce(&mut Device)) -> Answer<()> {
        let Some(row) = self.devices.get_mut(&device) else {
            return clash("no such device");
        };
        change(row);
        Ok(())
    }

    fn add_membership(&mut self, row: &Membership) -> Answer<()> {
        let taken = |other: &Membership| {
            other.garden == row.garden && (other.person == row.person || other.member == row.member)
        };
        if !self.gardens.contains_key(&row.garden) || !self.people.contains_key(&row.person) {
            return clash("no such garden or person");
        }
        if self.memberships.iter().any(taken) {
            return clash("membership");
        }
        self.memberships.push(*row);
        Ok(())
    }

    fn add_invite(&mut self, invite: &Invite) -> Answer<()> {
        if self
            .invites
            .values()
            .any(|other| other.secret == invite.secret)
        {
            return clash("secret");
        }
        if self.invites.insert(invite.id, invite.clone()).is_some() {
            clash("invite")
        } else {
            Ok(())
        }
    }

    fn use_invite(&mut self, invite: InviteId, at: Moment) -> Answer<()> {
        match self.invites.get_mut(&invite) {
            Some(row) if row.used_at.is_none() => {
                row.used_at = Some(at);
                Ok(())
            }
            _ => clash("invite used before"),
        }
    }

    fn add_edit(&mut self, edit: &Edit) -> Answer<()> {
        if !self.gardens.contains_key(&edit.garden) {
            return clash("no such garden");
        }
        let edits = self.edits.entry(edit.garden).or_default();
        if self
            .edit_places
            .insert((edit.garden, edit.id), edits.len())
            .is_some()
        {
            return clash("edit");
        }
        edits.push(Arc::new(edit.clone()));
        Ok(())
    }

    fn drop_before(&mut self, garden: GardenId, document: DocumentName, upto_seq: u64) {
        self.changes
            .retain(|key, _| (key.0, key.1) != (garden, document) || key.2 > upto_seq);
        self.snapshots
            .retain(|key, _| (key.0, key.1) != (garden, document) || key.2 >= upto_seq);
    }
}
