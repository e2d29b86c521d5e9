//! The two ways of measuring that a garden can choose between.

use serde::{Deserialize, Serialize};

use crate::json::words;

/// What the people of a garden measure in.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub enum Units {
    /// Metres, kilograms, litres.
    #[default]
    #[serde(rename = "metric")]
    Metric,
    /// Feet, pounds, gallons, as is customary in the United States.
    #[serde(rename = "us")]
    UsCustomary,
}

words!(Units { "metric" => Metric, "us" => UsCustomary });
