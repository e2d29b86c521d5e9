//! Outlines changed at their corners, as a hand on the plan or a typed size changes them.

use super::point::{approximate, whole};
use super::{Outline, Point};
use crate::quantities::{BadInput, Length};

impl Outline {
    /// The same outline with one corner somewhere else.
    pub fn with_corner(&self, corner: usize, to: Point) -> Result<Self, BadInput> {
        let mut corners = self.corners().to_vec();
        let Some(place) = corners.get_mut(corner) else {
            return Err(no_corner(self, corner));
        };
        *place = to;
        self.with_corners(corners)
    }

    /// The same outline with a further corner on the side that begins at this one.
    pub fn with_corner_after(&self, corner: usize, at: Point) -> Result<Self, BadInput> {
        let mut corners = self.corners().to_vec();
        if corner >= corners.len() {
            return Err(no_corner(self, corner));
        }
        corners.insert(corner + 1, at);
        self.with_corners(corners)
    }

    /// The same outline without this corner; a triangle keeps its three.
    pub fn without_corner(&self, corner: usize) -> Result<Self, BadInput> {
        let mut corners = self.corners().to_vec();
        if corner >= corners.len() {
            return Err(no_corner(self, corner));
        }
        corners.remove(corner);
        self.with_corners(corners)
    }

    /// The rectangle of which one corner is dragged somewhere else while the one across stays, upright or turned as it was;
    /// nothing if this is no rectangle.
    ///
    /// ```
    /// use selion_core::geometry::{Outline, Point};
    /// use selion_core::quantities::Length;
    ///
    /// let bed = Outline::rectangle(Point::from_mm(0, 0), Length::from_mm(1_200), Length::from_mm(6_000))?;
    /// let wider = bed.stretched(2, Point::from_mm(1_500, 5_000)).unwrap()?;
    /// assert_eq!(wider.to_string(), "POLYGON((0 0,1500 0,1500 5000,0 5000,0 0))");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    pub fn stretched(&self, corner: usize, to: Point) -> Option<Result<Self, BadInput>> {
        self.sides()?;
        let corners = self.corners();
        let across = *corners.get((corner + 2) % 4)?;
        let (next, last) = (
            *corners.get((corner + 3) % 4)?,
            *corners.get((corner + 1) % 4)?,
        );
        // From the corner that stays, along its two sides.
        let reach = |side: Point| {
            let (east, north) = across.steps_to(side);
            let (to_east, to_north) = across.steps_to(to);
            let along = approximate(east * to_east + north * to_north);
            let square = approximate(east * east + north * north);
            stepped(across, (east, north), along / square)
        };
        let mut ring = corners.to_vec();
        for (index, place) in [
            (corner, to),
            ((corner + 3) % 4, reach(next)),
            ((corner + 1) % 4, reach(last)),
        ] {
            *ring.get_mut(index)? = place;
        }
        // On a turned rectangle the dragged corner itself is put where its sides meet, so that the angles stay right.
        let (east, north) = across.steps_to(*ring.get((corner + 3) % 4)?);
        let met = ring.get((corner + 1) % 4)?.steps(east, north);
        *ring.get_mut(corner)? = met;
        Some(self.with_corners(ring))
    }

    /// The rectangle with sides of these lengths from its first corner, upright or turned as it was; nothing if this is no
    /// rectangle.
    pub fn resized(&self, first: Length, second: Length) -> Option<Result<Self, BadInput>> {
        self.sides()?;
        let [a, b, _, d] = *self.corners() else {
            return None;
        };
        for (field, side) in [("length", first), ("width", second)] {
            if !side.is_positive() {
                let expected = "a side longer than nothing";
                return Some(Err(BadInput::new(field, expected, side.mm().to_string())));
            }
        }
        let along = |to: Point, length: Length| {
            let of_side = approximate(i128::from(a.distance(to).mm())).max(1.0);
            stepped(
                a,
                a.steps_to(to),
                approximate(i128::from(length.mm())) / of_side,
            )
        };
        let (b, d) = (along(b, first), along(d, second));
        let (east, north) = a.steps_to(b);
        Some(self.with_corners(vec![a, b, d.steps(east, north), d]))
    }

    fn with_corners(&self, corners: Vec<Point>) -> Result<Self, BadInput> {
        Self::new(corners, self.holes().map(<[Point]>::to_vec).collect())
    }
}

impl Point {
    fn steps(self, east: i128, north: i128) -> Self {
        let step = |steps: i128| i64::try_from(steps).unwrap_or(0);
        Self::from_mm(
            self.x.mm().saturating_add(step(east)),
            self.y.mm().saturating_add(step(north)),
        )
    }
}

/// From a point so many times the way.
fn stepped(from: Point, (east, north): (i128, i128), times: f64) -> Point {
    Point::from_mm(
        from.x.mm().saturating_add(whole(approximate(east) * times)),
        from.y
            .mm()
            .saturating_add(whole(approximate(north) * times)),
    )
}

fn no_corner(outline: &Outline, came: usize) -> BadInput {
    BadInput::new(
        "corner",
        format!("one of the {}", outline.corners().len()),
        (came + 1).to_string(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Turn;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn bed() -> Outline {
        Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap()
    }

    #[test]
    fn corners_come_move_and_go() {
        let house = bed()
            .with_corner_after(2, Point::from_mm(3_000, 2_000))
            .unwrap();
        assert_eq!(house.corners().len(), 5);
        let lower = house.with_corner(3, Point::from_mm(3_000, 1_500)).unwrap();
        assert!(lower.area() < house.area());
        assert_eq!(lower.without_corner(3).unwrap(), bed());
        let triangle = bed().without_corner(0).unwrap();
        assert!(
            triangle.without_corner(0).is_err(),
            "two corners are no bed"
        );
        assert_eq!(
            bed().with_corner(9, Point::default()).unwrap_err().field,
            "corner"
        );
        // A corner across the other side would make the edge cross itself.
        assert!(bed().with_corner(0, Point::from_mm(5_900, 3_000)).is_err());
    }

    #[test]
    fn a_rectangle_stays_one_when_a_corner_is_dragged_or_a_size_is_typed() {
        for degrees in [0, 17, 45, 90, 203] {
            let turned = bed()
                .turned(Turn::from_degrees(degrees), Point::default())
                .unwrap();
            for corner in 0..4 {
                let across = turned.corners()[(corner + 2) % 4];
                let place = turned.corners()[corner];
                let to = Point::from_mm(place.x.mm() + 130, place.y.mm() - 90);
                let dragged = turned.stretched(corner, to).unwrap().unwrap();
                assert!(dragged.sides().is_some(), "{degrees} {corner} {dragged}");
                assert!(dragged.corners().contains(&across));
            }
            let sized = turned.resized(mm(4_000), mm(900)).unwrap().unwrap();
            let (first, second) = sized.sides().unwrap();
            assert!((first.mm() - 4_000).abs() <= 1 && (second.mm() - 900).abs() <= 1);
            assert_eq!(sized.corners()[0], turned.corners()[0]);
        }
        assert!(bed().resized(mm(0), mm(900)).unwrap().is_err());
        let triangle = bed().without_corner(0).unwrap();
        assert!(triangle.resized(mm(1), mm(1)).is_none());
        assert!(triangle.stretched(0, Point::default()).is_none());
    }
}
