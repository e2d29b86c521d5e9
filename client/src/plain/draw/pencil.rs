//! Something drawn from nothing, corner after corner: a fence line, a bed, a path.

use selion_core::document::ids::{BedId, FenceId, StructureId};
use selion_core::document::records::{StructureFacts, StructureKind};
use selion_core::document::{Edit, Garden};
use selion_core::geometry::{Line, Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Length, Units};

use super::Thing;
use super::change::free_label;
use super::hold::Snap;

/// What is being drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A bed.
    Bed,
    /// A fence line.
    Fence,
    /// Something else on the ground.
    Structure(StructureKind),
    /// Two spots of the picture under the plan that somebody knows the distance between.
    Known,
    /// A spot of the picture, and the place where it belongs.
    Pin,
}

impl What {
    /// Whether it is about the picture under the plan, and nothing is drawn on the ground.
    pub const fn is_picture(self) -> bool {
        matches!(self, Self::Known | Self::Pin)
    }
}

/// What came of a corner that was put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Put {
    /// It goes on from there.
    On,
    /// It is closed: this corner was the first one.
    Closed,
}

/// The corners so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Pencil {
    /// What is being drawn.
    pub what: What,
    /// The corners, in order; a fence that was closed ends with its first one again.
    pub corners: Vec<Point>,
    /// Where the pencil is: the next corner, unless it is moved first.
    pub at: Point,
}

impl Pencil {
    /// Nothing drawn yet.
    pub fn new(what: What, at: Point) -> Self {
        Self {
            what,
            corners: Vec::new(),
            at,
        }
    }

