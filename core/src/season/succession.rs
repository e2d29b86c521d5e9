//! How many sowings fit into a season, and when each is sown and picked.
//!
//! `sowings = floor((last − first) / interval) + 1`, none where the last day lies before the first. Each harvest begins its days
//! after the sowing, later where it falls into short days, and lasts as long as it is picked; an interval longer than the
//! picking leaves gaps, a shorter one lets harvests overlap.
//!
//! ```
//! use selion_core::quantities::Day;
//! use selion_core::season::succession::{SuccessionCase, fit};
//!
//! let answer = fit(&SuccessionCase {
//!     first: Day::parse("2027-04-27")?,
//!     last: Day::parse("2027-07-24")?,
//!     interval: 14,
//!     to_harvest: 55,
//!     short_days: 14,
//!     picking: 14,
//! })?;
//! assert_eq!(answer.result.sowings.len(), 7);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::crops::Crop;
use super::known::{Known, Origin};
use crate::quantities::{BadInput, Day};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Days between sowings where neither the table nor the garden says: three weeks, common practice.
pub const USUAL_INTERVAL: i64 = 21;
/// From the day after midsummer on, a sowing ripens into shorter days.
const MIDSUMMER: (i8, i8) = (6, 21);
/// No part of a season is longer.
const LONGEST: i64 = 400;

/// A season to be filled with sowings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SuccessionCase {
    /// The first safe day to sow.
    pub first: Day,
    /// The last day to sow.
    pub last: Day,
    /// Days from sowing to sowing.
    pub interval: i64,
    /// Days from sowing to the first harvest.
    pub to_harvest: i64,
    /// Days that a sowing after midsummer takes longer.
    pub short_days: i64,
    /// Days that each sowing is picked.
    pub picking: i64,
}

/// The days from sowing to sowing of a crop, at the cautious end, or the usual ones.
pub fn interval_of(crop: &Crop) -> Known<i64> {
    crop.sow_every.as_ref().map_or_else(
        || Known {
            value: USUAL_INTERVAL,
            origin: Origin::Table("CP".to_owned()),
        },
        |every| Known {
            value: every.value.least,
            origin: every.origin.clone(),
        },
    )
}

/// Sowings that fit into a season.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Succession {
    /// Each sowing, in order.
    pub sowings: Vec<Sowing>,
}

/// One sowing and its harvest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Sowing {
    /// When it is sown.
    pub sown: Day,
    /// When picking begins.
    pub picked_from: Day,
    /// The last day of picking.
    pub picked_to: Day,
}

impl fmt::Display for Succession {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.sowings.len() {
            0 => out.write_str("No sowing fits: the last day to sow lies before the first"),
            1 => out.write_str("1 sowing fits"),
            count => write!(out, "{count} sowings fit"),
        }
    }
}

/// How many sowings fit, and the dates of each.
pub fn fit(case: &SuccessionCase) -> Result<Reckoning<Succession>, Refusal> {
    check(case)?;
    let room = case.first.days_until(case.last);
    let count = if room < 0 {
        0
    } else {
        room / case.interval + 1
    };
    let sowings: Vec<Sowing> = (0..count)
        .map(|step| sowing(case, case.first.plus_days(step * case.interval)))
        .collect();
    let source = Source::arithmetic("(last − first) / interval, rounded down, and one more.");
    let mut answer = Reckoning::new(
        Succession {
            sowings: sowings.clone(),
        },
        source,
    )
    .step(Step::new("First day to sow", case.first.to_string()))
    .step(Step::new("Last day to sow", case.last.to_string()))
    .step(Step::new("Between", format!("{room} days")))
    .step(Step::new("Sowing every", format!("{} days", case.interval)));
    for (number, sowing) in (1..).zip(&sowings) {
        let picked = format!("picked {} to {}", sowing.picked_from, sowing.picked_to);
        answer = answer.step(Step::new(
            format!("Sowing {number}: {}", sowing.sown),
            picked,
        ));
    }
    for pair in sowings.windows(2) {
        let &[before, after] = pair else { continue };
        let free = before.picked_to.days_until(after.picked_from) - 1;
        if free > 0 {
            answer = answer.on(format!(
                "{free} days without a harvest before {}.",
                after.picked_from
            ));
        }
    }
    if case.short_days > 0 {
        let days = case.short_days;
        answer = answer.on(format!(
            "A sowing after 21 June takes {days} days longer, since days grow short and cool."
        ));
    }
    Ok(answer.rounded("Down to whole sowings."))
}

