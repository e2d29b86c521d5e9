//! Invites: made by a coordinator or on the command line, looked at any number of times, used once.

use selion_core::document::Role;
use selion_core::document::ids::{GardenId, MemberId};
use selion_core::quantities::Moment;
use serde::Serialize;

use super::{Enrolled, enrol, require_keeper_of_people};
use crate::auth::Caller;
use crate::error::AppError;
use crate::ids::{InviteId, PersonId};
use crate::rooms::Desk;
use crate::secret::Secret;
use crate::store::Read;
use crate::store::rows::{Invite, InviteKind, Membership, Person, Write};

const MILLIS_IN_DAY: i64 = 24 * 60 * 60 * 1_000;

/// What an invite shows to whoever holds its secret.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Looked {
    /// `garden`, `new_garden` or `device`.
    pub kind: &'static str,
    /// The garden's name, if it is for a garden.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub garden_name: Option<String>,
    /// Who they would be there; for a device, whose it would be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub member_name: Option<String>,
    /// What they could do there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
}

/// A new invite; the secret is shown this once.
#[derive(Clone, Debug)]
pub struct MadeInvite {
    /// Its id.
    pub id: InviteId,
    /// Its secret.
    pub secret: Secret,
    /// Until when it is good.
    pub expires_at: Moment,
}

/// An invite in a garden's list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShownInvite {
    /// Its id.
    pub id: InviteId,
    /// For which member.
    pub member: MemberId,
    /// When it was made.
    pub made_at: Moment,
    /// Until when it is good.
    pub expires_at: Moment,
    /// When it was used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub used_at: Option<Moment>,
    /// When it was withdrawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub revoked_at: Option<Moment>,
}

/// Where somebody is after using an invite.
#[derive(Clone, Debug)]
pub struct Joined {
    /// In which garden.
    pub garden: GardenId,
    /// As which member.
    pub member: MemberId,
    /// What the device is given, if it was not enrolled already.
    pub enrolled: Option<Enrolled>,
}

/// What an invite is for. It can still be used afterwards.
pub fn look(desk: &mut Desk<'_>, secret: &Secret) -> Result<Looked, AppError> {
    let invite = usable(desk.store.as_read(), secret, desk.now)?;
    match invite.kind {
        InviteKind::NewGarden => Ok(Looked {
            kind: "new_garden",
            garden_name: None,
            member_name: None,
            role: None,
        }),
        InviteKind::Garden { garden, member } => {
            let picture = desk.hall.picture(desk.store.as_read(), garden)?;
            let record = picture.open_member(member).ok_or(AppError::InviteGone)?;
            Ok(Looked {
                kind: "garden",
                garden_name: picture.profile.as_ref().map(|profile| profile.name.clone()),
                member_name: Some(record.name.clone()),
                role: Some(record.role),
            })
        }
        InviteKind::Device { person, .. } => {
            let person = desk.store.person(person)?.ok_or(AppError::InviteGone)?;
            Ok(Looked {
                kind: "device",
                garden_name: None,
                member_name: Some(person.name),
                role: None,
            })
        }
    }
}

/// Uses an invite to a garden or for a further device.
pub fn join(
    desk: &mut Desk<'_>,
    secret: &Secret,
    device_name: String,
    caller: Option<Caller>,
) -> Result<Joined, AppError> {
    let invite = usable(desk.store.as_read(), secret, desk.now)?;
    let mut writes = vec![Write::UseInvite(invite.id, desk.now)];
    let joined = match invite.kind {
        InviteKind::NewGarden => {
            return Err(AppError::BadRequest(
                "secret: this link is for making a garden, not for joining one.".to_owned(),
            ));
        }
        InviteKind::Garden { garden, member } => {
            join_garden(desk, (garden, member), device_name, caller, &mut writes)?
        }
        InviteKind::Device { person, garden } => {
            join_device(desk, person, garden, device_name, &mut writes)?
        }
    };
    desk.store.commit(&writes)?;
    Ok(joined)
}

