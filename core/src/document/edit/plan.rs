//! What edits of plantings, proposals, harvests and weather carry.

use crate::document::ids::{BedId, PlantingId, SeriesId, TurnId};
use crate::document::records::{Harvest, PlantingRows, StartsAs, WeatherNote};
use crate::geometry::Outline;
use crate::json::{choice, record};
use crate::ordered::Map;
use crate::quantities::{Day, Depth, Minutes, Temperature};

/// A planting to be put into the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub struct NewPlanting {
    pub bed: BedId,
    pub crop: String,
    pub cover: bool,
    pub part: Option<Outline>,
    pub rows: PlantingRows,
    pub start: Day,
    pub starts_as: StartsAs,
    pub first_picking: Option<Day>,
    pub last_picking: Option<Day>,
    pub word: String,
}

record!(NewPlanting {
    bed,
    crop,
    cover = default,
    part,
    rows = default,
    start,
    starts_as = default,
    first_picking,
    last_picking,
    word = default,
});

/// A field of a planting and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum PlantingField {
    Bed(BedId),
    Crop(String),
    Part(Option<Outline>),
    Rows(PlantingRows),
    Start(Day),
    StartsAs(StartsAs),
    FirstPicking(Option<Day>),
    LastPicking(Option<Day>),
    Series(Option<SeriesId>),
    Word(String),
    EndedOn(Option<Day>),
}

choice!(PlantingField {
    "bed" => Bed(it),
    "crop" => Crop(it),
    "part" => Part(it),
    "rows" => Rows(it),
    "start" => Start(it),
    "starts_as" => StartsAs(it),
    "first_picking" => FirstPicking(it),
    "last_picking" => LastPicking(it),
    "series" => Series(it),
    "word" => Word(it),
    "ended_on" => EndedOn(it),
});

/// A task that the plan proposed and somebody accepts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AcceptedTask {
    /// The key of the proposal: two who accept it make one task.
    pub key: String,
    /// What is to be done.
    pub title: String,
    /// Where.
    pub bed: Option<BedId>,
    /// When.
    pub day: Day,
    /// How many people it needs.
    pub places: u32,
    /// How long one person is expected to take.
    pub minutes: Minutes,
}

record!(AcceptedTask { key, title, bed, day, places, minutes = default });

/// A harvest to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewHarvest {
    /// From which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// What.
    pub crop: String,
    /// From which planting.
    pub planting: Option<PlantingId>,
    /// What became of it.
    pub parts: Harvest,
    /// In which turn.
    pub turn: Option<TurnId>,
    /// A word about it.
    pub word: String,
}

record!(NewHarvest { bed, day, crop, planting, parts, turn, word = default });

/// A reading to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub struct Reading {
    pub day: Day,
    pub rain: Option<Depth>,
    pub coldest: Option<Temperature>,
    pub warmest: Option<Temperature>,
    pub gauge: String,
}

record!(Reading { day, rain, coldest, warmest, gauge = default });

impl Reading {
    /// Whether it stands written down like this.
    pub fn stands_as(&self, note: &WeatherNote) -> bool {
        (self.day, &self.gauge) == (note.day, &note.gauge)
            && (self.rain, self.coldest, self.warmest) == (note.rain, note.coldest, note.warmest)
    }
}

/// Plantings by their new ids.
pub type NewPlantings = Map<PlantingId, NewPlanting>;
