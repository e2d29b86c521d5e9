//! Closed outlines with holes: a bed, a structure, the whole ground.

use std::fmt;
use std::str::FromStr;

use super::point::{Bounds, Point, Turn};
use super::ring::{Place, Ring};
use super::{LONGEST_TEXT, MOST_CORNERS, label_point, text};
use crate::json::{form, serde_form};
use crate::quantities::{Area, BadInput, Length};

/// The name under which an outline is refused.
const FIELD: &str = "outline";
/// How far, in millimetres, the corners of a rectangle may be off after they were turned or measured.
const RECTANGLE_SLACK: i64 = 3;

/// One closed outline, with holes where something stands in it.
///
/// Whoever holds one knows that its sides meet only at their corners, that its holes lie inside it and apart from each other,
/// and that it encloses some ground. Stored and sent as well-known text in millimetres: `POLYGON((0 0,6000 0,6000 1200,0 0))`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Outline {
    /// Against the clock, as in RFC 7946.
    outer: Ring,
    /// With the clock.
    holes: Vec<Ring>,
}

impl Outline {
    /// The outline with these corners, and holes with theirs. The first corner may be repeated at the end.
    ///
    /// ```
    /// use selion_core::geometry::{Outline, Point};
    ///
    /// let bow_tie = [(0, 0), (1_000, 1_000), (1_000, 0), (0, 1_000)].map(|(x, y)| Point::from_mm(x, y));
    /// let refusal = Outline::new(bow_tie.to_vec(), Vec::new()).map_err(|error| error.to_string());
    /// assert_eq!(
    ///     refusal,
    ///     Err("outline: expected sides that meet only at their corners, but “side 1 and side 3 cross or touch” came.".to_owned())
    /// );
    /// ```
    pub fn new(outer: Vec<Point>, holes: Vec<Vec<Point>>) -> Result<Self, BadInput> {
        let corners = holes
            .iter()
            .map(Vec::len)
            .fold(outer.len(), usize::saturating_add);
        // Each ring may repeat its first corner.
        if corners > MOST_CORNERS + 1 + holes.len() {
            return Err(BadInput::new(
                FIELD,
                format!("at most {MOST_CORNERS} corners"),
                format!("{corners} corners"),
            ));
        }
        let outer = Ring::new(outer, FIELD)?.running(true);
        let holes = holes
            .into_iter()
            .map(|corners| Ok(Ring::new(corners, "hole in the outline")?.running(false)))
            .collect::<Result<Vec<Ring>, BadInput>>()?;
        for (index, hole) in holes.iter().enumerate() {
            if !lies_inside(hole, &outer) {
                let came = format!("hole {} crosses or leaves it", index + 1);
                return Err(BadInput::new(FIELD, "holes that lie inside it", came));
            }
            if holes.iter().take(index).any(|other| {
                hole.touches(other) || lies_inside(hole, other) || lies_inside(other, hole)
            }) {
                let came = format!("hole {} meets an earlier one", index + 1);
                return Err(BadInput::new(
                    FIELD,
                    "holes that lie apart from each other",
                    came,
                ));
            }
        }
        Ok(Self { outer, holes })
    }

    /// The upright rectangle with this south-western corner.
    pub fn rectangle(corner: Point, width: Length, depth: Length) -> Result<Self, BadInput> {
        Self::turned_rectangle(corner, width, depth, Turn::default())
    }

    /// The rectangle with this corner, turned around it against the clock.
    pub fn turned_rectangle(
        corner: Point,
        width: Length,
        depth: Length,
        turn: Turn,
    ) -> Result<Self, BadInput> {
        for (field, side) in [("width", width), ("depth", depth)] {
            if !side.is_positive() {
                return Err(BadInput::new(
                    field,
                    "a side longer than nothing",
                    side.mm().to_string(),
                ));
            }
        }
        let corners = [
            (Length::ZERO, Length::ZERO),
            (width, Length::ZERO),
            (width, depth),
            (Length::ZERO, depth),
        ]
        .into_iter()
        .map(|(east, north)| corner.checked_shift(east, north)?.within_reach(FIELD).ok())
        .map(|point| {
            point.map(|point| {
                if turn == Turn::default() {
                    point
                } else {
                    turn.carry(point, corner)
                }
            })
        })
        .collect::<Option<Vec<Point>>>()
        .ok_or_else(|| {
            BadInput::new(
                FIELD,
                "points within 10 km of the garden's origin",
                format!("{} by {}", width.mm(), depth.mm()),
            )
        })?;
        Self::new(corners, Vec::new())
    }

