//! Days, weeks and moments; never "today".

use std::fmt;
use std::str::FromStr;

use jiff_core::civil::{Date, ISOWeekDate};
use serde::{Deserialize, Serialize};

use super::BadInput;
use crate::json::form;

pub use jiff_core::civil::Weekday;

/// A civil day, as on a calendar on the wall. Stored and sent as ISO 8601 text, `2026-03-14`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day(Date);

impl Day {
    /// The day with these numbers, if there is one.
    ///
    /// ```
    /// use selion_core::quantities::Day;
    ///
    /// assert!(Day::new(2028, 2, 29).is_some());
    /// assert!(Day::new(2026, 2, 29).is_none());
    /// ```
    pub fn new(year: i16, month: i8, day: i8) -> Option<Self> {
        if year < 0 {
            None
        } else {
            Date::new(year, month, day).ok().map(Self)
        }
    }

    /// The day written as `2026-03-14`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        let refused = || BadInput::new("day", "a day as year-month-day, such as 2026-03-14", text);
        let mut numbers = text.trim().splitn(3, '-');
        let mut next = |digits: usize| {
            numbers.next().filter(|part| {
                part.len() == digits && part.bytes().all(|byte| byte.is_ascii_digit())
            })
        };
        let (Some(year), Some(month), Some(day)) = (next(4), next(2), next(2)) else {
            return Err(refused());
        };
        let (Ok(year), Ok(month), Ok(day)) = (year.parse(), month.parse(), day.parse()) else {
            return Err(refused());
        };
        Self::new(year, month, day).ok_or_else(refused)
    }

    /// Its year.
    pub fn year(self) -> i16 {
        self.0.year()
    }

    /// Its month, 1 to 12.
    pub fn month(self) -> i8 {
        self.0.month()
    }

    /// Its day of the month, 1 to 31.
    pub fn day(self) -> i8 {
        self.0.day()
    }

    /// Which day of the week it is.
    pub fn weekday(self) -> Weekday {
        self.0.weekday()
    }

    /// Which day of its year it is, 1 to 366.
    pub fn day_of_year(self) -> i16 {
        self.0.day_of_year()
    }

    /// So many days later, or earlier for a negative count; it stops at the ends of the calendar (years 0 to 9999).
    #[must_use]
    pub fn plus_days(self, days: i64) -> Self {
        let end = if days < 0 { FIRST_DAY } else { LAST_DAY };
        let moved = i32::try_from(days)
            .ok()
            .and_then(|days| self.0.checked_add(days).ok());
        Self(moved.map_or(end, |moved| moved.max(FIRST_DAY)))
    }

    /// So many months later, or earlier for a negative count: the same day of the month, or its last where that is missing.
    #[must_use]
    pub fn plus_months(self, months: i32) -> Self {
        let end = Self(if months < 0 { FIRST_DAY } else { LAST_DAY });
        let month = i32::from(self.year()) * 12 + i32::from(self.month()) - 1;
        let moved = month.saturating_add(months);
        let year = i16::try_from(moved.div_euclid(12)).ok();
        let month = i8::try_from(moved.rem_euclid(12) + 1).ok();
        year.zip(month)
            .and_then(|(year, month)| Date::new_constrain(year, month, self.day()).ok())
            .map_or(end, |moved| Self(moved.max(FIRST_DAY)))
    }

    /// How many days from this one to the other; negative when the other is earlier.
    pub fn days_until(self, other: Self) -> i64 {
        i64::from(self.0.until(other.0))
    }

    /// The ISO 8601 week that it lies in.
    pub fn week(self) -> Week {
        let week = self.0.to_iso_week_date();
        Week {
            year: week.year(),
            number: week.week(),
        }
    }
}

/// Milliseconds from one midnight to the next.
const MILLIS_PER_DAY: i64 = 24 * 60 * 60 * 1_000;
/// The first day that can be written with four digits.
const FIRST_DAY: Date = jiff_core::civil::date(0, 1, 1);
/// The last of them.
const LAST_DAY: Date = jiff_core::civil::date(9999, 12, 31);

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "{:04}-{:02}-{:02}",
            self.year(),
            self.month(),
            self.day()
        )
    }
}

impl FromStr for Day {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

impl TryFrom<String> for Day {
    type Error = BadInput;

    fn try_from(text: String) -> Result<Self, BadInput> {
        Self::parse(&text)
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_string()
    }
}

/// A week from Monday to Sunday, numbered as in ISO 8601.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Week {
    year: i16,
    number: i8,
}

impl Week {
    /// The year that the week counts for; its first or last days may lie in the neighbouring one.
    pub fn year(self) -> i16 {
        self.year
    }

