//! The photo or sketch under the plan: laid, scaled by two known points, turned, pinned.

use selion_core::document::Edit;
use selion_core::document::edit::ProfileField;
use selion_core::document::ids::PictureId;
use selion_core::document::records::Backdrop;
use selion_core::geometry::{Bounds, Point};
use selion_core::quantities::{BadInput, Length};

use super::super::drawing;

/// The longer side of a picture as it is kept, in dots.
pub const SIDE: f64 = 1_600.0;
/// The most bytes of a picture as it is kept: a fetch of some seconds with a weak signal.
pub const MOST_BYTES: usize = 600_000;
/// As wide as a new picture lies on bare ground.
const BARE: Length = Length::from_mm(20_000);

/// A new picture over the whole of the ground, to be scaled from there.
pub fn laid(picture: PictureId, size: (i64, i64), ground: Option<Bounds>) -> Backdrop {
    let (corner, across) = match ground {
        Some(all) => (
            Point {
                x: all.min.x,
                y: all.max.y,
            },
            all.width().max(Length::from_mm(1_000)),
        ),
        None => (
            Point {
                x: Length::ZERO,
                y: BARE,
            },
            BARE,
        ),
    };
    Backdrop::laid(picture, size, corner, across)
}

/// Laid anew so that two points, marked on the picture as it lies, are so far apart; turned too, where the direction from the
/// first to the second is known, in hundredths of a degree clockwise from the top of the plan.
pub fn scaled(
    backdrop: &Backdrop,
    marks: [Point; 2],
    apart: Length,
    direction: Option<i64>,
) -> Result<Backdrop, BadInput> {
    let [first, second] = marks.map(|mark| backdrop.dot_at(mark));
    let far = || BadInput::new("distance", "points on the ground", "one too far away");
    let onto = direction
        .map(|direction| {
            let stays = backdrop.point_of(first);
            let there = stays.away_by(direction, apart).ok_or_else(far)?;
            Ok((stays, there))
        })
        .transpose()?;
    backdrop.scaled(first, second, apart, onto)
}

/// Moved so that what lies under the first mark lies under the second.
pub fn pinned(backdrop: &Backdrop, [from, to]: [Point; 2]) -> Result<Backdrop, BadInput> {
    let far = || BadInput::new("picture", "a place on the ground", "one too far away");
    let off = |from: Length, to: Length| Length::from_mm(to.mm() - from.mm());
    let corner = backdrop
        .corner
        .checked_shift(off(from.x, to.x), off(from.y, to.y));
    Ok(Backdrop {
        corner: corner.ok_or_else(far)?,
        ..*backdrop
    })
}

/// The edit that lays it so, or takes it away.
pub fn said(backdrop: Option<Backdrop>) -> Edit {
    Edit::ChangeProfile {
        set: vec![ProfileField::Backdrop(backdrop)],
    }
}

/// How it is drawn: where, turned how, how wide and high in millimetres.
pub fn placed(backdrop: &Backdrop) -> (String, [String; 2]) {
    let (x, y) = drawing::place(backdrop.corner);
    let high = backdrop.across.mm().saturating_mul(backdrop.high) / backdrop.wide.max(1);
    let turned = format!(
        "translate({x:.0} {y:.0}) rotate(-{}.{:02})",
        backdrop.turned / 100,
        backdrop.turned % 100
    );
    (turned, [backdrop.across.mm().to_string(), high.to_string()])
}

#[cfg(test)]
mod tests {
    use selion_core::quantities::Moment;

    use super::*;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn backdrop() -> Backdrop {
        let picture = PictureId::fresh(Moment::from_millis(1), [1; 10]);
        let all = Bounds {
            min: Point::default(),
            max: Point::from_mm(40_000, 30_000),
        };
        laid(picture, (1_600, 1_200), Some(all))
    }

    #[test]
    fn a_picture_is_laid_over_the_ground_and_scaled_by_two_marks() {
        let before = backdrop();
        let marks = [
            Point::from_mm(10_000, 10_000),
            Point::from_mm(30_000, 10_000),
        ];
        let after = scaled(&before, marks, mm(10_000), None).unwrap();
        assert_eq!(after.across, mm(20_000));
        assert_eq!(after.dot_at(marks[0]), before.dot_at(marks[0]));
        let turned = scaled(&before, marks, mm(20_000), Some(0)).unwrap();
        assert_eq!(turned.turned, 9_000, "east became north: against the clock");
        let second = turned.point_of(before.dot_at(marks[1]));
        assert!(
            second.distance(Point::from_mm(10_000, 30_000)).mm() < 60,
            "{second:?}"
        );
        assert!(scaled(&before, [marks[0]; 2], mm(1), None).is_err());
    }

    #[test]
    fn a_picture_is_pinned_and_drawn_where_it_lies() {
        let moved = pinned(
            &backdrop(),
            [Point::from_mm(5, 5), Point::from_mm(1_005, -95)],
        )
        .unwrap();
        assert_eq!(moved.corner, Point::from_mm(1_000, 29_900));
        let turned = Backdrop {
            turned: 4_505,
            ..moved
        };
        let (place, size) = placed(&turned);
        assert_eq!(place, "translate(1000 -29900) rotate(-45.05)");
        assert_eq!(size, ["40000", "30000"]);
        let bare = laid(turned.picture, (10, 10), None);
        assert_eq!(bare.across, BARE);
        assert!(said(Some(bare)).check_bounds().is_ok());
    }
}
