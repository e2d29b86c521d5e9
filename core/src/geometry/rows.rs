//! Straight rows laid across an outline of any shape.
//!
//! Rows run along a side or along the axes of the plan. Each line is cut where it leaves the ground: an L-shaped bed or one
//! with a hole has two pieces of row on one line. Worked out in whole micrometres, so that every device finds the same rows.
//!
//! ```
//! use selion_core::geometry::{Direction, Outline, Point, Rows};
//! use selion_core::quantities::{Length, Spacing};
//!
//! let bed = Outline::rectangle(Point::from_mm(0, 0), Length::from_mm(6_000), Length::from_mm(1_200))?;
//! let rows = Rows::across(&bed, Direction::East, Spacing::parse("20 cm")?, Spacing::parse("40 cm")?)?;
//! assert_eq!(rows.rows().len(), 3);
//! assert_eq!(rows.rows()[0].length(), Spacing::parse("6 m")?);
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use super::point::Point;
use super::{Outline, point};
use crate::quantities::{BadInput, Spacing};

/// Outlines are kept in whole millimetres; a row is not lost for what that rounding took at the two edges.
pub(crate) const SLACK: Spacing = Spacing::from_micrometres(1_000);
/// The most lines that are laid across one outline.
const MOST_LINES: i64 = 5_000;
/// Micrometres in a millimetre.
const PER_MM: i128 = 1_000;
/// How much finer than a millimetre the length of the direction is worked out, as a power of two.
const FINE: u32 = 20;

/// Which way rows run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// From west to east, the first row in the south.
    East,
    /// From south to north, the first row in the east.
    North,
    /// Along this side of the outline, counted from 1; the first side begins at the first corner.
    Side(usize),
}

/// Rows across one outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rows {
    frame: Frame,
    rows: Vec<Row>,
}

/// One piece of a row, from edge to edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row {
    /// Which line it lies on, counted from 1.
    pub line: i64,
    /// How far along the direction its line enters the ground, from where the outline begins.
    pub start: Spacing,
    /// How far along the direction it leaves the ground.
    pub end: Spacing,
    /// How far across from the first edge.
    across: Spacing,
}

impl Row {
    /// From edge to edge.
    pub fn length(self) -> Spacing {
        self.end.checked_sub(self.start).unwrap_or(Spacing::ZERO)
    }
}

impl Rows {
    /// Lines along a direction, the first so far from the edge of the outline and each so far from the one before.
    ///
    /// Lines keep the distance from the last edge too.
    pub fn across(
        outline: &Outline,
        along: Direction,
        margin: Spacing,
        between: Spacing,
    ) -> Result<Self, BadInput> {
        if !between.is_positive() || margin < Spacing::ZERO {
            let came = format!("{} and {}", margin.micrometres(), between.micrometres());
            let expected = "a distance above nothing, and a margin of nothing or more";
            return Err(BadInput::new("rows", expected, came));
        }
        let mut frame = Frame::of(outline, along)?;
        let rings: Vec<Vec<(i128, i128)>> = std::iter::once(outline.corners())
            .chain(outline.holes())
            .map(|corners| corners.iter().map(|&corner| frame.place(corner)).collect())
            .collect();
        let corners = || rings.iter().flatten();
        let low = |pick: fn(&(i128, i128)) -> i128| corners().map(pick).min().unwrap_or(0);
        frame.first = (low(|&(along, _)| along), low(|&(_, across)| across));
        let far = corners().map(|&(_, across)| across).max().unwrap_or(0);
        let (margin, between) = (um(margin), um(between));
        let width = far - frame.first.1;
        let room = width - 2 * margin + um(SLACK);
        let lines = if room < 0 { 0 } else { room / between + 1 };
        if lines > i128::from(MOST_LINES) {
            let expected = format!("a distance that gives at most {MOST_LINES} rows");
            return Err(BadInput::new("rows", expected, format!("{lines} rows")));
        }
        let mut rows = Vec::new();
        for (line, step) in (1_i64..).zip(0..lines) {
            // Within the ground, however the slack fell.
            let across = (margin + step * between).clamp(0, (width - 1).max(0));
            let cuts = cuts(&rings, across + frame.first.1);
            for pair in cuts.chunks_exact(2) {
                if let &[start, end] = pair {
                    rows.push(Row {
                        line,
                        start: spacing(start - frame.first.0),
                        end: spacing(end - frame.first.0),
                        across: spacing(across),
                    });
                }
            }
        }
        Ok(Self { frame, rows })
    }

