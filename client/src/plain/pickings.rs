//! What was picked: this week's lines, crops picked before, and the totals.

use std::sync::Arc;

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, PickingId};
use selion_core::document::records::{Picked, Picking};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Mass, Week};

/// The pickings of a week that were not struck out, latest first.
pub fn picked_in(garden: &Garden, week: Week) -> Vec<(PickingId, &Arc<Picking>)> {
    let (first, last) = (week.first_day(), week.first_day().plus_days(6));
    let mut pickings: Vec<_> = standing(garden)
        .filter(|(_, picking)| (first..=last).contains(&picking.day))
        .collect();
    ordered::sort_by_key(&mut pickings, |(id, picking)| {
        std::cmp::Reverse((picking.day, *id))
    });
    pickings
}

/// The crops picked before, those of this bed first, each most lately picked first; at most so many.
pub fn crops(garden: &Garden, bed: Option<BedId>, most: usize) -> Vec<String> {
    let mut pickings: Vec<_> = standing(garden).collect();
    ordered::sort_by_key(&mut pickings, |(id, picking)| {
        std::cmp::Reverse((Some(picking.bed) == bed, picking.day, *id))
    });
    let mut crops: Vec<String> = Vec::new();
    for (_, picking) in pickings {
        let crop = picking.crop.trim();
        if crops.len() < most && !crops.iter().any(|known| same_crop(known, crop)) {
            crops.push(crop.to_owned());
        }
    }
    crops
}

/// How much of one crop was picked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CropTotal {
    /// The crop, as it was first written.
    pub crop: String,
    /// This week.
    pub week: Mass,
    /// Of this week's, what was given away.
    pub given_away: Mass,
    /// In the year of this week.
    pub season: Mass,
}

/// The totals by crop, in the order of the alphabet, and the whole.
pub fn totals(garden: &Garden, week: Week) -> (Vec<CropTotal>, CropTotal) {
    let (first, last) = (week.first_day(), week.first_day().plus_days(6));
    let in_year = |day: Day| day.year() == week.year() || (first..=last).contains(&day);
    let mut by_crop: Map<String, CropTotal> = Map::new();
    let mut whole = CropTotal {
        crop: "Whole".to_owned(),
        ..CropTotal::default()
    };
    for (_, picking) in standing(garden).filter(|(_, picking)| in_year(picking.day)) {
        let in_week = (first..=last).contains(&picking.day);
        let crop = by_crop
            .entry(picking.crop.trim().to_lowercase())
            .or_insert_with(|| CropTotal {
                crop: picking.crop.trim().to_owned(),
                ..CropTotal::default()
            });
        for total in [crop, &mut whole] {
            add(&mut total.season, picking.mass);
            if in_week {
                add(&mut total.week, picking.mass);
            }
            if in_week && picking.picked == Picked::GivenAway {
                add(&mut total.given_away, picking.mass);
            }
        }
    }
    (by_crop.into_values().collect(), whole)
}

fn add(total: &mut Mass, mass: Mass) {
    *total = [*total, mass].into_iter().sum();
}

fn same_crop(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

fn standing(garden: &Garden) -> impl Iterator<Item = (PickingId, &Arc<Picking>)> {
    garden
        .seasons
        .values()
        .flat_map(|season| &season.pickings)
        .filter(|(_, picking)| picking.ended_on.is_none())
        .map(|(id, picking)| (*id, picking))
}

#[cfg(test)]
mod tests {
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{bed, day, garden, member};

    fn picking(bed_number: u8, on: &str, crop: &str, grams: i64, picked: Picked) -> Picking {
        Picking {
            parts: None,
            planting: None,
            bed: bed(bed_number),
            day: day(on),
            crop: crop.into(),
            mass: Mass::from_grams(grams),
            picked,
            member: member(1),
            turn: None,
            word: String::new(),
            ended_on: None,
        }
    }

    fn with(pickings: Vec<Picking>) -> Garden {
        let mut garden = garden();
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, record) in (1..).zip(pickings) {
            let id = PickingId::fresh(Moment::from_millis(number), [0; 10]);
            season.pickings.insert(id, Arc::new(record));
        }
        garden
    }

    #[test]
    fn totals_add_up_and_leave_out_what_was_struck() {
        let struck = Picking {
            ended_on: Some(day("2026-06-12")),
            ..picking(1, "2026-06-11", "Beans", 9_999, Picked::Kept)
        };
        let garden = with(vec![
            picking(1, "2026-06-08", "Beans", 1_200, Picked::Kept),
            picking(1, "2026-06-14", "beans ", 300, Picked::GivenAway),
            picking(2, "2026-06-07", "Chard", 500, Picked::Kept),
            struck,
        ]);
        let week = day("2026-06-10").week();
        let (crops, whole) = totals(&garden, week);
        let told: Vec<_> = crops
            .iter()
            .map(|total| {
                (
                    total.crop.as_str(),
                    total.week.grams(),
                    total.given_away.grams(),
                    total.season.grams(),
                )
            })
            .collect();
        assert_eq!(told, [("Beans", 1_500, 300, 1_500), ("Chard", 0, 0, 500)]);
        assert_eq!(
            (
                whole.week.grams(),
                whole.given_away.grams(),
                whole.season.grams()
            ),
            (1_500, 300, 2_000)
        );
        assert_eq!(picked_in(&garden, week).len(), 2);
    }

    #[test]
    fn crops_of_the_bed_are_offered_first() {
        let garden = with(vec![
            picking(1, "2026-06-01", "Peas", 1, Picked::Kept),
            picking(2, "2026-06-08", "Chard", 1, Picked::Kept),
            picking(2, "2026-06-09", "peas", 1, Picked::Kept),
            picking(2, "2026-06-10", "Beans", 1, Picked::Kept),
        ]);
        assert_eq!(crops(&garden, Some(bed(1)), 2), ["Peas", "Beans"]);
        assert_eq!(crops(&garden, None, 9), ["Beans", "peas", "Chard"]);
    }
}