fn check(case: &SuccessionCase) -> Result<(), BadInput> {
    let spans = [
        ("interval", case.interval, 1),
        ("days to harvest", case.to_harvest, 0),
        ("days for short days", case.short_days, 0),
        ("days of picking", case.picking, 1),
    ];
    for (field, days, least) in spans {
        if !(least..=LONGEST).contains(&days) {
            let expected = format!("from {least} to {LONGEST} days");
            return Err(BadInput::new(field, expected, days.to_string()));
        }
    }
    if case.first.days_until(case.last) > LONGEST {
        let came = format!("{} to {}", case.first, case.last);
        return Err(BadInput::new(
            "last day to sow",
            "a day in the same season",
            came,
        ));
    }
    Ok(())
}

fn sowing(case: &SuccessionCase, sown: Day) -> Sowing {
    let late = (sown.month(), sown.day()) > MIDSUMMER;
    let days = case.to_harvest + if late { case.short_days } else { 0 };
    let picked_from = sown.plus_days(days);
    Sowing {
        sown,
        picked_from,
        picked_to: picked_from.plus_days(case.picking - 1),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::season::crops::{CropBook, OwnCrop};

    fn day(text: &str) -> Day {
        Day::parse(&format!("2027-{text}")).unwrap()
    }

    fn case(first: &str, last: &str, interval: i64) -> SuccessionCase {
        SuccessionCase {
            first: day(first),
            last: day(last),
            interval,
            to_harvest: 55,
            short_days: 14,
            picking: 10,
        }
    }

    #[test]
    fn gaps_are_named_and_late_sowings_take_longer() {
        let answer = fit(&case("06-07", "07-05", 14)).unwrap();
        let from: Vec<Day> = answer
            .result
            .sowings
            .iter()
            .map(|sowing| sowing.picked_from)
            .collect();
        assert_eq!(from, [day("08-01"), day("08-15"), day("09-12")]);
        assert!(
            answer.basis[0].starts_with("4 days without"),
            "{:?}",
            answer.basis
        );
        assert!(
            answer.basis[1].starts_with("18 days without"),
            "{:?}",
            answer.basis
        );
    }

    #[test]
    fn spans_that_make_no_season_are_refused() {
        let bad = [
            case("05-01", "07-01", 0),
            SuccessionCase {
                picking: 0,
                ..case("05-01", "07-01", 7)
            },
            SuccessionCase {
                last: Day::parse("2029-01-01").unwrap(),
                ..case("05-01", "07-01", 7)
            },
            SuccessionCase {
                to_harvest: i64::MAX,
                ..case("05-01", "07-01", 7)
            },
        ];
        for case in bad {
            assert_eq!(fit(&case).unwrap_err().code(), "bad_input", "{case:?}");
        }
    }

    #[test]
    fn the_interval_is_the_gardens_the_tables_or_three_weeks() {
        let own = OwnCrop::new("radish", &[("sow_every", "7-12")]);
        let book = CropBook::with(&[own]).unwrap();
        let interval = |name: &str| interval_of(book.find(name).unwrap());
        assert_eq!(
            (interval("radish").value, interval("radish").origin),
            (7, Origin::Own)
        );
        assert_eq!(interval("carrot").value, 28);
        assert_eq!(interval("leek").value, USUAL_INTERVAL);
    }

    proptest! {
        #[test]
        fn every_sowing_lies_in_the_season_and_no_further_one_does(room in -50_i64..=400, interval in 1_i64..100) {
            let last = day("05-01").plus_days(room);
            let sowings = fit(&SuccessionCase { last, ..case("05-01", "05-01", interval) }).unwrap().result.sowings;
            prop_assert!(sowings.iter().all(|sowing| sowing.sown >= day("05-01") && sowing.sown <= last));
            let next = sowings.last().map_or(day("05-01"), |sowing| sowing.sown.plus_days(interval));
            prop_assert!(next > last);
        }
    }
}
