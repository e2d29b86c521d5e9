//! A fence line as it is drawn: the line with its gaps, its posts, and its gates standing open.

use std::fmt::Write;

use selion_core::document::records::{FenceLine, Gate};
use selion_core::geometry::Line;
use selion_core::ordered::{self, Map};
use selion_core::quantities::{Length, Units};

use super::drawing::place;

/// Posts between corners and gates are drawn this far apart at most. The drawing shows that there are posts, not how many to buy.
const POSTS_APART: f64 = 3_000.0;

/// A place on the sheet.
type At = (f64, f64);

/// A fence line, ready to be drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FenceDrawing {
    /// The fence without its gates, as SVG path data.
    pub line: String,
    /// Where posts stand.
    pub posts: Vec<At>,
    /// The gates.
    pub gates: Vec<GateDrawing>,
}

/// A gate, drawn as it swings.
#[derive(Clone, Debug, PartialEq)]
pub struct GateDrawing {
    /// The leaf and its swing, as SVG path data.
    pub swing: String,
    /// Where its words stand.
    pub words_at: At,
    /// `gate 12 ft`.
    pub words: String,
}

/// Draws a fence line.
pub fn fence(fence: &FenceLine, units: Units) -> FenceDrawing {
    drawn(&fence.line, &fence.gates, units)
}

/// Draws a line with its gates, as they are written or in hand just now.
pub fn drawn(line: &Line, gates: &Map<String, Gate>, units: Units) -> FenceDrawing {
    let way = Way::along(line);
    let mut gates: Vec<(f64, f64, Length)> = gates
        .values()
        .map(|gate| {
            let from = float(gate.at).clamp(0.0, way.whole());
            let to = (from + float(gate.width)).clamp(from, way.whole());
            (from, to, gate.width)
        })
        .collect();
    ordered::sort_by(&mut gates, |one, other| one.0.total_cmp(&other.0));
    let mut drawn = FenceDrawing::default();
    let mut from = 0.0;
    for (gate_from, gate_to, width) in gates {
        drawn.stretch(&way, from, gate_from);
        drawn
            .gates
            .extend(way.gate(gate_from, gate_to, width, units));
        from = gate_to.max(from);
    }
    drawn.stretch(&way, from, way.whole());
    drawn
}

impl FenceDrawing {
    /// The fence from here to there, with its posts.
    fn stretch(&mut self, way: &Way, from: f64, to: f64) {
        if to <= from {
            return;
        }
        let corners = way.corners.iter().map(|(at, _)| *at);
        let between = corners.filter(|at| *at > from && *at < to);
        let stops: Vec<f64> = [from].into_iter().chain(between).chain([to]).collect();
        for (index, (x, y)) in stops.iter().filter_map(|at| way.at(*at)).enumerate() {
            let pen = if index == 0 { 'M' } else { 'L' };
            // Writing to a string cannot fail.
            let _ = write!(self.line, "{pen}{x:.0} {y:.0}");
        }
        for (one, other) in stops.iter().zip(stops.iter().skip(1)) {
            let apart = other - one;
            let spans = (apart / POSTS_APART).ceil().max(1.0);
            let mut step = 0.0;
            while step < spans {
                self.posts.extend(way.at(one + apart * step / spans));
                step += 1.0;
            }
        }
        self.posts.extend(way.at(to));
    }
}

/// A line with how far along each of its points lies.
struct Way {
    corners: Vec<(f64, At)>,
}

impl Way {
    fn along(line: &Line) -> Self {
        let mut corners: Vec<(f64, At)> = Vec::new();
        for point in line.points() {
            let here = place(*point);
            let at = corners.last().map_or(0.0, |(at, last)| {
                at + (here.0 - last.0).hypot(here.1 - last.1)
            });
            corners.push((at, here));
        }
        Self { corners }
    }

    fn whole(&self) -> f64 {
        self.corners.last().map_or(0.0, |(at, _)| *at)
    }