fn join_garden(
    desk: &mut Desk<'_>,
    (garden, member): (GardenId, MemberId),
    device_name: String,
    caller: Option<Caller>,
    writes: &mut Vec<Write>,
) -> Result<Joined, AppError> {
    let picture = desk.hall.picture(desk.store.as_read(), garden)?;
    let name = picture
        .open_member(member)
        .ok_or(AppError::InviteGone)?
        .name
        .clone();
    let linked = desk.store.person_of_member(garden, member)?;

    let enrolled = match (linked, caller) {
        // Theirs already, on a device of theirs: at most it was signed out of this garden and may see it again.
        (Some(person), Some(caller)) if caller.person == person && may_see(caller, garden) => {
            writes.push(Write::UnbarDevice(caller.device, garden));
            None
        }
        // Enrolled again: a coordinator vouches for them in this garden, so the device sees this garden only.
        (Some(person), _) => {
            let (write, enrolled) = enrol(desk, person, device_name, Some(garden));
            writes.push(write);
            Some(enrolled)
        }
        // Somebody known here from another garden.
        (None, Some(caller)) => {
            require_whole_device(caller)?;
            if desk.store.membership(caller.person, garden)?.is_some() {
                return Err(AppError::Taken(
                    "You are in this garden already, as somebody else. Open the link in a private window.",
                ));
            }
            writes.push(Write::AddMembership(membership(
                desk,
                caller.person,
                garden,
                member,
            )));
            None
        }
        // Somebody new.
        (None, None) => {
            let person = Person {
                id: PersonId::fresh(desk.now),
                name,
                sign_in: None,
                made_at: desk.now,
            };
            let (write, enrolled) = enrol(desk, person.id, device_name, None);
            let row = membership(desk, person.id, garden, member);
            writes.extend([Write::AddPerson(person), Write::AddMembership(row), write]);
            Some(enrolled)
        }
    };
    Ok(Joined {
        garden,
        member,
        enrolled,
    })
}

fn join_device(
    desk: &mut Desk<'_>,
    person: PersonId,
    garden: Option<GardenId>,
    device_name: String,
    writes: &mut Vec<Write>,
) -> Result<Joined, AppError> {
    let memberships = desk.store.memberships_of(person)?;
    let seen = memberships
        .iter()
        .find(|row| garden.is_none_or(|only| row.garden == only));
    let seen = seen.ok_or(AppError::InviteGone)?;
    let (write, enrolled) = enrol(desk, person, device_name, garden);
    writes.push(write);
    Ok(Joined {
        garden: seen.garden,
        member: seen.member,
        enrolled: Some(enrolled),
    })
}

/// A link with which somebody can enrol as a member. For coordinators.
pub fn invite(
    desk: &mut Desk<'_>,
    by: (PersonId, MemberId),
    garden: GardenId,
    member: MemberId,
) -> Result<MadeInvite, AppError> {
    require_keeper_of_people(desk, garden, by.1)?;
    let picture = desk.hall.picture(desk.store.as_read(), garden)?;
    if picture.open_member(member).is_none() {
        return Err(AppError::NotFound(
            "There is no such member in this garden.",
        ));
    }
    let open = desk
        .store
        .invites_of(garden)?
        .iter()
        .filter(|invite| is_open(invite, desk.now))
        .count();
    if open >= desk.limits.open_invites {
        return Err(AppError::TooLarge(format!(
            "There are {open} unused invites; withdraw some first."
        )));
    }
    make(
        desk,
        InviteKind::Garden { garden, member },
        Some(by.0),
        desk.limits.invite_days * MILLIS_IN_DAY,
    )
}

/// A link with which somebody can make a garden. For whoever runs the service.
pub fn new_garden_invite(desk: &mut Desk<'_>) -> Result<MadeInvite, AppError> {
    make(
        desk,
        InviteKind::NewGarden,
        None,
        desk.limits.invite_days * MILLIS_IN_DAY,
    )
}

