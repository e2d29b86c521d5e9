//! Lines changed at their points, places along them, and places so far off in a direction.

use super::point::{approximate, whole};
use super::{Line, Point, Turn};
use crate::quantities::{BadInput, Length};

impl Line {
    /// The same line with one point somewhere else. A line that ends where it began moves both ends together.
    pub fn with_point(&self, index: usize, to: Point) -> Result<Self, BadInput> {
        let mut points = self.points().to_vec();
        let last = points.len().saturating_sub(1);
        if self.is_closed() && (index == 0 || index == last) {
            for end in [0, last] {
                *points.get_mut(end).ok_or_else(|| no_point(self, index))? = to;
            }
        } else {
            *points.get_mut(index).ok_or_else(|| no_point(self, index))? = to;
        }
        Self::new(points)
    }

    /// The same line with a further point in the run that begins at this one.
    pub fn with_point_after(&self, index: usize, at: Point) -> Result<Self, BadInput> {
        let mut points = self.points().to_vec();
        if index + 1 >= points.len() {
            return Err(no_point(self, index));
        }
        points.insert(index + 1, at);
        Self::new(points)
    }

    /// The same line without this point; two stay in any case. A line that ends where it began closes again without it, and
    /// opens where only three would be left.
    pub fn without_point(&self, index: usize) -> Result<Self, BadInput> {
        let mut points = self.points().to_vec();
        if index >= points.len() {
            return Err(no_point(self, index));
        }
        if self.is_closed() {
            points.pop();
            points.remove(if index == points.len() { 0 } else { index });
            if points.len() > 2 {
                points.extend(points.first().copied());
            }
        } else {
            points.remove(index);
        }
        Self::new(points)
    }

    /// The same line elsewhere.
    pub fn shifted(&self, east: Length, north: Length) -> Result<Self, BadInput> {
        let far = || BadInput::new("line", "points on the ground", "one too far away");
        let moved = self.points().iter();
        let moved: Option<Vec<Point>> = moved
            .map(|point| point.checked_shift(east, north))
            .collect();
        Self::new(moved.ok_or_else(far)?)
    }

    /// The place so far along it; its end where it is shorter.
    ///
    /// ```
    /// use selion_core::geometry::{Line, Point};
    /// use selion_core::quantities::Length;
    ///
    /// let fence = Line::parse("LINESTRING(0 0,6000 0,6000 4000)")?;
    /// assert_eq!(fence.at(Length::from_mm(7_500)), Point::from_mm(6_000, 1_500));
    /// assert_eq!(fence.nearest(Point::from_mm(6_200, 1_490)), Length::from_mm(7_490));
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    pub fn at(&self, along: Length) -> Point {
        let mut left = along.mm().max(0);
        for run in self.runs() {
            let length = run.length().mm();
            if left <= length {
                return between(run.from, run.to, left, length);
            }
            left -= length;
        }
        self.points().last().copied().unwrap_or_default()
    }

    /// How far along it the place lies that is nearest to a point.
    pub fn nearest(&self, point: Point) -> Length {
        let mut before = 0;
        let mut best: Option<(Length, i64)> = None;
        for run in self.runs() {
            let foot = super::snap::foot(run.from, run.to, point);
            let off = foot.distance(point);
            if best.is_none_or(|(least, _)| off < least) {
                best = Some((off, before + run.from.distance(foot).mm()));
            }
            before += run.length().mm();
        }
        Length::from_mm(best.map_or(0, |(_, along)| along))
    }

    /// From where to where along it the straight side goes that a place lies on. A place at a corner belongs to the side that
    /// begins there.
    pub fn side_at(&self, along: Length) -> (Length, Length) {
        let mut begins = 0;
        let mut found = (0, 0);
        for run in self.runs() {
            let ends = begins + run.length().mm();
            found = (begins, ends);
            if along.mm() < ends {
                break;
            }
            begins = ends;
        }
        (Length::from_mm(found.0), Length::from_mm(found.1))
    }
}

impl Point {
    /// The point so far away in a direction, in degrees clockwise from the top of the plan.
    ///
    /// ```
    /// use selion_core::geometry::Point;
    /// use selion_core::quantities::Length;
    ///
    /// let corner = Point::from_mm(1_000, 1_000);
    /// assert_eq!(corner.away(90, Length::from_mm(500)), Some(Point::from_mm(1_500, 1_000)));
    /// ```
    pub fn away(self, degrees: i64, far: Length) -> Option<Self> {
        let turn = Turn::from_degrees(i32::try_from(-degrees).ok()?);
        let up = self.checked_shift(Length::ZERO, far)?;
        Some(turn.carry(up, self))
    }

