//! Which part of the ground a plan shows: fit, pan and zoom as plain arithmetic.
//!
//! Ground is in millimetres, x to the right and y down the sheet; the screen is in CSS pixels from its top left corner.

/// A rectangle of ground, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Left edge.
    pub left: f64,
    /// Top edge.
    pub top: f64,
    /// Width, more than nothing.
    pub width: f64,
    /// Height, more than nothing.
    pub height: f64,
}

/// How close a plan may be looked at: 1 pixel shows at least this much, in millimetres.
const CLOSEST: f64 = 1.0;
/// Clear ground around the extent when it is fitted, as a part of the screen.
const MARGIN: f64 = 0.06;

/// The window through which a plan is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Viewport {
    extent: Extent,
    screen: (f64, f64),
    centre: (f64, f64),
    mm_per_pixel: f64,
}

impl Viewport {
    /// All of `extent`, on a screen of so many pixels.
    pub fn fit(extent: Extent, screen: (f64, f64)) -> Self {
        let extent = Extent {
            width: extent.width.max(1.0),
            height: extent.height.max(1.0),
            ..extent
        };
        let screen = (screen.0.max(1.0), screen.1.max(1.0));
        let centre = (
            extent.left + extent.width / 2.0,
            extent.top + extent.height / 2.0,
        );
        let mm_per_pixel = fitting_scale(extent, screen);
        Self {
            extent,
            screen,
            centre,
            mm_per_pixel,
        }
    }

    /// The same view on a screen of another size; a fitted plan stays fitted.
    #[must_use]
    pub fn resized(self, screen: (f64, f64)) -> Self {
        let fitted = Self::fit(self.extent, screen);
        if self.is_near() {
            Self {
                centre: self.centre,
                mm_per_pixel: self.mm_per_pixel,
                ..fitted
            }
            .held_in()
        } else {
            fitted
        }
    }

    /// All of another ground, on the same screen.
    #[must_use]
    pub fn over(self, extent: Extent) -> Self {
        Self::fit(extent, self.screen)
    }

    /// All of the ground again.
    #[must_use]
    pub fn fitted(self) -> Self {
        Self::fit(self.extent, self.screen)
    }

    /// Moved as a finger moves the sheet: by pixels to the right and down.
    #[must_use]
    pub fn panned(self, right: f64, down: f64) -> Self {
        let centre = (
            self.centre.0 - right * self.mm_per_pixel,
            self.centre.1 - down * self.mm_per_pixel,
        );
        Self { centre, ..self }.held_in()
    }

    /// Magnified by `factor`; the ground under the point `at` (in pixels) stays where it is.
    #[must_use]
    pub fn zoomed(self, factor: f64, at: (f64, f64)) -> Self {
        if !(factor.is_finite() && factor > 0.0) {
            return self;
        }
        let farthest = fitting_scale(self.extent, self.screen);
        let mm_per_pixel = (self.mm_per_pixel / factor).clamp(CLOSEST.min(farthest), farthest);
        let off = (at.0 - self.screen.0 / 2.0, at.1 - self.screen.1 / 2.0);
        let change = self.mm_per_pixel - mm_per_pixel;
        let centre = (
            self.centre.0 + off.0 * change,
            self.centre.1 + off.1 * change,
        );
        Self {
            centre,
            mm_per_pixel,
            ..self
        }
        .held_in()
    }

    /// Magnified about the middle of the screen.
    #[must_use]
    pub fn zoomed_in_place(self, factor: f64) -> Self {
        self.zoomed(factor, (self.screen.0 / 2.0, self.screen.1 / 2.0))
    }

    /// Whether only part of the ground is shown.
    pub fn is_near(self) -> bool {
        self.mm_per_pixel < fitting_scale(self.extent, self.screen) * 0.999
    }

    /// What one pixel shows, in millimetres.
    pub fn mm_per_pixel(self) -> f64 {
        self.mm_per_pixel
    }

