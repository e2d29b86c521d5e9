//! Cover crops: the table of them, when and how thick they are sown, and the nitrogen that they bring.
//!
//! The table is `cover_crops.csv` in the folder above: a cover crop is one line of it. What could not be confirmed in print is
//! left empty, and a garden's own value takes the place of the table's, as with the crops.
//!
//! ```
//! use selion_core::season::cover::CoverBook;
//!
//! let book = CoverBook::with(&[])?;
//! assert_eq!(book.find("cereal rye")?.family.as_deref(), Some("Poaceae"));
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

pub mod nitrogen;
pub mod seed;
pub mod window;

use std::sync::LazyLock;

use serde::Serialize;

use super::crops::OwnCrop;
use super::known::{Known, Origin, Span, count};
use super::table;
use crate::quantities::{BadInput, Depth, Percent, Rate, Temperature};

/// What is known of one cover crop.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CoverCrop {
    /// What gardeners call it.
    pub name: String,
    /// What botanists call it.
    pub botanical_name: Option<String>,
    /// The botanical family, which is what rotation goes by.
    pub family: Option<String>,
    /// Legume, grass or broadleaf.
    pub kind: Option<String>,
    /// Summer, cool or two-season.
    pub season: Option<String>,
    /// Seed for fields, broadcast.
    pub broadcast: Option<Known<Span<Rate>>>,
    /// Seed for fields, drilled.
    pub drilled: Option<Known<Span<Rate>>>,
    /// Seed for gardens, by hand.
    pub garden: Option<Known<Span<Rate>>>,
    /// How deep it is sown.
    pub depth: Option<Known<Span<Depth>>>,
    /// Days that it needs before frost ends it.
    pub needs_days: Option<Known<Span<i64>>>,
    /// Days before the first frost of fall that it is sown; below nought after it.
    pub days_before_frost: Option<Known<Span<i64>>>,
    /// Cold that kills it.
    pub winterkill: Option<Known<Temperature>>,
    /// The nitrogen that a whole stand holds.
    pub nitrogen: Option<Known<Span<Rate>>>,
    /// When to end it.
    pub stop_when: Option<Known<String>>,
    /// Weeks to wait before planting after it.
    pub wait_weeks: Option<Known<Span<i64>>>,
    /// Its share of the full rate in a mix of two.
    pub mix_share: Option<Known<Percent>>,
}

/// The cover crops that a garden knows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CoverBook(Vec<CoverCrop>);

impl CoverBook {
    /// The cover crops of the table, with a garden's own beside or above them.
    pub fn with(own: &[OwnCrop]) -> Result<Self, BadInput> {
        let mut covers = TABLE.clone()?;
        for entry in own {
            let name = entry.name.trim();
            if name.is_empty() {
                return Err(BadInput::new("own cover crop", "a name", ""));
            }
            if !covers.iter().any(|cover| cover.is_called(name)) {
                covers.push(CoverCrop {
                    name: name.to_owned(),
                    ..CoverCrop::default()
                });
            }
            for cover in covers.iter_mut().filter(|cover| cover.is_called(name)) {
                for (column, text) in &entry.values {
                    cover
                        .set(column, text, Origin::Own)
                        .map_err(|refused| refused.named(format!("own {name}, {column}")))?;
                }
            }
        }
        Ok(Self(covers))
    }

    /// Every cover crop, those of the table first.
    pub fn covers(&self) -> &[CoverCrop] {
        &self.0
    }

    /// The cover crop of this name; large and small letters are alike.
    pub fn find(&self, name: &str) -> Result<&CoverCrop, BadInput> {
        let found = self.0.iter().find(|cover| cover.is_called(name.trim()));
        found.ok_or_else(|| {
            let names: Vec<&str> = self.0.iter().map(|cover| cover.name.as_str()).collect();
            BadInput::new("cover crop", format!("one of {}", names.join(", ")), name)
        })
    }
}

/// The columns that an own value may stand in.
pub const COLUMNS: [&str; 15] = [
    "botanical_name",
    "family",
    "kind",
    "season",
    "broadcast",
    "drilled",
    "garden",
    "depth",
    "needs_days",
    "days_before_frost",
    "winterkill",
    "nitrogen",
    "stop_when",
    "wait_weeks",
    "mix_share",
];
/// The columns that describe a cover crop and need no source of their own.
const DESCRIBING: [&str; 4] = ["botanical_name", "family", "kind", "season"];

