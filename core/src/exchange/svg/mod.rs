//! The plan of a garden as a drawing (SVG 1.1) for paper and for other programs: true to scale, in millimetres, with a scale
//! bar and a north mark.
//!
//! One unit of the drawing is a millimetre on the ground; y grows to the south there, so what lies north is written with a
//! minus. Its size on paper is that of the chosen scale, such as 1 : 100.

use std::fmt::Write as _;

use crate::document::Garden;
use crate::document::records::{Structure, StructureKind};
use crate::geometry::{Bounds, Line, Outline, Point, Turn};
use crate::quantities::{BadInput, Length, Units};

/// The scales that a plan is drawn at, the largest drawing first.
pub const SCALES: [i64; 5] = [50, 100, 200, 500, 1_000];
/// What is left free around the ground, as a share of its longer side: a twentieth.
const MARGIN: i64 = 20;

/// Draws what was not given up, at a scale of one to so many.
pub fn plan(garden: &Garden, scale: i64) -> Result<String, BadInput> {
    if !SCALES.contains(&scale) {
        let expected = format!(
            "one of {}",
            SCALES.map(|scale| format!("1:{scale}")).join(", ")
        );
        return Err(BadInput::new("scale", expected, scale.to_string()));
    }
    let beds = garden.open_beds();
    let structures = || {
        garden
            .structures
            .values()
            .filter(|it| it.ended_on.is_none())
    };
    let fences = || {
        garden
            .fence_lines
            .values()
            .filter(|it| it.ended_on.is_none())
    };
    let bounds = beds
        .iter()
        .map(|(_, bed)| bed.outline.bounds())
        .chain(structures().map(|structure| structure.outline.bounds()))
        .chain(fences().map(|fence| fence.line.bounds()))
        .reduce(Bounds::with);
    let Some(bounds) = bounds else {
        return Err(BadInput::new("plan", "ground that was drawn", "nothing"));
    };
    let mut sheet = Sheet::begin(bounds, scale);
    for structure in structures() {
        sheet.structure(structure);
    }
    for (_, bed) in &beds {
        sheet.outline(&bed.outline, "bed");
        sheet.label(bed.outline.label_point(), &bed.label);
    }
    for fence in fences() {
        sheet.line(&fence.line, "fence");
        for gate in fence.gates_in_order() {
            if let Some((from, to)) = along(&fence.line, gate.at, gate.width) {
                sheet.segment(from, to, "gate");
            }
        }
    }
    let profile = garden.profile.as_ref();
    let units = profile.map_or(Units::Metric, |profile| profile.units);
    let north = profile.map_or(0, |profile| profile.north_degrees);
    sheet.scale_bar(units);
    sheet.north_mark(north);
    Ok(sheet.end())
}

/// A drawing in the making.
struct Sheet {
    text: String,
    bounds: Bounds,
    /// The height of a letter, on the ground.
    letter: i64,
    margin: i64,
}

impl Sheet {
    fn begin(bounds: Bounds, scale: i64) -> Self {
        let longer = bounds.width().max(bounds.depth()).mm().max(1_000);
        let margin = longer / MARGIN;
        // Ten tenths of a millimetre on paper, three and a half of them a letter.
        let letter = scale * 7 / 2;
        let (left, top) = (bounds.min.x.mm() - margin, -bounds.max.y.mm() - margin);
        let below = margin + 4 * letter;
        let width = bounds.width().mm() + 2 * margin;
        let height = bounds.depth().mm() + margin + below;
        let on_paper = |mm: i64| format!("{}.{}mm", mm / scale, mm % scale * 10 / scale);
        let mut text = String::new();
        let _infallible = write!(
            text,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" viewBox=\"{left} {top} {width} {height}\">\
             <style>*{{fill:none;stroke:#222;stroke-width:{line}}}.path{{stroke-dasharray:{dash}}}.fence{{stroke-width:{thick}}}\
             .gate{{stroke:#fff;stroke-width:{line}}}text{{fill:#222;stroke:none;font:{letter}px sans-serif;text-anchor:middle}}</style>",
            on_paper(width),
            on_paper(height),
            line = scale / 4,
            thick = scale / 2,
            dash = scale * 2,
        );
        Self {
            text,
            bounds,
            letter,
            margin,
        }
    }

