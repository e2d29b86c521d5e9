//! Drawing on the ground: what a dragged corner, an arrow key or a typed size makes of an outline.
//!
//! Nothing here writes: it gives the outline as it would be, and the edits that would make it so.

pub mod change;
pub mod hold;
pub mod steps;

use selion_core::document::edit::{BedField, StructureField};
use selion_core::document::ids::{BedId, StructureId};
use selion_core::document::{Edit, Garden};
use selion_core::geometry::Outline;

/// What is being drawn on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A bed.
    Bed(BedId),
    /// A path, a shed, a tree.
    Structure(StructureId),
}

impl Thing {
    /// Its edge, while it is on the ground.
    pub fn outline(self, garden: &Garden) -> Option<&Outline> {
        match self {
            Self::Bed(bed) => garden.open_bed(bed).map(|bed| &bed.outline),
            Self::Structure(structure) => {
                let record = garden.structures.get(&structure)?;
                record.ended_on.is_none().then_some(&record.outline)
            }
        }
    }

    /// What people call it.
    pub fn label(self, garden: &Garden) -> String {
        match self {
            Self::Bed(bed) => garden.label_of(Some(bed)).to_owned(),
            Self::Structure(structure) => garden
                .structures
                .get(&structure)
                .map(|record| record.label.clone())
                .unwrap_or_default(),
        }
    }

    /// The edit that gives it this edge.
    pub fn with_outline(self, outline: Outline) -> Edit {
        match self {
            Self::Bed(bed) => Edit::ChangeBed {
                bed,
                set: vec![BedField::Outline(outline)],
            },
            Self::Structure(structure) => Edit::ChangeStructure {
                structure,
                set: vec![StructureField::Outline(outline)],
            },
        }
    }

    /// A key for a list of choices.
    pub fn key(self) -> String {
        match self {
            Self::Bed(bed) => format!("bed {bed}"),
            Self::Structure(structure) => format!("structure {structure}"),
        }
    }

    /// The thing of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        let (kind, id) = key.split_once(' ')?;
        match kind {
            "bed" => id.parse().ok().map(Self::Bed),
            "structure" => id.parse().ok().map(Self::Structure),
            _ => None,
        }
    }
}

/// Everything on the ground that has an edge, with its label: beds first, each kind in its own order.
pub fn things(garden: &Garden) -> Vec<(Thing, String)> {
    let mut things = Vec::new();
    for (bed, record) in garden.open_beds() {
        things.push((Thing::Bed(bed), record.label.clone()));
    }
    for (structure, record) in &garden.structures {
        if record.ended_on.is_none() {
            things.push((Thing::Structure(*structure), record.label.clone()));
        }
    }
    things
}
