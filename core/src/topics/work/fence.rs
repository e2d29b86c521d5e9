//! What a fence takes, under current or not, and its hours.

use super::super::case::Case;
use super::super::shares::beds;
use super::super::{Printed, Topic, TopicError};
use crate::geometry::Line;
use crate::quantities::{BadInput, Length};
use crate::work::fence::electric::{self, ElectricCase};
use crate::work::fence::hours::{self, WorkRate};
use crate::work::fence::mesh::Roll;
use crate::work::fence::posts::{self, Bracing, FenceCase};
use crate::work::fence::{Gate, Layout, kinds};

pub(in super::super) const TOPICS: &[Topic] = &[
    Topic {
        name: "fence",
        summary: "What a fence of mesh or woven wire takes: posts by kind, their length, rolls, ties.",
        example: r#"{"sides": ["100 ft", "60 ft", "100 ft", "60 ft"], "closed": true,
            "gates": [{"at": "204 ft", "width": "12 ft"}], "kind": "deer, woven wire", "roll": "330 ft", "overlap": "6 in",
            "ties_per_post": 6, "units": "us"}"#,
        run: run_fence,
    },
    Topic {
        name: "fence-electric",
        summary: "What a fence under current takes: wire, posts, insulators, gate handles, warning signs.",
        example: r#"{"line": "LINESTRING(0 0,20000 0,20000 10000,0 10000,0 0)", "gates": [{"at": "4 m", "width": "1 m"}],
            "wires": "raccoon, 5 and 9 in", "spacing": "5 m", "public": "20 m"}"#,
        run: run_electric,
    },
    Topic {
        name: "fence-hours",
        summary: "How long a fence takes to build, and the hours by bed area in quarter hours.",
        example: r#"{"fence": "308 ft", "rate": "by-hand", "units": "us",
            "beds": [{"label": "A1", "area": "200 sq ft", "holders": [{"name": "Ines"}]},
                     {"label": "A2", "area": "100 sq ft", "holders": [{"name": "Wren"}]}]}"#,
        run: run_hours,
    },
];

/// A line as drawn, or the sides as measured, with its gates.
fn layout(case: &Case) -> Result<Layout, BadInput> {
    let mut gates = Vec::new();
    for gate in case.list_if("gates")?.unwrap_or_default() {
        gates.push(Gate {
            at: gate.read("at")?,
            width: gate.read("width")?,
        });
    }
    if let Some(line) = case.read_if_by("line", Line::parse)? {
        return Layout::drawn(&line, &gates);
    }
    let sides: Vec<Length> = case.read_each("sides")?;
    Layout::measured(&sides, case.flag_if("closed")?.unwrap_or(false), &gates)
}

fn run_fence(case: &Case) -> Result<Printed, TopicError> {
    let bracings = [
        ("none", Bracing::None),
        ("single-h", Bracing::SingleH),
        ("double-h", Bracing::DoubleH),
    ];
    let roll = match case.read_if("roll")? {
        Some(length) => Some(Roll {
            length,
            overlap: case.read_if("overlap")?.unwrap_or_default(),
            wrap: case.read_if("wrap")?.unwrap_or_default(),
        }),
        None => None,
    };
    let answer = posts::take_off(&FenceCase {
        layout: layout(case)?,
        kind: case.read_if_by("kind", kinds::find)?,
        height: case.read_if("height")?,
        in_ground: case.read_if("in_ground")?,
        spacing: case.read_if("spacing")?,
        foot: case.read_if("foot")?,
        bracing: case.choice_if("bracing", &bracings)?.unwrap_or_default(),
        ties_per_post: case.whole_if("ties_per_post", 0..=100)?,
        roll,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_electric(case: &Case) -> Result<Printed, TopicError> {
    let answer = electric::take_off(&ElectricCase {
        layout: layout(case)?,
        wires: case.read_by("wires", kinds::find_wires)?,
        spacing: case.read("spacing")?,
        public: case.read_if("public")?.unwrap_or_default(),
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_hours(case: &Case) -> Result<Printed, TopicError> {
    let units = case.units()?;
    let rates = [
        ("with-machines", WorkRate::WithMachines),
        ("by-hand", WorkRate::ByHand),
    ];
    let rate = match case.read_if("hours")? {
        Some(time) => WorkRate::Own(time, case.read("for")?),
        None => case.choice("rate", &rates)?,
    };
    let answer = hours::needed(case.read("fence")?, rate, units)?;
    if case.has("beds") {
        let title = case
            .words_if("title")?
            .unwrap_or_else(|| "Fence".to_owned());
        return Printed::of(&hours::shared_out(&answer, &title, beds(case)?, units)?);
    }
    Printed::of(&answer)
}

#[cfg(test)]
mod tests {
    use super::super::super::run;

    #[test]
    fn a_drawn_and_a_measured_fence_are_counted_alike() {
        let posts = |line: &str| {
            let case = format!(
                r#"{{{line}, "gates": [{{"at": "12 m", "width": "2 m"}}], "height": "1 m", "in_ground": "50 cm", "spacing": "3 m"}}"#
            );
            run("fence", &case).unwrap().json["result"].clone()
        };
        let measured = posts(r#""sides": ["10 m", "6 m", "10 m", "6 m"], "closed": true"#);
        let drawn = r#""line": "LINESTRING(0 0,10000 0,10000 6000,0 6000,0 0)""#;
        assert_eq!(measured, posts(drawn));
        assert_eq!(measured["corner_posts"], 4);
    }

    #[test]
    fn metric_and_customary_lengths_give_the_same_fence() {
        let posts = |sides: &str, spacing: &str, units: &str| {
            let case = format!(
                r#"{{"sides": {sides}, "closed": true, "kind": "deer, woven wire", "spacing": "{spacing}", "units": "{units}"}}"#
            );
            run("fence", &case).unwrap().json["result"]["posts"].clone()
        };
        assert_eq!(
            posts(r#"["100 ft", "60 ft", "100 ft", "60 ft"]"#, "20 ft", "us"),
            posts(
                r#"["30.48 m", "18.288 m", "30.48 m", "18.288 m"]"#,
                "6.096 m",
                "metric"
            )
        );
    }

    #[test]
    fn own_hours_want_to_know_for_how_much() {
        let refused = run("fence-hours", r#"{"fence": "30 m", "hours": "3 h"}"#).unwrap_err();
        assert!(refused.to_string().starts_with("for: "), "{refused}");
        let refused = run("fence-hours", r#"{"fence": "30 m"}"#).unwrap_err();
        assert!(refused.to_string().starts_with("rate: "), "{refused}");
    }
}
