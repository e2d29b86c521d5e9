//! What edits of the drawn ground carry.

use crate::document::records::{Gate, StructureFacts};
use crate::geometry::{Line, Outline};
use crate::ordered::Map;
use crate::quantities::Day;

/// A piece of a bed that becomes a bed of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its short label.
    pub label: String,
    /// Its edge.
    pub outline: Outline,
}

/// A field of a structure and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum StructureField {
    Label(String),
    Outline(Outline),
    What(StructureFacts),
    EndedOn(Option<Day>),
}

/// A field of a fence line and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum FenceField {
    Label(String),
    Line(Line),
    Gates(Map<String, Gate>),
    EndedOn(Option<Day>),
}