/// A link with which somebody can enrol as a member again. For whoever runs the service.
pub fn member_invite(
    desk: &mut Desk<'_>,
    garden: GardenId,
    member: MemberId,
) -> Result<MadeInvite, AppError> {
    make(
        desk,
        InviteKind::Garden { garden, member },
        None,
        desk.limits.invite_days * MILLIS_IN_DAY,
    )
}

/// A link that enrols a device of somebody, with all their gardens. For whoever runs the service.
pub fn person_invite(desk: &mut Desk<'_>, person: PersonId) -> Result<MadeInvite, AppError> {
    let kind = InviteKind::Device {
        person,
        garden: None,
    };
    make(desk, kind, None, desk.limits.invite_days * MILLIS_IN_DAY)
}

/// A garden's invites. For coordinators.
pub fn invites(
    desk: &mut Desk<'_>,
    by: MemberId,
    garden: GardenId,
) -> Result<Vec<ShownInvite>, AppError> {
    require_keeper_of_people(desk, garden, by)?;
    let rows = desk.store.invites_of(garden)?;
    let shown = rows.into_iter().filter_map(|row| {
        let InviteKind::Garden { member, .. } = row.kind else {
            return None;
        };
        let Invite {
            id,
            made_at,
            expires_at,
            used_at,
            revoked_at,
            ..
        } = row;
        Some(ShownInvite {
            id,
            member,
            made_at,
            expires_at,
            used_at,
            revoked_at,
        })
    });
    Ok(shown.collect())
}

/// Withdraws an invite. For coordinators.
pub fn withdraw(
    desk: &mut Desk<'_>,
    by: MemberId,
    garden: GardenId,
    invite: InviteId,
) -> Result<(), AppError> {
    require_keeper_of_people(desk, garden, by)?;
    let row = desk
        .store
        .invite(invite)?
        .filter(|row| row.kind.garden() == Some(garden));
    let row = row.ok_or(AppError::NotFound(
        "There is no such invite in this garden.",
    ))?;
    Ok(desk
        .store
        .commit(&[Write::RevokeInvite(row.id, desk.now)])?)
}

pub(super) fn make(
    desk: &mut Desk<'_>,
    kind: InviteKind,
    made_by: Option<PersonId>,
    good_for_millis: i64,
) -> Result<MadeInvite, AppError> {
    let secret = Secret::for_invite();
    let row = Invite {
        id: InviteId::fresh(desk.now),
        secret: secret.hash(),
        kind,
        made_by,
        made_at: desk.now,
        expires_at: desk.now.plus_millis(good_for_millis),
        used_at: None,
        revoked_at: None,
    };
    let made = MadeInvite {
        id: row.id,
        secret,
        expires_at: row.expires_at,
    };
    desk.store.commit(&[Write::AddInvite(row)])?;
    Ok(made)
}

/// The invite with this secret, if it can be used now. Why not is told to nobody.
pub(super) fn usable(store: &dyn Read, secret: &Secret, now: Moment) -> Result<Invite, AppError> {
    let invite = store.invite_by_secret(&secret.hash())?;
    invite
        .filter(|invite| is_open(invite, now))
        .ok_or(AppError::InviteGone)
}

/// Refuses a device that a coordinator enrolled for one garden: it does not speak for its person elsewhere.
pub(super) fn require_whole_device(caller: Caller) -> Result<(), AppError> {
    if caller.only_garden.is_none() {
        return Ok(());
    }
    Err(AppError::Forbidden(
        "This device was enrolled again for one garden only. Sign in with your passphrase first, or use another device.",
    ))
}

fn is_open(invite: &Invite, now: Moment) -> bool {
    invite.used_at.is_none() && invite.revoked_at.is_none() && now < invite.expires_at
}

fn may_see(caller: Caller, garden: GardenId) -> bool {
    caller.only_garden.is_none_or(|only| only == garden)
}

pub(super) fn membership(
    desk: &Desk<'_>,
    person: PersonId,
    garden: GardenId,
    member: MemberId,
) -> Membership {
    Membership {
        person,
        garden,
        member,
        made_at: desk.now,
    }
}
