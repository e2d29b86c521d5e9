//! The invented garden "Sorrel Bank": made only through import and ordinary edits, so it shows what a real garden can have.
//!
//! Days are counted from the day it is made. Names, people and places are invented.

mod harvest;
mod money;
mod orders;
mod plantings;
mod soil;
mod weather;
mod work;

use selion_core::document::edit::ProfileField;
use selion_core::document::ids::{FenceId, GardenId, MemberId};
use selion_core::document::records::Gate;
use selion_core::document::{DocumentName, Edit, Garden, Role};
use selion_core::exchange::{bed_table, geojson};
use selion_core::geometry::{Line, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Currency, Day, Latitude, Length, Units};

use crate::accounts::{self, NewGarden};
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::clock::day_in;
use crate::exchange::import_ground;
use crate::ids::PersonId;
use crate::rooms::Desk;

/// The garden's name.
pub const NAME: &str = "Sorrel Bank";

/// As far north as the invented garden lies, in thousandths of a degree.
const LATITUDE: i64 = 42_700;
const TIME_ZONE: &str = "America/New_York";
const GROUND: &str = include_str!("ground.geojson");
const BOXES: &str = include_str!("boxes.csv");

/// The coordinator, a member with a bed, and a helper: whose links are printed.
pub const COORDINATOR: &str = "Ines";
/// A member with a bed.
pub const MEMBER: &str = "Farid";
/// A volunteer without a bed.
pub const HELPER: &str = "Wren";

/// Who helps without a bed.
const HELPERS: [&str; 2] = [HELPER, "Ash"];

/// The demonstration garden and three people in it.
#[derive(Clone, Copy, Debug)]
pub struct Demo {
    /// The garden.
    pub garden: GardenId,
    /// The coordinator's person.
    pub coordinator: PersonId,
    /// The member with a bed.
    pub member: MemberId,
    /// The helper.
    pub helper: MemberId,
}

/// Makes the garden.
pub fn make(desk: &mut Desk<'_>) -> Result<Demo, ByHandError> {
    let today = day_in(TIME_ZONE, desk.now)?;
    let secret = accounts::new_garden_invite(desk)?.secret;
    let joined = accounts::found(desk, &secret, new_garden(today)?, None)?;
    let hand = Hand {
        garden: joined.garden,
        member: joined.member,
    };
    import_ground(desk, hand, &geojson::read(GROUND)?, true)?;
    import_ground(desk, hand, &bed_table::read(BOXES)?, false)?;
    let mut edits: Vec<Edit> = HELPERS
        .iter()
        .map(|name| {
            let member = MemberId::fresh(desk.now, chance::bytes());
            Edit::AddMember {
                member,
                name: (*name).to_owned(),
                role: Role::Helper,
            }
        })
        .collect();
    edits.push(fence(desk)?);
    // For the length of its days and the shade of its trees.
    let latitude = ProfileField::Latitude(Some(Latitude::from_millidegrees(LATITUDE)));
    edits.push(Edit::ChangeProfile {
        set: vec![latitude],
    });
    hand.make(
        desk,
        edits
            .into_iter()
            .map(|edit| (DocumentName::Ground, edit))
            .collect(),
    )?;
    soil::make(desk, hand, today)?;
    plantings::make(desk, hand, today)?;
    work::make(desk, hand, today)?;
    harvest::make(desk, hand, today)?;
    money::make(desk, hand, today)?;
    orders::make(desk, hand, today)?;
    weather::make(desk, hand, today)?;
    find(desk, joined.garden)
}

/// The garden as it was made on this data before, or now.
pub fn find_or_make(desk: &mut Desk<'_>) -> Result<Demo, ByHandError> {
    let gardens = desk.store.gardens().map_err(crate::error::AppError::from)?;
    for garden in gardens {
        let picture = desk.hall.picture(desk.store.as_read(), garden.id)?;
        if picture
            .profile
            .as_ref()
            .is_some_and(|profile| profile.name == NAME)
        {
            return find(desk, garden.id);
        }
    }
    make(desk)
}

fn find(desk: &mut Desk<'_>, garden: GardenId) -> Result<Demo, ByHandError> {
    let picture = desk.hall.picture(desk.store.as_read(), garden)?;
    let (coordinator, member, helper) = (
        named(picture, COORDINATOR)?,
        named(picture, MEMBER)?,
        named(picture, HELPER)?,
    );
    let person = desk
        .store
        .person_of_member(garden, coordinator)
        .map_err(crate::error::AppError::from)?;
    let coordinator =
        person.ok_or_else(|| ByHandError::Asked(format!("{COORDINATOR} has no account")))?;
    Ok(Demo {
        garden,
        coordinator,
        member,
        helper,
    })
}

fn named(picture: &Garden, name: &str) -> Result<MemberId, ByHandError> {
    let mut found = picture
        .members
        .iter()
        .filter(|(_, member)| member.ended_on.is_none() && member.name == name);
    let found = found.next().map(|(id, _)| *id);
    found.ok_or_else(|| ByHandError::Asked(format!("there is no {name} in the garden")))
}

fn new_garden(today: Day) -> Result<NewGarden, BadInput> {
    Ok(NewGarden {
        name: NAME.to_owned(),
        units: Units::UsCustomary,
        currency: Currency::new("USD")?,
        time_zone: TIME_ZONE.to_owned(),
        year: today.year(),
        your_name: COORDINATOR.to_owned(),
        device_name: "garden office".to_owned(),
    })
}

/// The fence around the former meadow, which the volunteers are building, with its gate.
fn fence(desk: &Desk<'_>) -> Result<Edit, BadInput> {
    let feet = |x: i64, y: i64| {
        Ok(Point {
            x: Length::parse(&format!("{x} ft"))?,
            y: Length::parse(&format!("{y} ft"))?,
        })
    };
    let corners = [
        (8, 128),
        (148, 128),
        (145, 188),
        (96, 197),
        (40, 194),
        (11, 180),
        (8, 128),
    ];
    let points = corners
        .into_iter()
        .map(|(x, y)| feet(x, y))
        .collect::<Result<Vec<_>, BadInput>>()?;
    let gate = Gate {
        at: Length::parse("64 ft")?,
        width: Length::parse("12 ft")?,
    };
    Ok(Edit::AddFenceLine {
        fence: FenceId::fresh(desk.now, chance::bytes()),
        label: "Meadow fence".to_owned(),
        line: Line::new(points)?,
        gates: Map::from([("1".to_owned(), gate)]),
    })
}
