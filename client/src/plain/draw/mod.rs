//! Drawing on the ground: what a dragged corner, an arrow key or a typed size makes of an outline or a fence line.
//!
//! Nothing here writes: it gives the shape as it would be, and the edits that would make it so.

pub mod backdrop;
pub mod change;
pub mod facts;
pub mod follows;
pub mod gates;
pub mod hold;
pub mod line_up;
pub mod pencil;
pub mod shape;
pub mod steps;

use selion_core::document::edit::{BedField, FenceField, StructureField};
use selion_core::document::ids::{BedId, FenceId, StructureId};
use selion_core::document::records::StructureKind;
use selion_core::document::{Edit, Garden};

use self::shape::{Fence, Shape};

/// What is being drawn on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A bed.
    Bed(BedId),
    /// A path, a shed, a tree.
    Structure(StructureId),
    /// A fence line.
    Fence(FenceId),
}

impl Thing {
    /// As it is drawn, while it is on the ground.
    pub fn shape(self, garden: &Garden) -> Option<Shape> {
        match self {
            Self::Bed(bed) => {
                let bed = garden.open_bed(bed)?;
                Some(Shape::Closed(bed.outline.clone()))
            }
            Self::Structure(structure) => {
                let record = garden.structures.get(&structure)?;
                let outline = record.ended_on.is_none().then(|| record.outline.clone());
                outline.map(Shape::Closed)
            }
            Self::Fence(fence) => {
                let record = garden.fence_lines.get(&fence)?;
                let standing = record.ended_on.is_none();
                standing.then(|| {
                    Shape::Fence(Fence {
                        line: record.line.clone(),
                        gates: record.gates.clone(),
                    })
                })
            }
        }
    }

    /// What people call it.
    pub fn label(self, garden: &Garden) -> String {
        let label = match self {
            Self::Bed(bed) => return garden.label_of(Some(bed)).to_owned(),
            Self::Structure(structure) => {
                let record = garden.structures.get(&structure);
                record.map(|record| &record.label)
            }
            Self::Fence(fence) => {
                let record = garden.fence_lines.get(&fence);
                record.map(|record| &record.label)
            }
        };
        label.cloned().unwrap_or_default()
    }

    /// Of which kind it is, where it is a structure.
    pub fn kind(self, garden: &Garden) -> Option<StructureKind> {
        match self {
            Self::Structure(structure) => {
                let record = garden.structures.get(&structure)?;
                Some(record.what.kind)
            }
            Self::Bed(_) | Self::Fence(_) => None,
        }
    }

    /// The edit that gives it this shape; nothing for a shape that it cannot have, or that it has already.
    pub fn with_shape(self, garden: &Garden, shape: Shape) -> Option<Edit> {
        if self.shape(garden).as_ref() == Some(&shape) {
            return None;
        }
        Some(match (self, shape) {
            (Self::Bed(bed), Shape::Closed(outline)) => Edit::ChangeBed {
                bed,
                set: vec![BedField::Outline(outline)],
            },
            (Self::Structure(structure), Shape::Closed(outline)) => Edit::ChangeStructure {
                structure,
                set: vec![StructureField::Outline(outline)],
            },
            (Self::Fence(fence), Shape::Fence(drawn)) => {
                let stood = garden.fence_lines.get(&fence)?;
                let mut set = Vec::new();
                if stood.line != drawn.line {
                    set.push(FenceField::Line(drawn.line));
                }
                if stood.gates != drawn.gates {
                    set.push(FenceField::Gates(drawn.gates));
                }
                Edit::ChangeFenceLine { fence, set }
            }
            (Self::Bed(_) | Self::Structure(_), Shape::Fence(_))
            | (Self::Fence(_), Shape::Closed(_)) => return None,
        })
    }

    /// A key for a list of choices.
    pub fn key(self) -> String {
        match self {
            Self::Bed(bed) => format!("bed {bed}"),
            Self::Structure(structure) => format!("structure {structure}"),
            Self::Fence(fence) => format!("fence {fence}"),
        }
    }

    /// The thing of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        let (kind, id) = key.split_once(' ')?;
        match kind {
            "bed" => id.parse().ok().map(Self::Bed),
            "structure" => id.parse().ok().map(Self::Structure),
            "fence" => id.parse().ok().map(Self::Fence),
            _ => None,
        }
    }
}

/// Everything on the ground that can be drawn on, with its label: beds first, then structures, then fence lines.
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
    for (fence, record) in &garden.fence_lines {
        if record.ended_on.is_none() {
            things.push((Thing::Fence(*fence), record.label.clone()));
        }
    }
    things
}
