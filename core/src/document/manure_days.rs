//! Raw manure on a bed: from when it may be picked, and by when the manure must be in the soil.
//!
//! The rule is in [`crate::soil::manure::days`]. Turns say which bed is picked and not what, so both classes are reckoned: what
//! touches the soil, and what hangs clear of it.

use super::Garden;
use super::bed_soil::{self, Spread};
use super::ids::BedId;
use super::records::AmendmentKind;
use crate::quantities::Day;
use crate::reckoning::{Reckoning, Refusal};
use crate::soil::manure::contact::Contact;
use crate::soil::manure::days::{
    self, Crop, LatestDay, ManureKind, PickingDays, Placement, earliest_picking, latest_digging_in,
};

/// What a crop that touches the soil is called here.
const TOUCHING: &str = "what touches the soil";
/// What a crop that does not is called here.
const CLEAR: &str = "what hangs clear of it";

/// Raw manure on a bed whose days still run.
#[derive(Clone, Debug, PartialEq)]
pub struct ManureOnBed {
    /// The manure.
    pub spread: Spread,
    /// From when the bed may be picked; a refusal while the manure lies on the surface.
    pub picking: Result<Reckoning<PickingDays>, Refusal>,
    /// By when it must be in the soil, while it lies on the surface and a picking turn is put up.
    pub dig_in_by: Option<Reckoning<LatestDay>>,
}

/// Why a day is too early to pick a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooEarly {
    /// When the manure was spread.
    pub spread_on: Day,
    /// When it was dug in, if it was.
    pub dug_in_on: Option<Day>,
    /// From when what touches the soil may be picked, once it is dug in.
    pub touching_from: Option<Day>,
    /// From when what hangs clear of it may be picked.
    pub clear_from: Option<Day>,
}

/// The raw manure on a bed that still matters on this day, oldest first.
pub fn of_bed(garden: &Garden, bed: BedId, today: Day) -> Vec<ManureOnBed> {
    running(garden, bed, today)
        .into_iter()
        .map(|spread| {
            let dug_in = spread.record.dug_in_on;
            let from = dug_in.unwrap_or(spread.record.day);
            let planned = first_turn(garden, bed, from.max(today));
            let placement = dug_in.map_or(Placement::OnTheSurface, Placement::DugIn);
            let crops =
                both(|contact| planned.unwrap_or_else(|| from.plus_days(days::interval(contact))));
            let dig_in_by = match (dug_in, planned) {
                (None, Some(first)) => latest_digging_in(&both(|_| first)).ok(),
                (Some(_), _) | (None, None) => None,
            };
            ManureOnBed {
                picking: earliest_picking(ManureKind::Raw, placement, &crops),
                spread,
                dig_in_by,
            }
        })
        .collect()
}

/// Whether a day lies within the days of raw manure; the manure that holds longest.
pub fn too_early(garden: &Garden, bed: BedId, day: Day) -> Option<TooEarly> {
    let mut strictest: Option<TooEarly> = None;
    for spread in running(garden, bed, day) {
        // Manure that comes after the picking does it no harm.
        if spread.record.day > day {
            continue;
        }
        let from = |contact| {
            let dug_in = spread.record.dug_in_on?;
            Some(dug_in.plus_days(days::interval(contact)))
        };
        let found = TooEarly {
            spread_on: spread.record.day,
            dug_in_on: spread.record.dug_in_on,
            touching_from: from(Contact::Touches),
            clear_from: from(Contact::Clear),
        };
        if strictest.is_none_or(|known| found.holds_longer_than(known)) {
            strictest = Some(found);
        }
    }
    strictest
}

impl TooEarly {
    /// What to say to somebody who wants to pick on this day; `say` writes a day as the reader is used to.
    pub fn words(self, day: Day, say: impl Fn(Day) -> String) -> String {
        let Some((dug_in, touching, clear)) = self
            .dug_in_on
            .zip(self.touching_from)
            .zip(self.clear_from)
            .map(|((dug_in, touching), clear)| (dug_in, touching, clear))
        else {
            return format!(
                "Raw manure of {} lies on this bed and is not dug in: its days have not begun to run, so nothing is picked.",
                say(self.spread_on)
            );
        };
        let [dug_in, touching, clear_day] = [dug_in, touching, clear].map(say);
        if day < clear {
            format!(
                "Raw manure was dug in here on {dug_in}: {CLEAR} waits until {clear_day}, {TOUCHING} until {touching}."
            )
        } else {
            format!(
                "Raw manure was dug in here on {dug_in}: {TOUCHING} waits until {touching}; {CLEAR} may be picked."
            )
        }
    }

    /// Manure on the surface has no end yet, so it holds longer than any that is dug in.
    fn holds_longer_than(self, other: Self) -> bool {
        match (self.touching_from, other.touching_from) {
            (None, Some(_)) => true,
            (Some(one), Some(other)) => one > other,
            (_, None) => false,
        }
    }
}

/// Raw manure whose longest days are not over on this day. What lies on the surface a year and longer has rotted away.
fn running(garden: &Garden, bed: BedId, day: Day) -> Vec<Spread> {
    let mut spread = bed_soil::spread_of(garden, bed, &[AmendmentKind::RawManure]);
    spread.retain(|one| match one.record.dug_in_on {
        Some(dug_in) => day < dug_in.plus_days(days::interval(Contact::Touches)),
        None => day < one.record.day.plus_months(MONTHS_ON_THE_SURFACE),
    });
    spread
}

const MONTHS_ON_THE_SURFACE: i32 = 12;

