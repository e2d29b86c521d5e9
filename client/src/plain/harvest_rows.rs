//! What a year gave, as bars and as the table that says the same: by crop, bed, person and recipient.

use selion_core::document::Garden;
use selion_core::document::harvest_totals::{By, HarvestYear, Parts};
use selion_core::document::ids::PickingId;
use selion_core::document::records::{Harvest, HarvestUnit, Picking};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::Units;

use super::harvest_form::{Became, recipient_name};
use super::wording::capital;

/// Everything of one kind in one unit: weights and counts are never added up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// In which unit.
    pub unit: HarvestUnit,
    /// What it tells, above its table: `In lb`.
    pub caption: String,
    /// The rows, most first.
    pub rows: Vec<HarvestRow>,
}

/// One crop, bed, person or recipient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HarvestRow {
    /// What it is called.
    pub name: String,
    /// What became of it.
    pub parts: Parts,
    /// Each part and then the rest of the longest row, in tenths of a percent of that row; for the bar.
    pub bar: [i64; 4],
    /// Picked, with its unit.
    pub figure: String,
    /// Picked, kept, shared, given away and lost, as numbers of a table.
    pub cells: [String; 5],
}

/// The totals by crop.
pub fn by_crop(year: &HarvestYear, units: Units) -> Vec<Group> {
    groups(&named(&year.crops, |crop| capital(crop)), units)
}

/// The totals by bed.
pub fn by_bed(garden: &Garden, year: &HarvestYear, units: Units) -> Vec<Group> {
    let name = |bed: &_| garden.label_of(Some(*bed)).to_owned();
    groups(&named(&year.beds, name), units)
}

/// The totals by who picked.
pub fn by_person(garden: &Garden, year: &HarvestYear, units: Units) -> Vec<Group> {
    let name = |member: &_| garden.name_of(*member).to_owned();
    groups(&named(&year.members, name), units)
}

/// What was given away, by who had it.
pub fn by_recipient(garden: &Garden, year: &HarvestYear, units: Units) -> Vec<Group> {
    let mut rows: Map<(String, HarvestUnit), Parts> = Map::new();
    for ((who, _, unit), given) in &year.recipients {
        let name = who.map_or_else(
            || "Somebody else".to_owned(),
            |who| recipient_name(garden, who).to_owned(),
        );
        rows.entry((name, *unit)).or_default().given += given;
    }
    groups(&rows, units)
}

/// The whole of the year, unit by unit.
pub fn whole(year: &HarvestYear, units: Units) -> Vec<HarvestRow> {
    let all = year.all.iter();
    let one = |(unit, parts): (&HarvestUnit, &Parts)| {
        let name = match unit {
            HarvestUnit::Grams => "By weight",
            HarvestUnit::Bunches => "Bunches",
            HarvestUnit::Heads => "Heads",
            HarvestUnit::Pieces => "Pieces",
        };
        row(name.to_owned(), *unit, *parts, parts.picked(), units)
    };
    all.map(one).collect()
}

fn named<K: Ord>(by: &By<K>, name: impl Fn(&K) -> String) -> Map<(String, HarvestUnit), Parts> {
    let mut rows: Map<(String, HarvestUnit), Parts> = Map::new();
    for ((key, unit), parts) in by {
        // Two beds may have had one label, one after the other.
        let row = rows.entry((name(key), *unit)).or_default();
        row.kept += parts.kept;
        row.shared += parts.shared;
        row.given += parts.given;
        row.lost += parts.lost;
    }
    rows
}

fn groups(rows: &Map<(String, HarvestUnit), Parts>, units: Units) -> Vec<Group> {
    let mut groups = Vec::new();
    for unit in HarvestUnit::ALL {
        let of_unit = rows.iter().filter(|((_, of), _)| *of == unit);
        let mut of_unit: Vec<(String, Parts)> = of_unit
            .map(|((name, _), parts)| (name.clone(), *parts))
            .collect();
        ordered::sort_by_key(&mut of_unit, |(name, parts)| {
            (std::cmp::Reverse(parts.picked()), name.to_lowercase())
        });
        let Some(longest) = of_unit.first().map(|(_, parts)| parts.picked()) else {
            continue;
        };
        let made = of_unit
            .into_iter()
            .map(|(name, parts)| row(name, unit, parts, longest, units));
        groups.push(Group {
            unit,
            caption: format!("In {}", unit.show_apart(0, units).unit),
            rows: made.collect(),
        });
    }
    groups
}

fn row(name: String, unit: HarvestUnit, parts: Parts, longest: i64, units: Units) -> HarvestRow {
    let number = |count: i64| unit.show_apart(count, units).number;
    let each = [parts.kept, parts.shared, parts.given, parts.lost];
    let [kept, shared, given, lost] = each.map(number);
    HarvestRow {
        name,
        parts,
        bar: each.map(|part| part.saturating_mul(1_000).checked_div(longest).unwrap_or(0)),
        figure: unit.show_apart(parts.picked(), units).to_string(),
        cells: [number(parts.picked()), kept, shared, given, lost],
    }
}