    /// What it is called while it has no name.
    pub fn noun(&self) -> &'static str {
        match self.what {
            What::Bed => "bed",
            What::Fence => "fence line",
            What::Structure(kind) => noun(kind),
            What::Known | What::Pin => "mark",
        }
    }

    /// The pencil at a place that a hand points to: on the first corner where that is near, else where everything is drawn to.
    pub fn to(&mut self, place: Point, snap: &Snap) {
        // A spot of the picture is where it is.
        self.at = match self.corners.first() {
            _ if self.what.is_picture() => place,
            Some(first) if self.could_close() && first.distance(place) <= snap.within => *first,
            _ => snap.corner(place),
        };
    }

    /// The pencil a step further, as an arrow key moves it.
    pub fn step(&mut self, east: Length, north: Length) {
        self.at = self.at.checked_shift(east, north).unwrap_or(self.at);
    }

    /// The pencil so far from the last corner, in hundredths of a degree clockwise from the top of the plan.
    pub fn away(&mut self, far: Length, hundredths: i64) -> Result<(), BadInput> {
        let expected = "a first corner to measure from; tap on the plan, or press Enter there";
        let Some(last) = self.corners.last() else {
            return Err(BadInput::new("length", expected, "none yet"));
        };
        let outside = || BadInput::new("length", "a corner on the ground", "one too far away");
        self.at = last.away_by(hundredths, far).ok_or_else(outside)?;
        Ok(())
    }

    /// Puts a corner where the pencil is.
    pub fn put(&mut self) -> Result<Put, BadInput> {
        if self.corners.last() == Some(&self.at) {
            let expected = "a corner somewhere else than the last one";
            return Err(BadInput::new("corner", expected, "the same place"));
        }
        if self.what.is_picture() && self.corners.len() >= 2 {
            // A third mark begins anew.
            self.corners.clear();
        }
        if self.corners.len() + 1 >= selion_core::geometry::MOST_CORNERS {
            let most = format!("at most {} corners", selion_core::geometry::MOST_CORNERS);
            return Err(BadInput::new("corner", most, "one more"));
        }
        let closes = self.could_close() && self.corners.first() == Some(&self.at);
        if !closes || self.what == What::Fence {
            self.corners.push(self.at);
        }
        Ok(if closes { Put::Closed } else { Put::On })
    }

    /// Takes the last corner back; the pencil goes to the one before it.
    pub fn back(&mut self) {
        self.corners.pop();
        if let Some(last) = self.corners.last() {
            self.at = *last;
        }
    }

    /// Whether there is enough of it to be kept.
    pub fn is_enough(&self) -> bool {
        let least = if self.what == What::Fence { 2 } else { 3 };
        !self.what.is_picture() && self.corners.len() >= least
    }

    /// How long the side to the pencil is.
    pub fn side(&self) -> Option<Length> {
        self.corners.last().map(|last| last.distance(self.at))
    }

    /// How long all of it is so far, up to its last corner.
    pub fn length(&self) -> Length {
        let next = self.corners.iter().skip(1);
        let sides = self.corners.iter().zip(next);
        sides.map(|(from, to)| from.distance(*to)).sum()
    }

    /// The figures under the plan while it is drawn.
    pub fn figures(&self, units: Units) -> Vec<(String, String)> {
        let side = self.side().unwrap_or_default();
        let mut figures = vec![
            ("Corners".to_owned(), self.corners.len().to_string()),
            ("So far".to_owned(), self.length().show(units)),
            ("This side".to_owned(), side.show(units)),
        ];
        if self.what != What::Fence
            && let Ok(outline) = Outline::new(self.corners.clone(), Vec::new())
        {
            figures.push(("Area".to_owned(), outline.area().show(units)));
        }
        figures
    }

    /// What it comes to, in a line: `4 corners, 12.5 m; this side 3 m`.
    pub fn words(&self, units: Units) -> String {
        let corners = crate::plain::wording::counted(self.corners.len(), "corner", "corners");
        let mut words = format!("{corners}, {}", self.length().show(units));
        if let Some(side) = self.side().filter(|side| side.is_positive()) {
            words.push_str("; this side ");
            words.push_str(&side.show(units));
        }
        words
    }

    /// The edit that keeps what was drawn, and what it is then.
    pub fn kept(
        &self,
        garden: &Garden,
        label: &str,
        ids: (BedId, FenceId, StructureId),
    ) -> Result<(Edit, Thing), BadInput> {
        let (bed, fence, structure) = ids;
        let label = label.trim();
        let or = |usual: String| {
            if label.is_empty() {
                usual
            } else {
                label.to_owned()
            }
        };
        let outline = || Outline::new(self.corners.clone(), Vec::new());
        Ok(match self.what {
            What::Bed => {
                let edit = Edit::AddBed {
                    bed,
                    label: or(free_label(garden)),
                    outline: outline()?,
                    holders: Map::new(),
                };
                (edit, Thing::Bed(bed))
            }
            What::Fence => {
                let edit = Edit::AddFenceLine {
                    fence,
                    label: or("Fence".to_owned()),
                    line: Line::new(self.corners.clone())?,
                    gates: Map::new(),
                };
                (edit, Thing::Fence(fence))
            }
            What::Known | What::Pin => {
                let expected = "something to be drawn on the ground";
                return Err(BadInput::new("drawing", expected, "marks on the picture"));
            }
            What::Structure(kind) => {
                let edit = Edit::DrawStructure {
                    structure,
                    label: or(kind.shown().to_owned()),
                    outline: outline()?,
                    what: StructureFacts {
                        kind,
                        ..StructureFacts::default()
                    },
                };
                (edit, Thing::Structure(structure))
            }
        })
    }

    fn could_close(&self) -> bool {
        self.corners.len() >= 3
    }
}

/// A kind of structure within a sentence.
pub fn noun(kind: StructureKind) -> &'static str {
    match kind {
        StructureKind::Other => "something else",
        StructureKind::Building => "building",
        StructureKind::Path => "path",
        StructureKind::Water => "water point",
        StructureKind::Compost => "compost bay",
        StructureKind::Tree => "tree",
        StructureKind::Slope => "slope",
    }
}

/// A direction as it is typed: degrees clockwise from north as a compass shows them, less what it is off, or a point of the
/// compass such as `NE`. In hundredths of a degree clockwise from the top of the plan.
pub fn direction(typed: &str, north_degrees: i64) -> Result<i64, BadInput> {
    const POINTS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    let text = typed.trim().trim_end_matches('°').trim_end();
    let named = POINTS
        .iter()
        .position(|point| point.eq_ignore_ascii_case(text));
    let hundredths = match named {
        Some(place) => i64::try_from(place).ok().map(|place| place * 2_250),
        None => hundredths(text),
    };
    let expected =
        "degrees clockwise from north, from 0 to 360, or a point of the compass such as NE";
    let from_north = hundredths
        .filter(|hundredths| (0..=36_000).contains(hundredths))
        .ok_or_else(|| BadInput::new("direction", expected, typed))?;
    Ok((from_north + north_degrees * 100).rem_euclid(36_000))
}

