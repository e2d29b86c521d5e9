//! What somebody read off a gauge.

use crate::document::ids::MemberId;
use crate::json::record;
use crate::quantities::{Day, Depth, Temperature};

/// Rain and temperatures of a day, from a gauge in the garden or a station near it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeatherNote {
    /// Of which day.
    pub day: Day,
    /// How much rain fell.
    pub rain: Option<Depth>,
    /// The coldest.
    pub coldest: Option<Temperature>,
    /// The warmest.
    pub warmest: Option<Temperature>,
    /// Which gauge or station.
    pub gauge: String,
    /// Who wrote it down.
    pub member: MemberId,
    /// The day it was struck out as a mistake, if it was.
    pub ended_on: Option<Day>,
}

record!(WeatherNote { day, rain, coldest, warmest, gauge = default, member, ended_on });
