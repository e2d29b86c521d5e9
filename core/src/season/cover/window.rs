//! From when to when a cover crop is sown in fall, by the first frost.
//!
//! Crops that stand the winter have a window of days before the frost, or after it. Those that frost ends need their days before
//! it; sown with the most of them to go they are sure to make it, with the least it is a venture.
//!
//! ```
//! use selion_core::quantities::Day;
//! use selion_core::season::cover::{CoverBook, window::window};
//!
//! let book = CoverBook::with(&[])?;
//! let answer = window(book.find("buckwheat")?, Day::parse("2027-10-15")?)?;
//! assert_eq!(answer.result.by, Day::parse("2027-09-05")?);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::CoverCrop;
use crate::quantities::Day;
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::season::known::{Known, Origin, Span};
use crate::season::source;

/// When a cover crop is sown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SowingWindow {
    /// From when on; nothing for a crop that may be sown all summer.
    pub from: Option<Day>,
    /// By when.
    pub by: Day,
    /// At the very latest, where that is later.
    pub at_the_latest: Option<Day>,
}

impl fmt::Display for SowingWindow {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.from {
            Some(from) => write!(out, "Sow from {from} to {}", self.by),
            None => write!(out, "Sow by {}", self.by),
        }?;
        self.at_the_latest
            .map_or(Ok(()), |day| write!(out, ", at the very latest by {day}"))
    }
}

/// From when to when it is sown, by the first frost of fall.
pub fn window(cover: &CoverCrop, first_frost: Day) -> Result<Reckoning<SowingWindow>, Refusal> {
    let (result, origin, rule) = if let Some(Known { value, origin }) = &cover.days_before_frost {
        (around_frost(*value, first_frost), origin, before(*value))
    } else if let Some(Known { value, origin }) = &cover.needs_days {
        let latest = first_frost.plus_days(-value.least);
        let window = SowingWindow {
            from: None,
            by: first_frost.plus_days(-value.most),
            at_the_latest: (value.least != value.most).then_some(latest),
        };
        (window, origin, format!("needs {value} days before it"))
    } else {
        return Err(Refusal::Missing {
            what: format!("The sowing window of {}", cover.name),
            why: "the table has no confirmed one; put in days_before_frost or needs_days as an own value".to_owned(),
        });
    };
    let source = match origin {
        Origin::Own => Source::arithmetic("An own value of the garden."),
        Origin::Table(keys) => source::cite(keys),
    };
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("First frost", first_frost.to_string()))
        .step(Step::new(cover.name.clone(), rule))
        .step(Step::sum("Sow by", result.by.to_string()));
    if let Some(stop) = &cover.stop_when {
        answer = answer.on(format!("End it {}{}.", stop.value, stop.origin.mark()));
    }
    if let Some(wait) = &cover.wait_weeks {
        answer = answer.on(format!("Then wait {} weeks before planting.", wait.value));
    }
    Ok(answer)
}

fn around_frost(days: Span<i64>, first_frost: Day) -> SowingWindow {
    // What may still go in after the frost is better sown before it.
    let by = first_frost.plus_days(-days.least.max(0));
    SowingWindow {
        from: (days.most > days.least).then(|| first_frost.plus_days(-days.most)),
        by,
        at_the_latest: (days.least < 0).then(|| first_frost.plus_days(-days.least)),
    }
}

fn before(days: Span<i64>) -> String {
    let side = |days: i64| {
        if days < 0 {
            format!("{} days after it", -days)
        } else {
            format!("{days} days before it")
        }
    };
    format!("{} to {}", side(days.most), side(days.least))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::cover::CoverBook;
    use crate::season::crops::OwnCrop;

    fn day(text: &str) -> Day {
        Day::parse(&format!("2027-{text}")).unwrap()
    }

    #[test]
    fn rye_goes_in_after_the_frost_and_clover_well_before_it() {
        let book = CoverBook::with(&[]).unwrap();
        let sown = |name: &str| {
            window(book.find(name).unwrap(), day("10-15"))
                .unwrap()
                .result
        };
        let rye = sown("cereal rye");
        assert_eq!(
            (rye.by, rye.at_the_latest),
            (day("10-15"), Some(day("11-05")))
        );
        let clover = sown("crimson clover");
        assert_eq!((clover.from, clover.by), (Some(day("08-20")), day("09-03")));
        assert_eq!(clover.at_the_latest, None);
    }

    #[test]
    fn without_a_confirmed_window_there_is_none_until_the_garden_puts_it_in() {
        let book = CoverBook::with(&[]).unwrap();
        let refusal = window(book.find("soybean").unwrap(), day("10-15")).unwrap_err();
        assert_eq!(refusal.code(), "missing");
        let own = OwnCrop::new("soybean", &[("needs_days", "50")]);
        let book = CoverBook::with(&[own]).unwrap();
        let answer = window(book.find("soybean").unwrap(), day("10-15")).unwrap();
        assert_eq!(answer.result.to_string(), "Sow by 2027-08-26");
        assert!(answer.to_string().contains("An own value"), "{answer}");
    }
}
