//! What people draw and plan: the ground by several hands at once, and plantings put in, moved and marked.

use selion_core::document::edit::{AcceptedTask, NewPlanting, PlantingField};
use selion_core::document::ids::{BedId, PlantingId, SeriesId, TaskId};
use selion_core::document::records::{PlantingRows, PlantingState, StartsAs};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Minutes, Moment};
use selion_core::sync::LocalCopy;

use crate::chance::Chance;
use crate::drawing_together::one_edit;
use crate::small_garden::GROUND;

/// Something drawn on the ground.
pub(super) fn draws(
    chance: &mut Chance,
    copy: &LocalCopy,
    now: Moment,
) -> Option<(DocumentName, Edit)> {
    one_edit(chance, copy, now).map(|edit| (GROUND, edit))
}

/// Something planned: plantings sown, moved alone or as a series, marked, and what the plan proposes accepted, set aside, proposed again.
pub(super) fn plans(
    chance: &mut Chance,
    copy: &LocalCopy,
    now: Moment,
) -> Option<(DocumentName, Edit)> {
    let garden = copy.garden();
    let years: Vec<i16> = garden.seasons.keys().copied().collect();
    let year = *chance.pick(&years)?;
    let season = garden.seasons.get(&year)?;
    let plantings: Vec<PlantingId> = season.plantings.keys().copied().collect();
    let start = day_of(year, chance);
    let edit = match chance.below(9) {
        0 | 1 => plants(chance, garden, year, now)?,
        2 => Edit::ChangePlanting {
            planting: *chance.pick(&plantings)?,
            set: vec![changed(chance, garden, start)?],
        },
        3 => {
            let series: Vec<SeriesId> = season
                .plantings
                .values()
                .filter_map(|it| it.series)
                .collect();
            let series = *chance.pick(&series)?;
            let days = chance.between(-14, 14);
            Edit::MoveSeries { series, days }
        }
        4 => Edit::MarkPlanting {
            planting: *chance.pick(&plantings)?,
            state: if chance.in_a_thousand(700) {
                PlantingState::Standing
            } else {
                PlantingState::Cleared
            },
            on: start,
        },
        5 => {
            let tasks: Vec<TaskId> = season.tasks.keys().copied().collect();
            let task = *chance.pick(&tasks)?;
            Edit::ProposeAgain { task, on: start }
        }
        number => {
            let planting = *chance.pick(&plantings)?;
            let record = season.plantings.get(&planting)?;
            let key = format!("sow:{planting}");
            let task = TaskId::of_key(&key);
            let accepted = AcceptedTask {
                key,
                title: format!("Sow {}", record.crop),
                bed: Some(record.bed),
                day: record.start,
                places: 1,
                minutes: Minutes::new(30),
            };
            if number == 6 {
                let on = start;
                Edit::SetProposalAside { task, accepted, on }
            } else {
                Edit::AcceptProposal { task, accepted }
            }
        }
    };
    Some((DocumentName::Season(year), edit))
}

fn day_of(year: i16, chance: &mut Chance) -> Day {
    Day::new(year, 4, 1)
        .unwrap()
        .plus_days(chance.between(0, 150))
}

fn a_bed(chance: &mut Chance, garden: &Garden) -> Option<BedId> {
    let beds: Vec<BedId> = garden.beds.keys().copied().collect();
    chance.pick(&beds).copied()
}

fn plants(chance: &mut Chance, garden: &Garden, year: i16, now: Moment) -> Option<Edit> {
    let bed = a_bed(chance, garden)?;
    let first = day_of(year, chance);
    let crop = if chance.in_a_thousand(500) {
        "carrot"
    } else {
        "lettuce, leaf"
    };
    let sowings = chance.between(1, 3);
    let mut plantings = Map::new();
    for number in 0..sowings {
        let new = NewPlanting {
            bed,
            crop: crop.to_owned(),
            cover: false,
            part: None,
            rows: PlantingRows::default(),
            start: first.plus_days(number * 14),
            starts_as: StartsAs::Sown,
            first_picking: None,
            last_picking: None,
            word: String::new(),
        };
        plantings.insert(PlantingId::fresh(now, chance.bytes()), new);
    }
    let series = (sowings > 1).then(|| SeriesId::fresh(now, chance.bytes()));
    Some(Edit::Plant { plantings, series })
}

fn changed(chance: &mut Chance, garden: &Garden, start: Day) -> Option<PlantingField> {
    Some(match chance.below(5) {
        0 | 1 => PlantingField::Start(start),
        2 => PlantingField::Bed(a_bed(chance, garden)?),
        3 => PlantingField::EndedOn(Some(start)),
        _ => PlantingField::EndedOn(None),
    })
}
