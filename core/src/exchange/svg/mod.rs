//! The plan of a garden as a drawing (SVG 1.1) for paper and for other programs: true to scale, in millimetres, with a scale
//! bar and a north mark.
//!
//! One unit of the drawing is a millimetre on the ground; y grows to the south there, so what lies north is written with a
//! minus. Its size on paper is that of the chosen scale, such as 1 : 100. Each kind of structure has its own hatch or sign,
//! named in a key; trees of known height are drawn with their shade at noon of the equinox, 21 March.

mod marks;

use std::fmt::Write as _;

use crate::document::records::{Structure, StructureKind};
use crate::document::{Garden, signs};
use crate::geometry::{Bounds, Outline, Point};
use crate::quantities::{BadInput, Day, Length, Minutes, Units};

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
    let kinds: Vec<StructureKind> = StructureKind::ALL
        .into_iter()
        .filter(|kind| structures().any(|structure| structure.what.kind == *kind))
        .collect();
    let mut sheet = Sheet::begin(bounds, scale, kinds.len());
    let when = noon_of_the_equinox()?;
    let signs: Vec<(&Structure, signs::Sign)> = structures()
        .map(|structure| (structure.as_ref(), signs::of(garden, structure, when)))
        .collect();
    // Shade lies below everything.
    for shade in signs.iter().filter_map(|(_, sign)| sign.shade.as_ref()) {
        sheet.outline(shade, "shade in-shade");
    }
    for (structure, sign) in &signs {
        sheet.structure(structure, sign);
    }
    for (_, bed) in &beds {
        sheet.outline(&bed.outline, "bed");
        sheet.label(bed.outline.label_point(), &bed.label);
    }
    for fence in fences() {
        sheet.strokes(fence.line.points(), "fence");
        for gate in fence.gates_in_order() {
            let end = Length::from_mm(gate.at.mm().saturating_add(gate.width.mm()));
            let (from, to) = (fence.line.at(gate.at), fence.line.at(end));
            sheet.segment(from, to, "gate");
        }
    }
    let profile = garden.profile.as_ref();
    let units = profile.map_or(Units::Metric, |profile| profile.units);
    let north = profile.map_or(0, |profile| profile.north_degrees);
    sheet.scale_bar(units);
    sheet.north_mark(north);
    sheet.key(&kinds);
    Ok(sheet.end())
}

