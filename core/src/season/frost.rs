//! The date of the last or first frost at any chance, from the levels that a weather service publishes.
//!
//! In spring the chance is that it gets so cold again *after* the date, in fall that it was so cold *before* it, as in the US
//! climate normals (NCEI): 10 % is the late date in spring and the early one in fall. A service that prints plain percentiles
//! means the other thing in spring, so the meaning is stored with the levels, and levels that run the wrong way are refused.
//!
//! Between two levels at most ten points apart the date lies on the straight line. With only 10, 50 and 90 % each half is taken
//! as a normal curve of its own: `date(p) = d50 + (d10 − d50) · z(p) / z(10 %)`; a straight line from 10 to 50 % would be a day
//! or two off, and the halves differ, so there is never one spread for both.
//!
//! ```
//! use selion_core::quantities::Day;
//! use selion_core::season::frost::{Levels, Meaning, Season, date_at};
//!
//! let levels = [(10, "2027-06-05"), (50, "2027-05-21"), (90, "2027-05-06")];
//! let mut dates = Vec::new();
//! for (chance, day) in levels {
//!     dates.push((chance, Day::parse(day)?));
//! }
//! let levels = Levels::new(Season::Spring, Meaning::Exceedance, dates)?;
//! assert_eq!(date_at(&levels, 20)?.result.day, Day::parse("2027-05-31")?);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::crops::FrostClass;
use super::source;
use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Day};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The standard normal deviate that is exceeded with a chance of 10, 11 … 50 %, in ten-thousandths.
const DEVIATES: [i64; 41] = [
    12_816, 12_265, 11_750, 11_264, 10_803, 10_364, 9_945, 9_542, 9_154, 8_779, 8_416, 8_064,
    7_722, 7_388, 7_063, 6_745, 6_433, 6_128, 5_828, 5_534, 5_244, 4_959, 4_677, 4_399, 4_125,
    3_853, 3_585, 3_319, 3_055, 2_793, 2_533, 2_275, 2_019, 1_764, 1_510, 1_257, 1_004, 753, 502,
    251, 0,
];
/// Levels so close that a straight line between them is what their publisher would print.
const CLOSE: i64 = 10;

/// Which end of the warm season.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Season {
    /// The last frost.
    Spring,
    /// The first frost.
    Fall,
}

/// What a published percentage means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Meaning {
    /// The chance of such cold after the date in spring, before it in fall.
    Exceedance,
    /// The share of years in which the event came by the date, in both seasons.
    Percentile,
}

/// Published dates by their chance.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Levels {
    season: Season,
    /// By chance of cold on the wrong side, rising.
    dates: Vec<(i64, Day)>,
}

impl Levels {
    /// Of these dates, each with its chance in percent. Dates of one year, so that a leap day is counted where there is one.
    pub fn new(
        season: Season,
        meaning: Meaning,
        mut dates: Vec<(i64, Day)>,
    ) -> Result<Self, BadInput> {
        for (chance, _) in &mut dates {
            if !(1..=99).contains(chance) {
                return Err(BadInput::new(
                    "chance",
                    "a chance from 1 to 99 %",
                    chance.to_string(),
                ));
            }
            if season == Season::Spring && meaning == Meaning::Percentile {
                *chance = 100 - *chance;
            }
        }
        dates.sort_unstable();
        let expected = match season {
            Season::Spring => "dates that come earlier as the chance of cold after them rises",
            Season::Fall => "dates that come later as the chance of cold before them rises",
        };
        for pair in dates.windows(2) {
            let &[(low, first), (high, second)] = pair else {
                continue;
            };
            let wrong = match season {
                Season::Spring => second > first,
                Season::Fall => second < first,
            };
            if wrong || low == high || first.days_until(second).abs() > 366 {
                let came = format!("{first} at {low} % and {second} at {high} %");
                return Err(BadInput::new("levels", expected, came));
            }
        }
        Ok(Self { season, dates })
    }
}

/// A date and its chance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct FrostDate {
    /// The date.
    pub day: Day,
    /// The chance, in percent, of such cold after it in spring, before it in fall.
    pub chance: i64,
    /// Which end of the warm season.
    pub season: Season,
}

impl fmt::Display for FrostDate {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let side = match self.season {
            Season::Spring => "after",
            Season::Fall => "before",
        };
        write!(
            out,
            "{}: a chance of {} % of such cold {side} it",
            self.day, self.chance
        )
    }
}

