//! Plants in beds of any shape against counting by brute force on a fine grid, and pieces of beds against the library `geo`.

use geo::{Area as _, Contains as _, Coord, LineString, Polygon};
use proptest::prelude::*;
use selion_core::geometry::{Direction, Outline, Point, Run, split};
use selion_core::quantities::{Spacing, Units};
use selion_core::season::rows::{Ends, OutlineCase, Pattern, in_outline};

use super::areas::number;

/// The grid: a row is looked at every so many millimetres.
const FINE: i64 = 2;

fn polygon(corners: &[Point]) -> Polygon {
    let ring: LineString = corners
        .iter()
        .map(|corner| Coord {
            x: number(corner.x.mm()),
            y: number(corner.y.mm()),
        })
        .collect();
    Polygon::new(ring, Vec::new())
}

/// Corners at growing angles around a middle, each at its own distance.
fn outlines() -> impl Strategy<Value = Outline> {
    let steps = prop::collection::vec((2_i32..60, 900_i32..4_000), 4..14);
    steps.prop_filter_map("no simple outline", |steps| {
        let turns: f64 = steps.iter().map(|(step, _)| f64::from(*step)).sum();
        let mut turned = 0.0;
        let corner = |(step, distance): (i32, i32)| {
            turned += f64::from(step) / turns * std::f64::consts::TAU;
            let (sine, cosine) = f64::sin_cos(turned);
            let whole = |metres: f64| format!("{metres:.0}").parse::<i64>().unwrap();
            Point::from_mm(
                whole(f64::from(distance) * cosine),
                whole(f64::from(distance) * sine),
            )
        };
        Outline::new(steps.into_iter().map(corner).collect(), Vec::new()).ok()
    })
}

/// The lengths of ground along one line, west to east, seen on the grid.
fn pieces_on(judge: &Polygon, outline: &Outline, y: f64) -> Vec<i64> {
    let bounds = outline.bounds();
    let (west, east) = (bounds.min.x.mm() - FINE, bounds.max.x.mm() + FINE);
    let mut pieces = Vec::new();
    let mut run = 0;
    let mut x = west;
    while x <= east {
        let inside = judge.contains(&Coord { x: number(x), y });
        if inside {
            run += FINE;
        } else if run > 0 {
            pieces.push(run);
            run = 0;
        }
        x += FINE;
    }
    pieces
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn plants_in_any_simple_polygon(outline in outlines(), spacing in 100_i64..900, between in 250_i64..1_200) {
        let um = |mm: i64| Spacing::from_micrometres(mm * 1_000);
        let answer = in_outline(&OutlineCase {
            outline: outline.clone(),
            along: Direction::East,
            pattern: Pattern::Rows(um(between)),
            spacing: um(spacing),
            ends: Ends::HalfSpace,
            side_margin: None,
            units: Units::Metric,
        }).unwrap().result;
        let judge = polygon(outline.corners());
        let bounds = outline.bounds();
        let depth = bounds.depth().mm();
        let (mut fewest, mut most) = (0, 0);
        let mut line = 0;
        // Half a row spacing free at both edges; a line within a millimetre of the last edge may fall to either side.
        while between + 2 * line * between <= 2 * depth - between + 2 {
            let y = number(bounds.min.y.mm()) + number(between) * (0.5 + number(line));
            for length in pieces_on(&judge, &outline, y) {
                // The grid is off by a step at both ends, and outlines have a millimetre of slack.
                fewest += (length - 2 * FINE - 2).max(0) / spacing;
                most += (length + 2 * FINE + 2) / spacing;
            }
            line += 1;
        }
        prop_assert!((fewest..=most).contains(&answer.plants), "{} not in {fewest} to {most}", answer.plants);
        for row in &answer.rows {
            prop_assert!(outline.contains(row.from) && outline.contains(row.to));
        }
    }

    #[test]
    fn pieces_of_a_cut_have_the_area_that_geo_finds(outline in outlines(), east in -900_i64..900, north in -900_i64..900) {
        let middle = outline.label_point();
        let aside = Point::from_mm(middle.x.mm() + east, middle.y.mm() + north);
        let Ok(pieces) = split(&outline, Run { from: middle, to: aside }) else { return Ok(()) };
        let whole = polygon(outline.corners()).unsigned_area();
        let mut together = 0.0;
        for piece in &pieces {
            let judged = polygon(piece.corners()).unsigned_area();
            prop_assert!((judged - number(piece.area().mm2())).abs() <= 1.0);
            together += judged;
        }
        // Cut corners stand on whole millimetres, so each of the sides that was cut may move by one.
        prop_assert!((together - whole).abs() <= number(outline.perimeter().mm()), "{together} of {whole}");
    }
}
