//! The limits of what is drawn on the ground beside beds.

use super::{Checked, fence_gates, sensible_day, title, within};
use crate::document::edit::{FenceField, Piece, StructureField};
use crate::document::ids::BedId;
use crate::document::records::{Backdrop, StructureFacts};
use crate::geometry::FARTHEST;
use crate::ordered::Map;
use crate::quantities::Length;
use crate::work::shade::FARTHEST_SHADE;

/// A cut through a much bent bed leaves a few pieces; more are no single cut.
const MOST_PIECES: usize = 12;
/// The tallest tree stands under 116 m.
const TALLEST_TREE: i64 = 120_000;

pub(super) fn pieces(pieces: &Map<BedId, Piece>) -> Checked {
    let most = i64::try_from(MOST_PIECES).unwrap_or(0);
    let came = i64::try_from(pieces.len()).unwrap_or(i64::MAX);
    within("pieces", came, 1, most)?;
    pieces
        .values()
        .try_for_each(|piece| title("label", &piece.label))
}

pub(super) fn facts(what: &StructureFacts) -> Checked {
    let bounded = |field: &str, value: Option<i64>, most: i64| {
        value.map_or(Ok(()), |value| within(field, value, 0, most))
    };
    bounded("direction in degrees", what.facing, 359)?;
    bounded(
        "reach of the shade in mm",
        what.reach.map(Length::mm),
        FARTHEST_SHADE.mm(),
    )?;
    bounded("height in mm", what.height.map(Length::mm), TALLEST_TREE)?;
    bounded("fall in percent", what.fall, 100)
}

/// Where a picture may lie, and how large it may be: up to 4096 dots a side, over up to 10 km.
pub(super) fn backdrop(backdrop: &Backdrop) -> Checked {
    let far = FARTHEST.mm();
    within("picture's width in dots", backdrop.wide, 1, 4_096)?;
    within("picture's height in dots", backdrop.high, 1, 4_096)?;
    within("picture's width in mm", backdrop.across.mm(), 1, far)?;
    within("picture's place in mm", backdrop.corner.x.mm(), -far, far)?;
    within("picture's place in mm", backdrop.corner.y.mm(), -far, far)?;
    within("picture's turn", backdrop.turned, 0, 35_999)?;
    within("picture's strength in percent", backdrop.shows, 0, 100)
}

pub(super) fn structure_field(field: &StructureField) -> Checked {
    match field {
        StructureField::Label(label) => title("label", label),
        StructureField::What(what) => facts(what),
        StructureField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        StructureField::Outline(_) => Ok(()),
    }
}

pub(super) fn fence_field(field: &FenceField) -> Checked {
    match field {
        FenceField::Label(label) => title("label", label),
        FenceField::Gates(gates) => fence_gates(gates),
        FenceField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        FenceField::Line(_) => Ok(()),
    }
}
