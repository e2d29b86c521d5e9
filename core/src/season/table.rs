//! Reads an embedded table row by row: each value with the keys of those who printed it.

use super::known::Origin;
use super::source;
use crate::ordered::Map;
use crate::quantities::BadInput;

/// One row: its name, its filled cells by column, and who printed each.
pub(super) struct TableRow {
    pub(super) name: String,
    cells: Vec<(String, String)>,
    sources: Map<String, String>,
}

impl TableRow {
    /// Every filled cell with its column and whose value it is; what names the row itself has no source of its own.
    pub(super) fn cells(&self) -> impl Iterator<Item = (&str, &str, Origin)> {
        self.cells.iter().map(|(column, text)| {
            let keys = self.sources.get(column).cloned().unwrap_or_default();
            (column.as_str(), text.as_str(), Origin::Table(keys))
        })
    }

    /// Refuses a source of a value that is not there, and values without one, but for the columns that only describe.
    fn check(&self, describing: &[&str]) -> Result<(), BadInput> {
        let filled = |column: &str| self.cells.iter().any(|(name, _)| name == column);
        let lost = self
            .sources
            .iter()
            .find(|(column, keys)| !filled(column) || !source::all_known(keys));
        if let Some((column, keys)) = lost {
            let came = format!("{column} {keys}");
            return Err(self.refuse("sources of values that are there", &came));
        }
        let bare = self.cells.iter().find(|(name, _)| {
            !describing.contains(&name.as_str()) && !self.sources.contains_key(name)
        });
        bare.map_or(Ok(()), |(name, _)| {
            Err(self.refuse("a source for every value", name))
        })
    }

    fn refuse(&self, expected: &str, came: &str) -> BadInput {
        BadInput::new(format!("table, {}", self.name), expected, came)
    }
}

/// The rows of a table whose first column is the name and whose last one says who printed what.
pub(super) fn rows(text: &str, describing: &[&str]) -> Result<Vec<TableRow>, BadInput> {
    let unreadable =
        |error: csv::Error| BadInput::new("table", "rows of one length", error.to_string());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let columns = reader.headers().map_err(unreadable)?.clone();
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(unreadable)?;
        let mut row = TableRow {
            name: record.get(0).unwrap_or_default().to_owned(),
            cells: Vec::new(),
            sources: Map::new(),
        };
        for (column, text) in columns.iter().zip(&record).skip(1) {
            match (column, text) {
                (_, "") => {}
                ("sources", text) => {
                    let pairs = text.split("; ").filter_map(|pair| pair.split_once(' '));
                    row.sources = pairs
                        .map(|(column, keys)| (column.to_owned(), keys.to_owned()))
                        .collect();
                }
                (column, text) => row.cells.push((column.to_owned(), text.to_owned())),
            }
        }
        row.check(describing)?;
        rows.push(row);
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_has_its_source_and_every_source_its_value() {
        let read = |line: &str| rows(&format!("crop,family,days,sources\n{line}"), &["family"]);
        let good = read("beet,Amaranthaceae,55-65,days MU").unwrap();
        let cells: Vec<_> = good[0].cells().collect();
        assert_eq!(cells[1], ("days", "55-65", Origin::Table("MU".to_owned())));
        for bad in [
            "beet,,55-65,",
            "beet,,,days MU",
            "beet,,55-65,days NOBODY",
            "beet,,55-65",
        ] {
            assert!(read(bad).is_err(), "{bad}");
        }
    }
}
