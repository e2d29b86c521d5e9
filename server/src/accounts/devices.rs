//! Devices: listed, linked, signed out.

use selion_core::document::ids::{GardenId, MemberId};
use selion_core::quantities::Moment;
use serde::Serialize;

use super::invites::{MadeInvite, make};
use super::require_keeper_of_people;
use crate::auth::Caller;
use crate::error::AppError;
use crate::ids::DeviceId;
use crate::rooms::Desk;
use crate::store::Read;
use crate::store::rows::{Device, InviteKind, Write};

const MILLIS_IN_MINUTE: i64 = 60 * 1_000;

/// A device in its owner's list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShownDevice {
    /// Its id.
    pub id: DeviceId,
    /// What its owner calls it.
    pub name: String,
    /// When it was enrolled.
    pub made_at: Moment,
    /// When it was last seen, to a quarter of an hour.
    pub last_seen: Moment,
    /// When it was signed out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub revoked_at: Option<Moment>,
    /// Whether it is the one that asks.
    pub this: bool,
}

/// The caller's devices. A device that is limited to a garden sees only others with the same limit.
pub fn devices(read: &dyn Read, caller: Caller) -> Result<Vec<ShownDevice>, AppError> {
    let shown = read
        .devices_of(caller.person)?
        .into_iter()
        .filter(|device| may_manage(caller, device));
    let shown = shown.map(
        |Device {
             id,
             name,
             made_at,
             last_seen,
             revoked_at,
             ..
         }| {
            ShownDevice {
                id,
                name,
                made_at,
                last_seen,
                revoked_at,
                this: id == caller.device,
            }
        },
    );
    Ok(shown.collect())
}

/// Signs a device of the caller out.
pub fn revoke_device(
    desk: &mut Desk<'_>,
    caller: Caller,
    device: DeviceId,
) -> Result<(), AppError> {
    let row = desk.store.device(device)?;
    let row = row.filter(|row| row.person == caller.person && may_manage(caller, row));
    let row = row.ok_or(AppError::NotFound("You have no such device."))?;
    desk.store
        .commit(&[Write::RevokeDevice(row.id, desk.now)])?;
    let effects = desk.hall.revoke(row.id, None);
    desk.also(effects);
    Ok(())
}

/// A link that enrols one more device of the caller, good for minutes.
pub fn link_device(desk: &mut Desk<'_>, caller: Caller) -> Result<MadeInvite, AppError> {
    let kind = InviteKind::Device {
        person: caller.person,
        garden: caller.only_garden,
    };
    make(
        desk,
        kind,
        Some(caller.person),
        desk.limits.device_link_minutes * MILLIS_IN_MINUTE,
    )
}

/// Signs all devices of a member out of a garden; they may still see their person's other gardens. For coordinators.
/// Gives back how many they were.
pub fn revoke_in_garden(
    desk: &mut Desk<'_>,
    by: MemberId,
    garden: GardenId,
    member: MemberId,
) -> Result<usize, AppError> {
    require_keeper_of_people(desk, garden, by)?;
    let person = desk.store.person_of_member(garden, member)?;
    let person = person.ok_or(AppError::NotFound("This member has no devices here."))?;
    let mut writes = Vec::new();
    let mut signed_out = Vec::new();
    for device in desk
        .store
        .devices_of(person)?
        .into_iter()
        .filter(|device| device.revoked_at.is_none())
    {
        match device.garden {
            None => writes.push(Write::BarDevice(device.id, garden, desk.now)),
            Some(only) if only == garden => writes.push(Write::RevokeDevice(device.id, desk.now)),
            Some(_) => continue,
        }
        signed_out.push(device.id);
    }
    desk.store.commit(&writes)?;
    for device in &signed_out {
        let effects = desk.hall.revoke(*device, Some(garden));
        desk.also(effects);
    }
    Ok(signed_out.len())
}

/// Notes that a device was seen.
pub fn saw(desk: &mut Desk<'_>, device: DeviceId) -> Result<(), AppError> {
    Ok(desk.store.commit(&[Write::SeeDevice(device, desk.now)])?)
}

fn may_manage(caller: Caller, device: &Device) -> bool {
    caller.only_garden.is_none() || caller.only_garden == device.garden
}
