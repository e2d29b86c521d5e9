//! The table of crops, and a garden's own crops and own values beside it.
//!
//! The table is `crops.csv` in this folder: a crop is one line of it. Each value carries the keys of those who printed it, the
//! words for which stand in [`super::source`]; what could not be confirmed in print is left empty. A garden's own value takes
//! the place of the table's and is shown as its own.
//!
//! ```
//! use selion_core::season::crops::{CropBook, OwnCrop};
//!
//! let own = OwnCrop::new("beet", &[("days", "70"), ("in_row", "4 in")]);
//! let book = CropBook::with(&[own])?;
//! let beet = book.find("beet")?;
//! assert_eq!(beet.days.as_ref().map(|days| days.value.most), Some(70));
//! assert_eq!(beet.days.as_ref().map(|days| days.origin.words()), Some("own value".to_owned()));
//! assert_eq!(beet.family.as_deref(), Some("Amaranthaceae"));
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use std::collections::BTreeSet;
use std::fmt;
use std::sync::LazyLock;

use serde::Serialize;

use super::known::{Known, Origin, Span, count};
use super::{source, table};
use crate::quantities::{BadInput, Depth, Percent, Spacing, Temperature, Units};
use crate::reckoning::{Reckoning, Source, Step};

/// What is known of one crop.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Crop {
    /// What gardeners call it.
    pub name: String,
    /// What botanists call it.
    pub botanical_name: Option<String>,
    /// The botanical family, which is what rotation goes by.
    pub family: Option<String>,
    /// Seed, transplants, sets, cloves.
    pub planted_as: Option<String>,
    /// From plant to plant in the row.
    pub in_row: Option<Known<Span<Spacing>>>,
    /// From row to row.
    pub rows: Option<Known<Span<Spacing>>>,
    /// What is sown or set on 100 ft of row.
    pub seed: Option<Known<Counted>>,
    /// Seeds in an ounce.
    pub seeds_per_oz: Option<Known<i64>>,
    /// How deep it is sown or set.
    pub depth: Option<Known<Span<Depth>>>,
    /// Days to the first harvest.
    pub days: Option<Known<Span<i64>>>,
    /// From what those days are counted.
    pub counted_from: Option<String>,
    /// Below this the seed does not come up.
    pub soil_minimum: Option<Known<Temperature>>,
    /// Between these it comes up best.
    pub soil_optimum: Option<Known<Span<Temperature>>>,
    /// Above this the seed does not come up.
    pub soil_maximum: Option<Known<Temperature>>,
    /// From this temperature of the soil on it is worth sowing.
    pub sow_at: Option<Known<Temperature>>,
    /// How it stands frost.
    pub frost_class: Option<Known<FrostClass>>,
    /// The share of seeds that must come up by law, where the packet names none.
    pub germination: Option<Known<Percent>>,
    /// What 100 ft of row give.
    pub yields: Option<Known<Counted>>,
    /// What one person eats in a year.
    pub per_person: Option<Known<Counted>>,
    /// Days from sowing to sowing.
    pub sow_every: Option<Known<Span<i64>>>,
    /// Days from picking to picking.
    pub pick_every: Option<Known<Span<i64>>>,
}

/// How a crop stands frost, in the four steps of the trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FrostClass {
    /// Sown four to six weeks before the average last frost.
    VeryHardy,
    /// Two to three weeks before it.
    Hardy,
    /// On it or after it.
    Tender,
    /// One to two weeks after it.
    WarmLoving,
}

impl FrostClass {
    /// Every class, the hardiest first.
    pub const ALL: [Self; 4] = [Self::VeryHardy, Self::Hardy, Self::Tender, Self::WarmLoving];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::VeryHardy => "very hardy",
            Self::Hardy => "hardy",
            Self::Tender => "tender",
            Self::WarmLoving => "warm-loving",
        }
    }

    /// Reads the word.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        let found = Self::ALL
            .into_iter()
            .find(|class| class.word() == text.trim());
        found.ok_or_else(|| {
            let expected = "very hardy, hardy, tender or warm-loving";
            BadInput::new("frost class", expected, text)
        })
    }
}

/// So much of something that a table counts its own way: `0.25 oz`, `15 to 16 row ft`, `100 bunches`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Counted {
    /// How much, in hundredths.
    pub hundredths: Span<i64>,
    /// Of what.
    pub unit: String,
}