/// The first picking turn that is put up for a bed from this day on.
fn first_turn(garden: &Garden, bed: BedId, from: Day) -> Option<Day> {
    let mut first: Option<Day> = None;
    for season in garden.seasons.values() {
        for turn in season.turns.values() {
            if turn.bed == bed
                && turn.ended_on.is_none()
                && turn.day >= from
                && first.is_none_or(|known| turn.day < known)
            {
                first = Some(turn.day);
            }
        }
    }
    first
}

fn both(first_pick: impl Fn(Contact) -> Day) -> [Crop; 2] {
    [(TOUCHING, Contact::Touches), (CLEAR, Contact::Clear)].map(|(name, contact)| Crop {
        name: name.to_owned(),
        contact,
        first_pick: first_pick(contact),
    })
}

#[cfg(test)]
mod tests {
    use crate::ordered::Map;
    use std::sync::Arc;

    use super::*;
    use crate::document::Season;
    use crate::document::ids::{AmendmentId, MemberId, TurnId};
    use crate::document::records::{Amendment, Turn};
    use crate::quantities::Moment;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn bed(number: i64) -> BedId {
        BedId::fresh(Moment::from_millis(number), [0; 10])
    }

    /// Raw manure on bed 1 by the day it was spread and the day it was dug in.
    fn garden(spread: &[(&str, Option<&str>)]) -> Garden {
        let mut season = Season::default();
        for (number, (on, dug_in)) in (1..).zip(spread) {
            let record = Amendment {
                bed: bed(1),
                day: day(on),
                what: AmendmentKind::RawManure,
                amount: None,
                dug_in_on: dug_in.map(day),
                member: MemberId::fresh(Moment::from_millis(1), [0; 10]),
                word: String::new(),
                ended_on: None,
            };
            let id = AmendmentId::fresh(Moment::from_millis(number), [0; 10]);
            season.amendments.insert(id, Arc::new(record));
        }
        Garden {
            seasons: Map::from([(2026, season)]),
            ..Garden::default()
        }
    }

    fn with_turn(mut garden: Garden, on: &str) -> Garden {
        let turn = Turn {
            bed: bed(1),
            day: day(on),
            claims: Map::new(),
            ended_on: None,
        };
        let id = TurnId::fresh(Moment::from_millis(1), [0; 10]);
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.turns.insert(id, Arc::new(turn));
        garden
    }

    #[test]
    fn both_classes_are_told_and_the_strictest_holds_for_the_bed() {
        let garden = garden(&[("2026-03-01", Some("2026-03-02"))]);
        let manure = of_bed(&garden, bed(1), day("2026-04-01"));
        let picking = manure[0].picking.as_ref().unwrap();
        // 7 CFR 205.203(c)(1): 120 days where the crop touches the soil, 90 where it does not.
        let from: Vec<Day> = picking.result.crops.iter().map(|crop| crop.from).collect();
        assert_eq!(from, [day("2026-06-30"), day("2026-05-31")]);
        assert_eq!(picking.result.whole_bed_from, Some(day("2026-06-30")));
        assert!(of_bed(&garden, bed(2), day("2026-04-01")).is_empty());
        assert!(
            of_bed(&garden, bed(1), day("2026-06-30")).is_empty(),
            "its days are over"
        );
    }

    #[test]
    fn manure_on_the_surface_starts_nothing_and_has_a_last_day_where_a_turn_is_put_up() {
        let garden = garden(&[("2026-03-01", None)]);
        let manure = of_bed(&garden, bed(1), day("2026-04-01"));
        assert_eq!(manure[0].picking.as_ref().unwrap_err().code(), "missing");
        assert_eq!(manure[0].dig_in_by, None);
        let garden = with_turn(garden, "2026-08-29");
        let manure = of_bed(&garden, bed(1), day("2026-04-01"));
        let latest = manure[0].dig_in_by.as_ref().unwrap();
        assert_eq!(latest.result.day, day("2026-05-01"));
        assert_eq!(latest.result.strictest, TOUCHING);
    }

    #[test]
    fn a_turn_within_the_days_is_too_early_and_says_for_what() {
        let garden = garden(&[("2026-03-01", Some("2026-03-02"))]);
        let on = |text: &str| too_early(&garden, bed(1), day(text));
        assert_eq!(on("2026-02-28"), None, "before the manure came");
        let early = on("2026-05-30")
            .unwrap()
            .words(day("2026-05-30"), |day| day.to_string());
        assert_eq!(
            early,
            "Raw manure was dug in here on 2026-03-02: what hangs clear of it waits until 2026-05-31, \
             what touches the soil until 2026-06-30."
        );
        let between = on("2026-06-29")
            .unwrap()
            .words(day("2026-06-29"), |day| day.to_string());
        assert!(
            between.ends_with("what hangs clear of it may be picked."),
            "{between}"
        );
        assert_eq!(on("2026-06-30"), None);
        assert_eq!(too_early(&garden, bed(2), day("2026-05-30")), None);
    }

    #[test]
    fn of_several_the_one_that_holds_longest_is_told() {
        let dug_in_twice = garden(&[
            ("2026-03-01", Some("2026-03-20")),
            ("2026-03-10", Some("2026-03-10")),
        ]);
        let early = too_early(&dug_in_twice, bed(1), day("2026-05-30")).unwrap();
        assert_eq!(early.dug_in_on, Some(day("2026-03-20")));
        let one_on_top = garden(&[("2026-03-01", Some("2026-03-20")), ("2026-02-01", None)]);
        let early = too_early(&one_on_top, bed(1), day("2026-05-30")).unwrap();
        assert_eq!(early.touching_from, None);
        assert!(
            early
                .words(day("2026-05-30"), |day| day.to_string())
                .contains("is not dug in")
        );
    }
}
