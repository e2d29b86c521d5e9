//! Calcitic or dolomitic: by the soil's magnesium, not by habit.
//!
//! Magnesium low on the laboratory's own scale, or below 50 ppm: dolomitic, which brings some (OCJ-14). Above optimum: calcitic
//! (UCONN). In between whichever is cheaper. Without a magnesium test nothing is said. Dolomitic lime has at least 6 %
//! magnesium (NCDA-05).

use std::fmt;

use serde::Serialize;

use super::super::test_report::Level;
use crate::quantities::PartsPerMillion;
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Below this much magnesium dolomitic lime is due.
const LOW_MAGNESIUM: PartsPerMillion = PartsPerMillion::from_hundredths(5_000);

/// Which stone to buy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StoneKind {
    /// With little magnesium.
    Calcitic,
    /// With at least 6 % magnesium.
    Dolomitic,
    /// Either will do.
    WhicheverIsCheaper,
}

impl fmt::Display for StoneKind {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Calcitic => "Calcitic lime",
            Self::Dolomitic => "Dolomitic lime (at least 6 % magnesium on the label)",
            Self::WhicheverIsCheaper => "Calcitic or dolomitic, whichever is cheaper",
        })
    }
}

/// Which stone to buy by what the laboratory says about magnesium: its own scale first, then the amount.
///
/// ```
/// use selion_core::soil::liming_material::{StoneKind, kind_of_stone};
/// use selion_core::soil::test_report::Level;
///
/// assert_eq!(kind_of_stone(Some(Level::Low), None)?.result, StoneKind::Dolomitic);
/// assert!(kind_of_stone(None, None).is_err());
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn kind_of_stone(
    level: Option<Level>,
    amount: Option<PartsPerMillion>,
) -> Result<Reckoning<StoneKind>, Refusal> {
    let source = || {
        Source::published(
            "Ohio State University Extension in Ohio's Country Journal, August 2014; University of Connecticut, 2013 \
             [OCJ-14, UCONN].",
        )
    };
    match (level, amount) {
        (Some(level), _) => {
            let (kind, words) = match level {
                Level::Low => (StoneKind::Dolomitic, "low"),
                Level::Optimum => (StoneKind::WhicheverIsCheaper, "optimum"),
                Level::AboveOptimum => (StoneKind::Calcitic, "above optimum"),
                Level::VeryHigh => (StoneKind::Calcitic, "very high"),
            };
            let step = Step::new("Magnesium on the laboratory's scale", words);
            Ok(Reckoning::new(kind, source()).step(step))
        }
        (None, Some(amount)) => {
            let kind = if amount < LOW_MAGNESIUM {
                StoneKind::Dolomitic
            } else {
                StoneKind::WhicheverIsCheaper
            };
            Ok(Reckoning::new(kind, source())
                .step(Step::new("Magnesium", amount.to_string()))
                .on("Dolomitic below 50 ppm; whether it is above optimum only the laboratory's own scale can say."))
        }
        (None, None) => Err(Refusal::Missing {
            what: "A magnesium test".to_owned(),
            why: "calcitic or dolomitic is chosen by the soil's magnesium, not by habit".to_owned(),
        }),
    }
}
