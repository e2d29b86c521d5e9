//! What may be an outline and what may not, and what is read from it.

use proptest::prelude::*;

use super::{Line, MOST_CORNERS, Outline, Point, Turn};
use crate::quantities::{Area, Length};

fn points(corners: &[(i64, i64)]) -> Vec<Point> {
    corners.iter().map(|&(x, y)| Point::from_mm(x, y)).collect()
}

fn outline(corners: &[(i64, i64)]) -> Outline {
    Outline::new(points(corners), Vec::new()).unwrap()
}

fn refusal(wkt: &str) -> String {
    Outline::parse(wkt).unwrap_err().to_string()
}

const L_SHAPE: [(i64, i64); 6] = [
    (0, 0),
    (10_000, 0),
    (10_000, 1_000),
    (1_000, 1_000),
    (1_000, 8_000),
    (0, 8_000),
];

#[test]
fn an_l_shape_has_the_area_of_its_arms() {
    let bed = outline(&L_SHAPE);
    assert_eq!(bed.area(), Area::from_mm2(10_000 * 1_000 + 1_000 * 7_000));
    assert_eq!(bed.perimeter(), Length::from_mm(36_000));
    assert_eq!(bed.sides(), None);
    assert!(bed.contains(Point::from_mm(500, 7_000)));
    assert!(
        bed.contains(Point::from_mm(1_000, 7_000)),
        "the edge belongs to it"
    );
    assert!(
        !bed.contains(Point::from_mm(5_000, 4_000)),
        "the bend is outside"
    );
    assert!(!bed.contains(bed.bounds().centre()));
    let label = bed.label_point();
    assert!(
        bed.depth_at(label) >= 490,
        "{label:?} is {} mm inside",
        bed.depth_at(label)
    );
}

#[test]
fn a_hole_is_not_ground() {
    let bed = Outline::parse(
        "POLYGON((0 0,6000 0,6000 4000,0 4000),(1000 1000,1000 3000,5000 3000,5000 1000))",
    )
    .unwrap();
    assert_eq!(bed.area(), Area::from_mm2(24_000_000 - 8_000_000));
    assert!(!bed.contains(Point::from_mm(3_000, 2_000)));
    assert!(
        bed.contains(Point::from_mm(1_000, 1_000)),
        "the edge of the hole belongs to the bed"
    );
    assert!(bed.depth_at(bed.label_point()) >= 480);
    assert_eq!(bed.sides(), None);
}

#[test]
fn odd_double_areas_are_counted_up() {
    assert_eq!(outline(&[(0, 0), (1, 0), (0, 1)]).area(), Area::from_mm2(1));
    assert_eq!(outline(&[(0, 0), (3, 0), (0, 1)]).area(), Area::from_mm2(2));
}

#[test]
fn a_rectangle_knows_its_sides_however_it_lies() {
    let (wide, long) = (Length::from_mm(3_658), Length::from_mm(9_144));
    for degrees in [0, 17, 45, 90, 133, 271] {
        let bed = Outline::turned_rectangle(
            Point::from_mm(2_000, -700),
            wide,
            long,
            Turn::from_degrees(degrees),
        )
        .unwrap();
        let (one, other) = bed.sides().unwrap();
        assert!(
            (one.mm() - wide.mm()).abs() <= 2 && (other.mm() - long.mm()).abs() <= 2,
            "{degrees}: {one:?} {other:?}"
        );
        assert!(
            (bed.area().mm2() - 3_658 * 9_144).abs() < 20_000,
            "{degrees}"
        );
        assert_eq!(bed.corners()[0], Point::from_mm(2_000, -700));
    }
    assert_eq!(
        outline(&[(0, 0), (4_000, 0), (5_000, 2_000), (1_000, 2_000)]).sides(),
        None
    );
}

#[test]
fn the_same_outline_however_it_was_drawn() {
    let forwards = outline(&[(0, 0), (10, 0), (10, 10), (0, 10)]);
    assert_eq!(outline(&[(0, 0), (0, 10), (10, 10), (10, 0)]), forwards);
    assert_eq!(
        outline(&[(0, 0), (0, 0), (10, 0), (10, 10), (0, 10), (0, 0)]),
        forwards
    );
    assert_eq!(forwards.to_string(), "POLYGON((0 0,10 0,10 10,0 10,0 0))");
}

