//! What is said of the thing in hand: the figures under the plan, and what a structure is besides its edge.

use selion_core::document::edit::StructureField;
use selion_core::document::records::{StructureFacts, StructureKind};
use selion_core::document::{Edit, Garden};
use selion_core::geometry::Outline;
use selion_core::quantities::{BadInput, Length, Units};

use super::Thing;
use super::change::length;
use super::pencil::direction;
use super::shape::{Fence, Shape};

/// The figures of what is in hand, as they follow the hand.
pub fn block(garden: &Garden, thing: Thing, shape: &Shape, units: Units) -> Vec<(String, String)> {
    let name = match thing {
        Thing::Bed(_) => "Bed",
        Thing::Structure(_) => thing.kind(garden).unwrap_or_default().shown(),
        Thing::Fence(_) => "Fence line",
    };
    let mut facts = vec![(name.to_owned(), thing.label(garden))];
    match shape {
        Shape::Closed(outline) => facts.extend(of_outline(outline, units)),
        Shape::Fence(fence) => facts.extend(of_fence(fence, units)),
    }
    facts
}

fn of_outline(outline: &Outline, units: Units) -> [(String, String); 2] {
    let area = ("Area".to_owned(), outline.area().show(units));
    let edge = match outline.sides() {
        Some((first, second)) => (
            "Sides".to_owned(),
            format!("{} × {}", first.show(units), second.show(units)),
        ),
        None => ("Around".to_owned(), outline.perimeter().show(units)),
    };
    [area, edge]
}

fn of_fence(fence: &Fence, units: Units) -> [(String, String); 2] {
    let length = ("Length".to_owned(), fence.line.length().show(units));
    let wide: Length = fence.gates.values().map(|gate| gate.width).sum();
    let gates = match fence.gates.len() {
        0 => "none".to_owned(),
        count => format!("{count}, {} wide", wide.show(units)),
    };
    [length, ("Gates".to_owned(), gates)]
}

/// What is typed about a structure; which fields there are depends on its kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FactsTyped {
    /// Of which kind it is.
    pub kind: StructureKind,
    /// How high a tree is.
    pub height: String,
    /// Where shade falls, or the ground.
    pub facing: String,
    /// How far the shade reaches.
    pub reach: String,
    /// How steeply the ground falls, in percent.
    pub fall: String,
}

impl FactsTyped {
    /// As it stands, to be typed over.
    pub fn of(what: StructureFacts, north: i64, units: Units) -> Self {
        let shown = |length: Option<Length>| length.map(|length| length.show(units));
        let facing = what.facing.map(|facing| (facing - north).rem_euclid(360));
        Self {
            kind: what.kind,
            height: shown(what.height).unwrap_or_default(),
            facing: facing.map(|facing| facing.to_string()).unwrap_or_default(),
            reach: shown(what.reach).unwrap_or_default(),
            fall: what.fall.map(|fall| fall.to_string()).unwrap_or_default(),
        }
    }

    /// What was typed, read. What does not belong to the kind is left away.
    pub fn read(&self, north: i64, units: Units) -> Result<StructureFacts, BadInput> {
        let is_tree = self.kind == StructureKind::Tree;
        let is_slope = self.kind == StructureKind::Slope;
        let far = |field: &str, typed: &String| {
            let given = is_tree && !typed.trim().is_empty();
            given.then(|| length(field, typed, units)).transpose()
        };
        let facing = if (is_tree || is_slope) && !self.facing.trim().is_empty() {
            // To the whole degree, which is closer than anybody sees it.
            Some((direction(&self.facing, north)? + 50) / 100 % 360)
        } else {
            None
        };
        let facts = StructureFacts {
            kind: self.kind,
            facing,
            reach: far("reach", &self.reach)?,
            fall: (is_slope && !self.fall.trim().is_empty())
                .then(|| percent(&self.fall))
                .transpose()?,
            height: far("height", &self.height)?,
        };
        if is_tree && facts.reach.is_some() != facts.facing.is_some() {
            let field = if facts.reach.is_some() {
                "direction"
            } else {
                "reach"
            };
            let expected = "both a direction and a reach, or neither";
            return Err(BadInput::new(field, expected, ""));
        }
        Ok(facts)
    }
}

fn percent(typed: &str) -> Result<i64, BadInput> {
    let number = typed.trim().trim_end_matches('%').trim_end();
    number
        .parse()
        .ok()
        .filter(|fall| (0..=100).contains(fall))
        .ok_or_else(|| BadInput::new("fall", "whole percent from 0 to 100", typed))
}

