//! The pot test for herbicide that came through an animal or a hay field.
//!
//! Aminopyralid, clopyralid and picloram pass through animals, stay active in manure, hay, straw and clippings, also after
//! composting (S59, S60), and last from months to three years and more (S62, S63). Peas, beans, tomatoes, potatoes and other
//! broadleaved crops suffer; grasses and corn do not (S61). So a load is asked about, and where nobody can answer for the last three
//! years it is tested before any of it is spread.
//!
//! The test (S60, S66): many small samples mixed; 3 to 6 pots of two parts of the load and one part of potting mix, and as many of
//! potting mix alone, set so that nothing drains from one to the other; three peas or beans a pot; two to three weeks, until there
//! are three sets of true leaves. Cupped leaves, twisted stems or stunting in the test pots and not in the others: contaminated.
//!
//! ```
//! use selion_core::quantities::{Day, Units, Volume};
//! use selion_core::soil::manure::herbicide::{self, Load, SprayHistory};
//!
//! let load = Load { history: SprayHistory::Unknown, test: None };
//! let pots = herbicide::plan(Day::parse("2026-02-20")?, 4, Volume::parse("1 l")?, Units::Metric)?;
//! assert!(herbicide::judge(&load)?.to_string().starts_with("Do not spread it yet: test first\n"));
//! assert!(pots.to_string().starts_with("Read the pots from 2026-03-06 to 2026-03-13\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::super::exact::nearest;
use crate::quantities::{Day, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// What the supplier says about sprays on the pasture or hay field in the last three years.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SprayHistory {
    /// None of the three, for three years, by somebody who knows.
    NoneForThreeYears,
    /// One of them was used.
    Sprayed,
    /// Nobody can say.
    Unknown,
}

/// What became of the pots.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PotTest {
    /// Test pots that came up.
    pub test_pots: i64,
    /// Of those, pots with cupped leaves, twisted stems or stunting.
    pub test_pots_harmed: i64,
    /// Pots of potting mix alone that came up.
    pub control_pots: i64,
    /// Of those, pots with the same signs.
    pub control_pots_harmed: i64,
    /// How many sets of true leaves the slowest pot has.
    pub sets_of_true_leaves: i64,
}

/// A load of manure, compost, hay, straw or clippings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Load {
    /// What is known of the sprays.
    pub history: SprayHistory,
    /// The pot test of this very load, where there was one.
    pub test: Option<PotTest>,
}

/// What to do with a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Carryover {
    /// Nothing speaks against it.
    Clear,
    /// It must be tested first.
    TestFirst,
    /// It is contaminated.
    Contaminated,
    /// The test says nothing and is to be done again.
    TestAgain,
}

impl fmt::Display for Carryover {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Clear => "No sign of herbicide: it may be spread",
            Self::TestFirst => "Do not spread it yet: test first",
            Self::Contaminated => {
                "Contaminated: not on any bed of broadleaved crops, and not into a pile"
            }
            Self::TestAgain => "The test says nothing: do it again before anything is spread",
        })
    }
}

/// What to do with this load.
pub fn judge(load: &Load) -> Result<Reckoning<Carryover>, Refusal> {
    let history = match load.history {
        SprayHistory::NoneForThreeYears => "none for three years",
        SprayHistory::Sprayed => "one of them was used",
        SprayHistory::Unknown => "nobody can say",
    };
    let Some(test) = load.test else {
        let result = match load.history {
            SprayHistory::NoneForThreeYears => Carryover::Clear,
            SprayHistory::Sprayed | SprayHistory::Unknown => Carryover::TestFirst,
        };
        return Ok(answer(result, history));
    };
    check(&test)?;
    let (result, why) = read(&test);
    let pots = |harmed: i64, all: i64| format!("{harmed} of {all} harmed");
    Ok(answer(result, history)
        .step(Step::new(
            "Pots with the load",
            pots(test.test_pots_harmed, test.test_pots),
        ))
        .step(Step::new(
            "Pots without",
            pots(test.control_pots_harmed, test.control_pots),
        ))
        .step(Step::new(
            "Sets of true leaves",
            test.sets_of_true_leaves.to_string(),
        ))
        .step(Step::sum("So", why)))
}

