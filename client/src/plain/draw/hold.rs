//! What a hand or an arrow key does to an outline: the whole of it moved, a corner dragged, a corner put into a side.

use selion_core::document::Garden;
use selion_core::geometry::snap::{Grid, in_line, to_point};
use selion_core::geometry::{Bounds, Outline, Point};
use selion_core::quantities::{BadInput, Length, Units};

use super::{Thing, things};

/// What is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// All of it.
    Whole,
    /// A corner, counted from the first.
    Corner(usize),
    /// A new corner in the side that begins at this corner.
    Side(usize),
    /// A gate of a fence line, counted from the first that was put in.
    Gate(usize),
}

/// How far, to the east and to the north.
pub type Step = (Length, Length);

/// What a moved edge is drawn to, as a magnet does.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Snap {
    /// The grid, if there is one.
    pub grid: Option<Grid>,
    /// How near something must be.
    pub within: Length,
    /// The corners of everything else.
    pub corners: Vec<Point>,
    /// The boxes around everything else.
    pub boxes: Vec<Bounds>,
}

impl Snap {
    /// Everything on the ground but the thing that is held, if one is.
    pub fn beside(
        garden: &Garden,
        held: Option<Thing>,
        grid: Option<Grid>,
        within: Length,
    ) -> Self {
        let mut snap = Self {
            grid,
            within,
            ..Self::default()
        };
        for (thing, _) in things(garden) {
            if Some(thing) == held {
                continue;
            }
            if let Some(shape) = thing.shape(garden) {
                snap.corners.extend(shape.corners());
                snap.boxes.push(shape.bounds());
            }
        }
        snap
    }

    /// Where a corner comes to lie: on another one that is near, else on the grid.
    pub fn corner(&self, place: Point) -> Point {
        let others = self.corners.iter().copied();
        to_point(place, others, self.within)
            .or_else(|| self.grid.map(|grid| grid.nearest(place)))
            .unwrap_or(place)
    }

    /// How much further a moved outline goes: in line with another that is near, else on the grid.
    pub(super) fn whole(&self, moved: Bounds) -> Step {
        let (east, north) = in_line(moved, self.boxes.iter().copied(), self.within);
        let on_grid = self.grid.map_or(moved.min, |grid| grid.nearest(moved.min));
        let or = |line: Length, from: Length, to: Length| {
            if line == Length::ZERO {
                Length::from_mm(to.mm() - from.mm())
            } else {
                line
            }
        };
        (
            or(east, moved.min.x, on_grid.x),
            or(north, moved.min.y, on_grid.y),
        )
    }
}

/// The outline after a hand has moved what it holds so far. A rectangle stays one while `square` is set.
pub fn moved(
    outline: &Outline,
    hold: Hold,
    (east, north): Step,
    snap: &Snap,
    square: bool,
) -> Result<Outline, BadInput> {
    let to = |place: Point| {
        let far = || BadInput::new("corner", "a place on the ground", "one far away from it");
        let place = place.checked_shift(east, north).ok_or_else(far)?;
        Ok(snap.corner(place))
    };
    let corners = outline.corners();
    let at = |corner: usize| {
        let none = || BadInput::new("corner", "one of the outline", corner.to_string());
        corners.get(corner).copied().ok_or_else(none)
    };
    match hold {
        Hold::Whole => {
            let moved = outline.shifted(east, north)?;
            let (more_east, more_north) = snap.whole(moved.bounds());
            moved.shifted(more_east, more_north)
        }
        Hold::Corner(corner) => {
            let to = to(at(corner)?)?;
            match outline.stretched(corner, to) {
                Some(stretched) if square => stretched,
                _ => outline.with_corner(corner, to),
            }
        }
        Hold::Side(corner) => outline.with_corner_after(corner, to(middle(outline, corner))?),
        Hold::Gate(gate) => {
            let none = "a fence line, which has gates";
            Err(BadInput::new("gate", none, (gate + 1).to_string()))
        }
    }
}

