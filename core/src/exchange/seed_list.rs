//! What to buy for a season's plan, as a table for a spreadsheet: crop by crop, seeds and their weight, plants, cover seed.

use super::ledger_sheet::safe;
use crate::document::season_plan::plants::BoughtOfCrop;
use crate::ordered::Map;
use crate::quantities::{BadInput, Units};

/// The heads of the table. Weights carry their unit.
const COLUMNS: [&str; 7] = [
    "crop",
    "plantings",
    "seeds",
    "seed_weight",
    "plants",
    "cover_seed_at_most",
    "not_worked_out",
];

/// The list as a table for a spreadsheet.
pub fn to_csv(crops: &Map<String, BoughtOfCrop>, units: Units) -> Result<String, BadInput> {
    let failed = |error: csv::Error| BadInput::new("list", "lines to write", error.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(failed)?;
    let counted = |count: i64| {
        if count > 0 {
            count.to_string()
        } else {
            String::new()
        }
    };
    for (crop, bought) in crops {
        let weight = bought.weight.map(|weight| weight.show(units));
        let cover = bought.cover.is_positive().then(|| bought.cover.show(units));
        let cells = [
            safe(crop),
            bought.plantings.to_string(),
            counted(bought.seeds),
            weight.unwrap_or_default(),
            counted(bought.plants),
            cover.unwrap_or_default(),
            safe(&bought.missing.join("; ")),
        ];
        writer.write_record(cells).map_err(failed)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| BadInput::new("list", "lines to write", error.to_string()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantities::{Mass, SmallMass};

    #[test]
    fn a_list_is_read_back_as_it_was_written() {
        let beans = BoughtOfCrop {
            plantings: 3,
            seeds: 318,
            weight: SmallMass::of_ounces(318, 100),
            ..BoughtOfCrop::default()
        };
        let rye = BoughtOfCrop {
            plantings: 1,
            cover: Mass::from_grams(500),
            missing: vec!["The rate is missing, \"truly\"".to_owned()],
            ..BoughtOfCrop::default()
        };
        let own = BoughtOfCrop {
            plantings: 1,
            plants: 19,
            ..BoughtOfCrop::default()
        };
        let crops = Map::from([
            ("=SUM(A1)".to_owned(), own),
            ("bean, bush snap".to_owned(), beans),
            ("cereal rye".to_owned(), rye),
        ]);
        let text = to_csv(&crops, Units::UsCustomary).unwrap();
        // RFC 4180 by another hand than the one that wrote it: the csv crate's reader.
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let cells = |row: &csv::StringRecord| row.iter().map(ToOwned::to_owned).collect::<Vec<_>>();
        assert_eq!(
            cells(&rows[0]),
            ["'=SUM(A1)", "1", "", "", "19", "", ""],
            "no spreadsheet runs a crop"
        );
        assert_eq!(
            cells(&rows[1]),
            ["bean, bush snap", "3", "318", "3.18 oz", "", "", ""]
        );
        assert_eq!(
            cells(&rows[2]),
            [
                "cereal rye",
                "1",
                "",
                "",
                "",
                "1.1 lb",
                "The rate is missing, \"truly\""
            ]
        );
    }
}