    /// Every piece of row, line by line.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Where on the plan a place along a row lies, to the nearest millimetre.
    pub fn point(&self, row: Row, along: Spacing) -> Point {
        self.frame.point(
            um(along) + self.frame.first.0,
            um(row.across) + self.frame.first.1,
        )
    }
}

/// Coordinates along and across a direction, in micrometres.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Frame {
    origin: Point,
    /// The direction, and its length times two to the power of [`FINE`].
    east: i128,
    north: i128,
    length: i128,
    /// The smallest coordinates of the outline.
    first: (i128, i128),
}

impl Frame {
    fn of(outline: &Outline, along: Direction) -> Result<Self, BadInput> {
        let corners = outline.corners();
        let (east, north) = match along {
            Direction::East => (1, 0),
            Direction::North => (0, 1),
            Direction::Side(number) => side(corners, number)?,
        };
        let square = (east * east + north * north) << (2 * FINE);
        Ok(Self {
            origin: corners.first().copied().unwrap_or_default(),
            east,
            north,
            length: square.isqrt().max(1),
            first: (0, 0),
        })
    }

    fn place(&self, point: Point) -> (i128, i128) {
        let (x, y) = self.origin.steps_to(point);
        let scaled = |product: i128| nearest((product * PER_MM) << FINE, self.length);
        (
            scaled(x * self.east + y * self.north),
            scaled(y * self.east - x * self.north),
        )
    }

    fn point(&self, along: i128, across: i128) -> Point {
        let millimetres = |product: i128| point_mm(nearest(product << FINE, self.length * PER_MM));
        Point::from_mm(
            self.origin
                .x
                .mm()
                .saturating_add(millimetres(along * self.east - across * self.north)),
            self.origin
                .y
                .mm()
                .saturating_add(millimetres(along * self.north + across * self.east)),
        )
    }
}

/// The way along a side.
fn side(corners: &[Point], number: usize) -> Result<(i128, i128), BadInput> {
    let next = if number == corners.len() { 0 } else { number };
    let ends = number
        .checked_sub(1)
        .and_then(|index| Some((corners.get(index)?, corners.get(next)?)));
    ends.map(|(from, to)| from.steps_to(*to)).ok_or_else(|| {
        let expected = format!("a side from 1 to {}", corners.len());
        BadInput::new("side", expected, number.to_string())
    })
}

/// Where a line across the rings enters and leaves the ground, in order.
fn cuts(rings: &[Vec<(i128, i128)>], across: i128) -> Vec<i128> {
    let mut cuts = Vec::new();
    for ring in rings {
        for (&(from, low), &(to, high)) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            // A corner on the line counts with the ground below it, so that every line is cut an even number of times.
            if (low <= across) != (high <= across) {
                cuts.push(from + nearest((to - from) * (across - low), high - low));
            }
        }
    }
    cuts.sort_unstable();
    cuts
}

fn um(spacing: Spacing) -> i128 {
    i128::from(spacing.micrometres())
}

fn spacing(um: i128) -> Spacing {
    Spacing::from_micrometres(i64::try_from(um).unwrap_or(i64::MAX))
}

fn point_mm(mm: i128) -> i64 {
    i64::try_from(mm).unwrap_or(point::FARTHEST.mm())
}

