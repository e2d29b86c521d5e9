//! GeoJSON in.

use geojson::{Feature, FeatureCollection, GeoJson, GeometryValue, JsonValue, Position};

use super::super::MOST_FEATURES;
use super::super::found::{self, FoundBed, FoundFence, FoundGround, FoundKind};
use super::super::projection::Projection;
use super::{COORDINATE_SYSTEM, LOCAL_METRES};
use crate::document::records::{Gate, StructureFacts, StructureKind};
use crate::geometry::{Line, Outline, Point, whole};
use crate::quantities::{BadInput, Length};

/// Reads the ground of a GeoJSON text.
pub fn read(text: &str) -> Result<FoundGround, BadInput> {
    let parsed = found::bounded(text, "GeoJSON")?.parse::<GeoJson>();
    let parsed = parsed
        .map_err(|error| BadInput::new("file", "GeoJSON as in RFC 7946", error.to_string()))?;
    let collection = match parsed {
        GeoJson::FeatureCollection(collection) => collection,
        GeoJson::Feature(feature) => FeatureCollection::new([feature]),
        GeoJson::Geometry(geometry) => FeatureCollection::new([Feature::from(geometry)]),
    };
    let features = &collection.features;
    if features.is_empty() || features.len() > MOST_FEATURES {
        let came = format!("{} features", features.len());
        return Err(BadInput::new(
            "file",
            format!("1 to {MOST_FEATURES} features"),
            came,
        ));
    }
    let projection = projection(&collection)?;
    let mut ground = FoundGround::default();
    for (index, feature) in features.iter().enumerate() {
        take(feature, index + 1, projection, &mut ground)
            .map_err(|refusal| in_feature(refusal, index + 1))?;
    }
    Ok(ground)
}

/// The plane of the file: its own metres, or around its first point.
fn projection(collection: &FeatureCollection) -> Result<Projection, BadInput> {
    let said = collection
        .foreign_members
        .as_ref()
        .and_then(|members| members.get(COORDINATE_SYSTEM));
    match said {
        Some(JsonValue::String(word)) if word == LOCAL_METRES => {
            return Ok(Projection::LocalMetres);
        }
        Some(other) => {
            return Err(BadInput::new(
                COORDINATE_SYSTEM,
                format!("\"{LOCAL_METRES}\", or no such member"),
                other.to_string(),
            ));
        }
        None => {}
    }
    let mut numbered = (1..).zip(&collection.features);
    let first = numbered.find_map(|(number, feature)| Some((number, first_position(feature)?)));
    // Without any point there is nothing to project; each feature will say what it lacks.
    let Some((number, position)) = first else {
        return Ok(Projection::LocalMetres);
    };
    let (longitude, latitude) = pair(position).map_err(|refusal| in_feature(refusal, number))?;
    Projection::around(longitude, latitude).map_err(|refusal| in_feature(refusal, number))
}

fn first_position(feature: &Feature) -> Option<&Position> {
    let value = &feature.geometry.as_ref()?.value;
    if let GeometryValue::Polygon { coordinates } = value {
        return coordinates.first()?.first();
    }
    if let GeometryValue::LineString { coordinates } = value {
        coordinates.first()
    } else {
        None
    }
}

fn take(
    feature: &Feature,
    number: usize,
    projection: Projection,
    ground: &mut FoundGround,
) -> Result<(), BadInput> {
    let said = text(feature, "kind")?;
    let note = found::note(text(feature, "note")?)?;
    let expected = "a Polygon, or a LineString for a fence line";
    let geometry = feature
        .geometry
        .as_ref()
        .ok_or_else(|| BadInput::new("geometry", expected, "null"))?;
    match (&geometry.value, said) {
        (GeometryValue::Polygon { coordinates }, "" | "bed" | "structure") => {
            let kind = if said == "structure" {
                FoundKind::Structure(facts(feature)?)
            } else {
                FoundKind::Bed
            };
            let mut rings = coordinates
                .iter()
                .map(|ring| points(ring, projection))
                .collect::<Result<Vec<_>, _>>()?
                .into_iter();
            let outline = Outline::new(rings.next().unwrap_or_default(), rings.collect())?;
            let word = if kind == FoundKind::Bed {
                "Bed"
            } else {
                "Structure"
            };
            let label = label(feature, word, number)?;
            ground.beds.push(FoundBed {
                label,
                outline,
                holders: holders(feature)?,
                note,
                kind,
            });
        }
        (GeometryValue::LineString { coordinates }, "" | "fence_line") => {
            let line = Line::new(points(coordinates, projection)?)?;
            ground.fences.push(FoundFence {
                label: label(feature, "Fence", number)?,
                line,
                gates: gates(feature)?,
                note,
            });
        }
        (GeometryValue::Polygon { .. }, _) => {
            return Err(BadInput::new(
                "kind",
                "bed or structure for a Polygon",
                said,
            ));
        }
        (GeometryValue::LineString { .. }, _) => {
            return Err(BadInput::new("kind", "fence_line for a LineString", said));
        }
        (GeometryValue::MultiPolygon { .. }, _) => {
            return Err(BadInput::new(
                "geometry",
                "one Polygon for each bed, since a bed is one outline",
                "MultiPolygon",
            ));
        }
        (other, _) => return Err(BadInput::new("geometry", expected, other.type_name())),
    }
    Ok(())
}

