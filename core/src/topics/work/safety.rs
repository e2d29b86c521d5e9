//! Staying well at work, people and soil alike.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use crate::work::lifting::{Grip, Lift};
use crate::work::workable::{DryDay, TopLayer};
use crate::work::{heat_index, lifting, workable};

pub(in super::super) const TOPICS: &[Topic] = &[
    Topic {
        name: "heat-index",
        summary: "How hot it feels in the shade, and what that means for work.",
        example: r#"{"air": "90 F", "humidity": "70 %", "units": "us"}"#,
        run: run_heat_index,
    },
    Topic {
        name: "lifting",
        summary: "How heavy one person may lift, by where the load is taken and how it is held.",
        example: r#"{"load": "40 lb", "away": "15 in", "height": "6 in", "way": "30 in", "grip": "poor", "units": "us"}"#,
        run: run_lifting,
    },
    Topic {
        name: "workable",
        summary: "Whether a bare bed is likely dry enough to dig, day by day since a soaking rain.",
        example: r#"{"texture": "loam", "days": [{"et0": "4.5 mm"}, {"et0": "4.5 mm"}, {"et0": "4 mm", "rain": "1 mm"}]}"#,
        run: run_workable,
    },
];

/// The words for [`Grip`].
const GRIPS: &[(&str, Grip)] = &[
    ("good", Grip::Good),
    ("fair", Grip::Fair),
    ("poor", Grip::Poor),
];

fn run_heat_index(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&heat_index::feels(
        case.read("air")?,
        case.read("humidity")?,
        case.units()?,
    )?)
}

fn run_workable(case: &Case) -> Result<Printed, TopicError> {
    let layer = match case.words_if("texture")? {
        Some(texture) => TopLayer::of_texture(&texture)?,
        None => TopLayer {
            readily: case.read("readily")?,
            in_all: case.read("in_all")?,
        },
    };
    let mut days = Vec::new();
    for day in case.list("days")? {
        days.push(DryDay {
            et0: day.read("et0")?,
            rain: day.read_if("rain")?.unwrap_or_default(),
        });
    }
    Printed::of(&workable::flag(layer, &days, case.units()?)?)
}

fn run_lifting(case: &Case) -> Result<Printed, TopicError> {
    let lift = Lift {
        load: case.read("load")?,
        away: case.read("away")?,
        height: case.read("height")?,
        way: case.read("way")?,
        turned: case.whole_if("turned", 0..=135)?.unwrap_or(0),
        grip: case.choice("grip", GRIPS)?,
    };
    Printed::of(&lifting::limit(&lift, case.units()?)?)
}