/// The date at this chance, in percent, of such cold after it in spring or before it in fall.
pub fn date_at(levels: &Levels, chance: i64) -> Result<Reckoning<FrostDate>, Refusal> {
    if !(10..=90).contains(&chance) {
        return Err(Refusal::OutsideTheRule {
            field: "chance".to_owned(),
            bounds: "10 to 90 %".to_owned(),
            came: format!("{chance} %"),
        });
    }
    let found = |day: Day| FrostDate {
        day,
        chance,
        season: levels.season,
    };
    let source = Source::published(
        "US climate normals 1991 to 2020, freeze dates by chance [NCEI]; between levels: straight line or the two normal halves.",
    );
    let (day, way, used) = interpolated(levels, chance)?;
    let mut answer = Reckoning::new(found(day), source);
    for (level, date) in used {
        answer = answer.step(Step::new(format!("At {level} %"), date.to_string()));
    }
    Ok(answer
        .step(Step::sum(format!("At {chance} %"), day.to_string()))
        .on(way)
        .on("50 % is the average date, 10 % the cautious one.")
        .on("A station is not the garden: a cold hollow is colder, and its people know by how many days.")
        .rounded("To the nearest day."))
}

type Found = (Day, &'static str, Vec<(i64, Day)>);

fn interpolated(levels: &Levels, chance: i64) -> Result<Found, Refusal> {
    let at = |wanted: i64| {
        let found = levels.dates.iter().find(|(level, _)| *level == wanted);
        found.copied()
    };
    if let Some((level, day)) = at(chance) {
        return Ok((day, "A published level.", vec![(level, day)]));
    }
    let below = levels.dates.iter().rev().find(|(level, _)| *level < chance);
    let above = levels.dates.iter().find(|(level, _)| *level > chance);
    let beyond = || Refusal::bad("levels", "dates within the calendar", "dates outside it");
    if let (Some(&(low, first)), Some(&(high, second))) = (below, above)
        && high - low <= CLOSE
    {
        let days = i128::from(first.days_until(second)) * i128::from(chance - low);
        let days = nearest(days, i128::from(high - low)).ok_or_else(beyond)?;
        let used = vec![(low, first), (high, second)];
        return Ok((
            first.plus_days(days),
            "A straight line between two published levels.",
            used,
        ));
    }
    let outer = if chance < 50 { 10 } else { 90 };
    let (Some(half), Some(tail)) = (at(50), at(outer)) else {
        return Err(Refusal::Missing {
            what: format!("The date at 50 % or at {outer} %"),
            why: "without both neighbouring levels the date rests on those two".to_owned(),
        });
    };
    let days = i128::from(half.1.days_until(tail.1)) * i128::from(deviate(chance));
    let days = nearest(days, i128::from(deviate(outer))).ok_or_else(beyond)?;
    let way = "A normal curve for this half alone, through the published dates.";
    Ok((half.1.plus_days(days), way, vec![half, tail]))
}

/// The deviate of a chance, by its distance from the middle.
fn deviate(chance: i64) -> i64 {
    let from_the_tail = chance.min(100 - chance) - 10;
    usize::try_from(from_the_tail)
        .ok()
        .and_then(|index| DEVIATES.get(index))
        .copied()
        .unwrap_or(0)
}

/// The days between two frost dates.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct FrostFree {
    /// From the last in spring to the first in fall.
    pub days: i64,
}

impl fmt::Display for FrostFree {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} days from frost to frost", self.days)
    }
}

/// The days between the last frost of spring and the first of fall.
pub fn between(last: Day, first: Day) -> Result<Reckoning<FrostFree>, Refusal> {
    let days = last.days_until(first);
    if !(0..=366).contains(&days) {
        let expected = "a first frost within a year after the last one";
        return Err(Refusal::bad(
            "first frost",
            expected,
            format!("{first} after {last}"),
        ));
    }
    let source = Source::arithmetic("The days from the one date to the other.");
    Ok(Reckoning::new(FrostFree { days }, source)
        .step(Step::new("Last frost", last.to_string()))
        .step(Step::new("First frost", first.to_string()))
        .step(Step::sum("Between", format!("{days} days")))
        .on("This is not the length of the average season: early springs and late falls do not come together. A service that prints the season's length by chance has the better figure."))
}

/// When a crop of a frost class may first stand outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct FirstSowing {
    /// The earliest day.
    pub from: Day,
    /// From this day on it is usual.
    pub usual: Day,
}

