//! Areas, edges and insides of outlines, judged by the library `geo`, which reckons in floating point and by other ways.

use geo::{
    Area as _, Contains as _, Coord, Euclidean, Length as _, LineString, Polygon, Validation as _,
};
use proptest::prelude::*;
use selion_core::geometry::{Outline, Point};

/// A whole number as the judge needs it.
pub(super) fn number(whole: i64) -> f64 {
    whole.to_string().parse().unwrap()
}

fn ring(corners: &[Point]) -> LineString {
    corners
        .iter()
        .map(|corner| Coord {
            x: number(corner.x.mm()),
            y: number(corner.y.mm()),
        })
        .collect()
}

fn polygon(outer: &[Point], holes: &[Vec<Point>]) -> Polygon {
    Polygon::new(ring(outer), holes.iter().map(|hole| ring(hole)).collect())
}

fn points(corners: Vec<(i64, i64)>) -> Vec<Point> {
    corners
        .into_iter()
        .map(|(x, y)| Point::from_mm(x, y))
        .collect()
}

/// Corners at growing angles around a middle, each at its own distance; now and then one that crosses over.
fn corners() -> impl Strategy<Value = Vec<Point>> {
    let steps = prop::collection::vec((1_i32..90, 400_i32..60_000), 3..60);
    (steps, -4_000_000_i64..4_000_000, -4_000_000_i64..4_000_000).prop_map(|(steps, x, y)| {
        let turns: f64 = steps.iter().map(|(step, _)| f64::from(*step)).sum();
        let mut turned = 0.0;
        let corner = |(step, distance): (i32, i32)| {
            turned += f64::from(step) / turns * std::f64::consts::TAU;
            let (sine, cosine) = f64::sin_cos(turned);
            let whole = |metres: f64| format!("{metres:.0}").parse::<i64>().unwrap();
            (
                x + whole(f64::from(distance) * cosine),
                y + whole(f64::from(distance) * sine),
            )
        };
        points(steps.into_iter().map(corner).collect())
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn areas_and_edges_of_any_outline(corners in corners()) {
        let Ok(outline) = Outline::new(corners.clone(), Vec::new()) else { return Ok(()) };
        let judge = polygon(&corners, &[]);
        // The judge is given the corners as drawn and reckons around the origin, so it loses some digits.
        prop_assert!((number(outline.area().mm2()) - judge.unsigned_area()).abs() <= 1.0 + judge.unsigned_area() * 1e-9);
        let edge = Euclidean.length(&ring(&[corners.as_slice(), corners.get(..1).unwrap()].concat()));
        prop_assert!((number(outline.perimeter().mm()) - edge).abs() <= number(i64::try_from(corners.len()).unwrap()));
    }

    #[test]
    fn the_same_corners_are_refused(corners in prop::collection::vec((0_i64..12, 0_i64..12), 3..9)) {
        let corners = points(corners);
        let judge = polygon(&corners, &[]);
        let outline = Outline::new(corners, Vec::new());
        // Ours is stricter in one thing: an outline may not touch itself in a single point.
        if outline.is_ok() {
            prop_assert!(judge.is_valid(), "{judge:?}");
        }
    }

    #[test]
    fn outlines_without_touching_corners_are_taken(corners in corners()) {
        // Star-shaped by construction; only where rounding makes corners touch may either side refuse.
        let judge = polygon(&corners, &[]);
        prop_assert_eq!(Outline::new(corners, Vec::new()).is_ok(), judge.is_valid());
    }

    #[test]
    fn inside_and_outside(corners in corners(), east in -60_000_i64..60_000, north in -60_000_i64..60_000) {
        let Ok(outline) = Outline::new(corners.clone(), Vec::new()) else { return Ok(()) };
        let judge = polygon(&corners, &[]);
        let near = corners[0];
        let point = Point::from_mm(near.x.mm() + east, near.y.mm() + north);
        // The judge counts the edge as outside, and so it is asked only off the edge.
        let place = Coord { x: number(point.x.mm()), y: number(point.y.mm()) };
        if judge.contains(&place) {
            prop_assert!(outline.contains(point));
        }
        let label = outline.label_point();
        let label = Coord { x: number(label.x.mm()), y: number(label.y.mm()) };
        prop_assert!(judge.contains(&label));
    }

    #[test]
    fn holes_are_taken_off(width in 2_000_i64..50_000, depth in 2_000_i64..50_000, hole in corners()) {
        // The star shrunk into the middle of a rectangle.
        let (x, y) = (hole[0].x.mm(), hole[0].y.mm());
        let shrunk: Vec<Point> =
            hole.iter().map(|corner| Point::from_mm(width / 2 + (corner.x.mm() - x) / 200, depth / 2 + (corner.y.mm() - y) / 200)).collect();
        let outer = points(vec![(0, 0), (width, 0), (width, depth), (0, depth)]);
        let Ok(outline) = Outline::new(outer.clone(), vec![shrunk.clone()]) else { return Ok(()) };
        let judge = polygon(&outer, &[shrunk]);
        prop_assert!((number(outline.area().mm2()) - judge.unsigned_area()).abs() <= 1.0);
    }
}
