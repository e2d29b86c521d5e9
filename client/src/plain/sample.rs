//! A very small invented garden for the tests of this folder.

use std::sync::Arc;

use selion_core::document::ids::{BedId, ClaimId, LineId, MemberId, PlantingId, TaskId, TurnId};
use selion_core::document::records::{
    Bed, Claim, ClaimState, GardenFrost, Member, Planting, PlantingRows, PlantingState, Profile,
    Role, StartsAs, Task, Turn,
};
use selion_core::document::{Garden, Season};
use selion_core::geometry::{Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Currency, Day, Length, Minutes, Moment, Units};

use super::order_form::{Kind, LineTyped, OrderTyped, PackTyped};

const NOW: Moment = Moment::from_millis(1_000);

pub(super) fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

pub(super) fn member(number: u8) -> MemberId {
    MemberId::fresh(NOW, [number; 10])
}

pub(super) fn bed(number: u8) -> BedId {
    BedId::fresh(NOW, [number; 10])
}

pub(super) fn task(number: u8) -> TaskId {
    TaskId::fresh(NOW, [number; 10])
}

pub(super) fn turn(number: u8) -> TurnId {
    TurnId::fresh(NOW, [number; 10])
}

pub(super) fn claim(number: u8) -> ClaimId {
    ClaimId::fresh(NOW, [number; 10])
}

/// Sorrel Bank with Ines (1) and Tomasz (2), the beds A2 (1) and C4 (2), and an empty season 2026.
pub(super) fn garden() -> Garden {
    let profile = Profile {
        latitude: None,
        frost: None,
        accept: Map::new(),
        backdrop: None,
        name: "Sorrel Bank".into(),
        units: Units::UsCustomary,
        currency: Currency::new("USD").unwrap(),
        time_zone: "UTC".into(),
        north_degrees: 0,
        rules: selion_core::document::records::GardenRules::default(),
        years: Map::from([("2026".to_owned(), true)]),
        lime: None,
        compost: None,
    };
    let mut garden = Garden {
        profile: Some(Arc::new(profile)),
        ..Garden::default()
    };
    for (number, name) in [(1, "Ines"), (2, "Tomasz")] {
        let record = Member {
            name: name.into(),
            role: Role::Member,
            ended_on: None,
        };
        garden.members.insert(member(number), Arc::new(record));
    }
    for (number, label) in [(1, "A2"), (2, "C4")] {
        let (width, depth) = (Length::from_mm(1_000), Length::from_mm(3_000));
        let record = Bed {
            label: label.into(),
            outline: Outline::rectangle(Point::default(), width, depth).unwrap(),
            holders: Map::from([(member(number), 1)]),
            note: String::new(),
            ended_on: None,
        };
        garden.beds.insert(bed(number), Arc::new(record));
    }
    garden.seasons.insert(2026, Season::default());
    garden
}

pub(super) fn line_id(number: u8) -> LineId {
    LineId::fresh(NOW, [number; 10])
}

/// An order of ground limestone in bags, as it is typed.
pub(super) fn lime(rate: &str, bag: &str, price: &str) -> OrderTyped {
    let pack = PackTyped {
        size: bag.into(),
        price: price.into(),
        breaks: String::new(),
    };
    let line = LineTyped {
        rate: rate.into(),
        packs: Map::from([(1.into(), pack)]),
        ..Kind::Lime.line(Units::UsCustomary)
    };
    OrderTyped {
        lines: Map::from([(line_id(1), line)]),
        ..OrderTyped::default()
    }
}

/// A task on C4 for one person.
pub(super) fn hoe() -> Task {
    Task {
        from: None,
        plan_now: None,
        title: "Hoe between the bean rows".into(),
        bed: Some(bed(2)),
        day: None,
        places: 1,
        minutes: Minutes::new(30),
        job: None,
        note: String::new(),
        made_by: member(2),
        claims: Map::new(),
        ended_on: None,
    }
}

/// A turn on A2.
pub(super) fn pick(on: &str) -> Turn {
    Turn {
        bed: bed(1),
        day: day(on),
        claims: Map::new(),
        ended_on: None,
    }
}

/// A standing claim, the so-many-th to arrive.
pub(super) fn by(member: MemberId, order: i64) -> Claim {
    Claim {
        member,
        order,
        at: NOW,
        state: ClaimState::Standing,
        minutes: Minutes::ZERO,
        done_on: None,
        word: String::new(),
    }
}

/// The same claim, done on a day.
pub(super) fn done(claim: Claim, on: &str, minutes: i64) -> Claim {
    Claim {
        state: ClaimState::Done,
        done_on: Some(day(on)),
        minutes: Minutes::new(minutes),
        ..claim
    }
}

/// The garden with these tasks, numbered from 1.
pub(super) fn with_tasks(tasks: impl IntoIterator<Item = Task>) -> Garden {
    let mut garden = garden();
    let season = garden.seasons.get_mut(&2026).unwrap();
    for (number, record) in (1..).zip(tasks) {
        season.tasks.insert(task(number), Arc::new(record));
    }
    garden
}

/// The garden with these turns, numbered from 1.
pub(super) fn with_turns(turns: impl IntoIterator<Item = Turn>) -> Garden {
    let mut garden = garden();
    let season = garden.seasons.get_mut(&2026).unwrap();
    for (number, record) in (1..).zip(turns) {
        season.turns.insert(turn(number), Arc::new(record));
    }
    garden
}

pub(super) fn planting_id(number: u8) -> PlantingId {
    PlantingId::fresh(NOW, [number; 10])
}

/// A crop that is planned for all of A2.
pub(super) fn planting(crop: &str, start: &str) -> Planting {
    Planting {
        bed: bed(1),
        crop: crop.into(),
        cover: false,
        part: None,
        rows: PlantingRows::default(),
        start: day(start),
        starts_as: StartsAs::Sown,
        first_picking: None,
        last_picking: None,
        state: PlantingState::Planned,
        cleared_on: None,
        series: None,
        made_by: member(1),
        word: String::new(),
        ended_on: None,
    }
}

/// The garden with these plantings, numbered from 1.
pub(super) fn with_plantings(plantings: impl IntoIterator<Item = Planting>) -> Garden {
    let mut garden = garden();
    let season = garden.seasons.get_mut(&2026).unwrap();
    for (number, record) in (1..).zip(plantings) {
        season
            .plantings
            .insert(planting_id(number), Arc::new(record));
    }
    garden
}

/// The garden with the frost dates of Albany, New York (US climate normals 1991 to 2020), at even chances.
pub(super) fn with_frost(mut garden: Garden) -> Garden {
    let dates = |dates: [(u32, &str); 3]| {
        let pairs = dates.map(|(chance, date)| (chance.into(), date.to_owned()));
        Map::from(pairs)
    };
    let profile = Profile {
        frost: Some(GardenFrost {
            chance: 50,
            spring: dates([(10, "05-11"), (50, "04-27"), (90, "04-16")]),
            fall: dates([(10, "10-03"), (50, "10-15"), (90, "11-01")]),
            station: "Albany".into(),
        }),
        ..garden.profile.as_deref().unwrap().clone()
    };
    garden.profile = Some(Arc::new(profile));
    garden
}
