//! Making a garden.

use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::quantities::{Currency, Units};
use selion_core::sync::GardenStart;

use super::invites::{membership, require_whole_device, usable};
use super::{Joined, enrol};
use crate::auth::Caller;
use crate::chance;
use crate::error::AppError;
use crate::ids::PersonId;
use crate::rooms::{Desk, Room};
use crate::secret::Secret;
use crate::store::rows::{Garden, InviteKind, Person, Write};

/// What a garden is made with.
#[derive(Clone, Debug)]
pub struct NewGarden {
    /// Its name.
    pub name: String,
    /// Its units.
    pub units: Units,
    /// Its currency.
    pub currency: Currency,
    /// Its place on the clock.
    pub time_zone: String,
    /// The year that is opened first.
    pub year: i16,
    /// The name of its first coordinator.
    pub your_name: String,
    /// What they call their device.
    pub device_name: String,
}

/// Makes a garden with an invite for that; whoever does so is its first coordinator.
pub fn found(
    desk: &mut Desk<'_>,
    secret: &Secret,
    new: NewGarden,
    caller: Option<Caller>,
) -> Result<Joined, AppError> {
    let invite = usable(desk.store.as_read(), secret, desk.now)?;
    if invite.kind != InviteKind::NewGarden {
        return Err(AppError::BadRequest(
            "secret: this link is not for making a garden.".to_owned(),
        ));
    }
    let garden = GardenId::fresh(desk.now, chance::bytes());
    let member = MemberId::fresh(desk.now, chance::bytes());
    let mut writes = vec![
        Write::UseInvite(invite.id, desk.now),
        Write::AddGarden(Garden {
            id: garden,
            made_at: desk.now,
        }),
    ];

    let (person, enrolled) = if let Some(caller) = caller {
        require_whole_device(caller)?;
        (caller.person, None)
    } else {
        let name = new.your_name.clone();
        let person = Person {
            id: PersonId::fresh(desk.now),
            name,
            sign_in: None,
            made_at: desk.now,
        };
        let (write, enrolled) = enrol(desk, person.id, new.device_name.clone(), None);
        let id = person.id;
        writes.extend([Write::AddPerson(person), write]);
        (id, Some(enrolled))
    };
    writes.push(Write::AddMembership(membership(
        desk, person, garden, member,
    )));
    let start = GardenStart {
        garden,
        name: new.name,
        units: new.units,
        currency: new.currency,
        time_zone: new.time_zone,
        year: new.year,
        coordinator: member,
        coordinator_name: new.your_name,
        edit: EditId::fresh(desk.now, chance::bytes()),
    };
    writes.extend(Room::begin(start, desk.hall.actor(), desk.now)?.1);
    desk.store.commit(&writes)?;
    Ok(Joined {
        garden,
        member,
        enrolled,
    })
}
