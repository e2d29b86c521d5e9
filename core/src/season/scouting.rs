//! How often beds are looked over for pests, and what a count means.
//!
//! The rule: never longer between two looks than the shortest time in which eggs hatch. Seven days just meet squash bug and vine
//! borer, and fail Colorado potato beetle, which hatches in four.
//!
//! ```
//! use selion_core::season::scouting::{Pest, interval};
//!
//! let answer = interval(Pest::ColoradoPotatoBeetle, 7)?;
//! assert!(!answer.result.soon_enough);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::known::Span;
use super::source;
use crate::reckoning::{Reckoning, Refusal, Step};

/// Fewer plants than these tell nothing about a bed.
const FEWEST_PLANTS: i64 = 10;
/// Stems that a count of potato beetles is for.
const STEMS: i64 = 50;

/// Pests whose hatch time could be confirmed in print.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pest {
    /// On squash and pumpkin, eggs under the leaves.
    SquashBug,
    /// In the stems of squash.
    SquashVineBorer,
    /// On potato and eggplant.
    ColoradoPotatoBeetle,
}

impl Pest {
    /// Every pest, with its name for programs.
    pub const ALL: [(&'static str, Self); 3] = [
        ("squash_bug", Self::SquashBug),
        ("squash_vine_borer", Self::SquashVineBorer),
        ("colorado_potato_beetle", Self::ColoradoPotatoBeetle),
    ];

    /// What gardeners call it.
    pub fn word(self) -> &'static str {
        match self {
            Self::SquashBug => "squash bug",
            Self::SquashVineBorer => "squash vine borer",
            Self::ColoradoPotatoBeetle => "Colorado potato beetle",
        }
    }

    /// Days in which its eggs hatch, over all sources.
    fn hatches_in(self) -> Span<i64> {
        let (least, most) = match self {
            Self::SquashBug => (7, 14),
            Self::SquashVineBorer => (7, 15),
            Self::ColoradoPotatoBeetle => (4, 9),
        };
        Span { least, most }
    }

    fn source(self) -> &'static str {
        match self {
            Self::SquashBug => "CORNELL",
            Self::SquashVineBorer => "UNH",
            Self::ColoradoPotatoBeetle => "PSU",
        }
    }

    /// Where to look and what to do.
    fn practice(self) -> &'static str {
        match self {
            Self::SquashBug => {
                "From the first flower on, under the leaves; crush the eggs. Twice a week in heat (common practice)."
            }
            Self::SquashVineBorer => {
                "Stem bases and traps, from about 1,000 °F days above 50 °F on."
            }
            Self::ColoradoPotatoBeetle => {
                "From the day that the potatoes are up, under the leaves."
            }
        }
    }
}

/// Whether looks are close enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct IntervalCheck {
    /// The pest.
    pub pest: Pest,
    /// Days between two looks.
    pub interval: i64,
    /// The shortest time in which its eggs hatch, in days.
    pub shortest_hatch: i64,
    /// Whether eggs are seen before they hatch.
    pub soon_enough: bool,
}

impl fmt::Display for IntervalCheck {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (word, pest) = (
            if self.soon_enough {
                "Often enough"
            } else {
                "Too seldom"
            },
            self.pest.word(),
        );
        write!(
            out,
            "{word} for {pest}: every {} days, eggs hatch in {} at the earliest",
            self.interval, self.shortest_hatch
        )
    }
}

/// Whether looks so many days apart see the eggs of a pest before they hatch.
pub fn interval(pest: Pest, interval: i64) -> Result<Reckoning<IntervalCheck>, Refusal> {
    if !(1..=60).contains(&interval) {
        return Err(Refusal::bad(
            "interval",
            "from 1 to 60 days",
            interval.to_string(),
        ));
    }
    let hatches = pest.hatches_in();
    let result = IntervalCheck {
        pest,
        interval,
        shortest_hatch: hatches.least,
        soon_enough: interval <= hatches.least,
    };
    Ok(Reckoning::new(result, source::cite(pest.source()))
        .step(Step::new("Eggs hatch in", format!("{hatches} days")))
        .step(Step::new("Looked over every", format!("{interval} days")))
        .on(pest.practice())
        .on("Never longer between two looks than the shortest hatch time."))
}

/// Egg masses of squash bugs on a number of plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct EggMasses {
    /// Egg masses a plant, in hundredths, rounded down.
    pub hundredths_a_plant: i64,
    /// Above the 0.5 of an organic trial.
    pub above_organic: bool,
    /// Above the 1.0 of conventional growers.
    pub above_conventional: bool,
}

