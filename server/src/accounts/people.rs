//! People: who somebody is, their gardens, their passphrase.

use selion_core::document::Role;
use selion_core::document::ids::{GardenId, MemberId};
use serde::Serialize;

use super::invites::require_whole_device;
use super::{Enrolled, enrol};
use crate::auth::Caller;
use crate::error::AppError;
use crate::ids::{DeviceId, PersonId};
use crate::rooms::Desk;
use crate::secret::PassphraseHash;
use crate::store::rows::{SignIn, Write};
use crate::store::{Read, StoreError};

/// Somebody, on one of their devices, with their gardens.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Me {
    /// Who.
    pub person: ShownPerson,
    /// The device that asks.
    pub device: DeviceId,
    /// The gardens it may see.
    pub gardens: Vec<ShownGarden>,
}

/// A person as shown to themselves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShownPerson {
    /// Their id.
    pub id: PersonId,
    /// What they are called.
    pub name: String,
    /// The name they sign in with, if they chose one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sign_in_name: Option<String>,
}

/// A garden in somebody's list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShownGarden {
    /// Its id.
    pub id: GardenId,
    /// Its name.
    pub name: String,
    /// Who they are there.
    pub member: MemberId,
    /// What they may do there.
    pub role: Role,
}

/// How many devices a member uses in a garden.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EnrolledMember {
    /// Which member.
    pub member: MemberId,
    /// Their devices that may see the garden.
    pub devices: usize,
}

/// Who the caller is. Gardens they left, or that their device may not see, are left out.
pub fn me(desk: &mut Desk<'_>, caller: Caller) -> Result<Me, AppError> {
    let person = desk
        .store
        .person(caller.person)?
        .ok_or(AppError::NotSignedIn)?;
    let mut gardens = Vec::new();
    for row in desk.store.memberships_of(caller.person)? {
        let elsewhere = caller.only_garden.is_some_and(|only| only != row.garden);
        if elsewhere || desk.store.is_barred(caller.device, row.garden)? {
            continue;
        }
        let picture = desk.hall.picture(desk.store.as_read(), row.garden)?;
        let Some(member) = picture.open_member(row.member) else {
            continue;
        };
        let name = picture
            .profile
            .as_ref()
            .map(|profile| profile.name.clone())
            .unwrap_or_default();
        gardens.push(ShownGarden {
            id: row.garden,
            name,
            member: row.member,
            role: member.role,
        });
    }
    let sign_in_name = person.sign_in.map(|sign_in| sign_in.name);
    Ok(Me {
        person: ShownPerson {
            id: person.id,
            name: person.name,
            sign_in_name,
        },
        device: caller.device,
        gardens,
    })
}

/// Who is enrolled in a garden, and on how many devices that may still see it.
pub fn enrolled(read: &dyn Read, garden: GardenId) -> Result<Vec<EnrolledMember>, AppError> {
    let mut members = Vec::new();
    for row in read.enrolled(garden)? {
        let mut devices = 0;
        for device in read.devices_of(row.person)? {
            let elsewhere = device.garden.is_some_and(|only| only != garden);
            if device.revoked_at.is_none() && !elsewhere && !read.is_barred(device.id, garden)? {
                devices += 1;
            }
        }
        members.push(EnrolledMember {
            member: row.member,
            devices,
        });
    }
    Ok(members)
}

/// Sets the name and passphrase that the caller signs in with.
pub fn set_sign_in(
    desk: &mut Desk<'_>,
    caller: Caller,
    name: String,
    passphrase: PassphraseHash,
) -> Result<(), AppError> {
    require_whole_device(caller)?;
    match desk
        .store
        .commit(&[Write::SetSignIn(caller.person, SignIn { name, passphrase })])
    {
        Err(StoreError::Clash(_)) => Err(AppError::Taken(
            "Somebody signs in with this name already. Choose another.",
        )),
        outcome => Ok(outcome?),
    }
}

/// Enrols a device of somebody whose passphrase was right.
pub fn sign_in(
    desk: &mut Desk<'_>,
    person: PersonId,
    device_name: String,
) -> Result<Enrolled, AppError> {
    let (write, enrolled) = enrol(desk, person, device_name, None);
    desk.store.commit(&[write])?;
    Ok(enrolled)
}