fn points(positions: &[Position], projection: Projection) -> Result<Vec<Point>, BadInput> {
    positions
        .iter()
        .map(|position| {
            let (x, y) = pair(position)?;
            projection.point(x, y)
        })
        .collect()
}

/// The first two numbers of a position; a height behind them is left out.
fn pair(position: &Position) -> Result<(f64, f64), BadInput> {
    match position.as_slice() {
        [x, y] | [x, y, _] => Ok((*x, *y)),
        other => Err(BadInput::new(
            "coordinates",
            "two numbers, or three with the height",
            format!("{} numbers", other.len()),
        )),
    }
}

/// A text property; nothing where it is missing or null.
fn text<'a>(feature: &'a Feature, name: &str) -> Result<&'a str, BadInput> {
    match feature.property(name) {
        None | Some(JsonValue::Null) => Ok(""),
        Some(JsonValue::String(text)) => Ok(text.trim()),
        Some(other) => Err(BadInput::new(name, "text", other.to_string())),
    }
}

/// The label that was given, or one that says where in the file it stood.
fn label(feature: &Feature, word: &str, number: usize) -> Result<String, BadInput> {
    let given = text(feature, "label")?;
    let given = if given.is_empty() {
        text(feature, "name")?
    } else {
        given
    };
    if given.is_empty() {
        Ok(format!("{word} {number}"))
    } else {
        found::label(given)
    }
}

fn holders(feature: &Feature) -> Result<Vec<(String, u32)>, BadInput> {
    match feature.property("holders") {
        None | Some(JsonValue::Null) => found::holders(text(feature, "holder")?),
        Some(JsonValue::String(text)) => found::holders(text),
        Some(JsonValue::Array(list)) => {
            let each = list.iter().map(holder).collect::<Result<Vec<_>, _>>()?;
            found::checked_holders(each.into_iter())
        }
        Some(other) => Err(BadInput::new(
            "holders",
            "names, or a list of them",
            other.to_string(),
        )),
    }
}

/// `"Ines"` or `{"name": "Ines", "parts": 2}`.
fn holder(entry: &JsonValue) -> Result<(&str, u32), BadInput> {
    let refused = || {
        BadInput::new(
            "holders",
            "a name, or {\"name\": …, \"parts\": …}",
            entry.to_string(),
        )
    };
    if let Some(name) = entry.as_str() {
        return Ok((name, 1));
    }
    let name = entry
        .get("name")
        .and_then(JsonValue::as_str)
        .ok_or_else(refused)?;
    let parts = match entry.get("parts") {
        None => 1,
        Some(parts) => parts
            .as_u64()
            .and_then(|parts| u32::try_from(parts).ok())
            .ok_or_else(refused)?,
    };
    Ok((name, parts))
}

/// What a structure says of itself.
fn facts(feature: &Feature) -> Result<StructureFacts, BadInput> {
    let word = text(feature, "structure")?;
    let known = StructureKind::ALL
        .into_iter()
        .find(|kind| kind.key() == word);
    let kind = match known {
        Some(kind) => kind,
        None if word.is_empty() => StructureKind::Other,
        None => {
            let words = StructureKind::ALL.map(StructureKind::key).join(", ");
            let expected = format!("one of {words}");
            return Err(BadInput::new("structure", expected, word));
        }
    };
    let facing = number(feature, "facing", 359.0)?;
    Ok(StructureFacts {
        kind,
        facing: facing.map(whole),
        reach: number(feature, "reach", 200.0)?
            .map(|metres| Length::from_mm(whole(metres * 1_000.0))),
        fall: number(feature, "fall", 100.0)?.map(whole),
        height: number(feature, "height", 120.0)?
            .map(|metres| Length::from_mm(whole(metres * 1_000.0))),
    })
}

/// A number from nought to a bound; nothing where it is missing or null.
fn number(feature: &Feature, name: &str, most: f64) -> Result<Option<f64>, BadInput> {
    match feature.property(name) {
        None | Some(JsonValue::Null) => Ok(None),
        Some(value) => value
            .as_f64()
            .filter(|number| (0.0..=most).contains(number))
            .map(Some)
            .ok_or_else(|| {
                BadInput::new(
                    name,
                    format!("a number from 0 to {most}"),
                    value.to_string(),
                )
            }),
    }
}

/// The gates of a fence line: `[{"at": 12.5, "width": 3}]`, in metres.
fn gates(feature: &Feature) -> Result<Vec<Gate>, BadInput> {
    let expected = "a list of gates, each {\"at\": …, \"width\": …} in metres";
    match feature.property("gates") {
        None | Some(JsonValue::Null) => Ok(Vec::new()),
        Some(JsonValue::Array(list)) => list
            .iter()
            .map(|gate| {
                let metres = |name: &str| {
                    gate.get(name)
                        .and_then(JsonValue::as_f64)
                        .map(|metres| Length::from_mm(whole(metres * 1_000.0)))
                        .ok_or_else(|| BadInput::new("gates", expected, gate.to_string()))
                };
                Ok(Gate {
                    at: metres("at")?,
                    width: metres("width")?,
                })
            })
            .collect(),
        Some(other) => Err(BadInput::new("gates", expected, other.to_string())),
    }
}

fn in_feature(refusal: BadInput, number: usize) -> BadInput {
    let field = format!("feature {number}, {}", refusal.field);
    refusal.named(field)
}
