//! The last day to sow for a harvest before frost.
//!
//! `last sowing = first frost − (D + T + H + A + B)`: D days from sowing or setting out to the first harvest, T days for raising
//! the plants, H days of picking that are wanted, A about 14 days because days are short and cool in fall, B another 14 for
//! crops that a frost kills (VCE). H and B overlap for a crop that is picked over weeks: as a rule A and H are counted and B is
//! not, but for sweet corn. Leafy greens can do without A.
//!
//! ```
//! use selion_core::quantities::Day;
//! use selion_core::season::sowing::{LastSowingCase, last};
//!
//! let answer = last(&LastSowingCase {
//!     frost: Day::parse("2027-10-15")?,
//!     to_harvest: 55,
//!     raising: 0,
//!     picking: 14,
//!     short_days: 14,
//!     tender: 0,
//! })?;
//! assert_eq!(answer.result.day, Day::parse("2027-07-24")?);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::crops::{Crop, FrostClass};
use super::known::Known;
use super::source;
use crate::quantities::{BadInput, Day};
use crate::reckoning::{Reckoning, Refusal, Step};

/// Days that short cool days add, where nobody says another count.
pub const SHORT_DAYS: i64 = 14;
/// Days that are added for a crop which a frost kills.
pub const TENDER: i64 = 14;
/// No part of a season is longer.
const LONGEST: i64 = 400;

/// What a last sowing rests on; every span in days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct LastSowingCase {
    /// The first frost of fall, at a chosen chance.
    pub frost: Day,
    /// From sowing or setting out to the first harvest.
    pub to_harvest: i64,
    /// For raising the plants; nothing where they are sown in place or bought.
    pub raising: i64,
    /// The weeks of picking that are wanted.
    pub picking: i64,
    /// For short cool days.
    pub short_days: i64,
    /// For a crop that a frost kills.
    pub tender: i64,
}

/// Days from sowing or setting out to the first harvest: the most that the table or the garden has, the cautious end.
pub fn days_of(crop: &Crop) -> Result<Known<i64>, Refusal> {
    let days = crop.days.as_ref().ok_or_else(|| Refusal::Missing {
        what: format!("Days to harvest of {}", crop.name),
        why: "the table has no confirmed figure, so put in the packet's as an own value".to_owned(),
    })?;
    Ok(Known {
        value: days.value.most,
        origin: days.origin.clone(),
    })
}

/// Days for a crop that a frost kills: none as a rule, since they overlap with those of picking, but for sweet corn.
pub fn tender_of(crop: &Crop) -> i64 {
    if crop.botanical_name.as_deref() == Some("Zea mays") {
        TENDER
    } else {
        0
    }
}

/// What to say about a crop and frost.
pub fn remark_of(crop: &Crop) -> Option<&'static str> {
    match crop.frost_class.as_ref()?.value {
        FrostClass::VeryHardy => {
            Some("This crop outlives light frost: the date is for a harvest before it.")
        }
        FrostClass::Hardy => Some("For a hardy crop the frost may be the 28 °F (−2 °C) date."),
        FrostClass::Tender | FrostClass::WarmLoving => Some("Frost ends this crop."),
    }
}

/// The last day to sow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct LastSowing {
    /// The day.
    pub day: Day,
    /// How many days it lies before the frost.
    pub days_before_frost: i64,
}

impl fmt::Display for LastSowing {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Sow by {}, {} days before the frost",
            self.day, self.days_before_frost
        )
    }
}

/// The last day to sow for a harvest before frost.
pub fn last(case: &LastSowingCase) -> Result<Reckoning<LastSowing>, Refusal> {
    let parts = [
        (
            "days to harvest",
            "To the first harvest (D)",
            case.to_harvest,
        ),
        ("days of raising", "Raising the plants (T)", case.raising),
        (
            "days of picking",
            "Picking that is wanted (H)",
            case.picking,
        ),
        (
            "days for short days",
            "Short cool days (A)",
            case.short_days,
        ),
        ("days for tender crops", "Killed by frost (B)", case.tender),
    ];
    for (field, _, days) in parts {
        if !(0..=LONGEST).contains(&days) {
            let expected = format!("from 0 to {LONGEST} days");
            return Err(BadInput::new(field, expected, days.to_string()).into());
        }
    }
    let before: i64 = parts.iter().map(|(_, _, days)| days).sum();
    let result = LastSowing {
        day: case.frost.plus_days(-before),
        days_before_frost: before,
    };
    let mut answer = Reckoning::new(result, source::cite("VCE"))
        .step(Step::new("First frost", case.frost.to_string()));
    for (_, label, days) in parts.iter().filter(|(_, _, days)| *days > 0) {
        answer = answer.step(Step::new(*label, format!("−{days} days")));
    }
    answer = answer.step(Step::sum("Sow by", result.day.to_string()));
    if case.picking > 0 && case.tender > 0 {
        answer = answer.on("H and B overlap for a crop that is picked over weeks: without one of them the day is later.");
    }
    Ok(answer.on(
        "Others count 14 days alone beside the days to harvest [BI], or 21 and none for picking.",
    ))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::season::crops::CropBook;
    use crate::season::known::Origin;

    fn case(to_harvest: i64) -> LastSowingCase {
        LastSowingCase {
            frost: Day::parse("2027-10-15").unwrap(),
            to_harvest,
            raising: 0,
            picking: 0,
            short_days: SHORT_DAYS,
            tender: 0,
        }
    }

    #[test]
    fn the_table_gives_its_longest_days_and_corn_its_tender_factor() {
        let book = CropBook::with(&[]).unwrap();
        let days = |name: &str| days_of(book.find(name).unwrap());
        assert_eq!(days("corn, sweet").unwrap().value, 100);
        assert_eq!(tender_of(book.find("corn, sweet").unwrap()), TENDER);
        let bean = days("bean, bush snap").unwrap();
        assert_eq!(bean.value, 60);
        assert_eq!(bean.origin, Origin::Table("OSU".to_owned()));
        assert_eq!(tender_of(book.find("bean, bush snap").unwrap()), 0);
        assert_eq!(days("basil").unwrap_err().code(), "missing");
        let kale = remark_of(book.find("kale").unwrap()).unwrap();
        assert!(kale.contains("outlives"));
    }

    #[test]
    fn spans_that_no_season_has_are_refused() {
        for days in [-1, 401, i64::MIN, i64::MAX] {
            assert_eq!(last(&case(days)).unwrap_err().code(), "bad_input");
        }
    }

    proptest! {
        #[test]
        fn a_slower_crop_is_sown_earlier_by_as_many_days(days in 0_i64..300, more in 0_i64..100) {
            let by = |days: i64| last(&case(days)).unwrap().result.day;
            prop_assert_eq!(by(days + more).days_until(by(days)), more);
        }
    }
}
