//! GeoJSON out.

use geojson::{
    Feature, FeatureCollection, Geometry, GeometryValue, JsonObject, JsonValue, Position,
};
use serde_json::json;

use super::super::found::{FoundGround, FoundKind};
use super::{COORDINATE_SYSTEM, LOCAL_METRES};
use crate::document::records::{StructureFacts, StructureKind};
use crate::geometry::{Outline, Point, approximate};
use crate::quantities::Length;

/// Writes a ground as GeoJSON in metres on its own plane, which [`read`](super::read()) reads back equal.
pub fn write(ground: &FoundGround) -> String {
    let beds = ground.beds.iter().map(|bed| {
        let kind = match bed.kind {
            FoundKind::Bed => "bed",
            FoundKind::Structure(_) => "structure",
        };
        let holders: Vec<JsonValue> = bed
            .holders
            .iter()
            .map(|(name, parts)| json!({ "name": name, "parts": parts }))
            .collect();
        let mut feature = feature(
            GeometryValue::Polygon {
                coordinates: rings(&bed.outline),
            },
            kind,
            &bed.label,
            bed.note.as_deref(),
        );
        if let FoundKind::Structure(what) = bed.kind {
            set_facts(&mut feature, what);
        }
        if !holders.is_empty() {
            feature.set_property("holders", holders);
        }
        feature
    });
    let fences = ground.fences.iter().map(|fence| {
        let coordinates = fence.line.points().iter().map(position).collect();
        let mut feature = feature(
            GeometryValue::LineString { coordinates },
            "fence_line",
            &fence.label,
            fence.note.as_deref(),
        );
        if !fence.gates.is_empty() {
            let gates: Vec<JsonValue> = fence
                .gates
                .iter()
                .map(|gate| json!({ "at": metres(gate.at), "width": metres(gate.width) }))
                .collect();
            feature.set_property("gates", gates);
        }
        feature
    });
    let mut collection = FeatureCollection::new(beds.chain(fences));
    collection.foreign_members = Some(JsonObject::from_iter([(
        COORDINATE_SYSTEM.to_owned(),
        LOCAL_METRES.into(),
    )]));
    collection.to_string()
}

fn feature(value: GeometryValue, kind: &str, label: &str, note: Option<&str>) -> Feature {
    let mut feature = Feature::from(Geometry::new(value));
    feature.set_property("kind", kind);
    feature.set_property("label", label);
    if let Some(note) = note {
        feature.set_property("note", note);
    }
    feature
}

fn set_facts(feature: &mut Feature, what: StructureFacts) {
    if what.kind != StructureKind::Other {
        feature.set_property("structure", what.kind.key());
    }
    let numbers = [("facing", what.facing), ("fall", what.fall)];
    for (name, number) in numbers {
        if let Some(number) = number {
            feature.set_property(name, number);
        }
    }
    if let Some(reach) = what.reach {
        feature.set_property("reach", metres(reach));
    }
    if let Some(height) = what.height {
        feature.set_property("height", metres(height));
    }
}

/// The rings as RFC 7946 wants them: the outer against the clock, holes with it, the first position repeated at the end.
fn rings(outline: &Outline) -> Vec<Vec<Position>> {
    let closed = |corners: &[Point]| {
        corners
            .iter()
            .chain(corners.first())
            .map(position)
            .collect()
    };
    std::iter::once(outline.corners())
        .chain(outline.holes())
        .map(closed)
        .collect()
}

fn position(point: &Point) -> Position {
    Position::from([metres(point.x), metres(point.y)])
}

/// A millimetre count within reach divides and multiplies back exactly after rounding.
fn metres(length: Length) -> f64 {
    approximate(i128::from(length.mm())) / 1_000.0
}
