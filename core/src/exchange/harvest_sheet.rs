//! A year's harvest for a spreadsheet (CSV): every picking with what became of each part, and a column for each recipient.
//!
//! In every line kept, shared, given away and lost add up to what was picked, and the recipients' columns to what was given
//! away: rounded numbers are cut from rounded sums. What was struck out is left away.

use super::ledger_sheet::safe;
use crate::document::Garden;
use crate::document::ids::RecipientId;
use crate::document::records::{Harvest, HarvestUnit, Picking};
use crate::ordered;
use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Units};

/// The names of the columns before those of the recipients.
const COLUMNS: [&str; 11] = [
    "day",
    "bed",
    "crop",
    "picked_by",
    "unit",
    "picked",
    "kept",
    "shared",
    "given_away",
    "lost",
    "word",
];

/// The pickings of a year as a table, earliest first, weights in the garden's units.
pub fn of_year(garden: &Garden, year: i16, units: Units) -> Result<String, BadInput> {
    let season = garden.seasons.get(&year);
    let season =
        season.ok_or_else(|| BadInput::new("year", "a year that is open", year.to_string()))?;
    let standing = season
        .pickings
        .iter()
        .filter(|(_, picking)| picking.ended_on.is_none());
    let mut pickings: Vec<_> = standing
        .map(|(id, picking)| (picking.day, *id, picking))
        .collect();
    ordered::sort_by_key(&mut pickings, |(day, id, _)| (*day, *id));
    let given_some = |recipient: &RecipientId| {
        let part = |harvest: Harvest| harvest.given.get(recipient).is_some_and(|part| *part > 0);
        pickings
            .iter()
            .any(|(_, _, picking)| part(picking.harvest()))
    };
    let recipients: Vec<_> = garden
        .recipients
        .iter()
        .filter(|(id, _)| given_some(id))
        .map(|(id, recipient)| (*id, recipient.name.as_str()))
        .collect();
    let failed = |error: csv::Error| BadInput::new("harvest", "lines to write", error.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut heads: Vec<String> = COLUMNS.map(str::to_owned).to_vec();
    heads.extend(
        recipients
            .iter()
            .map(|(_, name)| format!("given to {name}")),
    );
    heads.push("given to others".to_owned());
    writer.write_record(&heads).map_err(failed)?;
    for (_, _, picking) in &pickings {
        writer
            .write_record(cells(garden, picking, &recipients, units))
            .map_err(failed)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| BadInput::new("harvest", "lines to write", error.to_string()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn cells(
    garden: &Garden,
    picking: &Picking,
    recipients: &[(RecipientId, &str)],
    units: Units,
) -> Vec<String> {
    let harvest = picking.harvest();
    let given = recipients
        .iter()
        .map(|(id, _)| harvest.given.get(id).copied().unwrap_or(0));
    let given: Vec<i64> = given.chain([harvest.given_otherwise]).collect();
    let mut parts = vec![harvest.kept, harvest.shared];
    parts.extend(&given);
    parts.push(harvest.lost);
    let shown = adding_up(harvest.unit, &parts, units);
    let sum = |from: usize, to: usize| shown.get(from..to).unwrap_or_default().iter().sum::<i64>();
    let (first, last) = (2, 2 + given.len());
    let amount = |hundredths: i64| format!("{}.{:02}", hundredths / 100, hundredths % 100);
    let unit = harvest.unit.show_apart(0, units).unit;
    let mut cells = vec![
        picking.day.to_string(),
        safe(garden.label_of(Some(picking.bed))),
        safe(picking.crop.trim()),
        safe(garden.name_of(picking.member)),
        unit.to_owned(),
        amount(sum(0, shown.len())),
        amount(sum(0, 1)),
        amount(sum(1, 2)),
        amount(sum(first, last)),
        amount(sum(last, shown.len())),
        safe(picking.word.trim()),
    ];
    let to_each = shown.get(first..last).unwrap_or_default().iter();
    cells.extend(to_each.map(|part| amount(*part)));
    cells
}

/// Parts in hundredths of what is shown, each the rounded sum up to it without the one before: they add up as the parts do.
fn adding_up(unit: HarvestUnit, parts: &[i64], units: Units) -> Vec<i64> {
    let (mut upto, mut before) = (0_i128, 0_i64);
    let one = |part: &i64| {
        upto += i128::from(*part);
        let hundredths = match (unit, units) {
            (HarvestUnit::Grams, Units::Metric) => nearest(upto, 10),
            // A pound is 453.59237 g.
            (HarvestUnit::Grams, Units::UsCustomary) => nearest(upto * 10_000_000, 45_359_237),
            _counted => nearest(upto, 1),
        }
        .unwrap_or(before);
        let part = hundredths - before;
        before = hundredths;
        part
    };
    parts.iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::document::Season;
    use crate::document::ids::{BedId, MemberId, PickingId};
    use crate::document::records::{Picked, Recipient};
    use crate::ordered::Map;
    use crate::quantities::{Day, Mass, Moment};

    fn garden(parts: Vec<Harvest>) -> Garden {
        let mut season = Season::default();
        for (number, harvest) in (1..).zip(parts) {
            let record = Picking {
                bed: BedId::fresh(Moment::from_millis(1), [0; 10]),
                day: Day::parse("2026-07-10").unwrap(),
                crop: "=kale".to_owned(),
                mass: Mass::ZERO,
                picked: Picked::Kept,
                member: MemberId::fresh(Moment::from_millis(1), [0; 10]),
                turn: None,
                word: String::new(),
                parts: Some(harvest),
                planting: None,
                ended_on: None,
            };
            let id = PickingId::fresh(Moment::from_millis(number), [0; 10]);
            season.pickings.insert(id, Arc::new(record));
        }
        let pantry = Recipient {
            name: "The pantry".to_owned(),
            ..Recipient::default()
        };
        Garden {
            seasons: Map::from([(2026, season)]),
            recipients: Map::from([(pantry_id(), Arc::new(pantry))]),
            ..Garden::default()
        }
    }

    fn pantry_id() -> RecipientId {
        RecipientId::fresh(Moment::from_millis(1), [1; 10])
    }

    fn rows(text: &str) -> Vec<Vec<String>> {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows = reader.records().map(Result::unwrap);
        rows.map(|row| row.iter().map(str::to_owned).collect())
            .collect()
    }

    #[test]
    fn every_line_adds_up_in_pounds_and_names_who_was_given() {
        // 700 g are 1.5432 lb, a third of it each: 0.514 lb three times would print as 0.51 and miss a hundredth.
        let harvest = Harvest {
            kept: 233,
            shared: 233,
            given: Map::from([(pantry_id(), 117)]),
            given_otherwise: 117,
            ..Harvest::default()
        };
        let text = of_year(&garden(vec![harvest]), 2026, Units::UsCustomary).unwrap();
        assert!(
            text.starts_with("day,bed,crop,picked_by,unit,picked,"),
            "{text}"
        );
        assert!(
            text.lines()
                .next()
                .unwrap()
                .ends_with("given to The pantry,given to others")
        );
        let row = &rows(&text)[0];
        assert_eq!(row[2], "'=kale", "no spreadsheet takes it for a formula");
        assert_eq!((row[4].as_str(), row[5].as_str()), ("lb", "1.54"));
        let cents = |cell: &String| cell.replace('.', "").parse::<i64>().unwrap();
        assert_eq!(row[6..=9].iter().map(cents).sum::<i64>(), 154);
        assert_eq!(row[11..].iter().map(cents).sum::<i64>(), cents(&row[8]));
    }

    #[test]
    fn counts_are_told_as_counts_and_another_year_is_refused() {
        let heads = Harvest {
            unit: HarvestUnit::Heads,
            kept: 250,
            lost: 100,
            ..Harvest::default()
        };
        let text = of_year(&garden(vec![heads]), 2026, Units::Metric).unwrap();
        let row = &rows(&text)[0];
        assert_eq!(row[4..=6], ["heads", "3.50", "2.50"]);
        assert_eq!(row.len(), 12, "nobody of the list was given anything");
        assert!(of_year(&garden(Vec::new()), 1999, Units::Metric).is_err());
    }
}