    fn end(mut self) -> String {
        self.text.push_str("</svg>\n");
        self.text
    }

    fn outline(&mut self, outline: &Outline, class: &str) {
        let _infallible = write!(self.text, "<path class=\"{class}\" d=\"");
        for ring in std::iter::once(outline.corners()).chain(outline.holes()) {
            self.way(ring);
            self.text.push('Z');
        }
        self.text.push_str("\"/>");
    }

    fn line(&mut self, line: &Line, class: &str) {
        let _infallible = write!(self.text, "<path class=\"{class}\" d=\"");
        self.way(line.points());
        self.text.push_str("\"/>");
    }

    fn segment(&mut self, from: Point, to: Point, class: &str) {
        let _infallible = write!(self.text, "<path class=\"{class}\" d=\"");
        self.way(&[from, to]);
        self.text.push_str("\"/>");
    }

    fn way(&mut self, points: &[Point]) {
        for (index, point) in points.iter().enumerate() {
            let letter = if index == 0 { 'M' } else { 'L' };
            let _infallible = write!(self.text, "{letter}{} {}", point.x.mm(), -point.y.mm());
        }
    }

    fn label(&mut self, at: Point, words: &str) {
        let (x, y) = (at.x.mm(), -at.y.mm() + self.letter / 3);
        let _infallible = write!(
            self.text,
            "<text x=\"{x}\" y=\"{y}\">{}</text>",
            escaped(words)
        );
    }

    fn structure(&mut self, structure: &Structure) {
        self.outline(&structure.outline, structure.what.kind.key());
        let middle = structure.outline.label_point();
        self.label(middle, &structure.label);
        let Some(facing) = structure.what.facing else {
            return;
        };
        let far = match structure.what.kind {
            StructureKind::Tree => structure.what.reach,
            StructureKind::Slope => Some(Length::from_mm(4 * self.letter)),
            StructureKind::Other
            | StructureKind::Building
            | StructureKind::Path
            | StructureKind::Water
            | StructureKind::Compost => None,
        };
        if let Some(end) = far.and_then(|far| away(middle, facing, far)) {
            self.segment(middle, end, "path");
        }
        if let (StructureKind::Slope, Some(fall)) = (structure.what.kind, structure.what.fall) {
            let below = Point::from_mm(middle.x.mm(), middle.y.mm() - self.letter * 3 / 2);
            self.label(below, &format!("{fall} %"));
        }
    }

    /// A bar as long as a round number of metres or feet, near a fifth of the width.
    fn scale_bar(&mut self, units: Units) {
        let (unit, sign) = match units {
            Units::Metric => (10_000, "m"),
            Units::UsCustomary => (3_048, "ft"),
        };
        let wanted = self.bounds.width().mm().max(5_000) / 5;
        let steps = [1_i64, 2, 5, 10, 20, 50, 100, 200, 500, 1_000];
        let fits = steps
            .into_iter()
            .filter(|count| count * unit / 10 <= wanted);
        let count = fits.max().unwrap_or(1);
        let (x, y) = (
            self.bounds.min.x.mm(),
            self.bounds.min.y.mm() - self.margin - self.letter,
        );
        let length = (count * unit + 5) / 10;
        let (from, to) = (Point::from_mm(x, y), Point::from_mm(x + length, y));
        self.segment(from, to, "fence");
        let middle = Point::from_mm(x + length / 2, y - self.letter);
        self.label(middle, &format!("{count} {sign}"));
    }

    fn north_mark(&mut self, degrees: i64) {
        let long = Length::from_mm(3 * self.letter);
        let foot = Point::from_mm(
            self.bounds.max.x.mm() - self.letter,
            self.bounds.min.y.mm() - self.margin - 3 * self.letter,
        );
        if let Some(tip) = away(foot, degrees, long) {
            self.segment(foot, tip, "fence");
            self.label(tip, "N");
        }
    }
}

