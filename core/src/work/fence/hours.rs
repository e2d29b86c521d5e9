//! How long a fence takes to build, and whose hours those are.
//!
//! One rate is printed: 42 h for 1,320 ft of woven wire, straight, by experienced people with machines (Iowa State 2012), which
//! is 3.18 h for 100 ft. For a tall fence by hand there is none: one and a half to three times that is a guess and says so. A
//! garden's own rate comes before both. The hours are shared by bed area in quarter hours ([`crate::shares::hours`]).
//!
//! ```
//! use selion_core::quantities::{Length, Units};
//! use selion_core::work::fence::hours::{WorkRate, needed};
//!
//! let answer = needed(Length::parse("308 ft")?, WorkRate::ByHand, Units::UsCustomary)?;
//! assert_eq!(answer.result.to_string(), "14 h 42 min to 29 h 24 min of work");
//! assert!(answer.to_string().contains("(estimate)"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::exact::up;
use crate::quantities::{Length, Minutes, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};
use crate::shares::LoadBed;
use crate::shares::hours::{HoursCase, HoursShares, share};

/// 42 h.
const PRINTED_TIME: Minutes = Minutes::new(2_520);
/// 1,320 ft.
const PRINTED_LENGTH: Length = Length::from_mm(402_336);

/// How fast a fence is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WorkRate {
    /// Woven wire, by experienced people with machines.
    WithMachines,
    /// A tall fence by hand: a guess.
    ByHand,
    /// The garden's own: so long for so much.
    Own(Minutes, Length),
}

/// The hours of a fence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct FenceHours {
    /// At least.
    pub least: Minutes,
    /// At most.
    pub most: Minutes,
}

impl fmt::Display for FenceHours {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.least == self.most {
            write!(out, "{} of work", self.most.show())
        } else {
            write!(out, "{} to {} of work", self.least.show(), self.most.show())
        }
    }
}

/// How long so much fence takes.
pub fn needed(
    fence: Length,
    rate: WorkRate,
    units: Units,
) -> Result<Reckoning<FenceHours>, Refusal> {
    let (time, length) = match rate {
        WorkRate::WithMachines | WorkRate::ByHand => (PRINTED_TIME, PRINTED_LENGTH),
        WorkRate::Own(time, length) => (time, length),
    };
    check(fence, time, length, units)?;
    // In halves, so that one and a half times is whole.
    let (least, most) = if rate == WorkRate::ByHand {
        (3, 6)
    } else {
        (2, 2)
    };
    let minutes = |halves: i128| {
        let top = i128::from(time.get()) * i128::from(fence.mm()) * halves;
        let count = up(top, 2 * i128::from(length.mm())).filter(|count| *count <= 6_000_000);
        let too_long = || {
            Refusal::bad(
                "fence",
                "one that takes at most 100,000 h",
                fence.show(units),
            )
        };
        count.map(Minutes::new).ok_or_else(too_long)
    };
    let result = FenceHours {
        least: minutes(least)?,
        most: minutes(most)?,
    };
    let printed = "Iowa State University 2012, 42 h for 1,320 ft of woven wire";
    let source = match rate {
        WorkRate::WithMachines => Source::published(format!("{printed}.")),
        WorkRate::ByHand => Source::estimate(format!(
            "A guess without a source: one and a half to three times {printed}."
        )),
        WorkRate::Own(..) => Source::arithmetic("The garden's own rate."),
    };
    let per = format!("{} for {}", time.show(), length.show(units));
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Rate", per))
        .step(Step::new("Fence", fence.show(units)))
        .rounded("Up to the minute.")
        .caution(Caution::Digging)
        .caution(Caution::Lifting);
    match rate {
        WorkRate::WithMachines => {
            answer = answer.on(
                "Experienced people with machines on a straight line; by hand it takes longer.",
            );
        }
        WorkRate::ByHand => {
            answer = answer
                .step(Step::new("By hand", "1.5 to 3 times"))
                .on("More still on stony ground. Put in the own rate when the first side stands.");
        }
        WorkRate::Own(..) => {}
    }
    Ok(answer.step(Step::sum("Work", result.to_string())))
}

/// The hours of a fence shared by bed area, the larger figure of a span.
pub fn shared_out<B, M>(
    hours: &Reckoning<FenceHours>,
    title: &str,
    beds: Vec<LoadBed<B, M>>,
    units: Units,
) -> Result<Reckoning<HoursShares<M>>, Refusal>
where
    B: PartialEq,
    M: Clone + Ord,
{
    let mut answer = share(&HoursCase {
        by_area: 100,
        title: title.to_owned(),
        total: hours.result.most,
        beds,
        units,
    })?;
    let mut steps = hours.steps.clone();
    steps.append(&mut answer.steps);
    answer.steps = steps;
    for basis in hours.basis.iter().cloned() {
        answer = answer.on(basis);
    }
    if hours.result.least != hours.result.most {
        answer = answer.on("Shared is the larger figure; what is not needed is given back.");
    }
    for caution in &hours.cautions {
        answer = answer.caution(*caution);
    }
    Ok(answer.on(format!("Hours: {}", hours.source)))
}

fn check(fence: Length, time: Minutes, length: Length, units: Units) -> Result<(), Refusal> {
    let longest = Length::from_mm(10_000_000);
    for (field, came) in [("fence", fence), ("for", length)] {
        if !came.is_positive() || came > longest {
            return Err(Refusal::bad(
                field,
                "more than nothing and at most 10 km",
                came.show(units),
            ));
        }
    }
    if !time.is_positive() || time.get() > 6_000_000 {
        return Err(Refusal::bad(
            "hours",
            "more than nothing and at most 100,000 h",
            time.show(),
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantities::Area;

    #[test]
    fn senseless_rates_are_refused_by_name() {
        let refused = |fence: i64, rate| {
            needed(Length::from_mm(fence), rate, Units::Metric)
                .unwrap_err()
                .to_string()
        };
        assert!(refused(0, WorkRate::ByHand).starts_with("fence:"));
        assert!(refused(10_000_001, WorkRate::ByHand).starts_with("fence:"));
        let own = |minutes, mm| WorkRate::Own(Minutes::new(minutes), Length::from_mm(mm));
        assert!(refused(1_000, own(0, 1)).starts_with("hours:"));
        assert!(refused(1_000, own(1, 0)).starts_with("for:"));
        assert!(refused(10_000_000, own(6_000_000, 1)).starts_with("fence:"));
    }

    proptest! {
        #[test]
        fn the_shares_add_up_to_the_larger_figure_in_quarter_hours(
            mm in 1_000_i64..500_000,
            areas in prop::collection::vec(100_000_i64..100_000_000, 1..12),
        ) {
            let hours = needed(Length::from_mm(mm), WorkRate::ByHand, Units::Metric).unwrap();
            let beds = areas.iter().zip(0..).map(|(area, number)| LoadBed {
                bed: number,
                label: number.to_string(),
                area: Area::from_mm2(*area),
                holders: vec![(number, 1)],
            });
            let shares = shared_out(&hours, "Fence", beds.collect(), Units::Metric).unwrap().result;
            let sum: i64 = shares.accounts.iter().map(|share| share.due.get()).sum();
            prop_assert_eq!(sum, shares.due.get());
            prop_assert_eq!(sum % 15, 0);
            prop_assert!((0..15).contains(&(sum - hours.result.most.get())));
        }
    }
}
