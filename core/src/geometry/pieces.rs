//! Outlines cut along a line, joined into one, and laid over each other.
//!
//! Worked out by a library in whole millimetres, so every device finds the same pieces. Where a cut meets a side between two
//! whole millimetres it is put on the nearest one: the pieces of a cut differ from the whole by less than the length of the
//! cut sides times a millimetre, which [`rounding_of`] bounds.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::string::slice::IntSlice;

use super::point::FARTHEST;
use super::{Outline, Point, Run};
use crate::quantities::{Area, BadInput};

/// A shape of the library: the outer ring, then the holes.
type Shape = Vec<Vec<IntPoint>>;

/// The pieces of an outline on both sides of the straight line through two points, the largest first.
///
/// ```
/// use selion_core::geometry::{Outline, Point, Run, split};
/// use selion_core::quantities::{Area, Length};
///
/// let bed = Outline::rectangle(Point::from_mm(0, 0), Length::from_mm(6_000), Length::from_mm(1_200))?;
/// let across = Run { from: Point::from_mm(2_000, 0), to: Point::from_mm(2_000, 100) };
/// let areas: Vec<Area> = split(&bed, across)?.iter().map(Outline::area).collect();
/// assert_eq!(areas, [Area::from_mm2(4_800_000), Area::from_mm2(2_400_000)]);
/// # Ok::<(), selion_core::quantities::BadInput>(())
/// ```
pub fn split(outline: &Outline, along: Run) -> Result<Vec<Outline>, BadInput> {
    let expected = "a line that runs through the bed";
    let refused = |came: String| BadInput::new("cut", expected, came);
    let (from, to) =
        lengthened(outline, along).ok_or_else(|| refused("two points in one place".to_owned()))?;
    let shapes = shape(outline).slice_by_line([from, to], FillRule::EvenOdd);
    let mut pieces = shapes
        .iter()
        .map(|shape| outline_of(shape))
        .collect::<Result<Vec<Outline>, BadInput>>()?;
    if pieces.len() < 2 {
        return Err(refused("one that leaves it whole".to_owned()));
    }
    pieces.sort_by(|one, other| {
        let key = |piece: &Outline| (std::cmp::Reverse(piece.area()), piece.bounds().min);
        key(one).cmp(&key(other))
    });
    Ok(pieces)
}

/// Both outlines as one, if they touch along a side or overlap.
pub fn joined(one: &Outline, other: &Outline) -> Result<Outline, BadInput> {
    let shapes = overlaid(one, other, OverlayRule::Union);
    match shapes.as_slice() {
        [both] => outline_of(both),
        apart => {
            let came = format!("{} pieces with ground between them", apart.len());
            Err(BadInput::new(
                "beds",
                "outlines that touch along a side",
                came,
            ))
        }
    }
}

/// The ground that lies in both outlines.
pub fn common_area(one: &Outline, other: &Outline) -> Area {
    let shapes = overlaid(one, other, OverlayRule::Intersect);
    let pieces = shapes.iter().filter_map(|shape| outline_of(shape).ok());
    pieces.map(|piece| piece.area()).sum()
}

/// By how much all pieces of an outline together may differ from it, after their corners were put on whole millimetres.
pub(crate) fn rounding_of(outline: &Outline) -> Area {
    let corners = i64::try_from(outline.corners().len()).unwrap_or(i64::MAX);
    let around = outline.perimeter().mm().saturating_add(corners);
    Area::from_mm2(around)
}

fn overlaid(one: &Outline, other: &Outline, rule: OverlayRule) -> Vec<Shape> {
    let shapes = [shape(one), shape(other)];
    let [one, other] = &shapes;
    Overlay::with_contours(one, other).overlay(rule, FillRule::EvenOdd)
}

fn shape(outline: &Outline) -> Shape {
    std::iter::once(outline.corners())
        .chain(outline.holes())
        .map(|ring| ring.iter().copied().map(int_point).collect())
        .collect()
}

fn int_point(point: Point) -> IntPoint {
    let whole = |mm: i64| i32::try_from(mm).unwrap_or(0);
    IntPoint::new(whole(point.x.mm()), whole(point.y.mm()))
}

fn outline_of(shape: &[Vec<IntPoint>]) -> Result<Outline, BadInput> {
    let mut rings = shape.iter().map(|ring| {
        let point = |point: &IntPoint| Point::from_mm(i64::from(point.x), i64::from(point.y));
        ring.iter().map(point).collect()
    });
    let outer: Vec<Point> = rings.next().unwrap_or_default();
    Outline::new(outer, rings.collect())
}

