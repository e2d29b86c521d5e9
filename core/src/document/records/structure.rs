//! What stands on the ground and is not a bed.

use crate::geometry::Outline;
use crate::json::{record, words};
use crate::quantities::{Day, Length};

/// Something on the ground that is not a bed: a shed, a path, a water point, a tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Structure {
    /// What people call it.
    pub label: String,
    /// Its edge.
    pub outline: Outline,
    /// What it is, and what the plan draws beside its edge.
    pub what: StructureFacts,
    /// The day it went, if it did.
    pub ended_on: Option<Day>,
}

record!(Structure { label, outline, what = default, ended_on });

/// What a structure is, and what the plan draws beside its edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StructureFacts {
    /// Of what kind it is.
    pub kind: StructureKind,
    /// Where the shade of a tree falls, or where the ground falls at a slope, in whole degrees clockwise from the top of the
    /// plan.
    pub facing: Option<i64>,
    /// How far from its middle the shade reaches.
    pub reach: Option<Length>,
    /// How steeply the ground falls, in percent: metres down on a hundred metres.
    pub fall: Option<i64>,
    /// How high a tree is, from which its shade is worked out.
    pub height: Option<Length>,
}

record!(StructureFacts { kind = default, facing, reach, fall, height });

/// The kinds of structures that the plan draws each in its own way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StructureKind {
    /// A pond, a bench, whatever has no kind of its own.
    #[default]
    Other,
    /// A shed, a greenhouse.
    Building,
    /// Ground that is walked on.
    Path,
    /// A tap, a pump, a tank.
    Water,
    /// A bay of the compost.
    Compost,
    /// A tree with its shade.
    Tree,
    /// An arrow that says where the ground falls.
    Slope,
}

words!(StructureKind {
    "other" => Other,
    "building" => Building,
    "path" => Path,
    "water" => Water,
    "compost" => Compost,
    "tree" => Tree,
    "slope" => Slope,
});

impl StructureKind {
    /// Every kind, in the order of a menu.
    pub const ALL: [Self; 7] = [
        Self::Path,
        Self::Water,
        Self::Compost,
        Self::Tree,
        Self::Building,
        Self::Slope,
        Self::Other,
    ];

    /// What people call it.
    pub const fn shown(self) -> &'static str {
        match self {
            Self::Other => "Something else",
            Self::Building => "Building",
            Self::Path => "Path",
            Self::Water => "Water point",
            Self::Compost => "Compost bay",
            Self::Tree => "Tree",
            Self::Slope => "Slope",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json;

    #[test]
    fn facts_from_before_trees_had_a_height_are_read() {
        let text = r#"{"facing":null,"fall":null,"kind":"tree","reach":6500}"#;
        let facts: StructureFacts = json::read(text).unwrap();
        assert_eq!((facts.kind, facts.height), (StructureKind::Tree, None));
    }
}
