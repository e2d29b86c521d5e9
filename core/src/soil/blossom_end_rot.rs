//! Blossom-end rot: what to do about it, in order. It never makes a lime line by itself.
//!
//! The fruit's tip lacks calcium because too little water reaches it, not because the soil is empty: calcium given to soil that has
//! enough does nothing, sprays do nothing (KSU-BER, MU-BER). So the answer is even watering, mulch, less ammonium, whole roots,
//! and a soil test. Gypsum only where a test shows little calcium at a pH that is fine; lime only by its own reckoning, never
//! by the handful into a planting hole.
//!
//! ```
//! use selion_core::quantities::{Area, Ph, Rate, Units};
//! use selion_core::soil::blossom_end_rot::{RotCase, advise};
//!
//! let case = RotCase {
//!     ph: None, target: Ph::parse("6.5")?, calcium: None, area: Area::parse("40 sq ft")?, units: Units::UsCustomary,
//! };
//! let answer = advise(&case)?.result;
//! assert_eq!(answer.lime, Rate::ZERO);
//! assert_eq!(answer.missing, ["the pH of the soil", "calcium on the laboratory's scale"]);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::gypsum::{self, GypsumCase};
use super::test_report::{Level, Purpose, TestReport};
use crate::quantities::{Area, Mass, Ph, Rate, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// A bed with blossom-end rot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct RotCase {
    /// The pH of the soil, if it was tested.
    pub ph: Option<Ph>,
    /// The pH that the bed should have.
    pub target: Ph,
    /// Calcium on the laboratory's own scale, if it was tested.
    pub calcium: Option<Level>,
    /// The bed.
    pub area: Area,
    /// The garden's units.
    pub units: Units,
}

/// What to do about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RotAdvice {
    /// In the order in which it helps.
    pub advice: Vec<Advice>,
    /// Always nothing: a report of blossom-end rot is no lime reckoning.
    pub lime: Rate,
    /// How much gypsum goes on the bed.
    pub gypsum: Mass,
    /// What a soil test would have to tell first.
    pub missing: Vec<&'static str>,
    /// The garden's units.
    pub units: Units,
}

/// One thing to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Advice {
    /// Even watering.
    WaterEvenly,
    /// Mulch.
    Mulch,
    /// Less ammonium.
    LessAmmonium,
    /// Leave the roots alone.
    SpareTheRoots,
    /// Have the soil tested.
    TestTheSoil,
    /// Work out the lime by its own reckoning.
    ReckonLime,
    /// Spread gypsum.
    SpreadGypsum,
}

impl Advice {
    /// What to do, in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::WaterEvenly => {
                "Water evenly, about an inch (25 mm) a week; the first fruits often recover in two weeks."
            }
            Self::Mulch => "Mulch two to four inches (5 to 10 cm) deep.",
            Self::LessAmmonium => "Give less ammonium nitrogen.",
            Self::SpareTheRoots => "Do not hoe close to the plants: torn roots make it worse.",
            Self::TestTheSoil => "Have the soil tested before anything is spread.",
            Self::ReckonLime => {
                "The pH is below its target: work out the lime for the bed, and dig it in before the next crop."
            }
            Self::SpreadGypsum => "Spread the gypsum; it does not change the pH.",
        }
    }
}

