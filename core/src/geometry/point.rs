//! A point of the ground, the box around several, and turns.

use serde::{Deserialize, Serialize};

use crate::json::record;
use crate::quantities::{BadInput, Length};

/// How far from the garden's origin a point may lie, in each direction: 10 km.
pub const FARTHEST: Length = Length::from_mm(10_000_000);

/// A point on the plane of the garden: x to the east, y to the north.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Point {
    /// How far east of the origin.
    pub x: Length,
    /// How far north of the origin.
    pub y: Length,
}

impl Point {
    /// From whole millimetres east and north.
    pub const fn from_mm(x: i64, y: i64) -> Self {
        Self {
            x: Length::from_mm(x),
            y: Length::from_mm(y),
        }
    }

    /// The distance to another point, to the nearest millimetre.
    pub fn distance(self, other: Self) -> Length {
        Length::from_mm(rounded_root(self.square_distance(other)))
    }

    /// This point carried east and north, unless that leaves the numbers that can be stored.
    pub fn checked_shift(self, east: Length, north: Length) -> Option<Self> {
        Some(Self {
            x: self.x.checked_add(east)?,
            y: self.y.checked_add(north)?,
        })
    }

    /// The point itself, unless it lies farther out than [`FARTHEST`].
    pub(super) fn within_reach(self, field: &str) -> Result<Self, BadInput> {
        let far = |length: Length| length.mm().unsigned_abs() > FARTHEST.mm().unsigned_abs();
        if far(self.x) || far(self.y) {
            let came = format!("{} {}", self.x.mm(), self.y.mm());
            return Err(BadInput::new(
                field,
                "points within 10 km of the garden's origin",
                came,
            ));
        }
        Ok(self)
    }

    /// The square of the distance to another point, in square millimetres.
    pub(super) fn square_distance(self, other: Self) -> i128 {
        let (east, north) = self.steps_to(other);
        east * east + north * north
    }

    /// How far east and north the other point lies.
    pub(super) fn steps_to(self, other: Self) -> (i128, i128) {
        let step = |from: Length, to: Length| i128::from(to.mm()) - i128::from(from.mm());
        (step(self.x, other.x), step(self.y, other.y))
    }
}

record!(Point { x, y });

/// The upright box around something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bounds {
    /// Its south-western corner.
    pub min: Point,
    /// Its north-eastern corner.
    pub max: Point,
}

impl Bounds {
    /// The box around these points, if there is one point at least.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points
            .into_iter()
            .map(|point| Self {
                min: point,
                max: point,
            })
            .reduce(Self::with)
    }

    /// The box around both.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            min: Point {
                x: self.min.x.min(other.min.x),
                y: self.min.y.min(other.min.y),
            },
            max: Point {
                x: self.max.x.max(other.max.x),
                y: self.max.y.max(other.max.y),
            },
        }
    }

    /// From west to east.
    pub fn width(self) -> Length {
        Length::from_mm(self.max.x.mm().saturating_sub(self.min.x.mm()))
    }

    /// From south to north.
    pub fn depth(self) -> Length {
        Length::from_mm(self.max.y.mm().saturating_sub(self.min.y.mm()))
    }

    /// Its middle, to the whole millimetre to the south-west.
    pub fn centre(self) -> Point {
        let middle = |low: Length, high: Length| {
            low.mm()
                .saturating_add(high.mm().saturating_sub(low.mm()) / 2)
        };
        Point::from_mm(
            middle(self.min.x, self.max.x),
            middle(self.min.y, self.max.y),
        )
    }

    /// Whether the point lies in the box or on its edge.
    pub fn contains(self, point: Point) -> bool {
        (self.min.x..=self.max.x).contains(&point.x) && (self.min.y..=self.max.y).contains(&point.y)
    }
}

/// A turn against the clock, in whole hundredths of a degree.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Turn(i32);

impl Turn {
    /// From whole degrees.
    pub const fn from_degrees(degrees: i32) -> Self {
        Self(degrees.saturating_mul(100))
    }

    /// From whole hundredths of a degree.
    pub const fn from_hundredths(hundredths: i32) -> Self {
        Self(hundredths)
    }

    /// Where the point lands when it is turned around a centre, to the nearest millimetre.
    pub fn carry(self, point: Point, centre: Point) -> Point {
        let (sine, cosine) = (f64::from(self.0) / 100.0).to_radians().sin_cos();
        let (east, north) = centre.steps_to(point);
        let (east, north) = (approximate(east), approximate(north));
        Point::from_mm(
            centre
                .x
                .mm()
                .saturating_add(whole(east.mul_add(cosine, -north * sine))),
            centre
                .y
                .mm()
                .saturating_add(whole(east.mul_add(sine, north * cosine))),
        )
    }
}

/// The nearest whole number to the square root of one that is not negative.
pub(super) fn rounded_root(square: i128) -> i64 {
    let square = square.max(0);
    let below = square.isqrt();
    let root = if square - below * below > below {
        below + 1
    } else {
        below
    };
    i64::try_from(root).unwrap_or(i64::MAX)
}

/// A whole number of millimetres for trigonometry; exact within [`FARTHEST`].
#[expect(
    clippy::as_conversions,
    clippy::cast_precision_loss,
    reason = "no From exists; lengths of the ground are far below 2^53"
)]
pub(crate) fn approximate(whole: i128) -> f64 {
    whole as f64
}

/// The nearest whole number; the ends of what can be stored for anything beyond, nought for no number.
#[expect(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "no TryFrom exists; `as` saturates, as said"
)]
pub(crate) fn whole(number: f64) -> i64 {
    number.round() as i64
}