/// The hour for which shade is drawn on paper: that at which it is as long as the tree is high at 45° of latitude.
fn noon_of_the_equinox() -> Result<signs::When, BadInput> {
    let (day, time) = (Day::parse("2027-03-21")?, Minutes::new(720));
    Ok(signs::When { day, time })
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
    fn begin(bounds: Bounds, scale: i64, key_lines: usize) -> Self {
        let longer = bounds.width().max(bounds.depth()).mm().max(1_000);
        let margin = longer / MARGIN;
        // Ten tenths of a millimetre on paper, three and a half of them a letter.
        let letter = scale * 7 / 2;
        let (left, top) = (bounds.min.x.mm() - margin, -bounds.max.y.mm() - margin);
        let below = margin + (4 + 2 * i64::try_from(key_lines).unwrap_or(0)) * letter;
        let width = bounds.width().mm() + 2 * margin;
        let height = bounds.depth().mm() + margin + below;
        let on_paper = |mm: i64| format!("{}.{}mm", mm / scale, mm % scale * 10 / scale);
        let mut text = String::new();
        let _infallible = write!(
            text,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" viewBox=\"{left} {top} {width} {height}\">\
             <style>*{{fill:none;stroke:#222;stroke-width:{line}}}.fence{{stroke-width:{thick}}}.gate{{stroke:#fff;stroke-width:{thick}}}\
             {marks}text{{fill:#222;stroke:none;font:{letter}px sans-serif;text-anchor:middle}}text.key{{text-anchor:start}}</style>{patterns}",
            on_paper(width),
            on_paper(height),
            line = scale / 4,
            thick = scale / 2,
            marks = marks::style(scale),
            patterns = marks::patterns(scale),
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

    fn segment(&mut self, from: Point, to: Point, class: &str) {
        self.strokes(&[from, to], class);
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

    fn structure(&mut self, structure: &Structure, sign: &signs::Sign) {
        let kind = structure.what.kind;
        match marks::fill(kind) {
            Some(fill) => self.outline(&structure.outline, &format!("{} in-{fill}", kind.key())),
            None => self.outline(&structure.outline, kind.key()),
        }
        let middle = structure.outline.label_point();
        if kind == StructureKind::Tree {
            self.trunk(middle);
        }
        if let Some(arrow) = sign.arrow {
            for strokes in signs::arrow(arrow) {
                self.strokes(&strokes, "fence");
            }
        }
        let below = |lines: i64| Point::from_mm(middle.x.mm(), middle.y.mm() - self.letter * lines);
        let (label_at, mark_at) = (below(1), below(2));
        self.label(label_at, &structure.label);
        if let Some(mark) = &sign.mark {
            self.label(mark_at, mark);
        }
    }

    /// A cross where a tree stands.
    fn trunk(&mut self, at: Point) {
        let arm = self.letter / 3;
        let (x, y) = (at.x.mm(), at.y.mm());
        for (east, north) in [(arm, arm), (arm, -arm)] {
            let from = Point::from_mm(x - east, y - north);
            self.segment(from, Point::from_mm(x + east, y + north), "tree");
        }
    }

    /// Below the plan: each kind that is on it, with its name.
    fn key(&mut self, kinds: &[StructureKind]) {
        let letter = self.letter;
        let x = self.bounds.min.x.mm();
        let mut y = self.bounds.min.y.mm() - self.margin - 5 * letter;
        for kind in kinds {
            let corner = Point::from_mm(x, y);
            let (wide, high) = (Length::from_mm(3 * letter), Length::from_mm(letter * 3 / 2));
            let middle = Point::from_mm(x + letter * 3 / 2, y + letter * 3 / 4);
            match kind {
                StructureKind::Tree => {
                    self.boxed(corner, wide, high, "shade in-shade");
                    self.trunk(middle);
                }
                StructureKind::Slope => {
                    let to = Point::from_mm(x + 3 * letter, middle.y.mm());
                    for strokes in signs::arrow((Point::from_mm(x, middle.y.mm()), to)) {
                        self.strokes(&strokes, "fence");
                    }
                }
                StructureKind::Other => self.boxed(corner, wide, high, "other"),
                StructureKind::Building
                | StructureKind::Path
                | StructureKind::Water
                | StructureKind::Compost => {
                    let fill = marks::fill(*kind).unwrap_or_default();
                    self.boxed(corner, wide, high, &format!("{} in-{fill}", kind.key()));
                }
            }
            let _infallible = write!(
                self.text,
                "<text class=\"key\" x=\"{}\" y=\"{}\">{}</text>",
                x + 4 * letter,
                -(y + letter / 3),
                marks::words(*kind)
            );
            y -= 2 * letter;
        }
    }

    fn boxed(&mut self, corner: Point, wide: Length, high: Length, class: &str) {
        if let Ok(outline) = Outline::rectangle(corner, wide, high) {
            self.outline(&outline, class);
        }
    }

    fn strokes(&mut self, points: &[Point], class: &str) {
        let _infallible = write!(self.text, "<path class=\"{class}\" d=\"");
        self.way(points);
        self.text.push_str("\"/>");
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
        if let Some(tip) = foot.away(degrees, long) {
            self.segment(foot, tip, "fence");
            self.label(tip, "N");
        }
    }
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
    use crate::geometry::Line;
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
                height: None,
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
        // The gate lies two metres along the fence; the plum shades three metres beyond its crown to the east.
        assert!(drawn.contains("d=\"M2000 -5000L3200 -5000\""), "{drawn}");
        assert!(drawn.contains("L13501 0"), "{drawn}");
        assert!(drawn.contains(">tree with its shade</text>"), "{drawn}");
        assert!(!drawn.contains(">path</text>"), "{drawn}");
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
