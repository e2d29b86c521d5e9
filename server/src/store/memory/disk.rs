//! What a store in memory has "on its disk", and how each thing is written there.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, PictureId};
use selion_core::quantities::Moment;

use crate::ids::{DeviceId, InviteId, PersonId};
use crate::store::rows::{
    Change, Device, Edit, Feed, Garden, Invite, Membership, Person, Picture, SignIn, Snapshot,
    Write,
};
use crate::store::{Answer, StoreError};

/// What is "on the disk". The bulky rows are shared, since every commit works on a copy.
#[derive(Clone, Default)]
pub(super) struct Disk {
    pub(super) people: BTreeMap<PersonId, Person>,
    pub(super) devices: Vec<Device>,
    pub(super) barred: BTreeSet<(DeviceId, GardenId)>,
    pub(super) gardens: Vec<Garden>,
    pub(super) memberships: Vec<Membership>,
    pub(super) invites: Vec<Invite>,
    pub(super) feeds: Vec<Feed>,
    pub(super) pictures: BTreeMap<(GardenId, PictureId), Arc<Picture>>,
    pub(super) edits: BTreeMap<GardenId, Vec<Arc<Edit>>>,
    pub(super) edit_places: BTreeMap<(GardenId, EditId), usize>,
    pub(super) changes: BTreeMap<(GardenId, DocumentName, u64), Arc<Change>>,
    pub(super) snapshots: BTreeMap<(GardenId, DocumentName, u64), Arc<Snapshot>>,
    pub(super) values: BTreeMap<String, Vec<u8>>,
}

impl Disk {
    /// Writes one thing.
    pub(super) fn apply(&mut self, write: &Write) -> Answer<()> {
        match write {
            Write::AddPerson(person) => self.add_person(person),
            Write::SetSignIn(person, sign_in) => self.set_sign_in(*person, sign_in),
            Write::AddDevice(device) => self.add_device(device),
            Write::SeeDevice(device, at) => self.with_device(*device, |row| row.last_seen = *at),
            Write::RevokeDevice(device, at) => self.with_device(*device, |row| {
                row.revoked_at.get_or_insert(*at);
            }),
            Write::BarDevice(device, garden, _) => {
                if !self.devices.iter().any(|row| row.id == *device) || !self.has_garden(*garden) {
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
                if self.has_garden(garden.id) {
                    return clash("garden");
                }
                self.gardens.push(*garden);
                Ok(())
            }
            Write::AddMembership(row) => self.add_membership(row),
            Write::AddInvite(invite) => self.add_invite(invite),
            Write::UseInvite(invite, at) => self.use_invite(*invite, *at),
            Write::RevokeInvite(invite, at) => self.revoke_invite(*invite, *at),
            Write::AddFeed(feed) => self.add_feed(*feed),
            Write::RevokeFeeds(person, at) => {
                self.revoke_feeds(*person, *at);
                Ok(())
            }
            Write::AddPicture(picture) => self.add_picture(picture),
            Write::DropPicture(garden, picture) => self.drop_picture(*garden, *picture),
            Write::AddEdit(edit) => self.add_edit(edit),
            Write::AddChange(change) => {
                let key = (change.garden, change.document, change.seq);
                if !self.has_garden(change.garden) {
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
            .iter()
            .any(|other| other.token == device.token || other.id == device.id)
        {
            return clash("token");
        }
        self.devices.push(device.clone());
        Ok(())
    }

    fn with_device(&mut self, device: DeviceId, change: impl FnOnce(&mut Device)) -> Answer<()> {
        let Some(row) = self.devices.iter_mut().find(|row| row.id == device) else {
            return clash("no such device");
        };
        change(row);
        Ok(())
    }

    fn add_membership(&mut self, row: &Membership) -> Answer<()> {
        let taken = |other: &Membership| {
            other.garden == row.garden && (other.person == row.person || other.member == row.member)
        };
        if !self.has_garden(row.garden) || !self.people.contains_key(&row.person) {
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
            .iter()
            .any(|other| other.secret == invite.secret || other.id == invite.id)
        {
            return clash("secret");
        }
        self.invites.push(invite.clone());
        Ok(())
    }

    #[expect(
        clippy::unnecessary_wraps,
        reason = "it answers as every other write does"
    )]
    fn drop_picture(&mut self, garden: GardenId, picture: PictureId) -> Answer<()> {
        self.pictures.remove(&(garden, picture));
        Ok(())
    }

    fn add_picture(&mut self, picture: &Picture) -> Answer<()> {
        if !self.has_garden(picture.garden) || !self.people.contains_key(&picture.made_by) {
            return clash("no such garden or person");
        }
        let key = (picture.garden, picture.id);
        if self.pictures.contains_key(&key) {
            return clash("picture");
        }
        self.pictures.insert(key, Arc::new(picture.clone()));
        Ok(())
    }

    fn add_feed(&mut self, feed: Feed) -> Answer<()> {
        if !self.people.contains_key(&feed.person) {
            return clash("no such person");
        }
        if self.feeds.iter().any(|other| other.secret == feed.secret) {
            return clash("secret");
        }
        self.feeds.push(feed);
        Ok(())
    }

    fn revoke_invite(&mut self, invite: InviteId, at: Moment) -> Answer<()> {
        let Some(row) = self.invites.iter_mut().find(|row| row.id == invite) else {
            return clash("no such invite");
        };
        row.revoked_at.get_or_insert(at);
        Ok(())
    }

    fn revoke_feeds(&mut self, person: PersonId, at: Moment) {
        let of_person = |feed: &&mut Feed| feed.person == person;
        for feed in self.feeds.iter_mut().filter(of_person) {
            feed.revoked_at.get_or_insert(at);
        }
    }

    fn use_invite(&mut self, invite: InviteId, at: Moment) -> Answer<()> {
        match self.invites.iter_mut().find(|row| row.id == invite) {
            Some(row) if row.used_at.is_none() => {
                row.used_at = Some(at);
                Ok(())
            }
            _ => clash("invite used before"),
        }
    }

    fn add_edit(&mut self, edit: &Edit) -> Answer<()> {
        if !self.has_garden(edit.garden) {
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

    fn has_garden(&self, garden: GardenId) -> bool {
        self.gardens.iter().any(|row| row.id == garden)
    }
}

/// Whether this is the person's name to sign in with.
pub(super) fn signs_in_as(person: &Person, name: &str) -> bool {
    person
        .sign_in
        .as_ref()
        .is_some_and(|sign_in| sign_in.name.eq_ignore_ascii_case(name))
}

fn clash<T>(what: &str) -> Answer<T> {
    Err(StoreError::Clash(what.to_owned()))
}