impl fmt::Display for FirstSowing {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.from == self.usual {
            write!(out, "Sow from {}", self.from)
        } else {
            write!(
                out,
                "Sow from {} at the earliest, from {} as a rule",
                self.from, self.usual
            )
        }
    }
}

/// When a crop of this class is first sown or set, by the average last frost.
pub fn first_sowing(class: FrostClass, average_last_frost: Day) -> Reckoning<FirstSowing> {
    let (earliest, usual, rule) = match class {
        FrostClass::VeryHardy => (-42, -28, "four to six weeks before the average last frost"),
        FrostClass::Hardy => (-21, -14, "two to three weeks before the average last frost"),
        FrostClass::Tender => (0, 0, "on the average last frost or after it"),
        FrostClass::WarmLoving => (7, 14, "one to two weeks after the average last frost"),
    };
    let result = FirstSowing {
        from: average_last_frost.plus_days(earliest),
        usual: average_last_frost.plus_days(usual),
    };
    Reckoning::new(result, source::cite("PUR"))
        .step(Step::new(
            "Average last frost",
            average_last_frost.to_string(),
        ))
        .step(Step::new("Frost class", class.word()))
        .step(Step::new("Rule", rule))
        .step(Step::sum("From", result.from.to_string()))
        .on("The average last frost is the date at 50 %: in every other year it freezes after it.")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(&format!("2027-{text}")).unwrap()
    }

    fn levels(season: Season, meaning: Meaning, dates: &[(i64, &str)]) -> Result<Levels, BadInput> {
        Levels::new(
            season,
            meaning,
            dates
                .iter()
                .map(|&(chance, text)| (chance, day(text)))
                .collect(),
        )
    }

    #[test]
    fn levels_that_run_the_wrong_way_name_their_meaning() {
        let as_percentiles = [(10, "05-06"), (50, "05-21"), (90, "06-05")];
        let refused = levels(Season::Spring, Meaning::Exceedance, &as_percentiles).unwrap_err();
        assert_eq!(refused.field, "levels");
        let read = levels(Season::Spring, Meaning::Percentile, &as_percentiles).unwrap();
        assert_eq!(date_at(&read, 10).unwrap().result.day, day("06-05"));
        assert!(
            levels(
                Season::Fall,
                Meaning::Percentile,
                &[(10, "09-15"), (50, "09-01")]
            )
            .is_err()
        );
        assert!(levels(Season::Fall, Meaning::Percentile, &[(0, "09-15")]).is_err());
        assert!(
            levels(
                Season::Fall,
                Meaning::Percentile,
                &[(10, "09-15"), (10, "09-16")]
            )
            .is_err()
        );
    }

    #[test]
    fn close_levels_go_by_the_straight_line_and_lone_ones_are_refused() {
        let close = levels(
            Season::Fall,
            Meaning::Exceedance,
            &[(10, "09-15"), (20, "09-20")],
        )
        .unwrap();
        assert_eq!(
            date_at(&close, 15).unwrap().result.day,
            day("09-18"),
            "17.5, up"
        );
        assert_eq!(date_at(&close, 50).unwrap_err().code(), "missing");
        for chance in [9, 91, i64::MIN, i64::MAX] {
            assert_eq!(
                date_at(&close, chance).unwrap_err().code(),
                "outside_the_rule"
            );
        }
    }

    #[test]
    fn each_class_has_its_weeks() {
        let from = |class| first_sowing(class, day("05-15")).result.from;
        let days = FrostClass::ALL.map(|class| day("05-15").days_until(from(class)));
        assert_eq!(days, [-42, -21, 0, 7]);
        assert_eq!(
            between(day("09-29"), day("05-21")).unwrap_err().code(),
            "bad_input"
        );
    }

    proptest! {
        #[test]
        fn a_smaller_chance_is_never_the_bolder_date(tail in 0_i64..60, other in 0_i64..60, low in 10_i64..=90, high in 10_i64..=90) {
            let (low, high) = (low.min(high), low.max(high));
            for (season, sign) in [(Season::Spring, 1), (Season::Fall, -1)] {
                let middle = day("06-30");
                let dates = vec![(10, middle.plus_days(sign * tail)), (50, middle), (90, middle.plus_days(-sign * other))];
                let levels = Levels::new(season, Meaning::Exceedance, dates).unwrap();
                let at = |chance| date_at(&levels, chance).unwrap().result.day;
                prop_assert!(sign * at(high).days_until(at(low)) >= 0);
                prop_assert_eq!(at(50), middle);
            }
        }
    }
}
