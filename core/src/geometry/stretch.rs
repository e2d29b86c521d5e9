//! A stretch of an outline: what lies between two lines square to one of its sides, as a part of a bed is paced off from one
//! end of it.

use super::{Outline, Point, Run, split};
use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Length};

/// What rounding to whole millimetres may take at a cut.
const SLACK: i64 = 2;

/// An outline as it lies along one of its sides.
struct Along {
    /// Where the side begins, and the steps to where it ends.
    from: Point,
    east: i128,
    north: i128,
    /// The length of the side.
    side: i128,
    /// The first and the last millimetre of the outline, counted from where the side begins.
    first: i64,
    last: i64,
}

/// How long an outline is along one of its sides, counted from 1.
pub fn length_along(outline: &Outline, side: usize) -> Result<Length, BadInput> {
    let along = Along::of(outline, side)?;
    Ok(Length::from_mm(along.last - along.first))
}

/// The part of an outline that begins so far from its end, where the side begins, and goes on for so long.
///
/// ```
/// use selion_core::geometry::{Outline, Point, stretch};
/// use selion_core::quantities::{Area, Length};
///
/// let bed = Outline::rectangle(Point::from_mm(0, 0), Length::from_mm(6_000), Length::from_mm(1_200))?;
/// let part = stretch(&bed, 1, Length::from_mm(1_000), Length::from_mm(2_000))?;
/// assert_eq!(part.area(), Area::from_mm2(2_400_000));
/// # Ok::<(), selion_core::quantities::BadInput>(())
/// ```
pub fn stretch(
    outline: &Outline,
    side: usize,
    from: Length,
    length: Length,
) -> Result<Outline, BadInput> {
    let along = Along::of(outline, side)?;
    let whole = along.last - along.first;
    let refused = |field: &str, expected: String, came: Length| {
        BadInput::new(field, expected, format!("{} mm", came.mm()))
    };
    if from.mm() < 0 || from.mm() >= whole {
        let expected = format!("from 0 to less than {whole} mm");
        return Err(refused("from", expected, from));
    }
    let room = whole - from.mm();
    if length.mm() <= SLACK || length.mm() > room + SLACK {
        let expected = format!("more than nothing and at most {room} mm");
        return Err(refused("length", expected, length));
    }
    let mut part = outline.clone();
    if from.mm() > SLACK {
        part = along.cut(&part, along.first + from.mm(), true)?;
    }
    if room - length.mm() > SLACK {
        part = along.cut(&part, along.first + from.mm() + length.mm(), false)?;
    }
    Ok(part)
}

impl Along {
    fn of(outline: &Outline, side: usize) -> Result<Self, BadInput> {
        let corners = outline.corners();
        let expected = || format!("a side from 1 to {}", corners.len());
        let refused = || BadInput::new("side", expected(), side.to_string());
        let start = side.checked_sub(1).ok_or_else(refused)?;
        let from = *corners.get(start).ok_or_else(refused)?;
        let to = *corners.iter().cycle().nth(side).ok_or_else(refused)?;
        let (east, north) = from.steps_to(to);
        let mut along = Self {
            from,
            east,
            north,
            side: i128::from(from.distance(to).mm()),
            first: 0,
            last: 0,
        };
        let places = corners.iter().filter_map(|corner| along.place(*corner));
        let (first, last) = places.fold((0, 0), |(first, last), place| {
            (place.min(first), place.max(last))
        });
        (along.first, along.last) = (first, last);
        if along.last - along.first <= SLACK {
            return Err(refused());
        }
        Ok(along)
    }

    /// How far along the side a point lies.
    fn place(&self, point: Point) -> Option<i64> {
        let (east, north) = self.from.steps_to(point);
        nearest(east * self.east + north * self.north, self.side)
    }

