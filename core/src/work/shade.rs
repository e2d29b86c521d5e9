//! Where the shade of a tree falls on level ground, by its crown, its height and the height of the sun.
//!
//! ```text
//! δ     = 0.409 sin(2π J/365 − 1.39)                     declination, FAO-56 Eq. 24
//! ω     = 15° for each hour from noon
//! sin h = sin φ sin δ + cos φ cos δ cos ω                how high the sun stands
//! tan A = sin ω / (sin φ cos ω − cos φ tan δ)            where it stands, from south to west
//! reach = height / tan h
//! ```
//!
//! Hours are those of the sun: at 12 it stands highest, which a clock shows up to two hours later. The tree is taken as wide
//! as its crown down to the ground, so the shade is rather too large than too small.

use crate::geometry::{Outline, Point, approximate, whole};
use crate::quantities::{Day, Latitude, Length, Minutes, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::work::FAO_56;
use crate::work::water::sun::{day_of_year, of_day};

/// Shade is drawn no farther than this: beyond it the sun stands so low that everything is in some shade.
pub const FARTHEST_SHADE: Length = Length::from_mm(200_000);

/// A tree and a time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShadeCase {
    /// The edge of its crown.
    pub crown: Outline,
    /// How high it is.
    pub height: Length,
    /// How far north it stands.
    pub latitude: Latitude,
    /// How far north lies from the top of the plan, in whole degrees clockwise.
    pub north_degrees: i64,
    /// On which day.
    pub day: Day,
    /// When on that day, in minutes after the sun's midnight: noon is 720.
    pub time: Minutes,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SunPlace {
    /// Above the edge of the ground, in hundredths of a degree; below nought at night.
    pub height: i64,
    /// In hundredths of a degree clockwise from north, from 0 to 35 999.
    pub bearing: i64,
}

/// The shade of a tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shade {
    /// The ground in the shade, the crown's own included.
    pub outline: Outline,
    /// In which direction it falls, in whole degrees clockwise from north.
    pub bearing: i64,
    /// How far it falls beyond the crown.
    pub reach: Length,
}

/// Where the sun stands on a day, at so many minutes of its own time.
pub fn sun_at(day: Day, time: Minutes, latitude: Latitude) -> Result<SunPlace, Refusal> {
    if !(0..24 * 60).contains(&time.get()) {
        let expected = "an hour from 0:00 to 23:59";
        return Err(Refusal::bad("hour", expected, time.show()));
    }
    let sun = of_day(day_of_year(day)?, latitude)?.result;
    let declination = approximate(i128::from(sun.declination_microradians)) / 1e6;
    let phi = (approximate(i128::from(latitude.millidegrees())) / 1_000.0).to_radians();
    let angle = (approximate(i128::from(time.get())) / 4.0 - 180.0).to_radians();
    let height = phi.sin() * declination.sin() + phi.cos() * declination.cos() * angle.cos();
    // Counted from south, growing to the west, in any quarter.
    let from_south = (angle.sin() * declination.cos())
        .atan2(phi.sin() * declination.cos() * angle.cos() - phi.cos() * declination.sin());
    let hundredths = |radians: f64| whole(radians.to_degrees() * 100.0);
    Ok(SunPlace {
        height: hundredths(height.clamp(-1.0, 1.0).asin()),
        bearing: (hundredths(from_south) + 18_000).rem_euclid(36_000),
    })
}

/// The shade of a tree; refused while the sun is down.
pub fn of_tree(case: &ShadeCase, units: Units) -> Result<Reckoning<Shade>, Refusal> {
    if !case.height.is_positive() {
        let came = case.height.show(units);
        return Err(Refusal::bad("height", "a tree higher than nothing", came));
    }
    let sun = sun_at(case.day, case.time, case.latitude)?;
    if sun.height <= 0 {
        return Err(Refusal::Missing {
            what: "The shade".to_owned(),
            why: "the sun is down at that hour".to_owned(),
        });
    }
    let up = (approximate(i128::from(sun.height)) / 100.0).to_radians();
    let tall = approximate(i128::from(case.height.mm()));
    let reach = Length::from_mm(whole(tall / up.tan())).min(FARTHEST_SHADE);
    let bearing = (sun.bearing + 18_000).rem_euclid(36_000);
    let result = Shade {
        outline: cast(
            &case.crown,
            bearing.saturating_add(case.north_degrees.saturating_mul(100)),
            reach,
        )?,
        bearing: bearing.saturating_add(50) / 100 % 360,
        reach,
    };
    let degrees = |hundredths: i64| format!("{:.1}°", approximate(i128::from(hundredths)) / 100.0);
    let source = Source::published(format!(
        "{FAO_56}, Eq. 24 for the declination; height and place of the sun by spherical trigonometry."
    ));
    Ok(Reckoning::new(result, source)
        .step(Step::new("Day", case.day.to_string()))
        .step(Step::new("Hour of the sun", clock(case.time)))
        .step(Step::new("Latitude", case.latitude.to_string()))
        .step(Step::new(
            "The sun stands",
            format!("{} high", degrees(sun.height)),
        ))
        .step(Step::new("Shade falls towards", degrees(bearing)))
        .step(Step::new("Height of the tree", case.height.show(units)))
        .step(Step::sum("Beyond the crown", reach.show(units)))
        .on("Level ground; the tree as wide as its crown down to the ground.")
        .on("Hours of the sun: at 12:00 it stands highest."))
}