static TABLE: LazyLock<Result<Vec<CoverCrop>, BadInput>> = LazyLock::new(|| {
    let rows = table::rows(include_str!("../cover_crops.csv"), &DESCRIBING)?;
    let cover = |row: &table::TableRow| {
        let mut cover = CoverCrop {
            name: row.name.clone(),
            ..CoverCrop::default()
        };
        for (column, text, origin) in row.cells() {
            cover
                .set(column, text, origin)
                .map_err(|refused| refused.named(format!("table, {}, {column}", row.name)))?;
        }
        Ok(cover)
    };
    rows.iter().map(cover).collect()
});

impl CoverCrop {
    fn is_called(&self, name: &str) -> bool {
        self.name.to_lowercase() == name.to_lowercase()
    }

    /// Reads one value into its place.
    fn set(&mut self, column: &str, text: &str, origin: Origin) -> Result<(), BadInput> {
        let said = || Some(text.trim().to_owned()).filter(|words| !words.is_empty());
        let rate = |text: &str| Span::parse(text, Rate::parse);
        match column {
            "botanical_name" => self.botanical_name = said(),
            "family" => self.family = said(),
            "kind" => self.kind = said(),
            "season" => self.season = said(),
            "broadcast" => self.broadcast = Some(known(rate(text)?, origin)),
            "drilled" => self.drilled = Some(known(rate(text)?, origin)),
            "garden" => self.garden = Some(known(rate(text)?, origin)),
            "depth" => self.depth = Some(known(Span::parse(text, Depth::parse)?, origin)),
            "needs_days" => self.needs_days = Some(known(Span::parse(text, count)?, origin)),
            "days_before_frost" => {
                self.days_before_frost = Some(known(Span::parse(text, days)?, origin));
            }
            "winterkill" => self.winterkill = Some(known(Temperature::parse(text)?, origin)),
            "nitrogen" => self.nitrogen = Some(known(rate(text)?, origin)),
            "stop_when" => self.stop_when = said().map(|words| known(words, origin)),
            "wait_weeks" => self.wait_weeks = Some(known(Span::parse(text, count)?, origin)),
            "mix_share" => self.mix_share = Some(known(Percent::parse(text)?, origin)),
            other => {
                let expected = format!("one of {}", COLUMNS.join(", "));
                return Err(BadInput::new("column", expected, other));
            }
        }
        Ok(())
    }
}

/// Days before a date, below nought after it.
fn days(text: &str) -> Result<i64, BadInput> {
    match text.trim().strip_prefix(['-', '−']) {
        Some(after) => count(after).map(|days| -days),
        None => count(text),
    }
}

fn known<T>(value: T, origin: Origin) -> Known<T> {
    Known { value, origin }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads_and_every_cover_crop_has_a_rate_for_gardens() {
        let book = CoverBook::with(&[]).unwrap();
        assert_eq!(book.covers().len(), 11);
        for cover in book.covers() {
            assert!(
                cover.garden.is_some() && cover.family.is_some(),
                "{}",
                cover.name
            );
            assert!(
                cover.wait_weeks.is_some() && cover.stop_when.is_some(),
                "{}",
                cover.name
            );
        }
        let rye = book.find("Cereal Rye").unwrap();
        let window = rye.days_before_frost.as_ref().unwrap();
        assert_eq!(
            window.value,
            Span {
                least: -21,
                most: 28
            }
        );
    }

    #[test]
    fn own_values_and_own_cover_crops() {
        let own = [
            OwnCrop::new("oats", &[("garden", "15 g/m2")]),
            OwnCrop::new(
                "phacelia",
                &[("family", "Boraginaceae"), ("needs_days", "45-60")],
            ),
        ];
        let book = CoverBook::with(&own).unwrap();
        assert_eq!(
            book.find("oats").unwrap().garden.as_ref().unwrap().origin,
            Origin::Own
        );
        assert_eq!(
            book.find("phacelia")
                .unwrap()
                .needs_days
                .as_ref()
                .unwrap()
                .value
                .most,
            60
        );
        assert_eq!(book.find("moss").unwrap_err().field, "cover crop");
        let bad = OwnCrop::new("oats", &[("garden", "lots")]);
        assert_eq!(
            CoverBook::with(&[bad]).unwrap_err().field,
            "own oats, garden"
        );
        assert!(CoverBook::with(&[OwnCrop::new("", &[])]).is_err());
    }
}
