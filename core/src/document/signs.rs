//! What the plan draws beside the edge of a structure: the shade of a tree, the arrow of a slope. One rule for the screen, for
//! paper and for the drawing that is exported.
//!
//! Which shade a tree is drawn with, in this order: that of the sun at an hour of a day, where its height and the garden's
//! latitude are known; that which somebody noted (direction and reach); else, outside the tropics, the side away from the sun at
//! noon, as far as the crown is wide.

use super::garden::Garden;
use super::records::{Structure, StructureKind};
use crate::geometry::{Outline, Point};
use crate::quantities::{Day, Latitude, Length, Minutes, Units};
use crate::reckoning::Reckoning;
use crate::work::shade::{self, Shade, ShadeCase};

/// Within this much of the equator the noon sun stands on either side, by season: 23.44°.
const TROPIC: i64 = 23_440;

/// The hour for which shade is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct When {
    /// The day.
    pub day: Day,
    /// Minutes after the sun's midnight: noon is 720.
    pub time: Minutes,
}

/// What is drawn beside the edge of a structure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sign {
    /// The ground in shade, the crown included.
    pub shade: Option<Outline>,
    /// From where to where an arrow goes.
    pub arrow: Option<(Point, Point)>,
    /// A few words beside it on the plan, such as `5 %`.
    pub mark: Option<String>,
    /// What the list says, and by which rule.
    pub words: String,
    /// How the shade was worked out, where it was.
    pub working: Option<Reckoning<Shade>>,
}

/// The sign of a structure.
pub fn of(garden: &Garden, structure: &Structure, when: When) -> Sign {
    let ground = Ground::of(garden);
    match structure.what.kind {
        StructureKind::Tree => ground.tree(structure, when),
        StructureKind::Slope => ground.slope(structure),
        StructureKind::Other
        | StructureKind::Building
        | StructureKind::Path
        | StructureKind::Water
        | StructureKind::Compost => Sign::default(),
    }
}

/// What the signs rest on.
struct Ground {
    units: Units,
    latitude: Option<Latitude>,
    north: i64,
}

impl Ground {
    fn of(garden: &Garden) -> Self {
        let profile = garden.profile.as_ref();
        Self {
            units: profile.map_or(Units::Metric, |profile| profile.units),
            latitude: profile.and_then(|profile| profile.latitude),
            north: profile.map_or(0, |profile| profile.north_degrees),
        }
    }

    fn tree(&self, tree: &Structure, when: When) -> Sign {
        let noted = tree.what.facing.zip(tree.what.reach);
        match (tree.what.height.zip(self.latitude), noted) {
            (Some((height, latitude)), _) => self.by_the_sun(tree, height, latitude, when),
            (None, Some((facing, reach))) => Sign {
                shade: shade::cast(&tree.outline, facing.saturating_mul(100), reach).ok(),
                words: format!(
                    "shade {} to the {}, as noted",
                    reach.show(self.units),
                    compass(facing - self.north)
                ),
                ..Sign::default()
            },
            (None, None) => self.away_from_noon(tree),
        }
    }

    fn by_the_sun(&self, tree: &Structure, height: Length, latitude: Latitude, when: When) -> Sign {
        let case = ShadeCase {
            crown: tree.outline.clone(),
            height,
            latitude,
            north_degrees: self.north,
            day: when.day,
            time: when.time,
        };
        let at = shade::clock(when.time);
        match shade::of_tree(&case, self.units) {
            Ok(shade) => Sign {
                shade: Some(shade.result.outline.clone()),
                words: format!(
                    "shade {} to the {} at {at}, by its height of {}",
                    shade.result.reach.show(self.units),
                    compass(shade.result.bearing),
                    height.show(self.units)
                ),
                working: Some(shade),
                ..Sign::default()
            },
            Err(_refused) => Sign {
                words: format!("no shade at {at}: the sun is down"),
                ..Sign::default()
            },
        }
    }

    fn away_from_noon(&self, tree: &Structure) -> Sign {
        let far = self.latitude.map(Latitude::millidegrees);
        let Some(far) = far.filter(|far| far.abs() > TROPIC) else {
            return Sign {
                words: "its shade is not known: put in its height, and the garden’s latitude"
                    .to_owned(),
                ..Sign::default()
            };
        };
        let bearing = if far > 0 { 0 } else { 180 };
        let wide = tree.outline.bounds().width();
        let hundredths = (bearing + self.north).saturating_mul(100);
        Sign {
            shade: shade::cast(&tree.outline, hundredths, wide).ok(),
            words: format!(
                "shade side to the {}, away from the noon sun; its height is not known",
                compass(bearing)
            ),
            ..Sign::default()
        }
    }

    fn slope(&self, slope: &Structure) -> Sign {
        let (what, bounds) = (slope.what, slope.outline.bounds());
        let Some(facing) = what.facing else {
            return Sign {
                words: "where the ground falls is not known".to_owned(),
                ..Sign::default()
            };
        };
        let middle = bounds.centre();
        let half = Length::from_mm(bounds.width().max(bounds.depth()).mm() * 2 / 5);
        let down = compass(facing - self.north);
        Sign {
            arrow: middle
                .away(facing + 180, half)
                .zip(middle.away(facing, half)),
            mark: what.fall.map(|fall| format!("{fall} %")),
            words: match what.fall {
                Some(fall) => format!("falls {fall} % to the {down}"),
                None => format!("falls to the {down}"),
            },
            ..Sign::default()
        }
    }
}

