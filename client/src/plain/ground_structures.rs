//! The structures of the ground, each kind in its own way: as they are drawn, as the key names them, and as they are listed.

use selion_core::document::Garden;
use selion_core::document::records::{Structure, StructureKind};
use selion_core::document::signs::{self, When};
use selion_core::geometry::{Outline, Point};
use selion_core::quantities::{Day, Minutes, Units};

use super::drawing;
use super::ground_drawing::{is_crowded, label_at, size};
use super::ground_rows::open_structures;

/// A structure on the sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawnStructure {
    /// Of what kind it is.
    pub kind: StructureKind,
    /// What people call it, and what is said beside its edge.
    pub label: String,
    /// Its outline, as SVG path data.
    pub path: String,
    /// The ground in its shade, as SVG path data.
    pub shade: Option<String>,
    /// An arrow, as SVG path data.
    pub arrow: Option<String>,
    /// Where its label stands.
    pub label_at: (f64, f64),
    /// The width and height of the box around it, in millimetres.
    pub size: (f64, f64),
}

impl DrawnStructure {
    /// Whether there is no room for its label, which has more letters than a bed's, until one looks closer.
    pub fn is_crowded(&self, mm_per_pixel: f64) -> bool {
        is_crowded(self.size, mm_per_pixel * 2.0)
    }
}

/// One structure with the outline that it has just now, in hand or written.
pub fn drawn(
    garden: &Garden,
    structure: &Structure,
    outline: &Outline,
    when: When,
) -> DrawnStructure {
    let in_hand = Structure {
        outline: outline.clone(),
        ..structure.clone()
    };
    let sign = signs::of(garden, &in_hand, when);
    let mark = sign.mark.map(|mark| format!(" {mark}"));
    DrawnStructure {
        kind: structure.what.kind,
        label: structure.label.clone() + &mark.unwrap_or_default(),
        path: drawing::outline_path(outline),
        shade: sign.shade.as_ref().map(drawing::outline_path),
        arrow: sign.arrow.map(arrow_path),
        label_at: label_at(outline),
        size: size(outline),
    }
}

fn arrow_path(arrow: (Point, Point)) -> String {
    let strokes = signs::arrow(arrow);
    let paths = strokes.iter().map(|points| drawing::points_path(points));
    paths.collect()
}

/// The structures that are still there, as they are written.
pub fn structures(garden: &Garden, when: When) -> Vec<DrawnStructure> {
    open_structures(garden)
        .map(|structure| drawn(garden, structure, &structure.outline, when))
        .collect()
}

/// The kinds that are on the ground, in the order of the key.
pub fn kinds(garden: &Garden) -> Vec<StructureKind> {
    StructureKind::ALL
        .into_iter()
        .filter(|kind| open_structures(garden).any(|structure| structure.what.kind == *kind))
        .collect()
}

/// What the key says of a kind.
pub const fn key_words(kind: StructureKind) -> &'static str {
    match kind {
        StructureKind::Tree => "tree, hatched: its shade",
        StructureKind::Slope => "falls along the arrow",
        StructureKind::Path => "path",
        StructureKind::Water => "water point",
        StructureKind::Compost => "compost bay",
        StructureKind::Building => "building",
        StructureKind::Other => "something else",
    }
}

/// The hatch inside a kind, if it has one.
pub const fn hatch(kind: StructureKind) -> Option<&'static str> {
    match kind {
        StructureKind::Path => Some("url(#hatch-path)"),
        StructureKind::Water => Some("url(#hatch-water)"),
        StructureKind::Compost => Some("url(#hatch-compost)"),
        StructureKind::Building => Some("url(#hatch-building)"),
        StructureKind::Tree | StructureKind::Slope | StructureKind::Other => None,
    }
}

/// One structure as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StructureRow {
    /// What people call it.
    pub label: String,
    /// What it is, and what is said of its shade or its fall.
    pub words: String,
    /// The ground it takes up; nothing for a slope, which takes none.
    pub area: Option<String>,
}

