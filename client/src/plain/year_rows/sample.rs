//! Plantings in the small garden, for the tests of this folder.

use std::sync::Arc;

use selion_core::document::Garden;
use selion_core::document::ids::PlantingId;
use selion_core::document::records::{
    GardenFrost, Number, Planting, PlantingRows, PlantingState, Profile, StartsAs,
};
use selion_core::ordered::Map;
use selion_core::quantities::Moment;

use crate::plain::sample::{bed, day, garden, member};

pub(super) fn planting_id(number: u8) -> PlantingId {
    PlantingId::fresh(Moment::from_millis(1_000), [number; 10])
}

/// A planting of a bed, planned.
pub(super) fn planting(of_bed: u8, crop: &str, start: &str) -> Planting {
    Planting {
        bed: bed(of_bed),
        crop: crop.to_owned(),
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

/// The garden with these plantings in 2026, numbered from 1, and the frost dates of the handbook's example.
pub(super) fn planted(plantings: impl IntoIterator<Item = Planting>) -> Garden {
    let mut garden = garden();
    let frost = GardenFrost {
        chance: 50,
        spring: Map::from([
            (Number::from(10), "05-11".to_owned()),
            (Number::from(50), "04-27".to_owned()),
        ]),
        fall: Map::from([
            (Number::from(10), "10-03".to_owned()),
            (Number::from(50), "10-15".to_owned()),
        ]),
        station: "Albany".to_owned(),
    };
    if let Some(profile) = &garden.profile {
        let profile = Profile {
            frost: Some(frost),
            ..Profile::clone(profile)
        };
        garden.profile = Some(Arc::new(profile));
    }
    let season = garden.seasons.get_mut(&2026).unwrap();
    for (number, record) in (1..).zip(plantings) {
        season
            .plantings
            .insert(planting_id(number), Arc::new(record));
    }
    garden
}