/// The point so far away in a direction, in degrees clockwise from the top of the plan.
fn away(from: Point, degrees: i64, far: Length) -> Option<Point> {
    let turn = Turn::from_degrees(i32::try_from(-degrees).ok()?);
    let up = from.checked_shift(Length::ZERO, far)?;
    Some(turn.carry(up, from))
}

/// Where a gate stands, on the run that it begins on.
fn along(line: &Line, at: Length, width: Length) -> Option<(Point, Point)> {
    let mut before = 0;
    for run in line.runs() {
        let length = run.length().mm();
        let start = at.mm() - before;
        if start < length {
            let end = (start + width.mm()).min(length);
            let place = |along: i64| {
                let share = |from: Length, to: Length| {
                    let step = i128::from(to.mm() - from.mm()) * i128::from(along);
                    let step = step.checked_div(i128::from(length))?;
                    from.mm().checked_add(i64::try_from(step).ok()?)
                };
                Some(Point::from_mm(
                    share(run.from.x, run.to.x)?,
                    share(run.from.y, run.to.y)?,
                ))
            };
            return Some((place(start)?, place(end)?));
        }
        before += length;
    }
    None
}

/// Words as they may stand between tags.
fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use crate::ordered::Map;
    use std::sync::Arc;

    use super::*;
    use crate::document::ids::{BedId, FenceId, StructureId};
    use crate::document::records::{Bed, FenceLine, Gate, StructureFacts};
    use crate::quantities::Moment;

    fn garden() -> Garden {
        let (now, chance) = (Moment::from_millis(0), [1; 10]);
        let mut garden = Garden::default();
        let bed = Bed {
            label: "A<1>".to_owned(),
            outline: Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap(),
            holders: Map::new(),
            note: String::new(),
            ended_on: None,
        };
        garden.beds.insert(BedId::fresh(now, chance), Arc::new(bed));
        let tree = Structure {
            label: "Plum".to_owned(),
            outline: Outline::circle(Point::from_mm(10_000, 0), Length::from_mm(1_000)).unwrap(),
            what: StructureFacts {
                kind: StructureKind::Tree,
                facing: Some(90),
                reach: Some(Length::from_mm(3_000)),
                fall: None,
            },
            ended_on: None,
        };
        let id = StructureId::fresh(now, chance);
        garden.structures.insert(id, Arc::new(tree));
        let fence = FenceLine {
            label: "North".to_owned(),
            line: Line::parse("LINESTRING(0 5000,10000 5000)").unwrap(),
            gates: Map::from([(
                "1".to_owned(),
                Gate {
                    at: Length::from_mm(2_000),
                    width: Length::from_mm(1_200),
                },
            )]),
            ended_on: None,
        };
        let id = FenceId::fresh(now, chance);
        garden.fence_lines.insert(id, Arc::new(fence));
        garden
    }

    #[test]
    fn the_ground_is_drawn_true_to_scale() {
        let drawn = plan(&garden(), 100).unwrap();
        assert!(
            drawn.contains("d=\"M0 0L6000 0L6000 -1200L0 -1200Z\""),
            "{drawn}"
        );
        assert!(drawn.contains(">A&lt;1&gt;</text>"), "{drawn}");
        // The gate lies two metres along the fence; the plum shades three metres to the east.
        assert!(drawn.contains("d=\"M2000 -5000L3200 -5000\""), "{drawn}");
        assert!(drawn.contains("L13000 0\""), "{drawn}");
        // 10.5 m and two margins of a twentieth: 115.5 mm at 1 : 100.
        assert!(drawn.starts_with("<svg "), "{drawn}");
        assert!(drawn.contains("width=\"115.5mm\""), "{drawn}");
    }

    #[test]
    fn an_empty_ground_and_a_scale_that_no_ruler_has_are_refused() {
        assert_eq!(plan(&Garden::default(), 100).unwrap_err().field, "plan");
        assert_eq!(plan(&garden(), 70).unwrap_err().field, "scale");
    }
}
