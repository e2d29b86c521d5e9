//! What grows where: plantings, and a garden's own crops and its frost dates, which their days rest on.

use super::Number;
use crate::document::ids::{BedId, MemberId, SeriesId};
use crate::geometry::Outline;
use crate::json::{record, words};
use crate::ordered::Map;
use crate::quantities::{Day, Spacing};

/// A crop or cover crop in a bed or a part of it, from sowing to clearing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planting {
    /// In which bed.
    pub bed: BedId,
    /// What, by its name in the crop table, the cover crop table or among the garden's own.
    pub crop: String,
    /// A cover crop, of the other table.
    pub cover: bool,
    /// The part of the bed that it stands in; all of the bed where there is none.
    pub part: Option<Outline>,
    /// How its rows lie.
    pub rows: PlantingRows,
    /// The day that it is to be sown or set on; once it was, the day it was.
    pub start: Day,
    /// Sown in place, or set out as plants.
    pub starts_as: StartsAs,
    /// The first day of picking that people expect, where they know better than the table.
    pub first_picking: Option<Day>,
    /// The last day of picking, likewise.
    pub last_picking: Option<Day>,
    /// How far it has come.
    pub state: PlantingState,
    /// The day it was cleared or turned in, if it was.
    pub cleared_on: Option<Day>,
    /// The series that it was planned in with others.
    pub series: Option<SeriesId>,
    /// Who planned it.
    pub made_by: MemberId,
    /// A word about it, such as the variety.
    pub word: String,
    /// The day it was taken out of the plan, if it was.
    pub ended_on: Option<Day>,
}

record!(Planting {
    bed,
    crop,
    cover = default,
    part,
    rows = default,
    start,
    starts_as = default,
    first_picking,
    last_picking,
    state = default,
    cleared_on,
    series,
    made_by,
    word = default,
    ended_on,
});

impl Planting {
    /// Whether it stands in the plan and is not cleared.
    pub fn is_open(&self) -> bool {
        self.ended_on.is_none() && self.state != PlantingState::Cleared
    }
}

/// How the rows of a planting lie; what is not said comes from the crop table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlantingRows {
    /// The side that they run along, counted from 1; the longest where none is said.
    pub along: Option<u32>,
    /// From row to row.
    pub between: Option<Spacing>,
    /// From plant to plant.
    pub in_row: Option<Spacing>,
}

record!(PlantingRows {
    along,
    between,
    in_row
});

/// How a planting begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StartsAs {
    /// Sown in its place.
    #[default]
    Sown,
    /// Set out as plants.
    Set,
}

words!(StartsAs { "sown" => Sown, "set" => Set });

/// How far a planting has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PlantingState {
    /// It is to be.
    #[default]
    Planned,
    /// It was sown or set, and stands.
    Standing,
    /// It was cleared, or turned in.
    Cleared,
}

words!(PlantingState { "planned" => Planned, "standing" => Standing, "cleared" => Cleared });

/// A crop that the tables do not have, or a garden's own values for one that they have.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct GardenCrop {
    /// What it is called.
    pub name: String,
    /// A cover crop.
    pub cover: bool,
    /// By the column of the table, each as it would be written there; an empty one says nothing.
    pub values: Map<String, String>,
    /// The day it was given up, if it was.
    pub ended_on: Option<Day>,
}

record!(GardenCrop { name, cover = default, values = default, ended_on });

/// The frost dates of the nearest station, and the chance that the garden plans with.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct GardenFrost {
    /// The chance, in percent, of a frost after the date in spring and before it in fall.
    pub chance: i64,
    /// The last frost of spring by that chance in percent, each as month and day, such as `05-21`; an empty one says nothing.
    pub spring: Map<Number, String>,
    /// The first frost of fall, likewise.
    pub fall: Map<Number, String>,
    /// Which station, or who says so.
    pub station: String,
}

record!(GardenFrost { chance, spring = default, fall = default, station = default });