/// The middle of the side that begins at a corner.
pub fn middle(outline: &Outline, corner: usize) -> Point {
    let corners = outline.corners();
    let from = corners.get(corner).copied().unwrap_or_default();
    let next = corners.get((corner + 1) % corners.len().max(1));
    let to = next.copied().unwrap_or(from);
    Point::from_mm(
        from.x.mm().midpoint(to.x.mm()),
        from.y.mm().midpoint(to.y.mm()),
    )
}

/// How far an arrow key moves, on the finest grid where none is chosen; the step of a key that is none.
pub fn arrow(key: &str, grid: Option<Grid>, units: Units) -> Option<Step> {
    let [finest, ..] = Grid::choices(units);
    let step = grid.unwrap_or(finest).step();
    let back = Length::from_mm(-step.mm());
    Some(match key {
        "ArrowRight" => (step, Length::ZERO),
        "ArrowLeft" => (back, Length::ZERO),
        "ArrowUp" => (Length::ZERO, step),
        "ArrowDown" => (Length::ZERO, back),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{bed, garden};

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn rectangle() -> Outline {
        Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap()
    }

    #[test]
    fn a_hand_moves_the_whole_a_corner_or_a_new_corner() {
        let free = Snap::default();
        let outline = rectangle();
        let whole = moved(&outline, Hold::Whole, (mm(30), mm(-70)), &free, true).unwrap();
        assert_eq!(whole.corners()[0], Point::from_mm(30, -70));
        assert_eq!(whole.area(), outline.area());
        let wider = moved(&outline, Hold::Corner(2), (mm(500), mm(300)), &free, true).unwrap();
        assert_eq!(wider.sides(), Some((mm(6_500), mm(1_500))));
        let odd = moved(&outline, Hold::Corner(2), (mm(500), mm(300)), &free, false).unwrap();
        assert_eq!(odd.sides(), None);
        let house = moved(&outline, Hold::Side(2), (mm(0), mm(800)), &free, true).unwrap();
        assert_eq!(house.corners()[3], Point::from_mm(3_000, 2_000));
    }

    #[test]
    fn edges_are_drawn_to_the_grid_to_corners_and_into_line() {
        let outline = rectangle();
        let [_, _, tenth, _] = Grid::choices(Units::Metric);
        let mut snap = Snap {
            grid: Some(tenth),
            within: mm(80),
            ..Snap::default()
        };
        let whole = moved(&outline, Hold::Whole, (mm(130), mm(-70)), &snap, true).unwrap();
        assert_eq!(whole.corners()[0], Point::from_mm(100, -100));
        snap.corners.push(Point::from_mm(6_530, 1_210));
        let corner = moved(&outline, Hold::Corner(2), (mm(500), mm(0)), &snap, true).unwrap();
        assert_eq!(corner.sides(), Some((mm(6_530), mm(1_210))));
        snap.boxes.push(Bounds {
            min: Point::from_mm(9_000, 140),
            max: Point::from_mm(9_900, 5_000),
        });
        let in_line = moved(&outline, Hold::Whole, (mm(0), mm(90)), &snap, true).unwrap();
        assert_eq!(in_line.corners()[0], Point::from_mm(0, 140));
    }

    #[test]
    fn the_thing_that_is_held_draws_nothing_to_itself() {
        let garden = garden();
        let all = things(&garden).len();
        let snap = Snap::beside(&garden, Some(Thing::Bed(bed(1))), None, mm(50));
        assert_eq!(snap.boxes.len(), all - 1);
        let mut alone = garden.clone();
        alone.beds.remove(&bed(2));
        let snap = Snap::beside(&alone, Some(Thing::Bed(bed(1))), None, mm(50));
        assert_eq!((snap.boxes.len(), snap.corners.len()), (0, 0));
    }

    #[test]
    fn arrows_go_by_the_grid() {
        let [_, three, _, _] = Grid::choices(Units::UsCustomary);
        let up = arrow("ArrowUp", Some(three), Units::UsCustomary);
        assert_eq!(up, Some((Length::ZERO, mm(76))));
        assert_eq!(
            arrow("ArrowLeft", None, Units::Metric),
            Some((mm(-10), Length::ZERO))
        );
        assert_eq!(arrow("Enter", None, Units::Metric), None);
    }
}