impl Counted {
    /// Reads it.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        let digit =
            |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | '-' | '–' | ' ');
        let unit = text.trim_start_matches(digit);
        let number = text.strip_suffix(unit).unwrap_or_default();
        if unit.is_empty() {
            let expected = "an amount with what it counts, such as 0.25 oz or 50 plants";
            return Err(BadInput::new("amount", expected, text));
        }
        Ok(Self {
            hundredths: Span::parse(number, |end| Percent::parse(end).map(Percent::hundredths))?,
            unit: unit.trim().to_owned(),
        })
    }
}

impl fmt::Display for Counted {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = |hundredths: i64| {
            let shown = Percent::from_hundredths(hundredths).to_string();
            shown.trim_end_matches(" %").to_owned()
        };
        write!(out, "{} {}", self.hundredths.show(number), self.unit)
    }
}

/// A garden's own crop, or its own values for one of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnCrop {
    /// What it is called; a name of the table stands for that crop.
    pub name: String,
    /// Column of the table and value, each as it would be written there.
    pub values: Vec<(String, String)>,
}

impl OwnCrop {
    /// Of these values.
    pub fn new(name: &str, values: &[(&str, &str)]) -> Self {
        let owned = |(column, text): &(&str, &str)| ((*column).to_owned(), (*text).to_owned());
        Self {
            name: name.to_owned(),
            values: values.iter().map(owned).collect(),
        }
    }
}

/// The crops that a garden knows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CropBook(Vec<Crop>);

impl CropBook {
    /// The crops of the table, with a garden's own beside or above them.
    pub fn with(own: &[OwnCrop]) -> Result<Self, BadInput> {
        let mut crops = TABLE.clone()?;
        for entry in own {
            let name = entry.name.trim();
            if name.is_empty() {
                return Err(BadInput::new("own crop", "a name", ""));
            }
            if !crops.iter().any(|crop| crop.is_called(name)) {
                crops.push(Crop {
                    name: name.to_owned(),
                    ..Crop::default()
                });
            }
            for crop in crops.iter_mut().filter(|crop| crop.is_called(name)) {
                for (column, text) in &entry.values {
                    crop.set(column, text, Origin::Own)
                        .map_err(|refused| refused.named(format!("own {name}, {column}")))?;
                }
            }
        }
        Ok(Self(crops))
    }

    /// Every crop, those of the table first.
    pub fn crops(&self) -> &[Crop] {
        &self.0
    }

    /// The crop of this name; large and small letters are alike.
    pub fn find(&self, name: &str) -> Result<&Crop, BadInput> {
        let found = self.0.iter().find(|crop| crop.is_called(name.trim()));
        found.ok_or_else(|| {
            let word = name.trim().to_lowercase();
            let near: Vec<&str> = self
                .0
                .iter()
                .map(|crop| crop.name.as_str())
                .filter(|known| !word.is_empty() && known.to_lowercase().contains(&word))
                .collect();
            let expected = if near.is_empty() {
                "a crop of the table or an own one".to_owned()
            } else {
                format!("one of {}", near.join("; "))
            };
            BadInput::new("crop", expected, name)
        })
    }
}

/// The columns that an own value may stand in.
pub const COLUMNS: [&str; 20] = [
    "botanical_name",
    "family",
    "planted_as",
    "in_row",
    "rows",
    "seed",
    "seeds_per_oz",
    "depth",
    "days",
    "counted_from",
    "soil_minimum",
    "soil_optimum",
    "soil_maximum",
    "sow_at",
    "frost_class",
    "germination",
    "yield",
    "per_person",
    "sow_every",
    "pick_every",
];
/// The columns that describe a crop and need no source of their own.
const DESCRIBING: [&str; 4] = ["botanical_name", "family", "planted_as", "counted_from"];

static TABLE: LazyLock<Result<Vec<Crop>, BadInput>> = LazyLock::new(|| {
    let rows = table::rows(include_str!("crops.csv"), &DESCRIBING)?;
    let crop = |row: &table::TableRow| {
        let mut crop = Crop {
            name: row.name.clone(),
            ..Crop::default()
        };
        for (column, text, origin) in row.cells() {
            crop.set(column, text, origin)
                .map_err(|refused| refused.named(format!("table, {}, {column}", row.name)))?;
        }
        Ok(crop)
    };
    rows.iter().map(crop).collect()
});