    /// The same, in hundredths of a degree.
    pub fn away_by(self, hundredths: i64, far: Length) -> Option<Self> {
        let turn = Turn::from_hundredths(i32::try_from(-hundredths).ok()?);
        let up = self.checked_shift(Length::ZERO, far)?;
        Some(turn.carry(up, self))
    }

    /// In which direction another point lies, in whole degrees clockwise from the top of the plan, from 0 to 359.
    pub fn direction_to(self, other: Self) -> i64 {
        (self.bearing_to(other) + 50) / 100 % 360
    }

    /// The same, in hundredths of a degree from 0 to 35 999.
    pub fn bearing_to(self, other: Self) -> i64 {
        let (east, north) = self.steps_to(other);
        let degrees = approximate(east).atan2(approximate(north)).to_degrees();
        whole(degrees * 100.0).rem_euclid(36_000)
    }
}

fn between(from: Point, to: Point, along: i64, length: i64) -> Point {
    if length == 0 {
        return from;
    }
    let (east, north) = from.steps_to(to);
    let share = approximate(i128::from(along)) / approximate(i128::from(length));
    Point::from_mm(
        from.x.mm() + whole(approximate(east) * share),
        from.y.mm() + whole(approximate(north) * share),
    )
}

fn no_point(line: &Line, came: usize) -> BadInput {
    BadInput::new(
        "corner",
        format!("one of the {}", line.points().len()),
        (came + 1).to_string(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn fence() -> Line {
        Line::parse("LINESTRING(0 0,6000 0,6000 4000)").unwrap()
    }

    #[test]
    fn points_come_move_and_go() {
        let bent = fence()
            .with_point_after(0, Point::from_mm(3_000, 500))
            .unwrap();
        assert_eq!(bent.points().len(), 4);
        let straight = bent.with_point(1, Point::from_mm(3_000, 0)).unwrap();
        assert_eq!(straight.length(), fence().length());
        assert_eq!(straight.without_point(1).unwrap(), fence());
        let shorter = fence().without_point(2).unwrap();
        assert_eq!(shorter.length(), mm(6_000));
        assert!(shorter.without_point(0).is_err(), "one point is no line");
        assert!(fence().with_point_after(2, Point::default()).is_err());
        assert_eq!(
            fence().with_point(3, Point::default()).unwrap_err().field,
            "corner"
        );
        let moved = fence().shifted(mm(10), mm(-10)).unwrap();
        assert_eq!(moved.points()[0], Point::from_mm(10, -10));
    }

    #[test]
    fn a_line_all_round_stays_closed() {
        let round = Line::parse("LINESTRING(0 0,6000 0,6000 4000,0 4000,0 0)").unwrap();
        let wider = round.with_point(0, Point::from_mm(-500, 0)).unwrap();
        assert!(wider.is_closed());
        assert_eq!(wider.points()[4], Point::from_mm(-500, 0));
        for index in [0, 4] {
            let three = round.without_point(index).unwrap();
            assert!(three.is_closed());
            assert_eq!(three.points().len(), 4);
            assert!(!three.points().contains(&Point::default()));
            assert!(!three.without_point(1).unwrap().is_closed());
        }
    }

    #[test]
    fn places_along_are_found_both_ways() {
        let line = fence();
        for along in [0, 1, 5_999, 6_000, 6_001, 10_000] {
            assert_eq!(line.nearest(line.at(mm(along))), mm(along));
        }
        assert_eq!(line.at(mm(99_000)), Point::from_mm(6_000, 4_000));
        assert_eq!(line.side_at(mm(5_999)), (mm(0), mm(6_000)));
        assert_eq!(line.side_at(mm(6_000)), (mm(6_000), mm(10_000)));
        assert_eq!(line.side_at(mm(99_000)), (mm(6_000), mm(10_000)));
    }

    #[test]
    fn directions_go_round_with_the_clock() {
        let middle = Point::from_mm(100, 100);
        for degrees in [0, 30, 90, 135, 180, 270, 359] {
            let there = middle.away(degrees, mm(100_000)).unwrap();
            assert_eq!(middle.direction_to(there), degrees);
        }
        assert_eq!(middle.away_by(4_500, mm(1_000)), middle.away(45, mm(1_000)));
    }
}