#[test]
fn outlines_that_no_ground_can_have_are_refused_by_reason() {
    let crossing = "sides that meet only at their corners";
    for (wkt, reason) in [
        ("POLYGON((0 0,10 10,10 0,0 10,0 0))", crossing),
        ("POLYGON((0 0,10 0,5 0,5 5))", crossing),
        ("POLYGON((0 0,10 0,10 10,5 0,0 10))", crossing),
        (
            "POLYGON((0 0,10 0,0 0))",
            "at least three different corners",
        ),
        ("POLYGON((0 0,10 0,20 0))", crossing),
        ("POLYGON((0 0,10000001 0,0 10))", "within 10 km"),
        (
            "POLYGON((0 0,9 0,9 9,0 9),(1 1,20 1,2 2))",
            "holes that lie inside it",
        ),
        (
            "POLYGON((0 0,9 0,9 9,0 9),(0 0,9 0,9 9,0 9))",
            "holes that lie inside it",
        ),
        (
            "POLYGON((0 0,9 0,9 9,0 9),(1 1,5 1,5 5),(2 2,3 2,3 3))",
            "apart from each other",
        ),
        (
            "POLYGON((0 0,9 0,9 9,0 9),(3 2,4 2,4 3),(1 1,6 1,6 6,5 6))",
            "apart from each other",
        ),
        ("POLYGON()", "a text such as POLYGON"),
        ("POLYGON((0 0,1.5 0,0 9))", "a text such as POLYGON"),
        (
            "POLYGON((0 0,10 0,0 10)) and more",
            "a text such as POLYGON",
        ),
        ("POLYGON((0 0 0,10 0 0,0 10 0))", "a text such as POLYGON"),
        ("MULTIPOLYGON(((0 0,10 0,0 10)))", "a text such as POLYGON"),
    ] {
        assert!(refusal(wkt).contains(reason), "{wkt}: {}", refusal(wkt));
    }
    let many: Vec<Point> = (0..=600)
        .map(|step| Point::from_mm(step * step, step))
        .collect();
    assert!(
        Outline::new(many, Vec::new())
            .unwrap_err()
            .to_string()
            .contains("at most 500 corners")
    );
    assert!(refusal(&"POLYGON((".repeat(10_000)).contains("16384 bytes"));
}

#[test]
fn the_largest_outline_is_read_back() {
    let half = i64::try_from(MOST_CORNERS).unwrap() / 2;
    let zigzag = (0..half).map(|step| (step * 40_000, 9_000_000 + step % 2));
    let back = (0..half)
        .rev()
        .map(|step| (step * 40_000, -9_999_999 - step % 2));
    let bed = outline(
        &zigzag
            .chain(back)
            .map(|(x, y)| (x - 5_000_000, y))
            .collect::<Vec<_>>(),
    );
    assert_eq!(bed.corners().len(), MOST_CORNERS);
    assert_eq!(Outline::parse(&bed.to_string()), Ok(bed));
}

#[test]
fn sides_run_from_turn_to_turn_wherever_the_line_begins() {
    let sides = |wkt: &str| {
        let (sides, began_with) = Line::parse(wkt).unwrap().sides();
        let mm: Vec<i64> = sides.iter().map(|side| side.mm()).collect();
        (mm, began_with.map(Length::mm))
    };
    assert_eq!(
        sides("LINESTRING(0 0,3000 0,6000 0,6000 4000)"),
        (vec![6_000, 4_000], None)
    );
    assert_eq!(sides("LINESTRING(0 0,5000 0)"), (vec![5_000], None));
    let square = "LINESTRING(0 0,6000 0,6000 4000,0 4000,0 0)";
    assert_eq!(sides(square), (vec![6_000, 4_000, 6_000, 4_000], None));
    let from_the_middle = "LINESTRING(2000 0,6000 0,6000 4000,0 4000,0 0,2000 0)";
    assert_eq!(
        sides(from_the_middle),
        (vec![4_000, 6_000, 4_000, 6_000], Some(4_000))
    );
}

