//! Staying well at work.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use crate::work::heat_index;

pub(in super::super) const TOPICS: &[Topic] = &[Topic {
    name: "heat-index",
    summary: "How hot it feels in the shade, and what that means for work.",
    example: r#"{"air": "90 F", "humidity": "70 %", "units": "us"}"#,
    run: run_heat_index,
}];

fn run_heat_index(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&heat_index::feels(
        case.read("air")?,
        case.read("humidity")?,
        case.units()?,
    )?)
}
