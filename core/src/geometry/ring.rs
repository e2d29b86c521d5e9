//! One closed ring of corners: does it cross itself, how large is it, what lies inside.

use std::cmp::Ordering;

use super::point::{Point, rounded_root};
use crate::quantities::{BadInput, Length};

/// A closed ring of at least three corners that nowhere touches itself. The first corner is not repeated at the end.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Ring(Vec<Point>);

/// Where a point lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    Inside,
    Edge,
    Outside,
}

impl Ring {
    /// The ring with these corners; repeated neighbours count once, and the first corner may be repeated at the end.
    pub(super) fn new(mut corners: Vec<Point>, field: &str) -> Result<Self, BadInput> {
        corners.dedup();
        if corners.len() > 1 && corners.first() == corners.last() {
            corners.pop();
        }
        if corners.len() < 3 {
            let came = format!("{} corners", corners.len());
            return Err(BadInput::new(
                field,
                "at least three different corners",
                came,
            ));
        }
        for corner in &corners {
            corner.within_reach(field)?;
        }
        let ring = Self(corners);
        if let Some((first, second)) = ring.crossing() {
            let came = format!("side {first} and side {second} cross or touch");
            return Err(BadInput::new(
                field,
                "sides that meet only at their corners",
                came,
            ));
        }
        if ring.double_area() == 0 {
            return Err(BadInput::new(
                field,
                "corners that enclose some ground",
                "an area of nothing",
            ));
        }
        Ok(ring)
    }

    /// The ring running against the clock, or with it.
    pub(super) fn running(mut self, against_the_clock: bool) -> Self {
        if (self.double_area() > 0) != against_the_clock {
            // The first corner stays the first.
            self.0.reverse();
            self.0.rotate_right(1);
        }
        self
    }

    pub(super) fn corners(&self) -> &[Point] {
        &self.0
    }

    /// Each side from corner to corner, the last one back to the first corner.
    pub(super) fn sides(&self) -> impl Iterator<Item = (Point, Point)> + Clone + '_ {
        self.0
            .iter()
            .copied()
            .zip(self.0.iter().copied().cycle().skip(1))
    }

    /// Twice the enclosed area (the shoelace formula), positive when the ring runs against the clock.
    pub(super) fn double_area(&self) -> i128 {
        let Some(first) = self.0.first().copied() else {
            return 0;
        };
        self.sides().map(|(from, to)| cross(first, from, to)).sum()
    }

    pub(super) fn perimeter(&self) -> Length {
        self.sides().map(|(from, to)| from.distance(to)).sum()
    }

    /// Where a point lies, by counting the sides that a ray to the east meets.
    pub(super) fn place(&self, point: Point) -> Place {
        let mut inside = false;
        for (from, to) in self.sides() {
            if on_segment(from, to, point) {
                return Place::Edge;
            }
            let (low, high) = if from.y <= to.y {
                (from, to)
            } else {
                (to, from)
            };
            if low.y <= point.y && point.y < high.y && cross(low, high, point) > 0 {
                inside = !inside;
            }
        }
        if inside {
            Place::Inside
        } else {
            Place::Outside
        }
    }

    /// Whether any side of the one touches a side of the other.
    pub(super) fn touches(&self, other: &Self) -> bool {
        self.sides()
            .any(|(a, b)| other.sides().any(|(c, d)| meet(a, b, c, d)))
    }

    /// The distance from a point to the nearest side, rounded to the millimetre.
    pub(super) fn distance(&self, point: Point) -> i64 {
        self.sides()
            .map(|(from, to)| square_distance_to_segment(from, to, point))
            .min()
            .map_or(0, rounded_root)
    }

    /// The first two sides, counted from 1, that meet anywhere but at their common corner.
    fn crossing(&self) -> Option<(usize, usize)> {
        let sides: Vec<(Point, Point)> = self.sides().collect();
        let last = sides.len();
        for (earlier, &(a, b)) in sides.iter().enumerate() {
            for (later, &(c, d)) in sides.iter().enumerate().skip(earlier + 1) {
                let wrong = if later == earlier + 1 {
                    folds_back(a, b, d)
                } else if earlier == 0 && later + 1 == last {
                    folds_back(c, d, b)
                } else {
                    meet(a, b, c, d)
                };
                if wrong {
                    return Some((earlier + 1, later + 1));
                }
            }
        }
        None
    }
}

/// Twice the area of the triangle; positive when the third point lies left of the way from the first to the second.
fn cross(from: Point, to: Point, point: Point) -> i128 {
    let (ax, ay) = from.steps_to(to);
    let (bx, by) = from.steps_to(point);
    ax * by - ay * bx
}

/// Whether the way `a` to `b` to `c` turns right round and runs back over itself.
fn folds_back(a: Point, b: Point, c: Point) -> bool {
    let (back_x, back_y) = b.steps_to(a);
    let (on_x, on_y) = b.steps_to(c);
    cross(a, b, c) == 0 && back_x * on_x + back_y * on_y > 0
}

fn on_segment(from: Point, to: Point, point: Point) -> bool {
    let between = |one: Length, other: Length, value: Length| {
        (one.min(other)..=one.max(other)).contains(&value)
    };
    cross(from, to, point) == 0 && between(from.x, to.x, point.x) && between(from.y, to.y, point.y)
}

/// Whether two segments have any point in common.
fn meet(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |from: Point, to: Point, point: Point| cross(from, to, point).cmp(&0);
    let (c_side, d_side) = (side(a, b, c), side(a, b, d));
    let (a_side, b_side) = (side(c, d, a), side(c, d, b));
    let apart = |one: Ordering, other: Ordering| one != Ordering::Equal && one == other.reverse();
    (apart(c_side, d_side) && apart(a_side, b_side))
        || on_segment(a, b, c)
        || on_segment(a, b, d)
        || on_segment(c, d, a)
        || on_segment(c, d, b)
}

/// The square of the distance from a point to a segment, in square millimetres, rounded down.
fn square_distance_to_segment(from: Point, to: Point, point: Point) -> i128 {
    let (side_x, side_y) = from.steps_to(to);
    let (x, y) = from.steps_to(point);
    let along = side_x * x + side_y * y;
    let square_length = from.square_distance(to);
    if along <= 0 {
        from.square_distance(point)
    } else if along >= square_length {
        to.square_distance(point)
    } else {
        let across = cross(from, to, point);
        across * across / square_length
    }
}
