//! Lines of the ground that do not close: a fence line with its runs and corners.

use std::fmt;
use std::str::FromStr;

use super::point::{Bounds, Point};
use super::{MOST_CORNERS, text};
use crate::json::{form, serde_form};
use crate::quantities::{BadInput, Length};

/// The name under which a line is refused.
const FIELD: &str = "line";

/// A line of at least two points, such as a fence line. Stored and sent as well-known text in millimetres:
/// `LINESTRING(0 0,6000 0,6000 4000)`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Line {
    points: Vec<Point>,
}

/// One straight piece of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Run {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

impl Run {
    /// Its length, to the nearest millimetre.
    pub fn length(self) -> Length {
        self.from.distance(self.to)
    }
}

impl Line {
    /// The line through these points; repeated neighbours count once.
    pub fn new(mut points: Vec<Point>) -> Result<Self, BadInput> {
        points.dedup();
        if !(2..=MOST_CORNERS).contains(&points.len()) {
            let came = format!("{} points", points.len());
            return Err(BadInput::new(
                FIELD,
                format!("2 to {MOST_CORNERS} different points"),
                came,
            ));
        }
        for point in &points {
            point.within_reach(FIELD)?;
        }
        Ok(Self { points })
    }

    /// The line in this well-known text.
    pub fn parse(wkt: &str) -> Result<Self, BadInput> {
        Self::new(text::line(wkt, FIELD)?)
    }

    /// Its points, in order.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Its straight pieces, in order.
    pub fn runs(&self) -> impl Iterator<Item = Run> + '_ {
        self.points
            .iter()
            .zip(self.points.iter().skip(1))
            .map(|(&from, &to)| Run { from, to })
    }

    /// The points between its ends where it turns; where it closes on itself, that point too.
    pub fn corners(&self) -> Vec<Point> {
        let mut way = self.points.clone();
        if self.is_closed() {
            way.extend(self.points.get(1));
        }
        way.windows(3)
            .filter_map(|three| {
                if let &[a, b, c] = three {
                    turns(a, b, c).then_some(b)
                } else {
                    None
                }
            })
            .collect()
    }

    /// How long each straight side is, from turn to turn, its runs together.
    ///
    /// A closed line may begin in the middle of a side: that side is then the last one, and what it began with is told
    /// apart, since places along the line are counted from there.
    pub fn sides(&self) -> (Vec<Length>, Option<Length>) {
        let runs: Vec<Run> = self.runs().collect();
        let mut sides = Vec::new();
        let mut side = Length::ZERO;
        for (run, next) in runs.iter().zip(runs.iter().skip(1)) {
            side = [side, run.length()].into_iter().sum();
            if turns(run.from, run.to, next.to) {
                sides.push(side);
                side = Length::ZERO;
            }
        }
        sides.push(
            [side]
                .into_iter()
                .chain(runs.last().map(|run| run.length()))
                .sum(),
        );
        let bends = match (runs.last(), runs.first()) {
            (Some(last), Some(first)) if self.is_closed() => turns(last.from, last.to, first.to),
            _ => true,
        };
        let mut began_with = None;
        if !bends && sides.len() > 1 {
            let first = sides.remove(0);
            if let Some(last) = sides.last_mut() {
                *last = [*last, first].into_iter().sum();
            }
            began_with = Some(first);
        }
        (sides, began_with)
    }

    /// Whether it ends where it began, as a fence all round does.
    pub fn is_closed(&self) -> bool {
        self.points.len() > 3 && self.points.first() == self.points.last()
    }

    /// Its whole length, each run to the nearest millimetre.
    pub fn length(&self) -> Length {
        self.runs().map(Run::length).sum()
    }

    /// The upright box around it.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(self.points.iter().copied()).unwrap_or(Bounds {
            min: Point::default(),
            max: Point::default(),
        })
    }
}

/// Whether the way bends at its middle point.
fn turns(a: Point, b: Point, c: Point) -> bool {
    let (to_x, to_y) = a.steps_to(b);
    let (on_x, on_y) = b.steps_to(c);
    to_x * on_y != to_y * on_x || to_x * on_x + to_y * on_y < 0
}

impl fmt::Display for Line {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("LINESTRING")?;
        text::write_points(out, self.points.iter())
    }
}

impl FromStr for Line {
    type Err = BadInput;

    fn from_str(wkt: &str) -> Result<Self, BadInput> {
        Self::parse(wkt)
    }
}

form!(Line: text);
serde_form!(Line);