    /// The outline in this well-known text.
    pub fn parse(wkt: &str) -> Result<Self, BadInput> {
        let mut rings = text::rings(wkt, FIELD)?.into_iter();
        let outer = rings.next().unwrap_or_default();
        Self::new(outer, rings.collect())
    }

    /// Its corners, against the clock; the first is not repeated.
    pub fn corners(&self) -> &[Point] {
        self.outer.corners()
    }

    /// The corners of each hole, with the clock.
    pub fn holes(&self) -> impl ExactSizeIterator<Item = &[Point]> {
        self.holes.iter().map(Ring::corners)
    }

    /// What it encloses, without its holes: exact, a half square millimetre counted up.
    pub fn area(&self) -> Area {
        let double: i128 = self.rings().map(Ring::double_area).sum();
        Area::from_mm2(i64::try_from((double + 1) / 2).unwrap_or(i64::MAX))
    }

    /// The length all round the outside, each side to the nearest millimetre. Holes do not count.
    pub fn perimeter(&self) -> Length {
        self.outer.perimeter()
    }

    /// The upright box around it.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(self.corners().iter().copied()).unwrap_or(Bounds {
            min: Point::default(),
            max: Point::default(),
        })
    }

    /// A point well inside, where a label reads best; for an L shape it stands in one of the arms.
    pub fn label_point(&self) -> Point {
        label_point::label_point(self)
    }

    /// Whether a point lies inside or on the edge; the inside of a hole is outside.
    pub fn contains(&self, point: Point) -> bool {
        self.outer.place(point) != Place::Outside
            && self
                .holes
                .iter()
                .all(|hole| hole.place(point) != Place::Inside)
    }

    /// Its two sides, the one from the first corner first, if it is a rectangle without holes, upright or turned.
    ///
    /// Corners may be off by as much as rounding to millimetres takes.
    pub fn sides(&self) -> Option<(Length, Length)> {
        let [a, b, c, d] = *self.corners() else {
            return None;
        };
        let alike = |one: Length, other: Length| (one.mm() - other.mm()).abs() <= RECTANGLE_SLACK;
        let rectangle = alike(a.distance(b), c.distance(d))
            && alike(b.distance(c), d.distance(a))
            && alike(a.distance(c), b.distance(d));
        (rectangle && self.holes.is_empty()).then(|| (a.distance(b), b.distance(c)))
    }

    /// The same outline somewhere else.
    pub fn shifted(&self, east: Length, north: Length) -> Result<Self, BadInput> {
        let shift = |ring: &Ring| {
            let far = || {
                BadInput::new(
                    FIELD,
                    "points within 10 km of the garden's origin",
                    format!("{} {}", east.mm(), north.mm()),
                )
            };
            ring.corners()
                .iter()
                .map(|point| point.checked_shift(east, north).ok_or_else(far))
                .collect::<Result<Vec<Point>, BadInput>>()
        };
        Self::new(
            shift(&self.outer)?,
            self.holes
                .iter()
                .map(shift)
                .collect::<Result<_, BadInput>>()?,
        )
    }

    /// The distance to the nearest edge, outer or hole, in millimetres: positive inside, negative outside.
    pub(super) fn depth_at(&self, point: Point) -> i64 {
        let nearest = self
            .rings()
            .map(|ring| ring.distance(point))
            .min()
            .unwrap_or(0);
        if self.contains(point) {
            nearest
        } else {
            -nearest
        }
    }

    fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.outer).chain(&self.holes)
    }
}

/// Whether the one ring lies inside the other without touching it.
fn lies_inside(inner: &Ring, outer: &Ring) -> bool {
    !inner.touches(outer)
        && inner
            .corners()
            .first()
            .is_some_and(|&corner| outer.place(corner) == Place::Inside)
}

impl fmt::Display for Outline {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("POLYGON(")?;
        for (index, ring) in self.rings().enumerate() {
            out.write_str(if index == 0 { "" } else { "," })?;
            text::write_points(out, ring.corners().iter().chain(ring.corners().first()))?;
        }
        out.write_str(")")
    }
}

impl FromStr for Outline {
    type Err = BadInput;

    fn from_str(wkt: &str) -> Result<Self, BadInput> {
        Self::parse(wkt)
    }
}

form!(Outline: text);
serde_form!(Outline);

const _: () = assert!(
    MOST_CORNERS * 24 < LONGEST_TEXT,
    "every outline that can be made can be read back"
);