/// What the pots say, and why.
fn read(test: &PotTest) -> (Carryover, &'static str) {
    if test.control_pots_harmed > 0 {
        (
            Carryover::TestAgain,
            "pots without the load are harmed too: something else is wrong",
        )
    } else if test.test_pots_harmed > 0 {
        (
            Carryover::Contaminated,
            "harm with the load and none without",
        )
    } else if test.sets_of_true_leaves < LEAVES {
        (
            Carryover::TestAgain,
            "too early: wait for three sets of true leaves",
        )
    } else {
        (Carryover::Clear, "no harm in any pot")
    }
}

fn check(test: &PotTest) -> Result<(), Refusal> {
    for (field, all, harmed) in [
        ("pots with the load", test.test_pots, test.test_pots_harmed),
        (
            "pots without the load",
            test.control_pots,
            test.control_pots_harmed,
        ),
    ] {
        if !(FEWEST..=MOST).contains(&all) {
            let expected = format!("{FEWEST} to {MOST} that came up");
            return Err(Refusal::bad(field, expected, all.to_string()));
        }
        if !(0..=all).contains(&harmed) {
            let expected = format!("at most {all} of them harmed");
            return Err(Refusal::bad(field, expected, harmed.to_string()));
        }
    }
    if !(0..=MOST_LEAVES).contains(&test.sets_of_true_leaves) {
        let came = test.sets_of_true_leaves.to_string();
        return Err(Refusal::bad(
            "sets of true leaves",
            format!("0 to {MOST_LEAVES}"),
            came,
        ));
    }
    Ok(())
}

fn answer(result: Carryover, history: &str) -> Reckoning<Carryover> {
    Reckoning::new(result, source())
        .step(Step::new("Sprays on the field", history))
        .on("One test for each source and load. It holds for manure, compost, hay, straw and clippings alike.")
        .on("Sensitive: peas, beans, tomato and potato family, other broadleaved crops; grasses and corn are not.")
}

fn source() -> Source {
    Source::published(
        "Oregon State University Small Farms, Fall 2009 [compost S60]; WSU Whatcom [compost S66]; North Carolina State, Herbicide carryover [compost S59].",
    )
}

/// What a pot test takes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PotPlan {
    /// Pots with the load; as many without.
    pub pots: i64,
    /// Peas or beans in all.
    pub seeds: i64,
    /// Of the load.
    pub load: Volume,
    /// Of potting mix, for both kinds of pots.
    pub potting_mix: Volume,
    /// From when the pots can be read.
    pub read_from: Day,
    /// Until when at the latest.
    pub read_until: Day,
}

impl fmt::Display for PotPlan {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Read the pots from {} to {}",
            self.read_from, self.read_until
        )
    }
}

/// A pot test sown on this day, with so many pots of each kind.
pub fn plan(
    sown_on: Day,
    pots: i64,
    pot: Volume,
    units: Units,
) -> Result<Reckoning<PotPlan>, Refusal> {
    if !(FEWEST..=MOST_PLANNED).contains(&pots) {
        let expected = format!("{FEWEST} to {MOST_PLANNED} of each kind");
        return Err(Refusal::bad("pots", expected, pots.to_string()));
    }
    let refused = || Refusal::bad("pot", "a pot of up to 20 l, such as 1 l", pot.show(units));
    let filled = pot
        .checked_times(pots)
        .filter(|_| pot.is_positive() && pot <= LARGEST_POT)
        .ok_or_else(refused)?;
    let third = nearest(i128::from(filled.ml()), 3)
        .map(Volume::from_ml)
        .ok_or_else(refused)?;
    let load = filled.checked_sub(third).ok_or_else(refused)?;
    let potting_mix = filled.checked_add(third).ok_or_else(refused)?;
    let result = PotPlan {
        pots,
        seeds: 2 * pots * SEEDS,
        load,
        potting_mix,
        read_from: sown_on.plus_days(14),
        read_until: sown_on.plus_days(21),
    };
    let steps = [
        (
            "1. Samples",
            "many small ones from all over the heap, mixed".to_owned(),
        ),
        (
            "2. Pots with the load",
            format!(
                "{pots}: two parts load, one part potting mix ({} and {})",
                load.show(units),
                third.show(units)
            ),
        ),
        (
            "3. Pots without",
            format!("{pots}: potting mix alone ({})", filled.show(units)),
        ),
        (
            "4. Apart",
            "own saucers or distance, so that nothing drains across".to_owned(),
        ),
        (
            "5. Seed",
            format!("{SEEDS} peas or beans a pot, {} in all", result.seeds),
        ),
        (
            "6. Read",
            format!(
                "{} to {}, at three sets of true leaves",
                result.read_from, result.read_until
            ),
        ),
        (
            "7. Harm",
            "cupped leaves, twisted stems, stunting".to_owned(),
        ),
    ];
    let mut answer = Reckoning::new(result, source());
    answer.steps = steps
        .into_iter()
        .map(|(label, value)| Step::new(label, value))
        .collect();
    Ok(answer.on("Pots of 4 to 5 inches (10 to 12 cm)."))
}

