//! Where the photo or sketch under the plan lies.

use crate::document::ids::PictureId;
use crate::geometry::{Point, Turn};
use crate::json::record;
use crate::quantities::{BadInput, Length};

/// A photo or sketch under the plan: which one, and where it lies. Its bytes are no part of the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Backdrop {
    /// Which picture.
    pub picture: PictureId,
    /// Where its top left corner lies.
    pub corner: Point,
    /// How much ground it is wide, along its top edge.
    pub across: Length,
    /// How far it is turned about that corner, in hundredths of a degree against the clock.
    pub turned: i64,
    /// How many dots it is wide.
    pub wide: i64,
    /// How many dots it is high.
    pub high: i64,
    /// How much of it shows through, in percent.
    pub shows: i64,
}

record!(Backdrop {
    picture,
    corner,
    across,
    turned,
    wide,
    high,
    shows
});

/// A spot on the picture, in dots from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dot {
    /// To the right.
    pub right: i64,
    /// Down.
    pub down: i64,
}

impl Backdrop {
    /// A picture that was just brought: as wide as the ground, upright, with its top left corner there.
    pub fn laid(
        picture: PictureId,
        (wide, high): (i64, i64),
        corner: Point,
        across: Length,
    ) -> Self {
        Self {
            picture,
            corner,
            across,
            turned: 0,
            wide,
            high,
            shows: 50,
        }
    }

    /// The spot of the picture that lies on a point of the ground, to the nearest dot; outside it too.
    pub fn dot_at(&self, point: Point) -> Dot {
        let upright = turn(-self.turned).carry(point, self.corner);
        let dots = |mm: i64| {
            let scaled = i128::from(mm) * i128::from(self.wide);
            let across = i128::from(self.across.mm().max(1));
            i64::try_from((scaled * 2 + across).div_euclid(across * 2)).unwrap_or(0)
        };
        Dot {
            right: dots(upright.x.mm() - self.corner.x.mm()),
            down: dots(self.corner.y.mm() - upright.y.mm()),
        }
    }

    /// Laid anew, so that two spots of the picture lie as far apart as they are on the ground, the first where it lies now and the
    /// second in the direction in which it lies now; or with the second exactly on a point, where one is given.
    pub fn scaled(
        &self,
        first: Dot,
        second: Dot,
        apart: Length,
        onto: Option<(Point, Point)>,
    ) -> Result<Self, BadInput> {
        let dots = |from: Dot, to: Dot| {
            let (right, down) = (to.right - from.right, to.down - from.down);
            crate::geometry::approximate(i128::from(right * right + down * down)).sqrt()
        };
        let between = dots(first, second);
        if between < 10.0 {
            let expected = "two points of the picture that lie apart";
            return Err(BadInput::new("points", expected, "two that lie together"));
        }
        if !apart.is_positive() {
            let came = format!("{} mm", apart.mm());
            return Err(BadInput::new(
                "distance",
                "a distance of more than nothing",
                came,
            ));
        }
        let mm_per_dot = crate::geometry::approximate(i128::from(apart.mm())) / between;
        let across = crate::geometry::whole(
            mm_per_dot * crate::geometry::approximate(i128::from(self.wide)),
        );
        let across = Length::from_mm(across.max(1));
        let mut laid = Self { across, ..*self };
        let stays = match onto {
            None => self.point_of(first),
            Some((onto_first, onto_second)) => {
                // The way from the first spot to the second, on the sheet and on the ground.
                let is = laid.point_of(first).bearing_to(laid.point_of(second));
                let by = is - onto_first.bearing_to(onto_second);
                laid.turned = (self.turned + by).rem_euclid(36_000);
                onto_first
            }
        };
        let now = laid.point_of(first);
        let off = (stays.x.mm() - now.x.mm(), stays.y.mm() - now.y.mm());
        laid.corner = Point::from_mm(laid.corner.x.mm() + off.0, laid.corner.y.mm() + off.1);
        Ok(laid)
    }

    /// The point of the ground under a spot of the picture.
    pub fn point_of(&self, dot: Dot) -> Point {
        let ground = |dots: i64| {
            let scaled = i128::from(dots) * i128::from(self.across.mm());
            let wide = i128::from(self.wide.max(1));
            i64::try_from((scaled * 2 + wide).div_euclid(wide * 2)).unwrap_or(0)
        };
        let upright = Point::from_mm(
            self.corner.x.mm().saturating_add(ground(dot.right)),
            self.corner.y.mm().saturating_sub(ground(dot.down)),
        );
        turn(self.turned).carry(upright, self.corner)
    }
}

fn turn(hundredths: i64) -> Turn {
    Turn::from_hundredths(i32::try_from(hundredths).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantities::Moment;

    fn laid() -> Backdrop {
        let picture = PictureId::fresh(Moment::from_millis(1), [1; 10]);
        let corner = Point::from_mm(0, 30_000);
        Backdrop::laid(picture, (1_600, 1_200), corner, Length::from_mm(40_000))
    }

    #[test]
    fn a_picture_is_scaled_by_two_known_points_and_the_first_stays() {
        let before = laid();
        let (first, second) = (
            Dot {
                right: 400,
                down: 300,
            },
            Dot {
                right: 1_200,
                down: 900,
            },
        );
        // 1000 dots apart: 25 m as it lies. They are said to be 20 m apart.
        let after = before
            .scaled(first, second, Length::from_mm(20_000), None)
            .unwrap();
        assert_eq!(after.across, Length::from_mm(32_000));
        assert_eq!(after.point_of(first), before.point_of(first));
        let apart = after.point_of(first).distance(after.point_of(second));
        assert!((apart.mm() - 20_000).abs() <= 2, "{apart:?}");
    }

    #[test]
    fn a_picture_is_turned_and_moved_so_that_two_points_lie_where_they_should() {
        let (first, second) = (
            Dot {
                right: 100,
                down: 1_100,
            },
            Dot {
                right: 1_500,
                down: 1_100,
            },
        );
        let onto = (Point::from_mm(5_000, 5_000), Point::from_mm(5_000, 26_000));
        let apart = onto.0.distance(onto.1);
        let after = laid().scaled(first, second, apart, Some(onto)).unwrap();
        // What ran to the east runs to the north now: a quarter against the clock.
        assert_eq!(after.turned, 9_000);
        assert!(after.point_of(first).distance(onto.0).mm() <= 2);
        assert!(after.point_of(second).distance(onto.1).mm() <= 4);
        assert_eq!(after.dot_at(after.point_of(second)), second);
    }

    #[test]
    fn points_on_each_other_or_no_distance_are_refused() {
        let dot = Dot { right: 5, down: 5 };
        let apart = Length::from_mm(1_000);
        assert_eq!(
            laid().scaled(dot, dot, apart, None).unwrap_err().field,
            "points"
        );
        let far = Dot {
            right: 500,
            down: 5,
        };
        assert_eq!(
            laid()
                .scaled(dot, far, Length::ZERO, None)
                .unwrap_err()
                .field,
            "distance"
        );
    }
}
