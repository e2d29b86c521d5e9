//! Well-known text (OGC Simple Features) of polygons and lines, in whole millimetres.
//!
//! Written here and not taken from a library, because this text is stored for years and comes from other people's devices:
//! only whole numbers, only two kinds of geometry, nothing after the last bracket, and a bound on everything.

use std::fmt;

use super::point::Point;
use super::{LONGEST_TEXT, MOST_CORNERS};
use crate::quantities::BadInput;

/// The rings of a `POLYGON`, the outer one first, just as written.
pub(super) fn rings(wkt: &str, field: &str) -> Result<Vec<Vec<Point>>, BadInput> {
    let expected = "a text such as POLYGON((0 0,6000 0,6000 1200,0 0)) in whole millimetres";
    let refused = || BadInput::new(field, expected, wkt);
    let inner = bounded(wkt, field)?
        .strip_prefix("POLYGON")
        .and_then(in_brackets)
        .ok_or_else(refused)?;
    let mut rings = Vec::new();
    let mut rest = inner;
    loop {
        let (ring, after) = rest
            .trim_start()
            .strip_prefix('(')
            .and_then(|open| open.split_once(')'))
            .ok_or_else(refused)?;
        rings.push(points(ring).ok_or_else(refused)?);
        rest = match after.trim() {
            "" => return Ok(rings),
            more => more.strip_prefix(',').ok_or_else(refused)?,
        };
        if rings.len() > MOST_CORNERS {
            return Err(refused());
        }
    }
}

/// The points of a `LINESTRING`, just as written.
pub(super) fn line(wkt: &str, field: &str) -> Result<Vec<Point>, BadInput> {
    let expected = "a text such as LINESTRING(0 0,6000 0) in whole millimetres";
    bounded(wkt, field)?
        .strip_prefix("LINESTRING")
        .and_then(in_brackets)
        .and_then(points)
        .ok_or_else(|| BadInput::new(field, expected, wkt))
}

/// Writes points as `(0 0,6000 0)`.
pub(super) fn write_points<'a>(
    out: &mut fmt::Formatter<'_>,
    points: impl Iterator<Item = &'a Point>,
) -> fmt::Result {
    for (index, point) in points.enumerate() {
        let before = if index == 0 { '(' } else { ',' };
        write!(out, "{before}{} {}", point.x.mm(), point.y.mm())?;
    }
    out.write_str(")")
}

fn bounded<'a>(wkt: &'a str, field: &str) -> Result<&'a str, BadInput> {
    if wkt.len() > LONGEST_TEXT {
        let expected = format!("a text of at most {LONGEST_TEXT} bytes");
        return Err(BadInput::new(
            field,
            expected,
            format!("{} bytes", wkt.len()),
        ));
    }
    Ok(wkt.trim())
}

fn in_brackets(text: &str) -> Option<&str> {
    text.trim_start().strip_prefix('(')?.strip_suffix(')')
}

fn points(text: &str) -> Option<Vec<Point>> {
    text.split(',')
        .map(|pair| {
            let mut numbers = pair.split_ascii_whitespace().map(str::parse::<i64>);
            match (numbers.next(), numbers.next(), numbers.next()) {
                (Some(Ok(x)), Some(Ok(y)), None) => Some(Point::from_mm(x, y)),
                _ => None,
            }
        })
        .collect()
}