/// The line carried on in both directions until it lies outside the outline, if it has a direction.
fn lengthened(outline: &Outline, along: Run) -> Option<(IntPoint, IntPoint)> {
    let (east, north) = along.from.steps_to(along.to);
    let longest = east.abs().max(north.abs());
    if longest == 0 {
        return None;
    }
    let bounds = outline.bounds();
    let far = [bounds.min, bounds.max]
        .into_iter()
        .map(|corner| {
            let (east, north) = along.from.steps_to(corner);
            east.abs().max(north.abs())
        })
        .max()?;
    // Whole multiples keep the direction exact; a garden is 20 km across at most, and the library's numbers reach 2,147 km.
    let times = (2 * far).div_euclid(longest) + 1;
    let carried = |sign: i128| {
        let most = i128::from(FARTHEST.mm()) * 100;
        let place = |start: i64, step: i128| {
            let place = i128::from(start) + sign * times * step;
            i32::try_from(place.clamp(-most, most)).ok()
        };
        Some(IntPoint::new(
            place(along.from.x.mm(), east)?,
            place(along.from.y.mm(), north)?,
        ))
    };
    Some((carried(-1)?, carried(1)?))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantities::Length;

    fn outline(wkt: &str) -> Outline {
        Outline::parse(wkt).unwrap()
    }

    fn run(from: (i64, i64), to: (i64, i64)) -> Run {
        Run {
            from: Point::from_mm(from.0, from.1),
            to: Point::from_mm(to.0, to.1),
        }
    }

    #[test]
    fn a_bent_bed_falls_into_three_and_a_hole_goes_with_its_piece() {
        let bent = outline(
            "POLYGON((0 0,6000 0,6000 4000,4000 4000,4000 1000,2000 1000,2000 4000,0 4000,0 0))",
        );
        let pieces = split(&bent, run((0, 2_000), (100, 2_000))).unwrap();
        let areas: Vec<i64> = pieces.iter().map(|piece| piece.area().mm2()).collect();
        assert_eq!(areas, [10_000_000, 4_000_000, 4_000_000]);

        let holed = outline(
            "POLYGON((0 0,6000 0,6000 2000,0 2000,0 0),(4000 500,4000 1500,5000 1500,5000 500,4000 500))",
        );
        let pieces = split(&holed, run((3_000, 0), (3_000, 1))).unwrap();
        let holes: Vec<usize> = pieces.iter().map(|piece| piece.holes().len()).collect();
        assert_eq!(holes, [0, 1]);
        let through = split(&holed, run((4_500, 0), (4_500, 1))).unwrap();
        assert!(through.iter().all(|piece| piece.holes().len() == 0));
    }

    #[test]
    fn a_line_beside_the_bed_and_one_without_direction_are_refused() {
        let bed = outline("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))");
        for line in [
            run((0, 2_000), (1, 2_000)),
            run((0, 0), (1, 0)),
            run((5, 5), (5, 5)),
        ] {
            assert_eq!(split(&bed, line).unwrap_err().field, "cut");
        }
    }

    #[test]
    fn beds_that_touch_become_one_and_others_do_not() {
        let bed = outline("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))");
        let beside = outline("POLYGON((6000 0,8000 0,8000 1200,6000 1200,6000 0))");
        let both = joined(&bed, &beside).unwrap();
        assert_eq!(both.corners().len(), 4);
        assert_eq!(both.bounds().width(), Length::from_mm(8_000));
        let away = beside
            .shifted(Length::from_mm(1), Length::from_mm(0))
            .unwrap();
        let refused = joined(&bed, &away).unwrap_err().to_string();
        assert!(refused.contains("touch along a side"), "{refused}");
        let at_a_corner = beside
            .shifted(Length::from_mm(0), Length::from_mm(1_200))
            .unwrap();
        assert!(joined(&bed, &at_a_corner).is_err());
        assert_eq!(common_area(&bed, &beside), Area::ZERO);
    }

    proptest! {
        #[test]
        fn pieces_make_up_the_whole_and_join_again(
            width in 500_i64..20_000, depth in 500_i64..20_000, notch in 1_i64..400,
            x in 10_i64..490, y in 10_i64..490, east in -500_i64..500, north in -500_i64..500,
        ) {
            let bed = Outline::new(
                [(0, 0), (width, 0), (width, depth), (notch, depth), (notch, depth - notch), (0, depth - notch)]
                    .map(|(x, y)| Point::from_mm(x, y)).to_vec(),
                Vec::new(),
            ).unwrap();
            let Ok(pieces) = split(&bed, run((x, y), (x + east, y + north))) else { return Ok(()) };
            let together: i64 = pieces.iter().map(|piece| piece.area().mm2()).sum();
            prop_assert!((together - bed.area().mm2()).abs() <= rounding_of(&bed).mm2());
            for (number, piece) in pieces.iter().enumerate() {
                for other in pieces.iter().skip(number + 1) {
                    prop_assert!(common_area(piece, other) <= rounding_of(&bed));
                }
            }
            let whole = pieces.iter().skip(1).try_fold(pieces[0].clone(), |whole, piece| joined(&whole, piece));
            if let Ok(whole) = whole {
                prop_assert!((whole.area().mm2() - bed.area().mm2()).abs() <= rounding_of(&bed).mm2());
            }
        }
    }
}
