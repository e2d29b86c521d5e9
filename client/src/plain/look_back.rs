//! Looking back: the day that is asked for, and the moment at which it ended at the garden's place on the clock.

use selion_core::quantities::{BadInput, Day, Moment};

/// Milliseconds of a quarter of an hour: places on the clock differ by whole ones.
const QUARTER: i64 = 15 * 60 * 1_000;
/// No place on the clock is further from UTC, in quarters of an hour.
const FURTHEST: i64 = 15 * 4;
const MILLIS_A_DAY: i64 = 24 * 60 * 60 * 1_000;

/// The day that was typed: today or an earlier one.
pub fn read(typed: &str, today: Day) -> Result<Day, BadInput> {
    let day = Day::parse(typed)?;
    if day > today {
        return Err(BadInput::new("day", "today or an earlier day", typed));
    }
    Ok(day)
}

/// The last moment of a day, where `day_of` says on which day a moment falls.
pub fn end_of(day: Day, day_of: impl Fn(Moment) -> Day) -> Moment {
    let epoch = Moment::from_millis(0).day_in_utc();
    let midnight = Moment::from_millis(epoch.days_until(day.plus_days(1)) * MILLIS_A_DAY);
    let quarters = -FURTHEST..=FURTHEST;
    let next = quarters
        .map(|quarter| midnight.plus_millis(quarter * QUARTER))
        .find(|moment| day_of(*moment) > day);
    next.unwrap_or(midnight).plus_millis(-1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::day;

    /// A place so many minutes ahead of UTC.
    fn ahead(minutes: i64) -> impl Fn(Moment) -> Day {
        move |moment| moment.plus_millis(minutes * 60_000).day_in_utc()
    }

    #[test]
    fn a_day_ends_when_it_ends_in_the_garden() {
        let on = day("2026-06-12");
        // 2026-06-13T00:00:00Z is 1,781,308,800 seconds after 1970 (GNU date).
        let midnight = 1_781_308_800_000;
        for (minutes, expected) in [
            (0, midnight),
            (-4 * 60, midnight + 4 * 3_600_000),
            (14 * 60, midnight - 14 * 3_600_000),
            (5 * 60 + 45, midnight - (5 * 60 + 45) * 60_000),
            (-12 * 60, midnight + 12 * 3_600_000),
        ] {
            let end = end_of(on, ahead(minutes));
            assert_eq!(end.millis(), expected - 1, "{minutes}");
            assert_eq!(ahead(minutes)(end), on);
            assert_eq!(ahead(minutes)(end.plus_millis(1)), day("2026-06-13"));
        }
    }

    #[test]
    fn the_future_cannot_be_looked_back_to() {
        let today = day("2026-06-12");
        assert_eq!(read("2026-06-12", today), Ok(today));
        let refused = read("2026-06-13", today).unwrap_err();
        assert_eq!(refused.field, "day");
        assert!(read("", today).is_err());
    }
}
