//! The ground as it is drawn: millimetres on a sheet with north up, x to the east and y down to the south.

use std::fmt::Write;

use selion_core::geometry::{Bounds, Line, Outline, Point};
use selion_core::quantities::Length;

use super::viewport::Extent;

/// Where a point of the ground lies on the sheet.
pub fn place(point: Point) -> (f64, f64) {
    (float(point.x), -float(point.y))
}

/// How much ground a way on the sheet is, in whole millimetres.
pub fn length(sheet_mm: f64) -> Length {
    Length::from_mm(whole(sheet_mm))
}

/// The part of the sheet that a box of ground takes up.
pub fn extent(bounds: Bounds) -> Extent {
    let (left, bottom) = place(bounds.min);
    let (right, top) = place(bounds.max);
    Extent {
        left,
        top,
        width: right - left,
        height: bottom - top,
    }
}

/// An outline as SVG path data; its holes stay open under the fill rule `evenodd`.
pub fn outline_path(outline: &Outline) -> String {
    let mut path = String::new();
    for ring in std::iter::once(outline.corners()).chain(outline.holes()) {
        write_points(&mut path, ring);
        path.push('Z');
    }
    path
}

/// A line of the ground as SVG path data.
pub fn line_path(line: &Line) -> String {
    points_path(line.points())
}

/// Points joined by strokes, as SVG path data.
pub fn points_path(points: &[Point]) -> String {
    let mut path = String::new();
    write_points(&mut path, points);
    path
}

/// The point of the ground under a place on the sheet, to the millimetre.
pub fn point_at((x, y): (f64, f64)) -> Point {
    Point::from_mm(whole(x), whole(-y))
}

/// Grid lines over a part of the sheet, every `step` from the origin, as SVG path data.
pub fn grid_path(seen: Extent, step: f64) -> String {
    let mut path = String::new();
    // Lines that could not be told apart are no grid, and would be endless work.
    if !(step > 0.0 && seen.width / step < 1_000.0 && seen.height / step < 1_000.0) {
        return path;
    }
    let Extent {
        left,
        top,
        width,
        height,
    } = seen;
    let mut x = (left / step).ceil() * step;
    while x <= left + width {
        let _ = write!(path, "M{x:.0} {top:.0}v{height:.0}");
        x += step;
    }
    let mut y = (top / step).ceil() * step;
    while y <= top + height {
        let _ = write!(path, "M{left:.0} {y:.0}h{width:.0}");
        y += step;
    }
    path
}

fn write_points(path: &mut String, points: &[Point]) {
    for (index, point) in points.iter().enumerate() {
        let pen = if index == 0 { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(path, "{pen}{} {}", point.x.mm(), -point.y.mm());
    }
}

#[expect(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "no TryFrom exists; `as` saturates, and nobody draws beyond what can be stored"
)]
fn whole(sheet_mm: f64) -> i64 {
    sheet_mm.round() as i64
}

// No garden reaches 2,000 km from its origin, so a length is exact as 32 bits and as a float.
fn float(length: Length) -> f64 {
    let nearest = if length.mm() < 0 { i32::MIN } else { i32::MAX };
    f64::from(i32::try_from(length.mm()).unwrap_or(nearest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn north_is_up() {
        assert_eq!(place(Point::from_mm(1_000, 2_500)), (1_000.0, -2_500.0));
    }

    #[test]
    fn a_bed_is_drawn_corner_by_corner_with_its_hole() {
        let bed =
            "POLYGON((0 0,6000 0,6000 4000,0 4000,0 0),(1000 1000,1000 2000,2000 2000,1000 1000))";
        let path = outline_path(&Outline::parse(bed).unwrap());
        assert!(path.starts_with('M') && path.ends_with('Z'), "{path}");
        assert_eq!(path.matches('M').count(), 2);
        assert!(path.contains("6000 -4000"), "{path}");
    }

    #[test]
    fn the_extent_of_a_bed_lies_above_the_line_of_its_southern_edge() {
        let bed =
            Outline::parse("POLYGON((500 1000,6500 1000,6500 5000,500 5000,500 1000))").unwrap();
        let expected = Extent {
            left: 500.0,
            top: -5_000.0,
            width: 6_000.0,
            height: 4_000.0,
        };
        assert_eq!(extent(bed.bounds()), expected);
    }

    #[test]
    fn grid_lines_lie_on_round_numbers() {
        let seen = Extent {
            left: -1_500.0,
            top: 200.0,
            width: 3_000.0,
            height: 900.0,
        };
        let expected = "M-1000 200v900M0 200v900M1000 200v900M-1500 1000h3000";
        assert_eq!(grid_path(seen, 1_000.0), expected);
        assert_eq!(grid_path(seen, 0.0), "");
        assert_eq!(grid_path(seen, 0.001), "");
    }

    #[test]
    fn a_fence_line_stays_open() {
        let fence = Line::parse("LINESTRING(0 0,6000 0,6000 4000)").unwrap();
        assert_eq!(line_path(&fence), "M0 0L6000 0L6000 -4000");
    }
}