#[test]
fn a_fence_line_counts_its_runs_and_corners() {
    let fence = Line::parse("LINESTRING(0 0,6000 0,9000 0,9000 4000)").unwrap();
    assert_eq!(fence.length(), Length::from_mm(13_000));
    assert_eq!(fence.runs().count(), 3);
    assert_eq!(
        fence.corners(),
        points(&[(9_000, 0)]),
        "a straight post is no corner"
    );
    assert!(!fence.is_closed());
    let around = Line::parse("LINESTRING(0 0,10 0,10 10,0 10,0 0)").unwrap();
    assert!(around.is_closed());
    assert_eq!(around.corners().len(), 4);
    for wkt in [
        "LINESTRING(0 0)",
        "LINESTRING(0 0,0 0)",
        "LINESTRING(0 0,20000000 0)",
        "LINESTRING",
        "POINT(0 0)",
    ] {
        assert!(Line::parse(wkt).is_err(), "{wkt}");
    }
}

#[test]
fn outlines_and_lines_are_stored_as_text() {
    let bed: Outline = serde_json::from_str("\"POLYGON((0 0,10 0,10 10,0 0))\"").unwrap();
    assert_eq!(
        serde_json::to_string(&bed).unwrap(),
        "\"POLYGON((0 0,10 0,10 10,0 0))\""
    );
    assert!(serde_json::from_str::<Outline>("\"POLYGON((0 0,10 10,10 0,0 10))\"").is_err());
    let fence: Line = serde_json::from_str("\"LINESTRING(0 0,10 0)\"").unwrap();
    assert_eq!(
        serde_json::to_string(&fence).unwrap(),
        "\"LINESTRING(0 0,10 0)\""
    );
}

/// Any star-shaped outline around a middle: corners at growing angles, each at its own distance.
fn stars() -> impl Strategy<Value = Outline> {
    let distances = prop::collection::vec(500_u32..30_000, 3..40);
    (
        distances,
        -1_000_000_i64..1_000_000,
        -1_000_000_i64..1_000_000,
    )
        .prop_filter_map("too few corners left", |(distances, x, y)| {
            let count = f64::from(u32::try_from(distances.len()).ok()?);
            let corners = (0_u32..).zip(distances).map(|(index, distance)| {
                let angle = f64::from(index) / count * std::f64::consts::TAU;
                let (sine, cosine) = angle.sin_cos();
                Point::from_mm(
                    x + super::point::whole(f64::from(distance) * cosine),
                    y + super::point::whole(f64::from(distance) * sine),
                )
            });
            Outline::new(corners.collect(), Vec::new()).ok()
        })
}

proptest! {
    #[test]
    fn every_outline_is_read_back_equal(bed in stars()) {
        prop_assert_eq!(Outline::parse(&bed.to_string()), Ok(bed));
    }

    #[test]
    fn a_label_stands_inside(bed in stars()) {
        let label = bed.label_point();
        prop_assert!(bed.contains(label) && bed.depth_at(label) > 0, "{:?} in {}", label, bed);
    }

    #[test]
    fn moving_keeps_area_and_edge(bed in stars(), east in -50_000_i64..50_000, north in -50_000_i64..50_000) {
        let moved = bed.shifted(Length::from_mm(east), Length::from_mm(north)).unwrap();
        prop_assert_eq!((moved.area(), moved.perimeter()), (bed.area(), bed.perimeter()));
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".{0,80}", near in "(POLYGON|LINESTRING)?[(),0-9 -]{0,60}") {
        for text in [text, near] {
            let _ = (Outline::parse(&text), Line::parse(&text));
        }
    }

    #[test]
    fn any_points_make_an_outline_or_a_refusal(corners in prop::collection::vec((any::<i64>(), any::<i64>()), 0..12), small in prop::collection::vec((0_i64..6, 0_i64..6), 0..9)) {
        for corners in [corners, small] {
            if let Ok(bed) = Outline::new(points(&corners), Vec::new()) {
                prop_assert!(bed.area().is_positive());
                prop_assert!(bed.contains(bed.label_point()));
            }
        }
    }
}
