//! The working of figures that stand in the records by themselves: a bed's area.

use super::records::Bed;
use crate::quantities::{Area, Units};
use crate::reckoning::{Reckoning, Source, Step};

/// A bed's area, from its sides where it is a rectangle, from its corners elsewhere.
pub fn bed_area(bed: &Bed, units: Units) -> Reckoning<Area> {
    let area = bed.outline.area();
    let source = Source::arithmetic("The outline of the bed, as drawn on the plan.");
    let mut answer = Reckoning::new(area, source);
    if let Some((one, other)) = bed.outline.sides() {
        let (long, short) = (one.max(other), one.min(other));
        answer = answer
            .step(Step::new("Long side", long.show(units)))
            .step(Step::new("Short side", short.show(units)))
            .step(Step::sum("Area", area.show(units)));
    } else {
        let holes = bed.outline.holes().len();
        answer = answer
            .step(Step::new(
                "Corners",
                bed.outline.corners().len().to_string(),
            ))
            .step(Step::new("All round", bed.outline.perimeter().show(units)));
        if holes > 0 {
            answer = answer.step(Step::new("Left out inside it", holes.to_string()));
        }
        answer = answer
            .step(Step::sum("Area within the corners", area.show(units)))
            .on("By the surveyor's formula: each corner with the next one, crosswise.");
    }
    answer.rounded(
        "Corners are kept to the millimetre; shown figures are rounded, kept ones are not.",
    )
}

#[cfg(test)]
mod tests {
    use crate::ordered::Map;

    use super::*;
    use crate::geometry::Outline;

    fn bed(outline: &str) -> Bed {
        Bed {
            label: "C4".to_owned(),
            outline: Outline::parse(outline).unwrap(),
            holders: Map::new(),
            note: String::new(),
            ended_on: None,
        }
    }

    fn steps<T>(answer: &Reckoning<T>) -> Vec<(&str, &str)> {
        answer
            .steps
            .iter()
            .map(|step| (step.label.as_str(), step.value.as_str()))
            .collect()
    }

    #[test]
    fn a_rectangle_is_explained_by_its_sides() {
        let bed = bed("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))");
        let answer = bed_area(&bed, Units::Metric);
        let expected = [
            ("Long side", "6 m"),
            ("Short side", "1.2 m"),
            ("Area", "7.2 m²"),
        ];
        assert_eq!(steps(&answer), expected);
    }

    #[test]
    fn any_other_bed_is_explained_by_its_corners() {
        let bed = bed("POLYGON((0 0,4000 0,4000 4000,2000 6000,0 4000,0 0))");
        let answer = bed_area(&bed, Units::Metric);
        let expected = [
            ("Corners", "5"),
            ("All round", "17.66 m"),
            ("Area within the corners", "20.0 m²"),
        ];
        assert_eq!(steps(&answer), expected);
    }
}