/// The nearest whole number to a fraction whose bottom is not nought, halves up.
fn nearest(top: i128, bottom: i128) -> i128 {
    let (top, bottom) = if bottom < 0 {
        (-top, -bottom)
    } else {
        (top, bottom)
    };
    (2 * top + bottom).div_euclid((2 * bottom).max(1))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::Turn;
    use crate::quantities::Length;

    fn cm(count: i64) -> Spacing {
        Spacing::from_micrometres(count * 10_000)
    }

    #[test]
    fn a_line_is_cut_where_it_leaves_the_ground() {
        let around_a_post = Outline::parse(
            "POLYGON((0 0,6000 0,6000 2000,0 2000,0 0),(2000 500,2000 1500,3000 1500,3000 500,2000 500))",
        )
        .unwrap();
        let rows = Rows::across(&around_a_post, Direction::East, cm(25), cm(75)).unwrap();
        let ends: Vec<(i64, i64, i64)> = rows
            .rows()
            .iter()
            .map(|row| (row.line, row.start.micrometres(), row.end.micrometres()))
            .collect();
        assert_eq!(
            ends,
            [
                (1, 0, 6_000_000),
                (2, 0, 2_000_000),
                (2, 3_000_000, 6_000_000),
                (3, 0, 6_000_000),
            ]
        );
    }

    #[test]
    fn rows_run_along_a_side_however_the_bed_is_turned() {
        for degrees in [0, 30, 45, 90, 211] {
            let bed = Outline::turned_rectangle(
                Point::from_mm(500, -700),
                Length::from_mm(6_000),
                Length::from_mm(1_200),
                Turn::from_degrees(degrees),
            )
            .unwrap();
            let rows = Rows::across(&bed, Direction::Side(1), cm(20), cm(40)).unwrap();
            assert_eq!(rows.rows().len(), 3, "{degrees}");
            for row in rows.rows() {
                let off = row.length().micrometres().abs_diff(6_000_000);
                assert!(off < 2_000, "{degrees}: {row:?}");
            }
        }
        let bed = Outline::parse("POLYGON((0 0,6000 0,0 6000,0 0))").unwrap();
        for side in [0, 4, usize::MAX] {
            let refused = Rows::across(&bed, Direction::Side(side), cm(1), cm(1)).unwrap_err();
            assert_eq!(refused.field, "side");
        }
    }

    #[test]
    fn too_many_rows_and_none_at_all() {
        let bed = Outline::parse("POLYGON((0 0,6000 0,0 6000,0 0))").unwrap();
        let one = Spacing::from_micrometres(1);
        assert!(Rows::across(&bed, Direction::East, cm(1), one).is_err());
        assert!(Rows::across(&bed, Direction::East, cm(1), Spacing::ZERO).is_err());
        let none = Rows::across(&bed, Direction::East, cm(400), cm(1)).unwrap();
        assert!(none.rows().is_empty());
    }

    proptest! {
        #[test]
        fn the_pieces_of_close_rows_make_up_the_area(
            width in 2_000_i64..8_000, depth in 2_000_i64..8_000, cut in 100_i64..1_900, lean in -1_500_i64..1_500,
        ) {
            let corners = [(0, 0), (width, lean), (width, lean + depth), (cut, depth), (cut, depth - cut), (0, depth - cut)];
            let corners = corners.map(|(x, y)| Point::from_mm(x, y)).to_vec();
            let Ok(bed) = Outline::new(corners, Vec::new()) else { return Ok(()) };
            for along in [Direction::East, Direction::North, Direction::Side(1), Direction::Side(2)] {
                // Each row in the middle of a strip of a centimetre.
                let half = Spacing::from_micrometres(5_000);
                let rows = Rows::across(&bed, along, half, cm(1)).unwrap();
                let metres: f64 = rows.rows().iter().map(|row| super::super::approximate(um(row.length()))).sum::<f64>() / 1e6;
                let area = super::super::approximate(i128::from(bed.area().mm2())) / 1e6;
                prop_assert!((metres / 100.0 - area).abs() < 0.12, "{along:?}: {metres} m, {area} m²");
                for row in rows.rows() {
                    let middle = rows.point(*row, spacing(i128::midpoint(um(row.start), um(row.end))));
                    prop_assert!(um(row.length()) < 5_000 || bed.contains(middle));
                }
            }
        }
    }
}