    /// The ground that is seen.
    pub fn seen(self) -> Extent {
        let (width, height) = (
            self.screen.0 * self.mm_per_pixel,
            self.screen.1 * self.mm_per_pixel,
        );
        Extent {
            left: self.centre.0 - width / 2.0,
            top: self.centre.1 - height / 2.0,
            width,
            height,
        }
    }

    /// The ground that is seen, as the value of an SVG `viewBox`.
    pub fn view_box(self) -> String {
        let seen = self.seen();
        format!(
            "{:.1} {:.1} {:.1} {:.1}",
            seen.left, seen.top, seen.width, seen.height
        )
    }

    /// The ground under a point of the screen.
    pub fn ground_at(self, at: (f64, f64)) -> (f64, f64) {
        let seen = self.seen();
        (
            seen.left + at.0 * self.mm_per_pixel,
            seen.top + at.1 * self.mm_per_pixel,
        )
    }

    /// The middle of the screen never leaves the ground; a fitted plan stays in the middle.
    fn held_in(self) -> Self {
        if !self.is_near() {
            return self.fitted();
        }
        let Extent {
            left,
            top,
            width,
            height,
        } = self.extent;
        let centre = (
            self.centre.0.clamp(left, left + width),
            self.centre.1.clamp(top, top + height),
        );
        Self { centre, ..self }
    }
}

fn fitting_scale(extent: Extent, screen: (f64, f64)) -> f64 {
    let scale = (extent.width / screen.0).max(extent.height / screen.1);
    scale / (1.0 - 2.0 * MARGIN)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sorrel_bank() -> Viewport {
        let extent = Extent {
            left: 0.0,
            top: 0.0,
            width: 30_000.0,
            height: 40_000.0,
        };
        Viewport::fit(extent, (390.0, 470.0))
    }

    fn near(a: (f64, f64), b: (f64, f64)) -> bool {
        (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6
    }

    #[test]
    fn fitted_all_of_the_ground_is_seen() {
        let seen = sorrel_bank().seen();
        assert!(seen.left <= 0.0 && seen.top <= 0.0);
        assert!(seen.left + seen.width >= 30_000.0 && seen.top + seen.height >= 40_000.0);
        assert!(!sorrel_bank().is_near());
    }

    #[test]
    fn zooming_keeps_the_ground_under_the_finger() {
        let finger = (100.0, 300.0);
        let before = sorrel_bank().zoomed_in_place(2.0);
        let after = before.zoomed(1.7, finger);
        assert!(near(before.ground_at(finger), after.ground_at(finger)));
        assert!(after.is_near());
    }

    #[test]
    fn panning_moves_the_ground_with_the_finger() {
        let before = sorrel_bank().zoomed_in_place(3.0);
        let after = before.panned(40.0, -25.0);
        assert!(near(
            before.ground_at((100.0, 100.0)),
            after.ground_at((140.0, 75.0))
        ));
    }

    #[test]
    fn the_ground_cannot_be_lost() {
        let far_off = sorrel_bank().zoomed_in_place(4.0).panned(1e7, -1e7);
        let (x, y) = far_off.ground_at((195.0, 235.0));
        assert!((0.0..=30_000.0).contains(&x) && (0.0..=40_000.0).contains(&y));
    }

    #[test]
    fn zooming_out_ends_at_the_whole_ground() {
        let out = sorrel_bank()
            .zoomed_in_place(5.0)
            .panned(50.0, 50.0)
            .zoomed_in_place(0.0001);
        assert_eq!(out, sorrel_bank());
    }

    #[test]
    fn a_resized_screen_keeps_what_was_looked_at() {
        let near_view = sorrel_bank().zoomed_in_place(4.0).panned(30.0, 10.0);
        let turned = near_view.resized((800.0, 400.0));
        assert!(near(
            near_view.ground_at((195.0, 235.0)),
            turned.ground_at((400.0, 200.0))
        ));
        assert!(!sorrel_bank().resized((800.0, 400.0)).is_near());
    }

    #[test]
    fn nonsense_changes_nothing() {
        for factor in [0.0, -2.0, f64::NAN, f64::INFINITY] {
            assert_eq!(sorrel_bank().zoomed_in_place(factor), sorrel_bank());
        }
    }
}