impl Crop {
    fn is_called(&self, name: &str) -> bool {
        self.name.to_lowercase() == name.to_lowercase()
    }

    /// Reads one value into its place.
    fn set(&mut self, column: &str, text: &str, origin: Origin) -> Result<(), BadInput> {
        let said = || Some(text.trim().to_owned()).filter(|words| !words.is_empty());
        let spacing = |text: &str| Span::parse(text, Spacing::parse);
        let days = |text: &str| Span::parse(text, count);
        match column {
            "botanical_name" => self.botanical_name = said(),
            "family" => self.family = said(),
            "planted_as" => self.planted_as = said(),
            "counted_from" => self.counted_from = said(),
            "in_row" => self.in_row = Some(known(spacing(text)?, origin)),
            "rows" => self.rows = Some(known(spacing(text)?, origin)),
            "seed" => self.seed = Some(known(Counted::parse(text)?, origin)),
            "seeds_per_oz" => self.seeds_per_oz = Some(known(count(text)?, origin)),
            "depth" => self.depth = Some(known(Span::parse(text, Depth::parse)?, origin)),
            "days" => self.days = Some(known(days(text)?, origin)),
            "soil_minimum" => self.soil_minimum = Some(known(Temperature::parse(text)?, origin)),
            "soil_optimum" => {
                self.soil_optimum = Some(known(Span::parse(text, Temperature::parse)?, origin));
            }
            "soil_maximum" => self.soil_maximum = Some(known(Temperature::parse(text)?, origin)),
            "sow_at" => self.sow_at = Some(known(Temperature::parse(text)?, origin)),
            "frost_class" => self.frost_class = Some(known(FrostClass::parse(text)?, origin)),
            "germination" => self.germination = Some(known(Percent::parse(text)?, origin)),
            "yield" => self.yields = Some(known(Counted::parse(text)?, origin)),
            "per_person" => self.per_person = Some(known(Counted::parse(text)?, origin)),
            "sow_every" => self.sow_every = Some(known(days(text)?, origin)),
            "pick_every" => self.pick_every = Some(known(days(text)?, origin)),
            other => {
                let expected = format!("one of {}", COLUMNS.join(", "));
                return Err(BadInput::new("column", expected, other));
            }
        }
        Ok(())
    }

    /// Everything that is known of it, line by line, and whose each value is.
    pub fn sheet(&self, units: Units) -> Reckoning<CropSheet> {
        let source =
            Source::published("The crop table; the key behind each value says who printed it.");
        let mut answer = Reckoning::new(CropSheet { crop: self.clone() }, source).on(
            "All values are ranges for ordinary ground; a garden's own value comes before every one of them.",
        );
        let mut keys = BTreeSet::new();
        for (label, shown) in self.lines(units) {
            let Some((value, origin)) = shown else {
                continue;
            };
            if let Origin::Table(printed) = origin {
                keys.extend(printed.split('+').map(str::to_owned));
            }
            answer = answer.step(Step::new(format!("{label}{}", origin.mark()), value));
        }
        for key in keys {
            answer = answer.on(format!("{}.", source::words(&key)));
        }
        answer
    }

    fn lines(&self, units: Units) -> Vec<(&'static str, Option<(String, &Origin)>)> {
        let spacing = |span: &Span<Spacing>| span.show(|end| end.show(units));
        let days = |span: &Span<i64>| format!("{span} days");
        let warmth = |degrees: &Temperature| degrees.show(units);
        vec![
            ("In the row", line(self.in_row.as_ref(), spacing)),
            ("Row to row", line(self.rows.as_ref(), spacing)),
            ("On 100 ft", line(self.seed.as_ref(), ToString::to_string)),
            (
                "Seeds in 1 oz",
                line(self.seeds_per_oz.as_ref(), ToString::to_string),
            ),
            (
                "Depth",
                line(self.depth.as_ref(), |span| span.show(|end| end.show(units))),
            ),
            ("To first harvest", line(self.days.as_ref(), days)),
            ("Soil at least", line(self.soil_minimum.as_ref(), warmth)),
            (
                "Soil at best",
                line(self.soil_optimum.as_ref(), |span| {
                    span.show(|end| end.show(units))
                }),
            ),
            ("Soil at most", line(self.soil_maximum.as_ref(), warmth)),
            ("Sow from", line(self.sow_at.as_ref(), warmth)),
            (
                "Frost",
                line(self.frost_class.as_ref(), |class| class.word().to_owned()),
            ),
            (
                "Germination",
                line(self.germination.as_ref(), ToString::to_string),
            ),
            (
                "100 ft give",
                line(self.yields.as_ref(), ToString::to_string),
            ),
            (
                "For a person",
                line(self.per_person.as_ref(), ToString::to_string),
            ),
            ("Sow every", line(self.sow_every.as_ref(), days)),
            ("Pick every", line(self.pick_every.as_ref(), days)),
        ]
    }
}

