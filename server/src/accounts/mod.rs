//! The rules of accounts: who may enrol, on which device, and what an invite does. They work on a
//! [`Desk`], so they decide and write with nobody in between, and know nothing of requests.

mod devices;
mod feeds;
mod gardens;
mod invites;
mod people;
mod pictures;

#[cfg(test)]
mod tests;

pub use devices::{ShownDevice, devices, link_device, revoke_device, revoke_in_garden, saw};
pub use feeds::{FeedGarden, MadeFeed, ShownFeed, feed, feed_content, make_feed, revoke_feed};
pub use gardens::{NewGarden, found};
pub use invites::{
    Joined, Looked, MadeInvite, ShownInvite, invite, invites, join, look, member_invite,
    new_garden_invite, person_invite, withdraw,
};
pub use people::{EnrolledMember, Me, ShownGarden, enrolled, me, set_sign_in, sign_in};
pub use pictures::{add_picture, picture};

use selion_core::document::Role;
use selion_core::document::ids::{GardenId, MemberId};
use selion_core::policy::{Action, may};

use crate::error::AppError;
use crate::ids::{DeviceId, PersonId};
use crate::rooms::{Desk, RoomError};
use crate::secret::Secret;
use crate::store::rows::{Device, Write};

/// What a device is given: its id, and the secret for its cookie.
#[derive(Clone, Debug)]
pub struct Enrolled {
    /// Its id.
    pub device: DeviceId,
    /// The secret, which is stored nowhere else.
    pub secret: Secret,
}

impl From<RoomError> for AppError {
    fn from(error: RoomError) -> Self {
        match error {
            RoomError::NoGarden => Self::NotFound("There is no such garden."),
            RoomError::Store(_) | RoomError::Document(_) | RoomError::Panicked(_) => {
                tracing::error!(%error, "a garden cannot be worked on");
                Self::Broken
            }
        }
    }
}

/// A name as it is stored: without space around it, neither empty nor long, in one line.
pub fn checked_name(field: &str, text: &str, max: usize) -> Result<String, AppError> {
    let name = text.trim();
    let length = name.chars().count();
    if name.is_empty() {
        return Err(AppError::BadRequest(format!(
            "{field}: expected a name, but it is empty."
        )));
    }
    if length > max {
        return Err(AppError::BadRequest(format!(
            "{field}: expected at most {max} characters, but {length} came."
        )));
    }
    if name.chars().any(char::is_control) {
        return Err(AppError::BadRequest(format!(
            "{field}: expected one line of text."
        )));
    }
    Ok(name.to_owned())
}

/// The writes that enrol a new device for a person, and what it is given.
fn enrol(
    desk: &Desk<'_>,
    person: PersonId,
    name: String,
    garden: Option<GardenId>,
) -> (Write, Enrolled) {
    let secret = Secret::for_device();
    let device = Device {
        id: DeviceId::fresh(desk.now),
        person,
        name,
        token: secret.hash(),
        garden,
        made_at: desk.now,
        last_seen: desk.now,
        revoked_at: None,
    };
    let enrolled = Enrolled {
        device: device.id,
        secret,
    };
    (Write::AddDevice(device), enrolled)
}

/// Refuses whoever may not invite people and sign out their devices in a garden.
fn require_keeper_of_people(
    desk: &mut Desk<'_>,
    garden: GardenId,
    member: MemberId,
) -> Result<(), AppError> {
    let picture = desk.hall.picture(desk.store.as_read(), garden)?;
    let role = picture
        .open_member(member)
        .map_or(Role::Helper, |member| member.role);
    if may(role, Action::KeepPeople, false) {
        return Ok(());
    }
    Err(AppError::Forbidden(
        "Only a coordinator can invite people and sign out their devices.",
    ))
}