/// The structures, by label.
pub fn rows(garden: &Garden, when: When, units: Units) -> Vec<StructureRow> {
    let mut rows: Vec<StructureRow> = open_structures(garden)
        .map(|structure| {
            let kind = structure.what.kind;
            let sign = signs::of(garden, structure, when);
            let named = kind.shown() == structure.label && !sign.words.is_empty();
            let words = match (named, sign.words.as_str()) {
                (true, words) => super::wording::capital(words),
                (false, "") => kind.shown().to_owned(),
                (false, words) => format!("{}; {words}", kind.shown()),
            };
            StructureRow {
                label: structure.label.clone(),
                words,
                area: (kind != StructureKind::Slope).then(|| structure.outline.area().show(units)),
            }
        })
        .collect();
    selion_core::ordered::sort_by_key(&mut rows, |row| row.label.to_lowercase());
    rows
}

/// The hours of the sun that can be chosen, as keys and as words.
pub fn hours() -> impl Iterator<Item = (String, String)> {
    (4..=21).map(|hour| {
        let words = if hour == 12 {
            "12:00, noon".to_owned()
        } else {
            format!("{hour}:00")
        };
        (hour.to_string(), words)
    })
}

/// The day and hour that were chosen; noon of today where they cannot be read.
pub fn when(day: &str, hour: &str, today: Day) -> When {
    let hour = hour.parse().ok().filter(|hour| (0..24).contains(hour));
    When {
        day: Day::parse(day).unwrap_or(today),
        time: Minutes::new(hour.unwrap_or(12) * 60),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::StructureId;
    use selion_core::document::records::StructureFacts;
    use selion_core::geometry::Outline;
    use selion_core::quantities::{Length, Moment};

    use super::*;
    use crate::plain::sample::{day, garden};

    fn noon() -> When {
        when("2026-03-21", "12", day("2026-06-01"))
    }

    fn with(kinds: &[(StructureKind, &str)]) -> Garden {
        let mut garden = garden();
        for (number, (kind, label)) in (1..).zip(kinds) {
            let record = Structure {
                label: (*label).to_owned(),
                outline: Outline::circle(Point::default(), Length::from_mm(4_000)).unwrap(),
                what: StructureFacts {
                    kind: *kind,
                    facing: Some(90),
                    reach: Some(Length::from_mm(2_000)),
                    fall: Some(6),
                    height: None,
                },
                ended_on: None,
            };
            let id = StructureId::fresh(Moment::from_millis(1), [number; 10]);
            garden.structures.insert(id, Arc::new(record));
        }
        garden
    }

    #[test]
    fn each_kind_is_drawn_and_listed_in_its_own_way() {
        let garden = with(&[
            (StructureKind::Tree, "Plum"),
            (StructureKind::Slope, "Slope"),
            (StructureKind::Path, "Main path"),
        ]);
        let drawn = structures(&garden, noon());
        assert!(drawn[0].shade.is_some() && drawn[0].arrow.is_none());
        assert_eq!(drawn[1].label, "Slope 6 %");
        assert_eq!(drawn[1].arrow.as_ref().unwrap().matches('M').count(), 2);
        assert_eq!((&drawn[2].shade, &drawn[2].arrow), (&None, &None));
        let rows = rows(&garden, noon(), Units::Metric);
        let lines: Vec<String> = rows
            .iter()
            .map(|row| format!("{}: {} {:?}", row.label, row.words, row.area))
            .collect();
        let expected = [
            "Main path: Path Some(\"12.6 m²\")",
            "Plum: Tree; shade 6 ft 6.7 in to the east, as noted Some(\"12.6 m²\")",
            "Slope: Falls 6 % to the east None",
        ];
        assert_eq!(lines, expected);
        assert_eq!(
            kinds(&garden),
            [
                StructureKind::Path,
                StructureKind::Tree,
                StructureKind::Slope
            ]
        );
    }

    #[test]
    fn no_two_kinds_share_their_words_or_their_hatch() {
        let mut words: Vec<&str> = StructureKind::ALL.map(key_words).to_vec();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), StructureKind::ALL.len());
        let mut hatches: Vec<&str> = StructureKind::ALL.into_iter().filter_map(hatch).collect();
        hatches.sort_unstable();
        hatches.dedup();
        assert_eq!(hatches.len(), 4);
    }

    #[test]
    fn an_hour_that_cannot_be_read_is_noon_of_today() {
        let today = day("2026-06-01");
        assert_eq!(when("", "x", today).time.get(), 720);
        assert_eq!(
            when("soon", "15", today),
            When {
                day: today,
                time: Minutes::new(900)
            }
        );
        assert!(hours().all(|(key, _)| when("", &key, today).time.get() % 60 == 0));
    }
}