/// The points of an arrow: its shaft, and its head with two strokes.
pub fn arrow((from, to): (Point, Point)) -> [Vec<Point>; 2] {
    let back = to.direction_to(from);
    let long = Length::from_mm(from.distance(to).mm() / 4);
    let stroke = |turn: i64| to.away(back + turn, long).unwrap_or(to);
    [vec![from, to], vec![stroke(-28), to, stroke(28)]]
}

/// A direction in words, from degrees clockwise from north.
pub fn compass(degrees: i64) -> &'static str {
    const SIDES: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    let eighth = (degrees.rem_euclid(360) * 2 + 45) / 90 % 8;
    usize::try_from(eighth)
        .ok()
        .and_then(|eighth| SIDES.get(eighth))
        .map_or("north", |side| side)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::document::records::{Profile, StructureFacts};
    use crate::quantities::Currency;

    fn garden(latitude: Option<&str>) -> Garden {
        let profile = Profile {
            name: "Sorrel Bank".to_owned(),
            units: Units::Metric,
            currency: Currency::new("USD").unwrap(),
            time_zone: "UTC".to_owned(),
            north_degrees: 90,
            years: crate::ordered::Map::new(),
            lime: None,
            compost: None,
            rules: crate::document::records::GardenRules::default(),
            latitude: latitude.map(|text| Latitude::parse(text).unwrap()),
            frost: None,
            accept: crate::ordered::Map::new(),
            backdrop: None,
        };
        Garden {
            profile: Some(Arc::new(profile)),
            ..Garden::default()
        }
    }

    fn structure(what: StructureFacts) -> Structure {
        Structure {
            label: "Plum".to_owned(),
            outline: Outline::circle(Point::default(), Length::from_mm(4_000)).unwrap(),
            what,
            ended_on: None,
        }
    }

    fn noon() -> When {
        When {
            day: Day::parse("2027-03-21").unwrap(),
            time: Minutes::new(720),
        }
    }

    #[test]
    fn a_tree_is_shaded_by_the_best_that_is_known_and_says_by_which_rule() {
        let tree = |height: Option<i64>, noted: bool| {
            structure(StructureFacts {
                kind: StructureKind::Tree,
                facing: noted.then_some(0),
                reach: noted.then_some(Length::from_mm(3_000)),
                height: height.map(Length::from_mm),
                fall: None,
            })
        };
        // North lies to the right on this plan.
        let by_sun = of(&garden(Some("45 N")), &tree(Some(5_000), true), noon());
        assert!(
            by_sun
                .words
                .contains("to the north at 12:00, by its height of 5 m"),
            "{}",
            by_sun.words
        );
        assert!(by_sun.shade.unwrap().bounds().max.x.mm() > 6_900);
        assert!(by_sun.working.is_some());
        let noted = of(&garden(None), &tree(Some(5_000), true), noon());
        assert_eq!(noted.words, "shade 3 m to the west, as noted");
        assert!(noted.shade.unwrap().bounds().max.y.mm() >= 4_990);
        let south = of(&garden(Some("35 S")), &tree(None, false), noon());
        assert!(
            south.words.starts_with("shade side to the south"),
            "{}",
            south.words
        );
        for unknown in [garden(Some("10 N")), garden(None)] {
            let sign = of(&unknown, &tree(None, false), noon());
            assert!(sign.shade.is_none() && sign.words.contains("not known"));
        }
        let night = When {
            time: Minutes::new(60),
            ..noon()
        };
        let dark = of(&garden(Some("45 N")), &tree(Some(5_000), false), night);
        assert_eq!(dark.words, "no shade at 1:00: the sun is down");
    }

    #[test]
    fn a_slope_points_down_with_its_percent() {
        let slope = structure(StructureFacts {
            kind: StructureKind::Slope,
            facing: Some(180),
            fall: Some(5),
            ..StructureFacts::default()
        });
        let sign = of(&garden(None), &slope, noon());
        let (from, to) = sign.arrow.unwrap();
        assert!(from.y > to.y && from.x == to.x, "{from:?} {to:?}");
        assert_eq!(sign.mark.as_deref(), Some("5 %"));
        assert_eq!(sign.words, "falls 5 % to the east");
        let [shaft, head] = arrow((from, to));
        assert_eq!((shaft.len(), head.len(), head[1]), (2, 3, to));
        assert!(head[0].y > to.y && head[2].y > to.y);
        let path = structure(StructureFacts::default());
        assert_eq!(of(&garden(None), &path, noon()), Sign::default());
    }

    #[test]
    fn directions_have_eight_names() {
        let named = [0, 22, 23, 90, 180, 337, 338, -90, 720].map(compass);
        let expected = [
            "north",
            "north",
            "north-east",
            "east",
            "south",
            "north-west",
            "north",
            "west",
            "north",
        ];
        assert_eq!(named, expected);
    }
}
