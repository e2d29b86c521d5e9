//! What is in hand as it is drawn: an outline, or a fence line with its gates.

use selion_core::document::fence_change::{fit, fit_near, gates_after_move, gates_carried};
use selion_core::document::records::Gate;
use selion_core::geometry::snap::Grid;
use selion_core::geometry::{Bounds, Line, Outline, Point};
use selion_core::ordered::{self, Map};
use selion_core::quantities::{BadInput, Length};

use super::hold::{self, Hold, Snap, Step};

/// A fence line and its gates.
#[derive(Clone, Debug, PartialEq)]
pub struct Fence {
    /// Where it runs.
    pub line: Line,
    /// Its gates.
    pub gates: Map<String, Gate>,
}

/// Something that is drawn on.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A bed or a structure.
    Closed(Outline),
    /// A fence line.
    Fence(Fence),
}

impl Shape {
    /// Its outline, if it has one.
    pub fn outline(&self) -> Option<&Outline> {
        match self {
            Self::Closed(outline) => Some(outline),
            Self::Fence(_) => None,
        }
    }

    /// Its fence line, if it is one.
    pub fn fence(&self) -> Option<&Fence> {
        match self {
            Self::Closed(_) => None,
            Self::Fence(fence) => Some(fence),
        }
    }

    /// The box around it.
    pub fn bounds(&self) -> Bounds {
        match self {
            Self::Closed(outline) => outline.bounds(),
            Self::Fence(fence) => fence.line.bounds(),
        }
    }

    /// The corners that can be taken hold of; where a line ends where it began, that point once.
    pub fn corners(&self) -> &[Point] {
        match self {
            Self::Closed(outline) => outline.corners(),
            Self::Fence(Fence { line, .. }) => {
                let points = line.points();
                let count = points.len() - usize::from(line.is_closed());
                points.get(..count).unwrap_or(points)
            }
        }
    }

    /// How many sides a further corner can be put into.
    pub fn sides(&self) -> usize {
        match self {
            Self::Closed(outline) => outline.corners().len(),
            Self::Fence(fence) => fence.line.points().len().saturating_sub(1),
        }
    }

    /// The middle of a side.
    pub fn middle(&self, side: usize) -> Point {
        match self {
            Self::Closed(outline) => hold::middle(outline, side),
            Self::Fence(fence) => fence
                .line
                .runs()
                .nth(side)
                .map(|run| halfway(run.from, run.to, 2))
                .unwrap_or_default(),
        }
    }

    /// Where the whole of it is taken hold of: in the middle of an outline; on a fence a quarter along its first side, where
    /// no corner and no middle is.
    pub fn whole_at(&self) -> Point {
        match self {
            Self::Closed(outline) => outline.label_point(),
            Self::Fence(fence) => {
                let first = fence.line.runs().next();
                first
                    .map(|run| halfway(run.from, run.to, 4))
                    .unwrap_or_default()
            }
        }
    }

    /// The keys of its gates, in the order they were put in.
    pub fn gates(&self) -> Vec<String> {
        let mut keys: Vec<String> = match self {
            Self::Closed(_) => Vec::new(),
            Self::Fence(fence) => fence.gates.keys().cloned().collect(),
        };
        ordered::sort_by_key(&mut keys, |key| (key.len(), key.clone()));
        keys
    }

    /// The middle of a gate, by its place in that order.
    pub fn gate_at(&self, place: usize) -> Point {
        let keys = self.gates();
        let gate = self
            .fence()
            .zip(keys.get(place))
            .and_then(|(fence, key)| Some((fence, *fence.gates.get(key)?)));
        gate.map(|(fence, gate)| {
            let middle = gate.at.mm().saturating_add(gate.width.mm() / 2);
            fence.line.at(Length::from_mm(middle))
        })
        .unwrap_or_default()
    }

    /// As it is after a hand has moved what it holds so far.
    pub fn moved(
        &self,
        hold: Hold,
        step: Step,
        snap: &Snap,
        square: bool,
    ) -> Result<Self, BadInput> {
        match self {
            Self::Closed(outline) => {
                hold::moved(outline, hold, step, snap, square).map(Self::Closed)
            }
            Self::Fence(fence) => fence.moved(hold, step, snap).map(Self::Fence),
        }
    }

