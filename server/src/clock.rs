//! What time it is, as something that is handed in: the real time in the program, a chosen one in tests.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::{SystemTime, UNIX_EPOCH};

use jiff::Timestamp;
use jiff::tz::TimeZone;
use selion_core::quantities::{Day, Moment};

use crate::error::AppError;

/// Something that knows what time it is.
pub trait Clock: Send + Sync {
    /// The time now.
    fn now(&self) -> Moment;
}

/// A clock as it is passed around.
pub type SharedClock = Arc<dyn Clock>;

/// The machine's clock.
#[derive(Clone, Copy, Debug)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now(&self) -> Moment {
        let since = SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .unwrap_or_default();
        Moment::from_millis(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
    }
}

/// A clock that stands still until it is moved.
#[derive(Debug)]
pub struct SetClock(AtomicI64);

impl SetClock {
    /// A clock that shows the given time.
    pub fn at(now: Moment) -> Self {
        Self(AtomicI64::new(now.millis()))
    }

    /// Moves the clock on.
    pub fn advance_millis(&self, millis: i64) {
        self.0.fetch_add(millis, Ordering::SeqCst);
    }
}

impl Clock for SetClock {
    fn now(&self) -> Moment {
        Moment::from_millis(self.0.load(Ordering::SeqCst))
    }
}

/// The day it is at a place on the clock, such as `Europe/Lisbon`.
pub fn day_in(time_zone: &str, now: Moment) -> Result<Day, AppError> {
    let unknown = || {
        let came: String = time_zone.chars().take(60).collect();
        AppError::BadRequest(format!(
            "time_zone: expected a name such as Europe/Lisbon, but \"{came}\" came."
        ))
    };
    let zone = TimeZone::get(time_zone).map_err(|_unknown| unknown())?;
    let instant = Timestamp::from_millisecond(now.millis()).map_err(|_out_of_range| unknown())?;
    let local = zone.to_datetime(instant);
    Day::new(local.year(), local.month(), local.day()).ok_or_else(unknown)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_depends_on_the_place() {
        // 2026-12-31 23:30 in UTC.
        let now = Moment::from_millis(1_798_759_800_000);
        assert_eq!(day_in("UTC", now).unwrap().year(), 2026);
        assert_eq!(day_in("Europe/Berlin", now).unwrap().year(), 2027);
        let sentence = day_in("Atlantis/Old Town", now).unwrap_err().to_string();
        assert_eq!(
            sentence,
            "time_zone: expected a name such as Europe/Lisbon, but \"Atlantis/Old Town\" came."
        );
    }
}