/// The edit that says what a structure is; nothing where it is so already.
pub fn said(
    garden: &Garden,
    thing: Thing,
    label: &str,
    what: StructureFacts,
) -> Result<Option<Edit>, BadInput> {
    let Thing::Structure(structure) = thing else {
        return Ok(None);
    };
    let Some(stood) = garden.structures.get(&structure) else {
        return Ok(None);
    };
    let label = label.trim();
    if label.is_empty() {
        return Err(BadInput::new("label", "some words", ""));
    }
    let mut set = Vec::new();
    if stood.label != label {
        set.push(StructureField::Label(label.to_owned()));
    }
    if stood.what != what {
        set.push(StructureField::What(what));
    }
    let edit = Edit::ChangeStructure { structure, set };
    let changes = matches!(&edit, Edit::ChangeStructure { set, .. } if !set.is_empty());
    if changes {
        edit.check_bounds()?;
    }
    Ok(changes.then_some(edit))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::{FenceId, StructureId};
    use selion_core::document::records::{Gate, Structure};
    use selion_core::geometry::Line;
    use selion_core::ordered::Map;
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{bed, garden};

    fn typed(kind: StructureKind, [height, facing, reach, fall]: [&str; 4]) -> FactsTyped {
        FactsTyped {
            kind,
            height: height.to_owned(),
            facing: facing.to_owned(),
            reach: reach.to_owned(),
            fall: fall.to_owned(),
        }
    }

    #[test]
    fn the_figures_name_what_is_in_hand() {
        let garden = garden();
        let thing = Thing::Bed(bed(1));
        let shape = thing.shape(&garden).unwrap();
        let lines = |lines: Vec<(String, String)>| {
            let lines = lines
                .into_iter()
                .map(|(name, figure)| format!("{name}: {figure}"));
            lines.collect::<Vec<_>>()
        };
        assert_eq!(
            lines(block(&garden, thing, &shape, Units::Metric)),
            ["Bed: A2", "Area: 3.0 m²", "Sides: 1 m × 3 m"]
        );
        let gate = Gate {
            at: Length::from_mm(100),
            width: Length::from_mm(1_200),
        };
        let fence = Shape::Fence(Fence {
            line: Line::parse("LINESTRING(0 0,6000 0,6000 4000)").unwrap(),
            gates: Map::from([("1".to_owned(), gate)]),
        });
        let thing = Thing::Fence(FenceId::fresh(Moment::from_millis(1), [1; 10]));
        assert_eq!(
            lines(block(&garden, thing, &fence, Units::Metric)),
            ["Fence line: ", "Length: 10 m", "Gates: 1, 1.2 m wide"]
        );
    }

    #[test]
    fn what_a_tree_or_a_slope_is_can_be_typed_and_typed_again() {
        let tree = typed(StructureKind::Tree, ["18 ft", "NE", "3 m", "7"]);
        let read = tree.read(90, Units::Metric).unwrap();
        assert_eq!(read.facing, Some(135));
        assert_eq!(read.height.map(Length::mm), Some(5_486));
        assert_eq!(read.fall, None, "a tree does not fall");
        let again = FactsTyped::of(read, 90, Units::Metric);
        assert_eq!((&*again.facing, &*again.reach), ("45", "3 m"));
        let slope = typed(StructureKind::Slope, ["5", "180", "", "4 %"]);
        let read = slope.read(0, Units::Metric).unwrap();
        assert_eq!(
            (read.facing, read.fall, read.height),
            (Some(180), Some(4), None)
        );
        for (bad, field) in [
            (typed(StructureKind::Tree, ["high", "", "", ""]), "height"),
            (typed(StructureKind::Tree, ["", "N", "", ""]), "reach"),
            (typed(StructureKind::Tree, ["", "", "3", ""]), "direction"),
            (typed(StructureKind::Slope, ["", "up", "", ""]), "direction"),
            (typed(StructureKind::Slope, ["", "", "", "steep"]), "fall"),
        ] {
            assert_eq!(
                bad.read(0, Units::Metric).unwrap_err().field,
                field,
                "{bad:?}"
            );
        }
    }

    #[test]
    fn only_what_changed_is_written() {
        let mut garden = garden();
        let id = StructureId::fresh(Moment::from_millis(1), [3; 10]);
        let record = Structure {
            label: "Plum".to_owned(),
            outline: garden.beds[&bed(1)].outline.clone(),
            what: StructureFacts::default(),
            ended_on: None,
        };
        garden.structures.insert(id, Arc::new(record));
        let thing = Thing::Structure(id);
        assert_eq!(
            said(&garden, thing, "Plum", StructureFacts::default()),
            Ok(None)
        );
        let tree = typed(StructureKind::Tree, ["5 m", "", "", ""]);
        let tree = tree.read(0, Units::Metric).unwrap();
        let edit = said(&garden, thing, "Plum", tree).unwrap();
        assert!(matches!(edit, Some(Edit::ChangeStructure { set, .. }) if set.len() == 1));
        assert_eq!(said(&garden, thing, " ", tree).unwrap_err().field, "label");
        let far = StructureFacts {
            height: Some(Length::from_mm(500_000)),
            ..tree
        };
        assert!(
            said(&garden, thing, "Plum", far).is_err(),
            "no tree is so high"
        );
        assert_eq!(said(&garden, Thing::Bed(bed(1)), "Plum", tree), Ok(None));
    }
}
