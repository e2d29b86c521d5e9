//! The form for a new planting: what was typed, what it means, what is shown before it is kept, and a garden's own crop.

pub mod own_crop;
pub mod preview;
pub mod read;
pub mod sides;
pub mod suggest;

use selion_core::document::records::{Planting, StartsAs};
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Units};

use super::plantings::address::Begun;

pub use preview::{Preview, preview};
pub use read::{Planned, read};

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the form is")]
pub enum PlantBox {
    Crop,
    Word,
    Day,
    Side,
    From,
    Length,
    Along,
    InRow,
    Between,
    Sowings,
    Interval,
    First,
    Last,
}

/// What is wrong with the form, field by field.
pub type Wrong = Map<PlantBox, String>;

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one choice of two in the form"
)]
pub struct PlantTyped {
    /// A cover crop.
    pub cover: bool,
    /// The crop's name.
    pub crop: String,
    /// The variety, or another word about it.
    pub word: String,
    /// The day of sowing or setting.
    pub day: String,
    /// Set out as plants.
    pub set: bool,
    /// A stretch of the bed, not all of it.
    pub part: bool,
    /// The side that the stretch is paced off along; the longest where none is said.
    pub side: String,
    /// How far from where that side begins.
    pub from: String,
    /// How long the stretch is.
    pub length: String,
    /// The side that rows run along; the longest where none is said.
    pub along: String,
    /// From plant to plant; the table's where nothing is said.
    pub in_row: String,
    /// From row to row; the table's where nothing is said.
    pub between: String,
    /// How many sowings.
    pub sowings: String,
    /// Days from one to the next; the table's where nothing is said.
    pub interval: String,
    /// Each sowing on ground of its own, beside the one before.
    pub beside: bool,
    /// The first picking, where people know better than the table.
    pub first: String,
    /// The last picking, or when a cover crop is ended.
    pub last: String,
    /// The last day that it may stand, where it was planned into a gap.
    pub until: Option<Day>,
}

impl PlantTyped {
    /// A form that begins with these.
    pub fn begun(begun: &Begun, today: Day) -> Self {
        let ends = begun.until.filter(|_| begun.cover);
        Self {
            cover: begun.cover,
            crop: begun.crop.clone(),
            day: begun.from.unwrap_or(today).to_string(),
            sowings: "1".to_owned(),
            beside: true,
            last: ends.map(|day| day.to_string()).unwrap_or_default(),
            until: begun.until,
            ..Self::default()
        }
    }

    /// The form of a planting as it stands, for changing it; its ground is kept as it is.
    pub fn of(planting: &Planting, units: Units) -> Self {
        let day = |day: Option<Day>| day.map(|day| day.to_string()).unwrap_or_default();
        let rows = planting.rows;
        let along = rows.along.map(|side| side.to_string());
        Self {
            cover: planting.cover,
            crop: planting.crop.clone(),
            word: planting.word.clone(),
            day: planting.start.to_string(),
            set: planting.starts_as == StartsAs::Set,
            along: along.unwrap_or_default(),
            in_row: rows.in_row.map(|it| it.show(units)).unwrap_or_default(),
            between: rows.between.map(|it| it.show(units)).unwrap_or_default(),
            sowings: "1".to_owned(),
            first: day(planting.first_picking),
            last: day(planting.last_picking),
            ..Self::default()
        }
    }

    /// Whether nothing was typed into a field: then it is told to be wrong only once somebody wants to keep the form.
    pub fn is_empty(&self, of: PlantBox) -> bool {
        let typed = match of {
            PlantBox::Crop => &self.crop,
            PlantBox::Word => &self.word,
            PlantBox::Day => &self.day,
            PlantBox::Side => &self.side,
            PlantBox::From => &self.from,
            PlantBox::Length => &self.length,
            PlantBox::Along => &self.along,
            PlantBox::InRow => &self.in_row,
            PlantBox::Between => &self.between,
            PlantBox::Sowings => &self.sowings,
            PlantBox::Interval => &self.interval,
            PlantBox::First => &self.first,
            PlantBox::Last => &self.last,
        };
        typed.trim().is_empty()
    }
}

/// The unit of a bare number between plants and rows.
pub fn spacing_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "cm",
        Units::UsCustomary => "in",
    }
}

/// The unit of a bare number along a bed.
pub fn length_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "m",
        Units::UsCustomary => "ft",
    }
}

#[cfg(test)]
mod tests;