    /// Without one of its corners.
    pub fn without_corner(&self, corner: usize) -> Result<Self, BadInput> {
        match self {
            Self::Closed(outline) => outline.without_corner(corner).map(Self::Closed),
            Self::Fence(fence) => {
                let line = fence.line.without_point(corner)?;
                let gates = gates_carried(&fence.line, &line, &fence.gates);
                Ok(Self::Fence(Fence { line, gates }))
            }
        }
    }

    /// With one gate slid along the line by so much, forwards or back.
    pub fn slid(&self, place: usize, by: Length) -> Result<Self, BadInput> {
        let keys = self.gates();
        let Some((fence, key)) = self.fence().zip(keys.get(place)) else {
            return Err(no_gate(place));
        };
        let gate = fence
            .gates
            .get(key)
            .copied()
            .ok_or_else(|| no_gate(place))?;
        let to = gate.at.mm().saturating_add(by.mm()).max(0);
        // Past the end of its side it goes on to the next one.
        let (begins, ends) = fence.line.side_at(gate.at);
        let to = if by.is_positive() && to + gate.width.mm() > ends.mm() {
            ends.mm()
        } else if !by.is_positive() && to < begins.mm() {
            begins.mm() - gate.width.mm()
        } else {
            to
        };
        let at = fit(&fence.line, Length::from_mm(to.max(0)), gate.width);
        Ok(Self::Fence(
            fence.with_gate(key.clone(), Gate { at, ..gate }),
        ))
    }
}

impl Fence {
    /// With a gate, new or another one under this key.
    #[must_use]
    pub fn with_gate(&self, key: String, gate: Gate) -> Self {
        let mut fence = self.clone();
        fence.gates.insert(key, gate);
        fence
    }

    /// A key that no gate has.
    pub fn free_key(&self) -> String {
        let numbers = self.gates.keys().filter_map(|key| key.parse::<u32>().ok());
        (numbers.max().unwrap_or(0) + 1).to_string()
    }

    fn moved(&self, hold: Hold, (east, north): Step, snap: &Snap) -> Result<Self, BadInput> {
        let far = || BadInput::new("corner", "a place on the ground", "one too far away");
        let to = |from: Point| from.checked_shift(east, north).ok_or_else(far);
        let shape = Shape::Fence(self.clone());
        match hold {
            Hold::Whole => {
                let moved = self.line.shifted(east, north)?;
                let (more_east, more_north) = snap.whole(moved.bounds());
                let line = moved.shifted(more_east, more_north)?;
                let gates = self.gates.clone();
                Ok(Self { line, gates })
            }
            Hold::Corner(corner) => {
                let from = shape.corners().get(corner).copied().ok_or_else(far)?;
                let line = self.line.with_point(corner, snap.corner(to(from)?))?;
                let gates = gates_after_move(&self.line, &line, &self.gates);
                Ok(Self { line, gates })
            }
            Hold::Side(side) => {
                let at = snap.corner(to(shape.middle(side))?);
                let line = self.line.with_point_after(side, at)?;
                let gates = gates_carried(&self.line, &line, &self.gates);
                Ok(Self { line, gates })
            }
            Hold::Gate(place) => {
                let keys = shape.gates();
                let key = keys.get(place).ok_or_else(|| no_gate(place))?;
                let gate = self.gates.get(key).copied().ok_or_else(|| no_gate(place))?;
                let near = fit_near(&self.line, to(shape.gate_at(place))?, gate.width);
                let at = snap
                    .grid
                    .map_or(near, |grid| on_grid(&self.line, near, gate, grid));
                Ok(self.with_gate(key.clone(), Gate { at, ..gate }))
            }
        }
    }
}

/// A place along a line at a whole number of the grid's steps from the corner before it.
fn on_grid(line: &Line, at: Length, gate: Gate, grid: Grid) -> Length {
    let (begins, _) = line.side_at(at);
    let off = Length::from_mm(at.mm() - begins.mm());
    let off = grid.nearest(Point { x: off, y: off }).x;
    fit(line, Length::from_mm(begins.mm() + off.mm()), gate.width)
}