    /// What lies on one side of the line square to this one, so far along it.
    fn cut(&self, outline: &Outline, at: i64, beyond: bool) -> Result<Outline, BadInput> {
        let far = || BadInput::new("part", "a place within reach", format!("{at} mm"));
        let step = |way: i128| nearest(way * i128::from(at), self.side).ok_or_else(far);
        let (east, north) = (step(self.east)?, step(self.north)?);
        let shift = |point: Point, east: i64, north: i64| {
            let shifted = point.checked_shift(Length::from_mm(east), Length::from_mm(north));
            shifted.ok_or_else(far)
        };
        let on_line = shift(self.from, east, north)?;
        let whole = |way: i128| i64::try_from(way).map_err(|_too_far| far());
        let across = Run {
            from: on_line,
            to: shift(on_line, -whole(self.north)?, whole(self.east)?)?,
        };
        let lies = |piece: &Outline| {
            let place = self.place(piece.label_point()).unwrap_or(at);
            (place > at) == beyond
        };
        let pieces = split(outline, across)?;
        let mut kept: Vec<Outline> = pieces.into_iter().filter(lies).collect();
        match (kept.pop(), kept.len()) {
            (Some(part), 0) => Ok(part),
            (_, more) => {
                let came = format!("{} pieces", more + 1);
                Err(BadInput::new("part", "a stretch in one piece", came))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::{Turn, common_area};
    use crate::quantities::Area;

    fn bed() -> Outline {
        Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap()
    }

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    #[test]
    fn a_part_is_paced_off_from_where_the_side_begins() {
        let part = stretch(&bed(), 1, mm(0), mm(2_000)).unwrap();
        assert_eq!(part.bounds().max.x, mm(2_000));
        // The third side runs back, so it begins at the other end.
        let part = stretch(&bed(), 3, mm(0), mm(2_000)).unwrap();
        assert_eq!(part.bounds().min.x, mm(4_000));
        let part = stretch(&bed(), 2, mm(600), mm(600)).unwrap();
        assert_eq!(part.area(), Area::from_mm2(6_000 * 600));
        assert_eq!(stretch(&bed(), 1, mm(0), mm(6_000)), Ok(bed()));
        assert_eq!(length_along(&bed(), 4), Ok(mm(1_200)));
    }

    #[test]
    fn what_is_no_part_of_the_bed_is_refused_with_its_field() {
        let field = |side, from, length| {
            let part = stretch(&bed(), side, mm(from), mm(length));
            part.unwrap_err().field
        };
        assert_eq!(field(0, 0, 100), "side");
        assert_eq!(field(5, 0, 100), "side");
        assert_eq!(field(1, 6_000, 100), "from");
        assert_eq!(field(1, -1, 100), "from");
        assert_eq!(field(1, 5_000, 1_100), "length");
        assert_eq!(field(1, 0, 0), "length");
        let horns = Outline::parse(
            "POLYGON((0 0,3000 0,3000 3000,2000 3000,2000 1000,1000 1000,1000 3000,0 3000,0 0))",
        );
        let part = stretch(&horns.unwrap(), 2, mm(2_000), mm(500));
        assert_eq!(part.unwrap_err().field, "part");
    }

    proptest! {
        #[test]
        fn stretches_of_a_turned_bed_fill_it_and_lie_in_it(
            degrees in 0_i32..360, side in 1_usize..5, cut in 100_i64..1_100,
        ) {
            let bed = bed().turned(Turn::from_degrees(degrees), Point::from_mm(3_000, 600)).unwrap();
            let whole = length_along(&bed, side).unwrap();
            let first = stretch(&bed, side, mm(0), mm(cut)).unwrap();
            let rest = stretch(&bed, side, mm(cut), mm(whole.mm() - cut)).unwrap();
            let off = (first.area().mm2() + rest.area().mm2() - bed.area().mm2()).abs();
            prop_assert!(off < 20_000, "{off}");
            prop_assert!(common_area(&first, &rest).mm2() < 20_000);
            let width = whole.mm();
            let across = bed.area().mm2() / width;
            prop_assert!((first.area().mm2() - cut * across).abs() < 20_000);
        }
    }
}