    /// Its number in that year, 1 to 53.
    pub fn number(self) -> i8 {
        self.number
    }

    /// Its Monday.
    pub fn first_day(self) -> Day {
        ISOWeekDate::new(self.year, self.number, Weekday::Monday)
            .map_or(Day(FIRST_DAY), |week| Day(week.to_date()))
    }

    /// The week after it.
    #[must_use]
    pub fn next(self) -> Self {
        self.first_day().plus_days(7).week()
    }

    /// The week before it.
    #[must_use]
    pub fn previous(self) -> Self {
        self.first_day().plus_days(-7).week()
    }
}

impl fmt::Display for Week {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-W{:02}", self.year, self.number)
    }
}

/// A point in time, in whole milliseconds since 1970 began in UTC.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Moment(i64);

impl Moment {
    /// From milliseconds since 1970 began in UTC.
    pub const fn from_millis(millis: i64) -> Self {
        Self(millis)
    }

    /// In milliseconds since 1970 began in UTC.
    pub const fn millis(self) -> i64 {
        self.0
    }

    /// The day it falls on in UTC, where no place on the clock is known.
    pub fn day_in_utc(self) -> Day {
        Day(jiff_core::civil::date(1970, 1, 1)).plus_days(self.0.div_euclid(MILLIS_PER_DAY))
    }

    /// So much later, or earlier for a negative count.
    #[must_use]
    pub const fn plus_millis(self, millis: i64) -> Self {
        Self(self.0.saturating_add(millis))
    }
}

form!(Day: text);
form!(Moment: inside);

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    #[test]
    fn days_are_read_in_one_form_only() {
        assert_eq!(day("2028-02-29").to_string(), "2028-02-29");
        for text in [
            "2026-02-29",
            "2026-2-9",
            "14.03.2026",
            "2026-03-14T00:00",
            "-2026-03-14",
            "",
            "2026-03",
        ] {
            assert!(Day::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_week_belongs_to_the_year_of_its_thursday() {
        assert_eq!(day("2027-01-01").week().to_string(), "2026-W53");
        assert_eq!(day("2027-01-01").week().first_day(), day("2026-12-28"));
        assert_eq!(day("2027-01-01").week().next().to_string(), "2027-W01");
        assert_eq!(day("2027-01-04").week().previous().to_string(), "2026-W53");
        assert_eq!(day("2026-12-28").weekday(), Weekday::Monday);
    }

    #[test]
    fn a_month_later_is_the_same_day_or_the_last_of_the_month() {
        assert_eq!(day("2026-08-31").plus_months(6), day("2027-02-28"));
        assert_eq!(day("2026-03-14").plus_months(-3), day("2025-12-14"));
        assert_eq!(day("9999-12-31").plus_months(i32::MAX), day("9999-12-31"));
        assert_eq!(day("0000-01-01").plus_months(i32::MIN), day("0000-01-01"));
    }

    #[test]
    fn the_calendar_ends_without_wrapping() {
        assert_eq!(day("9999-12-31").plus_days(i64::MAX), day("9999-12-31"));
        assert_eq!(day("0000-01-01").plus_days(i64::MIN), day("0000-01-01"));
    }

    #[test]
    fn days_are_stored_as_text() {
        assert_eq!(
            serde_json::to_string(&day("2026-03-14")).unwrap(),
            "\"2026-03-14\""
        );
        assert_eq!(
            serde_json::from_str::<Day>("\"2026-03-14\"").unwrap(),
            day("2026-03-14")
        );
        assert!(serde_json::from_str::<Day>("\"soon\"").is_err());
    }

    #[test]
    fn a_moment_before_1970_lies_in_the_day_before() {
        assert_eq!(Moment::from_millis(0).day_in_utc(), day("1970-01-01"));
        assert_eq!(Moment::from_millis(-1).day_in_utc(), day("1969-12-31"));
        assert_eq!(
            Moment::from_millis(951_782_400_000).day_in_utc(),
            day("2000-02-29")
        );
        assert_eq!(
            Moment::from_millis(i64::MAX).day_in_utc(),
            day("9999-12-31")
        );
    }

    proptest! {
        #[test]
        fn counting_days_there_and_back(from in -300_000_i64..300_000, days in -300_000_i64..300_000) {
            let from = day("2000-01-01").plus_days(from);
            let to = from.plus_days(days);
            prop_assert_eq!(from.days_until(to), days);
            prop_assert_eq!(from < to, days > 0);
            prop_assert!((0..7).contains(&to.week().first_day().days_until(to)));
        }
    }
}