fn halfway(from: Point, to: Point, part: i64) -> Point {
    Point::from_mm(
        from.x.mm() + (to.x.mm() - from.x.mm()) / part,
        from.y.mm() + (to.y.mm() - from.y.mm()) / part,
    )
}

fn no_gate(place: usize) -> BadInput {
    BadInput::new("gate", "one of the gates", (place + 1).to_string())
}

#[cfg(test)]
mod tests {
    use selion_core::quantities::Units;

    use super::*;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn fence() -> Shape {
        let gate = Gate {
            at: mm(1_000),
            width: mm(1_200),
        };
        Shape::Fence(Fence {
            line: Line::parse("LINESTRING(0 0,6000 0,6000 4000)").unwrap(),
            gates: Map::from([("1".to_owned(), gate)]),
        })
    }

    fn at(shape: &Shape) -> i64 {
        shape.fence().unwrap().gates["1"].at.mm()
    }

    fn to(hold: Hold, east: i64, north: i64, snap: &Snap) -> Shape {
        fence()
            .moved(hold, (mm(east), mm(north)), snap, true)
            .unwrap()
    }

    #[test]
    fn a_fence_is_moved_as_a_whole_by_a_corner_by_a_new_corner_and_by_its_gate() {
        let free = Snap::default();
        let whole = to(Hold::Whole, 500, -200, &free);
        assert_eq!(
            (whole.corners()[0], at(&whole)),
            (Point::from_mm(500, -200), 1_000)
        );
        let corner = to(Hold::Corner(0), -500, 0, &free);
        assert_eq!(corner.fence().unwrap().line.length(), mm(10_500));
        let bent = to(Hold::Side(1), 900, 0, &free);
        assert_eq!(bent.corners()[2], Point::from_mm(6_900, 2_000));
        let slid = to(Hold::Gate(0), 2_345, 700, &free);
        assert_eq!(at(&slid), 3_345);
        let round_the_corner = to(Hold::Gate(0), 4_600, 2_000, &free);
        assert_eq!(at(&round_the_corner), 7_400);
        let [_, _, tenth, _] = Grid::choices(Units::Metric);
        let snap = Snap {
            grid: Some(tenth),
            ..Snap::default()
        };
        assert_eq!(at(&to(Hold::Gate(0), 2_345, 0, &snap)), 3_300);
    }

    #[test]
    fn a_gate_slides_by_steps_over_corners_and_stops_at_the_ends() {
        let shape = fence();
        assert_eq!(at(&shape.slid(0, mm(100)).unwrap()), 1_100);
        assert_eq!(at(&shape.slid(0, mm(-5_000)).unwrap()), 0);
        let at_corner = shape.slid(0, mm(3_800)).unwrap();
        assert_eq!(at(&at_corner), 4_800);
        let beyond = at_corner.slid(0, mm(10)).unwrap();
        assert_eq!(at(&beyond), 6_000);
        assert_eq!(at(&beyond.slid(0, mm(-10)).unwrap()), 4_800);
        assert_eq!(at(&beyond.slid(0, mm(90_000)).unwrap()), 8_800);
        assert!(shape.slid(3, mm(1)).is_err());
    }

    #[test]
    fn handles_stand_apart_from_each_other() {
        let shape = fence();
        let mut places = vec![shape.whole_at(), shape.gate_at(0)];
        places.extend(shape.corners());
        places.extend((0..shape.sides()).map(|side| shape.middle(side)));
        for (index, one) in places.iter().enumerate() {
            for other in &places[index + 1..] {
                assert!(one.distance(*other) > mm(50), "{one:?}");
            }
        }
        let round = Shape::Fence(Fence {
            line: Line::parse("LINESTRING(0 0,6000 0,6000 4000,0 4000,0 0)").unwrap(),
            gates: Map::new(),
        });
        assert_eq!((round.corners().len(), round.sides()), (4, 4));
        assert_eq!(round.without_corner(0).unwrap().corners().len(), 3);
        assert_eq!(shape.fence().unwrap().free_key(), "2");
    }
}
