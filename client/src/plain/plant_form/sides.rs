//! The sides of a bed, to choose rows and stretches by.

use selion_core::document::season_plan::plants::longest_side;
use selion_core::geometry::{Direction, Outline};
use selion_core::quantities::Units;

use crate::plain::drawing;

/// Of a bed with more sides than these the short ones are not told apart on the plan.
const MOST_NAMED: usize = 24;

/// A side of a bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Its number, from 1; the first begins at the first corner.
    pub number: usize,
    /// Its number and length, in words.
    pub words: String,
    /// The middle of it on the plan.
    pub at: (f64, f64),
}

/// The sides of a bed in their order.
pub fn sides(outline: &Outline, units: Units) -> Vec<Side> {
    let corners = outline.corners();
    let ends = corners.iter().zip(corners.iter().cycle().skip(1));
    (1..)
        .zip(ends)
        .take(MOST_NAMED)
        .map(|(number, (from, to))| {
            let (start, end) = (drawing::place(*from), drawing::place(*to));
            Side {
                number,
                words: format!("Side {number}, {}", from.distance(*to).show(units)),
                at: (f64::midpoint(start.0, end.0), f64::midpoint(start.1, end.1)),
            }
        })
        .collect()
}

/// The number of the longest side.
pub fn longest(outline: &Outline) -> usize {
    match longest_side(outline) {
        Direction::Side(number) => number,
        Direction::East | Direction::North => 1,
    }
}
