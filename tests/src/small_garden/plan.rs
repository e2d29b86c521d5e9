//! Edits of the drawn ground and of what is planned on it.

use std::collections::BTreeMap;

use selion_core::document::edit::{FenceField, Piece, StructureField};
use selion_core::document::records::{StructureFacts, StructureKind};
use selion_core::document::{DocumentName, Edit};
use selion_core::geometry::{Line, Outline, Point};
use selion_core::quantities::Length;

use super::every_edit::{day, rectangle};
use super::{GROUND, ids};

/// Every edit of the plan, each of which stands in the small garden.
pub(super) fn of_the_plan() -> Vec<(DocumentName, Edit)> {
    let ground = of_the_drawn_ground().into_iter();
    ground.map(|edit| (GROUND, edit)).collect()
}

fn of_the_drawn_ground() -> Vec<Edit> {
    let tree = StructureFacts {
        kind: StructureKind::Tree,
        facing: Some(30),
        reach: Some(Length::from_mm(6_500)),
        fall: None,
    };
    let fence = vec![Point::from_mm(0, 30_500), Point::from_mm(20_000, 30_500)];
    vec![
        Edit::SplitBed {
            bed: ids::bed(3),
            seen: rectangle(0, 6_000, 10_000, 2_000),
            outline: rectangle(0, 6_000, 6_000, 2_000),
            pieces: BTreeMap::from([(
                ids::bed(10),
                Piece {
                    label: "C2".to_owned(),
                    outline: rectangle(6_000, 6_000, 4_000, 2_000),
                },
            )]),
        },
        Edit::MergeBeds {
            bed: ids::bed(2),
            seen: rectangle(0, 3_000, 8_000, 1_200),
            with: ids::bed(1),
            seen_with: rectangle(0, 0, 6_000, 1_200),
            outline: rectangle(0, 2_100, 8_000, 2_100),
            holders: BTreeMap::from([(ids::member(2), 1), (ids::member(4), 1)]),
            on: day("2026-11-02"),
        },
        Edit::DrawStructure {
            structure: ids::structure(10),
            label: "Old plum".to_owned(),
            outline: Outline::circle(Point::from_mm(25_000, 10_000), Length::from_mm(800)).unwrap(),
            what: tree,
        },
        Edit::ChangeStructure {
            structure: ids::structure(1),
            set: vec![
                StructureField::Label("Tool shed".to_owned()),
                StructureField::Outline(rectangle(15_000, 0, 3_000, 2_400)),
                StructureField::What(StructureFacts {
                    kind: StructureKind::Building,
                    ..StructureFacts::default()
                }),
                StructureField::EndedOn(None),
            ],
        },
        Edit::ChangeFenceLine {
            fence: ids::fence(1),
            set: vec![
                FenceField::Label("North fence, moved out".to_owned()),
                FenceField::Line(Line::new(fence).unwrap()),
                FenceField::Gates(BTreeMap::new()),
                FenceField::EndedOn(None),
            ],
        },
    ]
}