/// What to do about blossom-end rot.
pub fn advise(case: &RotCase) -> Result<Reckoning<RotAdvice>, Refusal> {
    if !case.area.is_positive() {
        return Err(Refusal::bad(
            "area",
            "more than nothing",
            case.area.show(case.units),
        ));
    }
    let report = TestReport {
        ph: case.ph,
        calcium: case.calcium,
        ..TestReport::default()
    };
    let missing = report.missing_for(Purpose::BlossomEndRot);
    let gypsum = if missing.is_empty() {
        gypsum::plan(&GypsumCase {
            ph: case.ph,
            target: case.target,
            calcium: case.calcium,
            area: case.area,
            units: case.units,
        })?
        .result
        .mass
    } else {
        Mass::ZERO
    };
    let mut advice = vec![
        Advice::WaterEvenly,
        Advice::Mulch,
        Advice::LessAmmonium,
        Advice::SpareTheRoots,
    ];
    advice.extend((!missing.is_empty()).then_some(Advice::TestTheSoil));
    advice.extend(
        case.ph
            .is_some_and(|ph| ph < case.target)
            .then_some(Advice::ReckonLime),
    );
    advice.extend(gypsum.is_positive().then_some(Advice::SpreadGypsum));
    let lime = Rate::ZERO;
    let source = Source::published(
        "Kansas State horticulture newsletter; University of Missouri Extension; Illinois Extension; Topcu et al. 2022 \
         [KSU-BER, MU-BER, UIUC-BER, TOPCU].",
    );
    let known = |value: Option<String>| value.unwrap_or_else(|| "not tested".to_owned());
    let ph = known(case.ph.map(|ph| ph.to_string()));
    let calcium = known(case.calcium.map(|level| match level {
        Level::Low => "low".to_owned(),
        Level::Optimum | Level::AboveOptimum | Level::VeryHigh => "enough".to_owned(),
    }));
    Ok(Reckoning::new(RotAdvice { advice, lime, gypsum, missing, units: case.units }, source)
        .step(Step::new("pH of the soil", ph))
        .step(Step::new("Calcium", calcium))
        .step(Step::new("Lime for blossom-end rot", lime.show(case.units)))
        .step(Step::new("Gypsum", gypsum.show(case.units)))
        .on("It is a matter of water reaching the fruit; calcium on soil that has enough does nothing, and neither do sprays.")
        .on("No lime by the handful into planting holes, though some advice still has it: lime is reckoned for the whole bed."))
}

impl fmt::Display for RotAdvice {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, advice) in self.advice.iter().enumerate() {
            writeln!(out, "{}. {}", index + 1, advice.words())?;
        }
        if self.gypsum.is_positive() {
            writeln!(out, "Gypsum for the bed: {}.", self.gypsum.show(self.units))?;
        }
        if !self.missing.is_empty() {
            writeln!(out, "Not known yet: {}.", self.missing.join(", "))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(ph: Option<i64>, calcium: Option<Level>) -> RotCase {
        RotCase {
            ph: ph.map(Ph::from_hundredths),
            target: Ph::from_hundredths(650),
            calcium,
            area: Area::parse("40 sq ft").unwrap(),
            units: Units::UsCustomary,
        }
    }

    #[test]
    fn no_report_makes_a_lime_line() {
        for ph in [None, Some(450), Some(640), Some(650), Some(800)] {
            for calcium in [
                None,
                Some(Level::Low),
                Some(Level::Optimum),
                Some(Level::VeryHigh),
            ] {
                let advice = advise(&case(ph, calcium)).unwrap().result;
                assert_eq!(advice.lime, Rate::ZERO);
                assert_eq!(advice.advice[0], Advice::WaterEvenly);
            }
        }
    }

    #[test]
    fn low_ph_sends_to_the_lime_reckoning_and_not_to_gypsum() {
        let advice = advise(&case(Some(580), Some(Level::Low))).unwrap().result;
        assert_eq!(advice.advice.last(), Some(&Advice::ReckonLime));
        assert_eq!(advice.gypsum, Mass::ZERO);
    }

    #[test]
    fn without_a_test_a_test_is_the_next_thing_to_do() {
        let answer = advise(&case(None, None)).unwrap();
        assert_eq!(answer.result.advice.last(), Some(&Advice::TestTheSoil));
        assert!(
            answer
                .to_string()
                .contains("Not known yet: the pH of the soil, calcium")
        );
        let nowhere = RotCase {
            area: Area::ZERO,
            ..case(None, None)
        };
        assert_eq!(advise(&nowhere).unwrap_err().code(), "bad_input");
    }
}
