//! What was picked: this week's lines, crops picked before, and the totals.

use std::sync::Arc;

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, PickingId};
use selion_core::document::records::{HarvestUnit, Picking};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Week};

use super::harvest_form::standing;

/// The pickings of a week that were not struck out, latest first.
pub fn picked_in(garden: &Garden, week: Week) -> Vec<(PickingId, &Arc<Picking>)> {
    let (first, last) = (week.first_day(), week.first_day().plus_days(6));
    let mut pickings: Vec<_> = in_all_years(garden)
        .filter(|(_, picking)| (first..=last).contains(&picking.day))
        .collect();
    ordered::sort_by_key(&mut pickings, |(id, picking)| {
        std::cmp::Reverse((picking.day, *id))
    });
    pickings
}

/// Crops to be touched instead of typed: those that stand in this bed, then those picked before, of this bed first and each
/// most lately picked first; at most so many.
pub fn crops(garden: &Garden, bed: Option<BedId>, on: Option<Day>, most: usize) -> Vec<String> {
    let mut pickings: Vec<_> = in_all_years(garden).collect();
    ordered::sort_by_key(&mut pickings, |(id, picking)| {
        std::cmp::Reverse((Some(picking.bed) == bed, picking.day, *id))
    });
    let here = bed.zip(on).map(|(bed, on)| standing(garden, bed, on));
    let before = pickings
        .into_iter()
        .map(|(_, picking)| picking.crop.trim().to_owned());
    let mut crops: Vec<String> = Vec::new();
    for crop in here.into_iter().flatten().chain(before) {
        if crops.len() < most && !crops.iter().any(|known| same_crop(known, &crop)) {
            crops.push(crop);
        }
    }
    crops
}

/// How much of one crop was picked, in one unit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CropTotal {
    /// The crop, as it was first written.
    pub crop: String,
    /// In which unit.
    pub unit: HarvestUnit,
    /// This week.
    pub week: i64,
    /// Of this week's, what was given away.
    pub given_away: i64,
    /// In the year of this week.
    pub season: i64,
}

/// The totals by crop and unit, in the order of the alphabet, and the whole of each unit.
pub fn totals(garden: &Garden, week: Week) -> (Vec<CropTotal>, Vec<CropTotal>) {
    let (first, last) = (week.first_day(), week.first_day().plus_days(6));
    let in_year = |day: Day| day.year() == week.year() || (first..=last).contains(&day);
    let mut by_crop: Map<(String, HarvestUnit), CropTotal> = Map::new();
    let mut whole: Map<HarvestUnit, CropTotal> = Map::new();
    for (_, picking) in in_all_years(garden).filter(|(_, picking)| in_year(picking.day)) {
        let in_week = (first..=last).contains(&picking.day);
        let harvest = picking.harvest();
        let named = |crop: &str| CropTotal {
            crop: crop.to_owned(),
            unit: harvest.unit,
            ..CropTotal::default()
        };
        let crop = picking.crop.trim();
        let of_crop = by_crop.entry((crop.to_lowercase(), harvest.unit));
        let of_all = whole.entry(harvest.unit);
        for total in [
            of_crop.or_insert_with(|| named(crop)),
            of_all.or_insert_with(|| named("Whole")),
        ] {
            total.season = total.season.saturating_add(harvest.picked());
            if in_week {
                total.week = total.week.saturating_add(harvest.picked());
                total.given_away = total.given_away.saturating_add(harvest.given_away());
            }
        }
    }
    (
        by_crop.into_values().collect(),
        whole.into_values().collect(),
    )
}

fn same_crop(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

fn in_all_years(garden: &Garden) -> impl Iterator<Item = (PickingId, &Arc<Picking>)> {
    garden
        .seasons
        .values()
        .flat_map(|season| &season.pickings)
        .filter(|(_, picking)| picking.ended_on.is_none())
        .map(|(id, picking)| (*id, picking))
}

#[cfg(test)]
mod tests {
    use selion_core::document::records::{Harvest, Picked};
    use selion_core::quantities::{Mass, Moment};

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
    fn totals_add_up_unit_by_unit_and_leave_out_what_was_struck() {
        let struck = Picking {
            ended_on: Some(day("2026-06-12")),
            ..picking(1, "2026-06-11", "Beans", 9_999, Picked::Kept)
        };
        let bunches = Picking {
            parts: Some(Harvest {
                unit: HarvestUnit::Bunches,
                kept: 300,
                given_otherwise: 200,
                ..Harvest::default()
            }),
            ..picking(2, "2026-06-01", "Chard", 0, Picked::Kept)
        };
        let garden = with(vec![
            picking(1, "2026-06-08", "Beans", 1_200, Picked::Kept),
            picking(1, "2026-06-14", "beans ", 300, Picked::GivenAway),
            picking(2, "2026-06-07", "Chard", 500, Picked::Kept),
            struck,
            bunches,
        ]);
        let week = day("2026-06-10").week();
        let (crops, whole) = totals(&garden, week);
        let told = |total: &CropTotal| (total.unit, total.week, total.given_away, total.season);
        let names: Vec<&str> = crops.iter().map(|total| total.crop.as_str()).collect();
        assert_eq!(names, ["Beans", "Chard", "Chard"]);
        let grams = HarvestUnit::Grams;
        assert_eq!(told(&crops[0]), (grams, 1_500, 300, 1_500));
        assert_eq!(told(&crops[1]), (grams, 0, 0, 500));
        assert_eq!(told(&crops[2]), (HarvestUnit::Bunches, 0, 0, 500));
        assert_eq!(told(&whole[0]), (grams, 1_500, 300, 2_000));
        assert_eq!(whole.len(), 2, "weights and bunches are never added up");
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
        assert_eq!(crops(&garden, Some(bed(1)), None, 2), ["Peas", "Beans"]);
        assert_eq!(crops(&garden, None, None, 9), ["Beans", "peas", "Chard"]);
    }
}
