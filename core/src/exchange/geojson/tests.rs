//! What is read from GeoJSON, what is refused and how, and that writing and reading lose nothing.

use proptest::prelude::*;

use super::super::{FoundBed, FoundFence, FoundGround, FoundKind};
use super::{read, write};
use crate::document::records::{Gate, StructureFacts, StructureKind};
use crate::geometry::{Line, Outline, Point, Turn};
use crate::quantities::Length;

/// A collection in local metres with these features.
fn local(features: &str) -> String {
    format!(
        r#"{{"type":"FeatureCollection","coordinate_system":"local_metres","features":[{features}]}}"#
    )
}

fn feature(properties: &str, geometry: &str) -> String {
    format!(r#"{{"type":"Feature","properties":{properties},"geometry":{geometry}}}"#)
}

const SQUARE: &str = r#"{"type":"Polygon","coordinates":[[[0,0],[2,0],[2,2],[0,2],[0,0]]]}"#;
#[test]
fn gates_stand_where_the_file_says() {
    let gated = |gates: &str| {
        local(&feature(
            &format!(r#"{{"label":"North","gates":{gates}}}"#),
            FENCE,
        ))
    };
    let found = read(&gated(r#"[{"at":1.5,"width":3},{"at":0.25,"width":1.2}]"#)).unwrap();
    let gates: Vec<(i64, i64)> = found.fences[0]
        .gates
        .iter()
        .map(|gate| (gate.at.mm(), gate.width.mm()))
        .collect();
    assert_eq!(gates, [(1_500, 3_000), (250, 1_200)]);
    assert!(refusal(&gated("7")).starts_with("feature 1, gates: expected a list of gates"));
    assert!(refusal(&gated(r#"[{"at":"far","width":3}]"#)).starts_with("feature 1, gates: "));
    assert!(refusal(&gated(r#"[{"at":1}]"#)).starts_with("feature 1, gates: "));
}

const FENCE: &str = r#"{"type":"LineString","coordinates":[[0,0],[2,0],[2,7.25]]}"#;

fn refusal(text: &str) -> String {
    read(text).unwrap_err().to_string()
}

#[test]
fn a_structure_says_what_it_is() {
    let with = |properties: &str| local(&feature(properties, SQUARE));
    let tree = r#"{"kind":"structure","structure":"tree","facing":45,"reach":6.5,"fall":null,"height":5.5}"#;
    let found = read(&with(tree)).unwrap();
    assert_eq!(
        found.beds[0].kind,
        FoundKind::Structure(StructureFacts {
            kind: StructureKind::Tree,
            facing: Some(45),
            reach: Some(Length::from_mm(6_500)),
            fall: None,
            height: Some(Length::from_mm(5_500)),
        })
    );
    for (properties, field) in [
        (r#"{"kind":"structure","structure":"moat"}"#, "structure"),
        (r#"{"kind":"structure","facing":360}"#, "facing"),
        (r#"{"kind":"structure","reach":"far"}"#, "reach"),
        (r#"{"kind":"structure","fall":-1}"#, "fall"),
        (r#"{"kind":"structure","height":121}"#, "height"),
    ] {
        let refused = refusal(&with(properties));
        assert!(
            refused.starts_with(&format!("feature 1, {field}: ")),
            "{refused}"
        );
    }
}

#[test]
fn beds_structures_and_fences_by_kind() {
    let found = read(&local(
        &[
            feature(
                r#"{"name":"C4","holder":"Ines","note":"stony","colour":7}"#,
                SQUARE,
            ),
            feature(r#"{"label":"Shed","kind":"structure"}"#, SQUARE),
            feature("null", SQUARE),
            feature(r#"{"kind":"fence_line","label":"North fence"}"#, FENCE),
            feature(
                r#"{"holders":["Wren",{"name":"Unit 2","parts":3}]}"#,
                SQUARE,
            ),
        ]
        .join(","),
    ))
    .unwrap();
    let labels: Vec<&str> = found.beds.iter().map(|bed| bed.label.as_str()).collect();
    assert_eq!(labels, ["C4", "Shed", "Bed 3", "Bed 5"]);
    assert_eq!(found.beds[0].note.as_deref(), Some("stony"));
    assert_eq!(
        found.beds[1].kind,
        FoundKind::Structure(StructureFacts::default())
    );
    assert_eq!(
        found.beds[3].holders,
        [("Wren".to_owned(), 1), ("Unit 2".to_owned(), 3)]
    );
    assert_eq!(found.fences[0].label, "North fence");
    assert_eq!(found.fences[0].line.length(), Length::from_mm(9_250));
}

#[test]
fn each_refusal_names_its_feature() {
    let second = |properties: &str, geometry: &str| {
        refusal(&local(&format!(
            "{},{}",
            feature("{}", SQUARE),
            feature(properties, geometry)
        )))
    };
    let crossing = r#"{"type":"Polygon","coordinates":[[[0,0],[2,2],[2,0],[0,2],[0,0]]]}"#;
    assert!(
        second("{}", crossing)
            .starts_with("feature 2, outline: expected sides that meet only at their corners")
    );
    assert!(
        second("{}", r#"{"type":"MultiPolygon","coordinates":[]}"#)
            .contains("since a bed is one outline, but “MultiPolygon” came")
    );
    assert!(
        second("{}", r#"{"type":"Point","coordinates":[1,2]}"#)
            .starts_with("feature 2, geometry: expected a Polygon")
    );
    assert!(
        second("{}", r#"{"type":"GeometryCollection","geometries":[]}"#)
            .starts_with("feature 2, geometry: ")
    );
    assert!(second("{}", "null").starts_with("feature 2, geometry: "));
    assert!(
        second(r#"{"kind":"tree"}"#, SQUARE)
            .starts_with("feature 2, kind: expected bed or structure")
    );
    assert!(second(r#"{"kind":"bed"}"#, FENCE).starts_with("feature 2, kind: expected fence_line"));
    assert!(second(r#"{"label":7}"#, SQUARE).starts_with("feature 2, label: expected text"));
    assert!(
        second(r#"{"holders":[{"name":"Ines","parts":-1}]}"#, SQUARE)
            .starts_with("feature 2, holders: ")
    );
    assert!(
        second(r#"{"holder":"Ines;Ines"}"#, SQUARE)
            .starts_with("feature 2, holder: expected each name once")
    );
    assert!(
        second("{}", r#"{"type":"Polygon","coordinates":[]}"#).starts_with("feature 2, outline: ")
    );
    assert!(
        second(
            "{}",
            r#"{"type":"Polygon","coordinates":[[[1e300,0],[2,0],[2,2]]]}"#
        )
        .contains("within 10 km")
    );
}

#[test]
fn files_that_are_no_ground_are_refused() {
    assert!(refusal("").starts_with("file: expected GeoJSON as in RFC 7946"));
    assert!(refusal("[1,2]").starts_with("file: "));
    assert!(
        refusal(r#"{"type":"FeatureCollection","features":[]}"#).contains("1 to 2000 features")
    );
    assert!(
        refusal(&local(&vec![feature("{}", SQUARE); 2_001].join(",")))
            .contains("“2001 features” came")
    );
    assert!(refusal(&" ".repeat(3_000_000)).contains("2 MB"));
    assert!(
        refusal(&"[".repeat(1_000_000)).starts_with("file: "),
        "deep nesting is an error, no overflow"
    );
    assert!(
        refusal(r#"{"type":"FeatureCollection","coordinate_system":"feet","features":[]}"#)
            .starts_with("file: ")
    );
    let feet = local(&feature("{}", SQUARE)).replace("local_metres", "feet");
    assert!(refusal(&feet).starts_with("coordinate_system: expected \"local_metres\""));
    let metres_unsaid = feature(
        "{}",
        r#"{"type":"Polygon","coordinates":[[[500,0],[502,0],[502,2]]]}"#,
    );
    assert!(
        refusal(&metres_unsaid)
            .starts_with("feature 1, coordinates: expected longitude and latitude in degrees")
    );
}

#[test]
fn degrees_become_metres_around_the_first_point() {
    let square = feature(
        "{}",
        r#"{"type":"Polygon","coordinates":[[[11.0,45.0],[11.001,45.0],[11.001,45.001],[11.0,45.001],[11.0,45.0]]]}"#,
    );
    let bed = &read(&square).unwrap().beds[0].outline;
    assert_eq!(bed.corners()[0], Point::from_mm(0, 0));
    // A degree at 45° is about 78.847 km east and 111.132 km north.
    let (east, north) = bed.sides().unwrap();
    assert!(
        (east.mm() - 78_847).abs() <= 2 && (north.mm() - 111_132).abs() <= 2,
        "{east:?} {north:?}"
    );
    let date_line = feature(
        "{}",
        r#"{"type":"Polygon","coordinates":[[[179.9999,10],[-179.9999,10],[-179.9999,10.0001]]]}"#,
    );
    assert!(
        read(&date_line).unwrap().beds[0]
            .outline
            .bounds()
            .width()
            .mm()
            < 30_000
    );
}

/// Any bed with a hole, turned and moved anywhere within reach.
fn beds() -> impl Strategy<Value = FoundBed> {
    let place = (
        -9_000_000_i64..9_000_000,
        -9_000_000_i64..9_000_000,
        0_i32..36_000,
    );
    let sides = (100_i64..50_000, 100_i64..50_000, any::<bool>());
    let words = (
        "[A-Z][0-9]{1,2}",
        prop::option::of("[a-zé\"\\\\ ]{1,20}[a-z]"),
        any::<bool>(),
    );
    let holders = prop::collection::btree_map("[A-Z][a-zü]{0,6}( [0-9])?", 1_u32..1_000, 0..4);
    (place, sides, words, holders).prop_map(
        |((x, y, turn), (width, depth, hole), (label, note, bed), holders)| {
            let corner = Point::from_mm(x, y);
            let turned = Outline::turned_rectangle(
                corner,
                Length::from_mm(width),
                Length::from_mm(depth),
                Turn::from_hundredths(turn),
            )
            .unwrap();
            let middle = turned.bounds().centre();
            let beside = [(-5, -5), (5, -5), (0, 5)]
                .map(|(east, north)| Point::from_mm(middle.x.mm() + east, middle.y.mm() + north));
            let holes = if hole { vec![beside.to_vec()] } else { vec![] };
            FoundBed {
                label,
                outline: Outline::new(turned.corners().to_vec(), holes).unwrap(),
                holders: holders.into_iter().collect(),
                note: note.map(|note| note.trim().to_owned()),
                kind: if bed {
                    FoundKind::Bed
                } else {
                    FoundKind::Structure(StructureFacts {
                        kind: StructureKind::ALL[usize::try_from(width).unwrap() % 7],
                        facing: Some(depth % 360),
                        reach: hole.then_some(Length::from_mm(width)),
                        fall: hole.then_some(depth % 101),
                        height: hole.then_some(Length::from_mm(depth % 30_000)),
                    })
                },
            }
        },
    )
}

fn fences() -> impl Strategy<Value = FoundFence> {
    let points = prop::collection::btree_set(
        (-9_999_999_i64..9_999_999, -9_999_999_i64..9_999_999),
        2..20,
    );
    let gate = (0_i64..9_000_000, 1_i64..50_000).prop_map(|(at, width)| Gate {
        at: Length::from_mm(at),
        width: Length::from_mm(width),
    });
    let gates = prop::collection::vec(gate, 0..12);
    (points, "[A-Z][a-z]{1,8}", gates).prop_map(|(points, label, gates)| FoundFence {
        label,
        gates,
        line: Line::new(
            points
                .into_iter()
                .map(|(x, y)| Point::from_mm(x, y))
                .collect(),
        )
        .unwrap(),
        note: None,
    })
}

proptest! {
    #[test]
    fn what_is_written_is_read_back_equal(beds in prop::collection::vec(beds(), 1..6), fences in prop::collection::vec(fences(), 0..4)) {
        let ground = FoundGround { beds, fences };
        prop_assert_eq!(read(&write(&ground)), Ok(ground));
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".{0,200}", coordinates in "[0-9eE,.\\[\\]-]{0,60}", properties in "[a-z\":{},0-9\\[\\]]{0,40}") {
        let geometry = format!(r#"{{"type":"Polygon","coordinates":{coordinates}}}"#);
        let _ = (read(&text), read(&geometry), read(&feature(&properties, SQUARE)), read(&feature("{}", &geometry)));
    }

    #[test]
    fn any_numbers_are_read_or_refused(numbers in prop::collection::vec(prop::collection::vec(any::<f64>().prop_filter("JSON has no others", |number| number.is_finite()), 0..4), 0..6)) {
        let geometry = format!(r#"{{"type":"Polygon","coordinates":[{numbers:?}]}}"#);
        let _ = (read(&feature("{}", &geometry)), read(&local(&feature("{}", &geometry))));
    }
}