/// An hour as on a clock.
pub fn clock(time: Minutes) -> String {
    format!("{}:{:02}", time.get() / 60, time.get() % 60)
}

/// The ground that a crown covers and shades when its shade falls so far, in hundredths of a degree clockwise from the top of
/// the plan.
pub fn cast(crown: &Outline, hundredths: i64, reach: Length) -> Result<Outline, Refusal> {
    let mut points = crown.corners().to_vec();
    let moved = crown.corners().iter();
    let moved: Option<Vec<Point>> = moved
        .map(|corner| corner.away_by(hundredths.rem_euclid(36_000), reach))
        .collect();
    let far = || Refusal::bad("shade", "shade on the ground", "shade too far away");
    points.extend(moved.ok_or_else(far)?);
    Ok(Outline::around(points)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Latitude {
        Latitude::parse(text).unwrap()
    }

    fn sun(day: &str, hour: i64, latitude: &str) -> (i64, i64) {
        let day = Day::parse(day).unwrap();
        let place = sun_at(day, Minutes::new(hour * 60), at(latitude)).unwrap();
        let tenths = |hundredths: i64| (hundredths + 5).div_euclid(10);
        (tenths(place.height), tenths(place.bearing))
    }

    /// Solar positions for 40° N as printed in handbooks of heating and cooling (from memory): altitude, and azimuth from
    /// south, in degrees.
    #[test]
    fn the_sun_stands_where_the_tables_for_40_north_say() {
        for (day, hour, altitude, from_south) in [
            ("2027-06-21", 12, 735, 0),
            ("2027-06-21", 14, 598, 658),
            ("2027-06-21", 15, 488, 802),
            ("2027-12-21", 12, 266, 0),
            ("2027-12-21", 14, 207, 294),
            ("2027-12-21", 15, 140, 419),
            ("2027-03-21", 12, 500, 0),
            ("2027-03-21", 15, 328, 573),
        ] {
            let (height, bearing) = sun(day, hour, "40 N");
            assert!((height - altitude).abs() <= 6, "{day} {hour}: {height}");
            assert!(
                (bearing - 1_800 - from_south).abs() <= 9,
                "{day} {hour}: {bearing}"
            );
        }
    }

    #[test]
    fn morning_is_in_the_east_and_the_south_is_the_other_way_round() {
        let (height, morning) = sun("2027-03-21", 9, "40 N");
        let (_, evening) = sun("2027-03-21", 15, "40 N");
        assert!(height > 0 && morning < 1_800 && evening > 1_800);
        let (_, noon) = sun("2027-12-21", 12, "35 S");
        assert!(
            !(5..=3_595).contains(&noon),
            "the noon sun stands in the north: {noon}"
        );
        assert!(sun("2027-12-21", 12, "70 N").0 < 0, "polar night");
    }

    fn tree(day: &str, hour: i64) -> ShadeCase {
        ShadeCase {
            crown: Outline::circle(Point::default(), Length::from_mm(4_000)).unwrap(),
            height: Length::from_mm(5_000),
            latitude: at("45 N"),
            north_degrees: 0,
            day: Day::parse(day).unwrap(),
            time: Minutes::new(hour * 60),
        }
    }

    #[test]
    fn at_noon_of_the_equinox_shade_is_as_long_as_the_tree_is_high_at_45_north() {
        // tan 45° = 1. The rule for the declination is off by up to half a degree at the equinox.
        let shade = of_tree(&tree("2027-03-21", 12), Units::Metric).unwrap();
        let result = &shade.result;
        assert!(
            (result.reach.mm() - 5_000).abs() < 120,
            "{:?}",
            result.reach
        );
        assert_eq!(result.bearing, 0);
        let bounds = result.outline.bounds();
        assert!((bounds.max.y.mm() - 7_000).abs() < 130, "{bounds:?}");
        assert!((bounds.min.y.mm() + 2_000).abs() < 10, "{bounds:?}");
        // A plan whose top lies east has north at its left, 270° round.
        let turned = ShadeCase {
            north_degrees: 270,
            ..tree("2027-03-21", 12)
        };
        let turned = of_tree(&turned, Units::Metric).unwrap().result.outline;
        assert!((turned.bounds().min.x.mm() + 7_000).abs() < 130);
    }

    #[test]
    fn at_night_there_is_no_shade_and_low_sun_ends_somewhere() {
        let night = of_tree(&tree("2027-03-21", 2), Units::Metric).unwrap_err();
        assert!(night.to_string().contains("the sun is down"), "{night}");
        let case = ShadeCase {
            height: Length::from_mm(40_000),
            time: Minutes::new(16 * 60 + 10),
            ..tree("2027-12-21", 12)
        };
        let low = of_tree(&case, Units::Metric).unwrap().result;
        assert!(low.reach <= FARTHEST_SHADE && low.reach.mm() > 100_000);
        assert!(sun_at(case.day, Minutes::new(24 * 60), case.latitude).is_err());
        let none = ShadeCase {
            height: Length::ZERO,
            ..case
        };
        assert!(of_tree(&none, Units::Metric).is_err());
    }
}
