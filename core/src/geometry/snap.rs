//! Points drawn by hand put where they were meant: on a grid in the garden's units, on what is near, in line with others.

use super::point::approximate;
use super::{Bounds, Line, Outline, Point, whole};
use crate::quantities::{Length, Units};

/// The lines of a grid, as a whole number of centimetres or inches apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    /// How far apart, in tenths of a millimetre: an inch has 254.
    tenths: i64,
}

impl Grid {
    /// The grids that a garden may choose from, the finest first.
    pub fn choices(units: Units) -> [Self; 4] {
        match units {
            Units::Metric => [100, 500, 1_000, 5_000],
            Units::UsCustomary => [254, 762, 3_048, 9_144],
        }
        .map(|tenths| Self { tenths })
    }

    /// How far its lines are apart, to the millimetre.
    pub fn step(self) -> Length {
        Length::from_mm((self.tenths + 5).div_euclid(10))
    }

    /// The crossing of its lines that is nearest. Lines are counted from the origin, so no rounding adds up across the plan.
    ///
    /// ```
    /// use selion_core::geometry::{Point, snap::Grid};
    /// use selion_core::quantities::Units;
    ///
    /// let [_, _, feet, _] = Grid::choices(Units::UsCustomary);
    /// assert_eq!(feet.nearest(Point::from_mm(30_400, 290)), Point::from_mm(30_480, 305)); // 100 ft and 1 ft
    /// ```
    pub fn nearest(self, point: Point) -> Point {
        let line = |length: Length| {
            let lines = (length.mm().saturating_mul(20) + self.tenths).div_euclid(2 * self.tenths);
            (lines.saturating_mul(self.tenths) + 5).div_euclid(10)
        };
        Point::from_mm(line(point.x), line(point.y))
    }
}

/// The nearest of these points, if it is near enough.
pub fn to_point(
    point: Point,
    others: impl IntoIterator<Item = Point>,
    within: Length,
) -> Option<Point> {
    others
        .into_iter()
        .map(|other| (other.distance(point), other))
        .filter(|(distance, _)| *distance <= within)
        .min()
        .map(|(_, other)| other)
}

/// The nearest place on the sides of an outline, if it is near enough.
pub fn to_side(point: Point, outline: &Outline, within: Length) -> Option<Point> {
    let corners = outline.corners();
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    to_point(
        point,
        sides.map(|(from, to)| foot(*from, *to, point)),
        within,
    )
}

/// The nearest place on a line, if it is near enough, such as the fence that a bed is laid along.
pub fn to_line(point: Point, line: &Line, within: Length) -> Option<Point> {
    to_point(
        point,
        line.runs().map(|run| foot(run.from, run.to, point)),
        within,
    )
}

/// How far an outline must be moved so that an edge or the middle of its box is in line with that of another, east and north
/// each for itself; nothing where no line is near enough.
pub fn in_line(
    moving: Bounds,
    others: impl IntoIterator<Item = Bounds>,
    within: Length,
) -> (Length, Length) {
    let lines = |low: Length, high: Length| [low.mm(), low.mm().midpoint(high.mm()), high.mm()];
    let (mut east, mut north) = (None, None);
    for other in others {
        let pairs = [
            (
                lines(moving.min.x, moving.max.x),
                lines(other.min.x, other.max.x),
                &mut east,
            ),
            (
                lines(moving.min.y, moving.max.y),
                lines(other.min.y, other.max.y),
                &mut north,
            ),
        ];
        for (mine, theirs, best) in pairs {
            for step in mine
                .iter()
                .flat_map(|mine| theirs.map(|theirs| theirs - *mine))
            {
                let nearer = best.is_none_or(|best: i64| (step.abs(), step) < (best.abs(), best));
                if step.abs() <= within.mm() && nearer {
                    *best = Some(step);
                }
            }
        }
    }
    let length = |step: Option<i64>| Length::from_mm(step.unwrap_or(0));
    (length(east), length(north))
}

/// The place between two points that is nearest to a third.
pub(super) fn foot(from: Point, to: Point, point: Point) -> Point {
    let (east, north) = from.steps_to(to);
    let (to_east, to_north) = from.steps_to(point);
    let square = east * east + north * north;
    let along = east * to_east + north * to_north;
    if square == 0 || along <= 0 {
        return from;
    }
    if along >= square {
        return to;
    }
    let share = approximate(along) / approximate(square);
    Point::from_mm(
        from.x.mm() + whole(approximate(east) * share),
        from.y.mm() + whole(approximate(north) * share),
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_corner_is_put_on_what_is_near_and_nowhere_else() {
        let bed = Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap();
        let near = Length::from_mm(100);
        let hand = Point::from_mm(6_040, -30);
        assert_eq!(
            to_point(hand, bed.corners().iter().copied(), near),
            Some(Point::from_mm(6_000, 0))
        );
        assert_eq!(
            to_side(Point::from_mm(2_500, 1_270), &bed, near),
            Some(Point::from_mm(2_500, 1_200))
        );
        assert_eq!(to_side(Point::from_mm(2_500, 1_400), &bed, near), None);
        let fence = Line::parse("LINESTRING(0 3000,4000 7000)").unwrap();
        assert_eq!(
            to_line(Point::from_mm(1_050, 3_950), &fence, near),
            Some(Point::from_mm(1_000, 4_000))
        );
    }

    #[test]
    fn boxes_come_in_line_by_their_nearest_edge_or_middle() {
        let bounds = |x: i64, y: i64, width: i64, depth: i64| Bounds {
            min: Point::from_mm(x, y),
            max: Point::from_mm(x + width, y + depth),
        };
        let standing = bounds(0, 0, 6_000, 1_200);
        let moving = bounds(30, 2_000, 4_000, 1_200);
        let near = Length::from_mm(50);
        assert_eq!(
            in_line(moving, [standing], near),
            (Length::from_mm(-30), Length::ZERO)
        );
        let in_the_middle = bounds(1_020, 1_180, 4_000, 1_200);
        assert_eq!(
            in_line(in_the_middle, [standing], near),
            (Length::from_mm(-20), Length::from_mm(20))
        );
        assert_eq!(in_line(moving, [], near), (Length::ZERO, Length::ZERO));
    }

    proptest! {
        #[test]
        fn the_grid_is_never_farther_than_half_a_step_and_stays(x in -9_000_000_i64..9_000_000, y in -9_000_000_i64..9_000_000) {
            for grid in [Units::Metric, Units::UsCustomary].into_iter().flat_map(Grid::choices) {
                let on = grid.nearest(Point::from_mm(x, y));
                prop_assert!((on.x.mm() - x).abs() <= grid.step().mm() / 2 + 1);
                prop_assert_eq!(grid.nearest(on), on);
            }
        }
    }
}