impl fmt::Display for EggMasses {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.hundredths_a_plant / 100, self.hundredths_a_plant % 100);
        let verdict = match (self.above_organic, self.above_conventional) {
            (_, true) => "over both thresholds, act",
            (true, false) => "over the organic threshold, under the conventional one",
            (false, false) => "under both thresholds",
        };
        write!(out, "{whole}.{rest:02} egg masses a plant: {verdict}")
    }
}

/// What a count of squash bug egg masses means.
pub fn squash_bug(masses: i64, plants: i64) -> Result<Reckoning<EggMasses>, Refusal> {
    if !(0..=1_000_000).contains(&masses) {
        return Err(Refusal::bad(
            "egg masses",
            "from 0 to 1000000",
            masses.to_string(),
        ));
    }
    if !(FEWEST_PLANTS..=1_000_000).contains(&plants) {
        return Err(Refusal::OutsideTheRule {
            field: "plants".to_owned(),
            bounds: format!("a mean over at least {FEWEST_PLANTS} plants"),
            came: plants.to_string(),
        });
    }
    let result = EggMasses {
        hundredths_a_plant: masses * 100 / plants,
        above_organic: 2 * masses > plants,
        above_conventional: masses > plants,
    };
    Ok(Reckoning::new(result, source::cite("CORNELL"))
        .step(Step::new("Egg masses", masses.to_string()))
        .step(Step::new("Plants", plants.to_string()))
        .step(Step::new("Threshold, organic trial", "0.5 a plant"))
        .step(Step::new("Threshold, conventional", "1.0 a plant"))
        .rounded("Down to the hundredth; the thresholds are compared exactly."))
}

/// Potato beetles on fifty stems.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct BeetleCount {
    /// Adult beetles.
    pub adults: i64,
    /// Large larvae.
    pub large: i64,
    /// Small larvae.
    pub small: i64,
    /// Whether one of the three is over its threshold.
    pub act: bool,
}

impl fmt::Display for BeetleCount {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(if self.act {
            "Over the threshold: act"
        } else {
            "Under every threshold"
        })
    }
}

/// What a count of Colorado potato beetles on fifty stems means.
pub fn potato_beetle(
    adults: i64,
    large: i64,
    small: i64,
) -> Result<Reckoning<BeetleCount>, Refusal> {
    let counts = [
        ("adults", adults, 50),
        ("large larvae", large, 75),
        ("small larvae", small, 200),
    ];
    for (field, count, _) in counts {
        if !(0..=1_000_000).contains(&count) {
            return Err(Refusal::bad(field, "from 0 to 1000000", count.to_string()));
        }
    }
    let result = BeetleCount {
        adults,
        large,
        small,
        act: counts.iter().any(|(_, count, most)| count > most),
    };
    let mut answer =
        Reckoning::new(result, source::cite("PSU")).on(format!("Counted on {STEMS} stems."));
    for (field, count, most) in counts {
        answer = answer.step(Step::new(field, format!("{count}, threshold {most}")));
    }
    Ok(answer
        .on("Potatoes bear 20 to 30 % of their leaves lost before bloom and 5 to 10 % after it."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_is_too_long_for_the_potato_beetle() {
        let soon = |pest| interval(pest, 7).unwrap().result.soon_enough;
        assert_eq!(Pest::ALL.map(|(_, pest)| soon(pest)), [true, true, false]);
        assert!(
            interval(Pest::ColoradoPotatoBeetle, 4)
                .unwrap()
                .result
                .soon_enough
        );
        assert_eq!(
            interval(Pest::SquashBug, 0).unwrap_err().code(),
            "bad_input"
        );
        assert!(
            Pest::ALL
                .iter()
                .all(|(_, pest)| source::all_known(pest.source()))
        );
    }

    #[test]
    fn thresholds_are_compared_exactly() {
        let squash = |masses, plants| squash_bug(masses, plants).unwrap().result;
        assert!(!squash(5, 10).above_organic && squash(6, 10).above_organic);
        assert!(!squash(10, 10).above_conventional && squash(11, 10).above_conventional);
        assert_eq!(squash_bug(7, 9).unwrap_err().code(), "outside_the_rule");
        assert_eq!(squash_bug(-1, 10).unwrap_err().code(), "bad_input");
        let beetles =
            |adults, large, small| potato_beetle(adults, large, small).unwrap().result.act;
        assert!(!beetles(50, 75, 200));
        assert!(beetles(51, 0, 0) && beetles(0, 76, 0) && beetles(0, 0, 201));
        assert_eq!(potato_beetle(0, 0, -1).unwrap_err().code(), "bad_input");
    }
}
