//! Outlines from typed dimensions, and outlines turned.

use super::point::{Turn, approximate, whole};
use super::{Outline, Point};
use crate::quantities::{BadInput, Length};

/// The corners of a circle: at 2 m across, the sides lie within 3 mm of the curve.
const CORNERS: u16 = 48;

impl Outline {
    /// A circle, as 48 straight sides that enclose as much ground as the circle does.
    ///
    /// ```
    /// use selion_core::geometry::{Outline, Point};
    /// use selion_core::quantities::{Length, Units};
    ///
    /// let round = Outline::circle(Point::from_mm(0, 0), Length::from_mm(4_000))?;
    /// assert_eq!(round.area().show(Units::Metric), "12.6 m²"); // π · 2 m · 2 m
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    pub fn circle(centre: Point, across: Length) -> Result<Self, BadInput> {
        if !across.is_positive() {
            let expected = "a circle wider than nothing";
            return Err(BadInput::new("width", expected, across.mm().to_string()));
        }
        let step = std::f64::consts::TAU / f64::from(CORNERS);
        let radius = approximate(i128::from(across.mm())) / 2.0 * (step / step.sin()).sqrt();
        let corners = (0..CORNERS).map(|corner| {
            let (sine, cosine) = (step * f64::from(corner)).sin_cos();
            Point::from_mm(
                centre.x.mm().saturating_add(whole(radius * cosine)),
                centre.y.mm().saturating_add(whole(radius * sine)),
            )
        });
        Self::new(corners.collect(), Vec::new())
    }

    /// The smallest outline without a bay around these points, such as a crown and where its shade falls.
    pub fn around(mut points: Vec<Point>) -> Result<Self, BadInput> {
        points.sort_unstable();
        points.dedup();
        let mut ring = half(points.iter().copied());
        ring.extend(half(points.iter().rev().copied()));
        Self::new(ring, Vec::new())
    }

    /// The same outline turned around a point, against the clock.
    ///
    /// Corners land on the nearest millimetre, so an outline that is turned there and back may be off by one.
    pub fn turned(&self, turn: Turn, around: Point) -> Result<Self, BadInput> {
        let carried = |ring: &[Point]| {
            ring.iter()
                .map(|corner| turn.carry(*corner, around))
                .collect()
        };
        Self::new(carried(self.corners()), self.holes().map(carried).collect())
    }
}

/// One side of the outline around sorted points, without its last point, which begins the other side.
fn half(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut side: Vec<Point> = Vec::new();
    for point in points {
        while let [.., before, last] = side.as_slice() {
            let (east, north) = before.steps_to(*last);
            let (on_east, on_north) = last.steps_to(point);
            // The way must bend to the left.
            if east * on_north - north * on_east > 0 {
                break;
            }
            side.pop();
        }
        side.push(point);
    }
    side.pop();
    side
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_has_the_ground_of_a_circle_at_every_garden_size() {
        for across in [500_i64, 1_200, 3_000, 20_000] {
            let circle = Outline::circle(Point::from_mm(70, -30), Length::from_mm(across)).unwrap();
            let exact = std::f64::consts::PI / 4.0 * approximate(i128::from(across)).powi(2);
            let off = approximate(i128::from(circle.area().mm2())) / exact - 1.0;
            assert!(off.abs() < 0.003, "{across}: {off}");
        }
        assert!(Outline::circle(Point::default(), Length::ZERO).is_err());
    }

    #[test]
    fn the_outline_around_points_leaves_none_out_and_has_no_bay() {
        let points = [
            (0, 0),
            (4, 0),
            (2, 1),
            (4, 3),
            (0, 3),
            (2, 0),
            (1, 2),
            (2, 3),
        ];
        let points = points.map(|(x, y)| Point::from_mm(x * 1_000, y * 1_000));
        let around = Outline::around(points.to_vec()).unwrap();
        assert_eq!(
            around.to_string(),
            "POLYGON((0 0,4000 0,4000 3000,0 3000,0 0))"
        );
        assert!(Outline::around(vec![Point::default(); 5]).is_err());
        let in_a_row = [0, 1, 2].map(|x| Point::from_mm(x, x));
        assert!(Outline::around(in_a_row.to_vec()).is_err());
    }

    #[test]
    fn a_turned_bed_keeps_its_sides_and_its_ground() {
        let bed = Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap();
        let centre = bed.bounds().centre();
        let upright = bed.turned(Turn::from_degrees(90), centre).unwrap();
        assert_eq!(upright.area(), bed.area());
        assert_eq!(upright.bounds().width(), Length::from_mm(1_200));
        for degrees in [1, 30, 45, 200] {
            let turned = bed.turned(Turn::from_degrees(degrees), centre).unwrap();
            assert!(turned.sides().is_some(), "{degrees}");
        }
    }
}