const LEAVES: i64 = 3;
const SEEDS: i64 = 3;
const FEWEST: i64 = 3;
/// More than six are no harm; these are only bounds against slips of the pen.
const MOST: i64 = 100;
const MOST_PLANNED: i64 = 6;
const MOST_LEAVES: i64 = 20;
const LARGEST_POT: Volume = Volume::from_ml(20_000);

#[cfg(test)]
mod tests {
    use super::*;

    fn pots(harmed: i64, control_harmed: i64, leaves: i64) -> PotTest {
        PotTest {
            test_pots: 4,
            test_pots_harmed: harmed,
            control_pots: 4,
            control_pots_harmed: control_harmed,
            sets_of_true_leaves: leaves,
        }
    }

    fn result(history: SprayHistory, test: Option<PotTest>) -> Carryover {
        judge(&Load { history, test }).unwrap().result
    }

    #[test]
    fn nothing_is_spread_on_hearsay() {
        assert_eq!(
            result(SprayHistory::NoneForThreeYears, None),
            Carryover::Clear
        );
        assert_eq!(result(SprayHistory::Unknown, None), Carryover::TestFirst);
        assert_eq!(result(SprayHistory::Sprayed, None), Carryover::TestFirst);
    }

    #[test]
    fn the_pots_decide_whatever_the_supplier_says() {
        let history = SprayHistory::NoneForThreeYears;
        assert_eq!(
            result(history, Some(pots(1, 0, 3))),
            Carryover::Contaminated
        );
        assert_eq!(result(history, Some(pots(0, 0, 3))), Carryover::Clear);
        assert_eq!(
            result(history, Some(pots(0, 0, 2))),
            Carryover::TestAgain,
            "too early"
        );
        assert_eq!(
            result(history, Some(pots(2, 1, 3))),
            Carryover::TestAgain,
            "control harmed"
        );
        assert_eq!(
            result(history, Some(pots(1, 0, 2))),
            Carryover::Contaminated,
            "harm shows early"
        );
    }

    #[test]
    fn a_test_that_cannot_be_is_refused_by_name() {
        let load = |test| {
            judge(&Load {
                history: SprayHistory::Unknown,
                test: Some(test),
            })
        };
        for (test, field) in [
            (
                PotTest {
                    test_pots: 2,
                    ..pots(0, 0, 3)
                },
                "pots with the load",
            ),
            (
                PotTest {
                    control_pots: 0,
                    ..pots(0, 0, 3)
                },
                "pots without the load",
            ),
            (pots(5, 0, 3), "pots with the load"),
            (pots(0, -1, 3), "pots without the load"),
            (pots(0, 0, 99), "sets of true leaves"),
        ] {
            let refusal = load(test).unwrap_err().to_string();
            assert!(refusal.starts_with(field), "{refusal}");
        }
    }

    #[test]
    fn the_plan_lists_its_steps_and_amounts() {
        let sown = Day::parse("2026-02-20").unwrap();
        let plan = plan(sown, 3, Volume::parse("1 l").unwrap(), Units::Metric).unwrap();
        assert_eq!((plan.result.seeds, plan.steps.len()), (18, 7));
        let together = plan
            .result
            .load
            .checked_add(plan.result.potting_mix)
            .unwrap();
        assert_eq!(
            together,
            Volume::parse("6 l").unwrap(),
            "six pots are filled"
        );
        for (pots, pot) in [(2, "1 l"), (7, "1 l"), (3, "0 l"), (3, "21 l")] {
            assert!(super::plan(sown, pots, Volume::parse(pot).unwrap(), Units::Metric).is_err());
        }
    }
}