    /// The place so far along.
    fn at(&self, along: f64) -> Option<At> {
        let runs = self.corners.iter().zip(self.corners.iter().skip(1));
        let mut runs = runs.skip_while(|(_, (to, _))| *to < along);
        match runs.next() {
            Some(((from, start), (to, end))) => {
                let part = (along - from) / (to - from).max(1.0);
                Some((
                    start.0 + (end.0 - start.0) * part,
                    start.1 + (end.1 - start.1) * part,
                ))
            }
            None => self.corners.last().map(|(_, end)| *end),
        }
    }

    /// A gate hung at its beginning, standing open at a right angle.
    fn gate(&self, from: f64, to: f64, width: Length, units: Units) -> Option<GateDrawing> {
        let ((hinge_x, hinge_y), (latch_x, latch_y)) = (self.at(from)?, self.at(to)?);
        let (across, along) = (latch_x - hinge_x, latch_y - hinge_y);
        let (open_x, open_y) = (hinge_x + along, hinge_y - across);
        let leaf = across.hypot(along);
        let swing = format!(
            "M{hinge_x:.0} {hinge_y:.0}L{open_x:.0} {open_y:.0}A{leaf:.0} {leaf:.0} 0 0 1 {latch_x:.0} {latch_y:.0}"
        );
        // The words stand beyond the fence, where the gate does not swing.
        let words_at = (
            f64::midpoint(hinge_x, latch_x) - along * 0.3,
            f64::midpoint(hinge_y, latch_y) + across * 0.3,
        );
        Some(GateDrawing {
            swing,
            words_at,
            words: format!("gate {}", width.show(units)),
        })
    }
}

// No garden reaches 2,000 km, so a length is exact as 32 bits and as a float.
fn float(length: Length) -> f64 {
    f64::from(i32::try_from(length.mm()).unwrap_or(i32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fence_line(gates: &[(i64, i64)]) -> FenceLine {
        let gates = (1..).zip(gates).map(|(number, (at, width))| {
            let gate = Gate {
                at: Length::from_mm(*at),
                width: Length::from_mm(*width),
            };
            (number.to_string(), gate)
        });
        FenceLine {
            label: "North side".into(),
            line: Line::parse("LINESTRING(0 0,6000 0,6000 3000)").unwrap(),
            gates: gates.collect::<Map<_, _>>(),
            ended_on: None,
        }
    }

    #[test]
    fn without_a_gate_the_line_is_whole_and_posts_stand_at_corners_and_between() {
        let drawn = fence(&fence_line(&[]), Units::Metric);
        assert_eq!(drawn.line, "M0 0L6000 0L6000 -3000");
        let posts = [
            (0.0, 0.0),
            (3_000.0, 0.0),
            (6_000.0, 0.0),
            (6_000.0, -3_000.0),
        ];
        assert_eq!(drawn.posts, posts);
    }

    #[test]
    fn a_gate_opens_the_line_and_is_named_with_its_width() {
        let drawn = fence(&fence_line(&[(2_000, 1_000)]), Units::Metric);
        assert_eq!(drawn.line, "M0 0L2000 0M3000 0L6000 0L6000 -3000");
        let [gate] = drawn.gates.as_slice() else {
            panic!("one gate, not {}", drawn.gates.len());
        };
        assert_eq!(gate.words, "gate 1 m");
        assert_eq!(gate.swing, "M2000 0L2000 -1000A1000 1000 0 0 1 3000 0");
    }

    #[test]
    fn a_gate_that_leaves_the_line_or_lies_on_another_draws_what_there_is() {
        let drawn = fence(
            &fence_line(&[(8_500, 5_000), (1_000, 4_000), (2_000, 1_000)]),
            Units::Metric,
        );
        assert_eq!(drawn.line, "M0 0L1000 0M5000 0L6000 0L6000 -2500");
        assert_eq!(drawn.gates.len(), 3);
    }
}