fn hundredths(text: &str) -> Option<i64> {
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
    if part.len() > 2 || !part.bytes().all(|byte| byte.is_ascii_digit()) || whole.len() > 3 {
        return None;
    }
    if whole.is_empty() || !whole.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    format!("{whole}{part:0<2}").parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{bed, garden};
    use selion_core::quantities::Moment;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn ids() -> (BedId, FenceId, StructureId) {
        let now = Moment::from_millis(1);
        (
            bed(9),
            FenceId::fresh(now, [9; 10]),
            StructureId::fresh(now, [9; 10]),
        )
    }

    fn drawn(what: What, corners: &[(i64, i64)]) -> (Pencil, Put) {
        let mut pencil = Pencil::new(what, Point::default());
        let mut came = Put::On;
        let snap = Snap {
            within: mm(100),
            ..Snap::default()
        };
        for (x, y) in corners {
            pencil.to(Point::from_mm(*x, *y), &snap);
            came = pencil.put().unwrap();
        }
        (pencil, came)
    }

    #[test]
    fn a_bed_is_drawn_corner_by_corner_and_closed_on_the_first() {
        let corners = [(20_000, 0), (26_000, 0), (26_000, 3_000), (20_050, 40)];
        let (pencil, came) = drawn(What::Bed, &corners);
        assert_eq!(came, Put::Closed);
        let (edit, thing) = pencil.kept(&garden(), " ", ids()).unwrap();
        let Edit::AddBed { label, outline, .. } = edit else {
            panic!("{edit:?}");
        };
        assert_eq!((label.as_str(), thing), ("N1", Thing::Bed(bed(9))));
        assert_eq!(outline.corners().len(), 3);
        assert_eq!(outline.area().mm2(), 9_000_000);
        // Two corners cannot be closed: the third would lie on the first.
        let (two, came) = drawn(What::Bed, &[(0, 0), (6_000, 0), (20, 0)]);
        assert_eq!(came, Put::On);
        assert!(two.kept(&garden(), "", ids()).is_err(), "no ground");
    }

    #[test]
    fn a_fence_stays_open_or_goes_all_round() {
        let (open, came) = drawn(What::Fence, &[(0, 0), (6_000, 0), (6_000, 4_000)]);
        assert_eq!(came, Put::On);
        assert!(open.is_enough());
        assert_eq!(open.words(Units::Metric), "3 corners, 10 m");
        let all = [(0, 0), (6_000, 0), (6_000, 4_000), (60, 0)];
        let (round, came) = drawn(What::Fence, &all);
        assert_eq!(came, Put::Closed);
        let (edit, _) = round.kept(&garden(), "Round", ids()).unwrap();
        let Edit::AddFenceLine { line, label, .. } = edit else {
            panic!("{edit:?}");
        };
        assert!(line.is_closed());
        assert_eq!(label, "Round");
    }

    #[test]
    fn a_side_is_typed_by_length_and_direction_and_a_corner_taken_back() {
        let mut pencil = Pencil::new(What::Fence, Point::from_mm(1_000, 1_000));
        assert_eq!(pencil.away(mm(500), 0).unwrap_err().field, "length");
        pencil.put().unwrap();
        pencil.away(mm(500), direction("E", 0).unwrap()).unwrap();
        assert_eq!(pencil.side(), Some(mm(500)));
        pencil.put().unwrap();
        assert_eq!(pencil.corners[1], Point::from_mm(1_500, 1_000));
        assert_eq!(pencil.put().unwrap_err().field, "corner");
        pencil.step(mm(0), mm(100));
        pencil.put().unwrap();
        pencil.back();
        assert_eq!(
            (pencil.corners.len(), pencil.at),
            (2, Point::from_mm(1_500, 1_000))
        );
        pencil.back();
        pencil.back();
        pencil.back();
        assert!(!pencil.is_enough());
    }

    #[test]
    fn directions_are_degrees_or_points_of_the_compass() {
        for (typed, expected) in [
            ("0", 0),
            ("90°", 9_000),
            (" 12.5 ", 1_250),
            ("12,25", 1_225),
            ("360", 0),
            ("nw", 31_500),
            ("SSE", 15_750),
        ] {
            assert_eq!(direction(typed, 0), Ok(expected), "{typed}");
        }
        assert_eq!(direction("N", 30), Ok(3_000));
        for bad in ["", "north-ish", "-5", "361", "1e2", "12.345", "°"] {
            assert_eq!(direction(bad, 0).unwrap_err().field, "direction", "{bad}");
        }
    }
}
