//! The scale bar under a plan: a round length that fits the place there is for it.

use selion_core::quantities::Units;

const MM_PER_METRE: f64 = 1000.0;
/// Exact since the international yard and pound agreement of 1959: 1 ft = 0.3048 m.
const MM_PER_FOOT: f64 = 304.8;

/// Lengths that divide well in two, longest first.
const METRES: [f64; 13] = [
    1000.0, 400.0, 200.0, 100.0, 40.0, 20.0, 10.0, 4.0, 2.0, 1.0, 0.4, 0.2, 0.1,
];
const FEET: [f64; 12] = [
    2000.0, 1000.0, 400.0, 200.0, 100.0, 40.0, 20.0, 10.0, 4.0, 2.0, 1.0, 0.5,
];

/// A scale bar of two halves.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleBar {
    /// Its length on the screen, in CSS pixels.
    pub pixels: f64,
    /// What stands at the middle, such as `20`.
    pub middle: String,
    /// What stands at the end, such as `40 ft`.
    pub end: String,
}

/// The longest round bar within `most_pixels`, or none when the scale is beyond all reason.
pub fn choose(mm_per_pixel: f64, most_pixels: f64, units: Units) -> Option<ScaleBar> {
    if !(mm_per_pixel.is_finite() && mm_per_pixel > 0.0) {
        return None;
    }
    let (lengths, mm_each, unit) = match units {
        Units::Metric => (METRES.as_slice(), MM_PER_METRE, "m"),
        Units::UsCustomary => (FEET.as_slice(), MM_PER_FOOT, "ft"),
    };
    lengths
        .iter()
        .map(|length| (length, length * mm_each / mm_per_pixel))
        .find(|(_, pixels)| *pixels <= most_pixels)
        .map(|(length, pixels)| ScaleBar {
            pixels,
            middle: (length / 2.0).to_string(),
            end: format!("{length} {unit}"),
        })
}

/// The scale as a ratio, such as `1 : 240`, to two digits. A CSS pixel counts as a 96th of an inch, as on paper.
pub fn ratio(mm_per_pixel: f64) -> Option<String> {
    const MM_PER_CSS_PIXEL: f64 = 25.4 / 96.0;
    let ratio = mm_per_pixel / MM_PER_CSS_PIXEL;
    if !(ratio.is_finite() && ratio > 0.0) {
        return None;
    }
    let digit = 10_f64.powf((ratio.log10().floor() - 1.0).max(0.0));
    Some(format!("1 : {:.0}", (ratio / digit).round() * digit))
}

/// The spacing of the plan's grid in millimetres: the round length nearest above `least_pixels` on the screen.
pub fn grid_step(mm_per_pixel: f64, least_pixels: f64, units: Units) -> f64 {
    let (lengths, mm_each) = match units {
        Units::Metric => (METRES.as_slice(), MM_PER_METRE),
        Units::UsCustomary => (FEET.as_slice(), MM_PER_FOOT),
    };
    let steps = || lengths.iter().map(|length| length * mm_each);
    let longest = steps().next().unwrap_or(mm_each);
    steps()
        .rev()
        .find(|step| step / mm_per_pixel >= least_pixels)
        .unwrap_or(longest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phone_showing_thirty_metres_gets_a_ten_metre_bar() {
        let bar = choose(30_000.0 / 390.0, 140.0, Units::Metric).unwrap();
        assert_eq!((bar.middle.as_str(), bar.end.as_str()), ("5", "10 m"));
        assert!((bar.pixels - 130.0).abs() < 1e-9);
    }

    #[test]
    fn feet_are_feet() {
        let bar = choose(100.0, 130.0, Units::UsCustomary).unwrap();
        assert_eq!((bar.middle.as_str(), bar.end.as_str()), ("20", "40 ft"));
        assert!((bar.pixels - 121.92).abs() < 1e-9);
    }

    #[test]
    fn close_up_the_bar_is_a_fraction() {
        assert_eq!(choose(1.0, 120.0, Units::Metric).unwrap().end, "0.1 m");
    }

    #[test]
    fn the_bar_never_outgrows_its_place() {
        for step in 1..4000 {
            let mm_per_pixel = f64::from(step) * 0.7;
            for units in [Units::Metric, Units::UsCustomary] {
                if let Some(bar) = choose(mm_per_pixel, 140.0, units) {
                    assert!(bar.pixels <= 140.0);
                }
            }
        }
    }

    #[test]
    fn the_ratio_has_two_digits() {
        assert_eq!(ratio(63.7).as_deref(), Some("1 : 240"));
        assert_eq!(ratio(1.0).as_deref(), Some("1 : 4"));
        assert_eq!(ratio(0.0), None);
    }

    #[test]
    fn a_scale_that_is_no_scale_gives_no_bar() {
        for scale in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(choose(scale, 140.0, Units::Metric), None);
        }
    }

    #[test]
    fn grid_squares_stay_wide_enough_to_see() {
        assert!((grid_step(77.0, 20.0, Units::Metric) - 2000.0).abs() < 1e-9);
        assert!(grid_step(77.0, 20.0, Units::UsCustomary) / 77.0 >= 20.0);
    }
}
