//! Curing, and what shrinks away.
//!
//! Curing begins when a pile no longer heats after a turning and ends within 5 °C of the air (S39). For its length sources
//! conflict: 3 to 6 weeks (S39), 3 to 4 (S41), 2 to 3 months (S42). Four weeks are taken as the least, eight as preferred, and
//! both only with the pile cooled down. Of the volume 50 to 70 % shrinks away (S23): finished = start × (1 − shrinkage).
//!
//! ```
//! use selion_core::quantities::{Percent, Units, Volume};
//! use selion_core::soil::pile::finish;
//!
//! let raw = finish::raw_for(Volume::parse("2 cu yd")?, Some(Percent::parse("60 %")?), Units::UsCustomary)?;
//! assert!(raw.to_string().starts_with("5.00 cu yd of raw material"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::super::exact::nearest;
use crate::quantities::{Day, Percent, Temperature, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Four weeks and eight.
const CURING_DAYS: (i64, i64) = (28, 56);
/// Within this of the air a pile is cured, in thousandths of a degree.
const NEAR_AIR: i64 = 5_000;
/// 50 to 70 %.
const SHRINKAGE: (Percent, Percent) = (
    Percent::from_hundredths(5_000),
    Percent::from_hundredths(7_000),
);
/// The largest heap that is reckoned with: 10,000 m³.
const LARGEST: Volume = Volume::from_ml(10_000_000_000);

/// When a pile is cured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Curing {
    /// The earliest day, four weeks on.
    pub earliest: Day,
    /// The better one, eight weeks on.
    pub preferred: Day,
    /// Whether the pile has come near the air, where both were measured.
    pub has_cooled: Option<bool>,
}

impl fmt::Display for Curing {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (earliest, preferred) = (self.earliest, self.preferred);
        write!(
            out,
            "Cured on {earliest} at the earliest, better on {preferred}"
        )?;
        match self.has_cooled {
            Some(true) => out.write_str("; it has cooled down to the air"),
            Some(false) => out.write_str("; but it has not cooled down yet"),
            None => Ok(()),
        }
    }
}

/// When a pile that no longer heats is cured.
pub fn curing(
    begun: Day,
    core_and_air: Option<(Temperature, Temperature)>,
    units: Units,
) -> Reckoning<Curing> {
    let has_cooled = core_and_air
        .map(|(core, air)| core.millicelsius().saturating_sub(air.millicelsius()) <= NEAR_AIR);
    let result = Curing {
        earliest: begun.plus_days(CURING_DAYS.0),
        preferred: begun.plus_days(CURING_DAYS.1),
        has_cooled,
    };
    let source = Source::published(
        "AgriFutures composting guidelines, Curing [compost S39]; 3 to 4 weeks Utah State [compost S41], 2 to 3 months Highfields [compost S42].",
    );
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("No longer heats since", begun.to_string()))
        .step(Step::new("Four weeks on", result.earliest.to_string()))
        .step(Step::new("Eight weeks on", result.preferred.to_string()));
    if let Some((core, air)) = core_and_air {
        let (core, air) = (core.show(units), air.show(units));
        answer = answer.step(Step::new("Core and air", format!("{core} and {air}")));
    }
    answer
        .on("The sources differ on the length; whatever the calendar says, it ends within 5 °C (9 °F) of the air.")
        .on("Last test: two pots of radish in it; three quarters of the seeds should come up and grow [compost S45].")
}

/// How much raw material a wanted heap of finished compost takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct RawVolume {
    /// The least that it takes.
    pub low: Volume,
    /// The most; the same where the shrinkage is known.
    pub high: Volume,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for RawVolume {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = (
            self.low.show_bulk(self.units),
            self.high.show_bulk(self.units),
        );
        if low == high {
            write!(out, "{low} of raw material")
        } else {
            write!(out, "{low} to {high} of raw material")
        }
    }
}

/// How much raw material makes so much finished compost; a range where the own shrinkage is not known.
pub fn raw_for(
    finished: Volume,
    shrinkage: Option<Percent>,
    units: Units,
) -> Result<Reckoning<RawVolume>, Refusal> {
    if !finished.is_positive() || finished > LARGEST {
        let expected = format!("more than nothing and at most {}", LARGEST.show_bulk(units));
        return Err(Refusal::bad(
            "finished compost",
            expected,
            finished.show_bulk(units),
        ));
    }
    let (least, most) = shrinkage.map_or(SHRINKAGE, |own| (own, own));
    let raw = |shrinkage: Percent| {
        let rest = Percent::HUNDRED.hundredths() - shrinkage.hundredths();
        let whole = i128::from(finished.ml()) * i128::from(Percent::HUNDRED.hundredths());
        nearest(whole, i128::from(rest))
            .filter(|_| shrinkage >= Percent::ZERO && rest > 0)
            .map(Volume::from_ml)
            .ok_or_else(|| {
                Refusal::bad(
                    "shrinkage",
                    "from 0 to less than 100 %",
                    shrinkage.to_string(),
                )
            })
    };
    let result = RawVolume {
        low: raw(least)?,
        high: raw(most)?,
        units,
    };
    let source = match shrinkage {
        Some(_) => Source::arithmetic("Finished over what is left after shrinking."),
        None => Source::published(
            "Manitoba Agriculture after an older handbook: 50 to 70 % of the volume shrinks away [compost S23].",
        ),
    };
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Finished", finished.show_bulk(units)))
        .step(Step::new(
            format!("At {least} shrinkage"),
            result.low.show_bulk(units),
        ));
    if least != most {
        answer = answer.step(Step::new(
            format!("At {most} shrinkage"),
            result.high.show_bulk(units),
        ));
    }
    Ok(answer.rounded("To the millilitre, halves up."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_weeks_eight_weeks_and_the_temperature() {
        let begun = Day::parse("2026-07-01").unwrap();
        let celsius = |degrees: i64| Temperature::from_millicelsius(degrees * 1_000);
        let cured = |core, air| curing(begun, Some((celsius(core), celsius(air))), Units::Metric);
        assert_eq!(cured(25, 20).result.has_cooled, Some(true));
        assert_eq!(cured(26, 20).result.has_cooled, Some(false));
        let said = curing(begun, None, Units::Metric).to_string();
        assert!(
            said.starts_with("Cured on 2026-07-29 at the earliest, better on 2026-08-26\n"),
            "{said}"
        );
    }

    #[test]
    fn a_heap_that_shrinks_to_nothing_is_refused() {
        let heap = Volume::parse("1 m3").unwrap();
        for (shrinkage, refused) in [
            (10_000, true),
            (12_000, true),
            (-1, true),
            (9_999, false),
            (0, false),
        ] {
            let own = Some(Percent::from_hundredths(shrinkage));
            assert_eq!(
                raw_for(heap, own, Units::Metric).is_err(),
                refused,
                "{shrinkage}"
            );
        }
        assert!(raw_for(Volume::ZERO, None, Units::Metric).is_err());
        let said = raw_for(heap, None, Units::Metric).unwrap().to_string();
        assert!(
            said.starts_with("2.00 m³ to 3.33 m³ of raw material"),
            "{said}"
        );
    }
}
