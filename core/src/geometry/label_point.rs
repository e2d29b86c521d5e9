//! Where a label reads best in an outline: the point farthest from every edge, near enough.

use super::{Outline, Point};

/// How often the search divides; the box is cut into at most this many cells.
const MOST_CELLS: usize = 600;
/// A place must be better by this share of the best depth so far to be worth a look: one in 50.
const WORTH_A_LOOK: i64 = 50;

/// A square part of the ground that may hold a better place.
#[derive(Clone, Copy)]
struct Cell {
    middle: Point,
    half: i64,
    depth: i64,
}

impl Cell {
    fn new(outline: &Outline, x: i64, y: i64, half: i64) -> Self {
        let middle = Point::from_mm(x, y);
        Self {
            middle,
            half,
            depth: outline.depth_at(middle),
        }
    }

    /// The depth that no point of the cell exceeds: that of its middle and the half diagonal (3/2 > √2).
    fn at_most(self) -> i64 {
        self.depth.saturating_add(self.half + self.half / 2 + 1)
    }
}

/// Starts from the middle of the corners' box, then divides the most promising cells into four, as long as that helps.
pub(super) fn label_point(outline: &Outline) -> Point {
    let bounds = outline.bounds();
    let centre = bounds.centre();
    let half = bounds.width().max(bounds.depth()).mm() / 2 + 1;
    let mut best = Cell::new(outline, centre.x.mm(), centre.y.mm(), half);
    let mut open = vec![best];
    let mut seen = 1;
    while let Some(cell) = take_most_promising(&mut open) {
        let gain = (best.depth / WORTH_A_LOOK).max(1);
        let enough = best.depth.saturating_add(gain);
        // Without a point inside there is no stopping early: a thin bed has to be found.
        if cell.half <= 1 || cell.at_most() <= enough || (seen > MOST_CELLS && best.depth > 0) {
            if best.depth > 0 {
                break;
            }
            continue;
        }
        let half = (cell.half + 1) / 2;
        for (east, north) in [(-half, -half), (half, -half), (-half, half), (half, half)] {
            let part = Cell::new(
                outline,
                cell.middle.x.mm() + east,
                cell.middle.y.mm() + north,
                half,
            );
            if part.depth > best.depth {
                best = part;
            }
            open.push(part);
            seen += 1;
        }
        if seen > 20 * MOST_CELLS {
            break;
        }
    }
    // An outline a few millimetres wide may have no whole millimetre inside it: a corner will do.
    let corner = outline.corners().first().copied().unwrap_or_default();
    if outline.contains(best.middle) {
        best.middle
    } else {
        corner
    }
}

fn take_most_promising(open: &mut Vec<Cell>) -> Option<Cell> {
    let index = open
        .iter()
        .enumerate()
        .max_by_key(|(_, cell)| cell.at_most())
        .map(|(index, _)| index)?;
    Some(open.swap_remove(index))
}