/// What became of a picking, in words: `kept`, or `2 lb kept, 3 lb given to The pantry`.
pub fn became(garden: &Garden, harvest: &Harvest, units: Units) -> String {
    let mut parts = vec![
        (Became::Kept, harvest.kept),
        (Became::Shared, harvest.shared),
    ];
    let given = harvest.given.iter();
    parts.extend(given.map(|(who, part)| (Became::Given(*who), *part)));
    parts.push((Became::GivenOtherwise, harvest.given_otherwise));
    parts.push((Became::Lost, harvest.lost));
    parts.retain(|(_, part)| *part > 0);
    if let [(only, _)] = parts.as_slice() {
        return only.words(garden);
    }
    let each = parts
        .into_iter()
        .map(|(way, part)| format!("{} {}", harvest.unit.show(part, units), way.words(garden)));
    each.collect::<Vec<_>>().join(", ")
}

/// The pickings of a year, latest first, those that were struck out left away.
pub fn entries(garden: &Garden, year: i16) -> Vec<(PickingId, std::sync::Arc<Picking>)> {
    let season = garden.seasons.get(&year).into_iter();
    let mut entries: Vec<_> = season
        .flat_map(|season| &season.pickings)
        .filter(|(_, picking)| picking.ended_on.is_none())
        .map(|(id, picking)| (*id, std::sync::Arc::clone(picking)))
        .collect();
    ordered::sort_by_key(&mut entries, |(id, picking)| {
        std::cmp::Reverse((picking.day, *id))
    });
    entries
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::harvest_totals;
    use selion_core::document::ids::RecipientId;
    use selion_core::document::records::{Picked, Recipient};
    use selion_core::quantities::{Mass, Moment};

    use super::*;
    use crate::plain::sample::{bed, day, garden, member};

    fn picking(number: u8, crop: &str, parts: Harvest) -> Picking {
        Picking {
            bed: bed(number),
            day: day("2026-07-10"),
            crop: crop.into(),
            mass: Mass::ZERO,
            picked: Picked::Kept,
            member: member(number),
            turn: None,
            word: String::new(),
            parts: Some(parts),
            planting: None,
            ended_on: None,
        }
    }

    fn told() -> Garden {
        let mut garden = garden();
        let pantry = RecipientId::fresh(Moment::from_millis(1), [1; 10]);
        let record = Recipient {
            name: "The pantry".into(),
            ..Recipient::default()
        };
        garden.recipients.insert(pantry, Arc::new(record));
        let beans = Harvest {
            kept: 1_000,
            given: Map::from([(pantry, 3_000)]),
            ..Harvest::default()
        };
        let peas = Harvest {
            shared: 1_000,
            lost: 1_000,
            ..Harvest::default()
        };
        let chard = Harvest {
            unit: HarvestUnit::Bunches,
            kept: 1_200,
            ..Harvest::default()
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        let all = [
            picking(1, "beans", beans),
            picking(2, "peas", peas),
            picking(2, "chard", chard),
        ];
        for (number, record) in (1..).zip(all) {
            let id = PickingId::fresh(Moment::from_millis(number), [0; 10]);
            season.pickings.insert(id, Arc::new(record));
        }
        garden
    }

    #[test]
    fn a_bar_is_as_long_as_its_row_beside_the_longest() {
        let garden = told();
        let year = harvest_totals::of_year(&garden, 2026);
        let groups = by_crop(&year, Units::Metric);
        let names = |group: &Group| -> Vec<String> {
            group.rows.iter().map(|row| row.name.clone()).collect()
        };
        assert_eq!(groups.len(), 2, "weights and bunches apart");
        assert_eq!(
            (names(&groups[0]), groups[0].caption.as_str()),
            (vec!["Beans".to_owned(), "Peas".to_owned()], "In kg")
        );
        assert_eq!(groups[0].rows[0].bar, [250, 0, 750, 0]);
        assert_eq!(groups[0].rows[1].bar, [0, 250, 0, 250]);
        assert_eq!(groups[0].rows[1].cells, ["2.0", "0.0", "1.0", "0.0", "1.0"]);
        assert_eq!(groups[1].rows[0].figure, "12 bunches");
        let given = by_recipient(&garden, &year, Units::Metric);
        assert_eq!(
            (
                given[0].rows[0].name.as_str(),
                given[0].rows[0].figure.as_str()
            ),
            ("The pantry", "3.0 kg")
        );
        assert_eq!(by_bed(&garden, &year, Units::Metric)[1].rows[0].name, "C4");
        assert_eq!(
            by_person(&garden, &year, Units::Metric)[0].rows[0].name,
            "Ines"
        );
        let whole: Vec<String> = whole(&year, Units::Metric)
            .into_iter()
            .map(|row| format!("{} {}", row.name, row.figure))
            .collect();
        assert_eq!(whole, ["By weight 6.0 kg", "Bunches 12 bunches"]);
    }

    #[test]
    fn what_became_of_a_picking_is_told_by_its_parts() {
        let garden = told();
        let all = entries(&garden, 2026);
        let words = |at: usize| became(&garden, &all[at].1.harvest(), Units::Metric);
        assert_eq!(words(0), "kept");
        assert_eq!(words(2), "1.0 kg kept, 3.0 kg given to The pantry");
        assert!(entries(&garden, 1999).is_empty());
    }
}