fn known<T>(value: T, origin: Origin) -> Known<T> {
    Known { value, origin }
}

fn line<T>(known: Option<&Known<T>>, show: impl Fn(&T) -> String) -> Option<(String, &Origin)> {
    known.map(|known| (show(&known.value), &known.origin))
}

/// A crop as a sheet to read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CropSheet {
    /// The crop.
    pub crop: Crop,
}

impl fmt::Display for CropSheet {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.crop.name)?;
        let said = [
            &self.crop.botanical_name,
            &self.crop.family,
            &self.crop.planted_as,
        ];
        for words in said.into_iter().flatten() {
            write!(out, ", {words}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads_and_holds_forty_two_crops_of_known_families() {
        let book = CropBook::with(&[]).unwrap();
        assert_eq!(book.crops().len(), 42);
        let names: BTreeSet<String> = book
            .crops()
            .iter()
            .map(|crop| crop.name.to_lowercase())
            .collect();
        assert_eq!(names.len(), 42);
        for crop in book.crops() {
            assert!(
                crop.family
                    .as_ref()
                    .is_some_and(|family| family.ends_with("ceae")),
                "{}",
                crop.name
            );
            let warm = |known: &Option<Known<Temperature>>| known.as_ref().map(|known| known.value);
            if let (Some(low), Some(high)) = (warm(&crop.soil_minimum), warm(&crop.soil_maximum)) {
                assert!(low < high, "{}", crop.name);
            }
            if let Some(days) = &crop.days {
                assert!((20..=160).contains(&days.value.least), "{}", crop.name);
                assert!(crop.counted_from.is_some(), "{}", crop.name);
            }
        }
    }

    #[test]
    fn own_values_stand_in_the_place_of_the_tables_and_own_crops_beside_them() {
        let own = [
            OwnCrop::new("Radish", &[("days", "30"), ("germination", "91 %")]),
            OwnCrop::new(
                "sea kale",
                &[("family", "Brassicaceae"), ("in_row", "30-40 cm")],
            ),
        ];
        let book = CropBook::with(&own).unwrap();
        let radish = book.find("radish").unwrap();
        assert_eq!(radish.days.as_ref().unwrap().origin, Origin::Own);
        assert!(matches!(
            radish.depth.as_ref().unwrap().origin,
            Origin::Table(_)
        ));
        assert_eq!(
            book.find("Sea Kale").unwrap().family.as_deref(),
            Some("Brassicaceae")
        );
        let sheet = radish.sheet(Units::UsCustomary).to_string();
        assert!(sheet.contains("To first harvest, own value"), "{sheet}");
    }

    #[test]
    fn what_cannot_be_read_is_refused_by_its_name() {
        let refused = |name: &str, column: &str, text: &str| {
            let own = OwnCrop::new(name, &[(column, text)]);
            CropBook::with(&[own]).unwrap_err().field
        };
        assert_eq!(refused("beet", "in_row", "4"), "own beet, in_row");
        assert_eq!(
            refused("beet", "frost_class", "soft"),
            "own beet, frost_class"
        );
        assert_eq!(refused("beet", "colour", "red"), "own beet, colour");
        assert_eq!(refused(" ", "days", "7"), "own crop");
        let book = CropBook::with(&[]).unwrap();
        let near = book.find("lettuce").unwrap_err();
        assert_eq!(near.expected, "one of lettuce, leaf; lettuce, head");
        assert_eq!(book.find("moss").unwrap_err().field, "crop");
    }
}
