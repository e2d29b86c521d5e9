//! How much lime a soil needs, by the rule of the laboratory that looked at it.
//!
//! The order of trust: the laboratory's own recommendation; then its buffer or acidity reading by that laboratory's method
//! and no other; then texture and pH, an estimate shown as a range. The pH alone says whether to lime, never how much.
//! At or above the target there is nothing to spread, whatever a table says. A sample taken within three months of liming
//! shows neither the old soil nor the new one, and is refused.
//!
//! ```
//! use selion_core::quantities::{Ph, RateUnit, Units};
//! use selion_core::soil::lime::{self, LimeCase};
//! use selion_core::soil::test_report::{AcidityReading, TestReport};
//!
//! let report = TestReport {
//!     ph: Some(Ph::parse("5.2")?),
//!     acidity: Some(AcidityReading::MehlichBufferNc(Ph::parse("6.1")?)),
//!     ..TestReport::default()
//! };
//! let need = lime::need(&LimeCase { report, target: Ph::parse("6.5")?, credit: None, turf: false, units: Units::UsCustomary })?;
//! assert_eq!(need.result.rate.shown_in(RateUnit::TonsPerAcre, 3).to_string(), "1.857 tons/acre");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

mod estimate;
mod laboratory;
mod mehlich_nc;
mod oregon_sikora;
mod penn_state;
mod penn_state_turf;

#[cfg(test)]
mod tests;

use std::fmt;

use serde::Serialize;

use super::test_report::{AcidityReading, TestReport};
use crate::json::choice;
use crate::quantities::{Depth, Percent, Ph, Rate, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

pub use mehlich_nc::mehlich_nc;
pub use oregon_sikora::oregon_sikora;
pub use penn_state::penn_state;
pub use penn_state_turf::penn_state_turf;

/// What a lime need is asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LimeCase {
    /// What the laboratory printed.
    pub report: TestReport,
    /// The pH to reach.
    pub target: Ph,
    /// What the laboratory takes off for lime already spread, where its report says so.
    pub credit: Option<Rate>,
    /// Whether it is a lawn: Penn State's acidity then has a table of its own.
    pub turf: bool,
    /// The garden's units, for the working.
    pub units: Units,
}

/// How much lime a soil needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LimeNeed {
    /// Whose rule said so.
    pub method: LimeMethod,
    /// How much on how much ground; nothing where the soil is at its target.
    pub rate: Rate,
    /// The lowest and the highest that it may honestly be, for an estimate.
    pub range: Option<(Rate, Rate)>,
    /// What the rate is of.
    pub basis: LimeBasis,
    /// How deep the rule mixes it in, where its publication says so.
    pub depth: Option<Depth>,
    /// The garden's units.
    pub units: Units,
}

/// Whose rule a lime need follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimeMethod {
    /// Not a rule: the soil is at or above its target.
    AtTarget,
    /// What the laboratory itself recommends.
    Laboratory,
    /// Mehlich acidity, North Carolina.
    MehlichNc,
    /// Exchangeable acidity, Pennsylvania, field and garden.
    PennState,
    /// Exchangeable acidity, Pennsylvania, lawns.
    PennStateTurf,
    /// Sikora buffer, Oregon.
    OregonSikora,
    /// Texture and pH.
    TextureEstimate,
}

/// What a lime rate is of; it decides which number of a product's label the rate is divided by, once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimeBasis {
    /// Fine lime as strong as pure limestone (100 % CCE): divided by the product's CCE.
    CalciumCarbonateEquivalent,
    /// Lime of this effective value (ECCE, ENP %, RNV, a score): the product's own value by the same scheme divides it.
    Effective {
        /// The scheme of the value.
        scheme: super::liming_material::Scheme,
        /// The value that the rate is meant for.
        value: Percent,
    },
    /// Standard agricultural lime, a margin for ordinary stone already inside: by the pounds on the label that equal a ton of it.
    StandardAgriculturalLime,
    /// The product as it comes out of the bag: nothing to divide.
    ProductAsSold,
}

choice!(LimeBasis {
    "calcium_carbonate_equivalent" => CalciumCarbonateEquivalent,
    "effective" => Effective { scheme, value },
    "standard_agricultural_lime" => StandardAgriculturalLime,
    "product_as_sold" => ProductAsSold,
});

impl LimeBasis {
    /// What it is, behind an amount.
    pub fn words(self) -> String {
        match self {
            Self::CalciumCarbonateEquivalent => "lime of 100 % CCE".to_owned(),
            Self::Effective { scheme, value } => format!("lime of {value} {}", scheme.words()),
            Self::StandardAgriculturalLime => "standard agricultural lime".to_owned(),
            Self::ProductAsSold => "limestone as it is sold".to_owned(),
        }
    }
}

/// The lime need of a soil by the best that its report offers.
pub fn need(case: &LimeCase) -> Result<Reckoning<LimeNeed>, Refusal> {
    case.report.check_not_just_limed()?;
    let ph = case.report.known_ph()?;
    let (target, units) = (case.target, case.units);
    if let Some(recommendation) = &case.report.recommendation {
        return laboratory::laboratory(recommendation, ph, target, units);
    }
    match case.report.acidity {
        Some(AcidityReading::MehlichBufferNc(buffer)) => {
            // Before the buffer is read: soil at its target may well show no acidity at all.
            if let Some(nothing) = guard(ph, target, LimeBasis::StandardAgriculturalLime, units) {
                return Ok(nothing);
            }
            let acidity = mehlich_nc::acidity_from_buffer(buffer)?;
            let answer = mehlich_nc(acidity, ph, target, case.credit, units)?;
            Ok(answer.on(format!("Acidity 4 × (6.6 − {buffer}) = {acidity} cm³.")))
        }
        Some(AcidityReading::MehlichAcidityNc(acidity)) => {
            mehlich_nc(acidity, ph, target, case.credit, units)
        }
        Some(AcidityReading::ExchangeablePennState(acidity)) if case.turf => {
            penn_state_turf(acidity, ph, target, units)
        }
        Some(AcidityReading::ExchangeablePennState(acidity)) => {
            penn_state(acidity, ph, target, units)
        }
        Some(AcidityReading::SikoraOregon(buffer)) => oregon_sikora(buffer, ph, target, units),
        None => estimate::by_texture(&case.report, ph, target, units),
    }
}

/// The targets that the rule which a report calls for is printed for; none where it reckons to any.
pub fn printed_targets(report: &TestReport) -> Vec<Ph> {
    if let Some(recommendation) = &report.recommendation {
        return vec![recommendation.target];
    }
    match report.acidity {
        Some(AcidityReading::MehlichBufferNc(_) | AcidityReading::MehlichAcidityNc(_)) => {
            Vec::new()
        }
        Some(AcidityReading::ExchangeablePennState(_)) => penn_state::TARGETS.to_vec(),
        Some(AcidityReading::SikoraOregon(_)) => {
            oregon_sikora::TARGETS.map(Ph::from_hundredths).to_vec()
        }
        None => vec![estimate::TARGET],
    }
}

/// The same need where the lime is mixed in to another depth than the rule assumes.
///
/// Refused where the rule's publication states no depth.
pub fn for_depth(
    answer: Reckoning<LimeNeed>,
    mixed: Depth,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    const DEEPEST: Depth = Depth::from_micrometres(600_000);
    let units = answer.result.units;
    if !mixed.is_positive() || mixed > DEEPEST {
        return Err(Refusal::bad(
            "depth",
            "more than nothing and at most 60 cm",
            mixed.show(units),
        ));
    }
    if !answer.result.rate.is_positive() {
        return Ok(answer);
    }
    let assumed = answer.result.depth.ok_or_else(|| Refusal::Missing {
        what: "The depth that the rate is meant for".to_owned(),
        why: "without it the rate cannot be changed to another depth".to_owned(),
    })?;
    let scaled = |rate: Rate| {
        rate.scaled(mixed.micrometres(), assumed.micrometres())
            .ok_or_else(|| Refusal::bad("depth", "a rate that can be stored", mixed.show(units)))
    };
    let mut answer = answer;
    answer.result.rate = scaled(answer.result.rate)?;
    if let Some((low, high)) = answer.result.range {
        answer.result.range = Some((scaled(low)?, scaled(high)?));
    }
    answer.result.depth = Some(mixed);
    let words = format!(
        "For {} instead of {}",
        mixed.show(units),
        assumed.show(units)
    );
    let rate = answer.result.rate.show(units);
    Ok(answer.step(Step::sum(words, rate)))
}

/// Nothing to spread, if the soil is at or above its target.
fn guard(ph: Ph, target: Ph, basis: LimeBasis, units: Units) -> Option<Reckoning<LimeNeed>> {
    (ph >= target).then(|| {
        let need = LimeNeed {
            method: LimeMethod::AtTarget,
            rate: Rate::ZERO,
            range: None,
            basis,
            depth: None,
            units,
        };
        Reckoning::new(
            need,
            Source::published(
                "At or above the target no method asks for lime: Penn State turf handbook; Oregon State EM 9585 \
                 [PSU-TURF, OSU-9585].",
            ),
        )
        .step(Step::new("pH of the soil", ph.to_string()))
        .step(Step::new("Target", target.to_string()))
        .step(Step::sum("Lime", Rate::ZERO.show(units)))
    })
}

/// An answer that begins with the two readings every rule looks at.
fn answer(need: LimeNeed, ph: Ph, target: Ph, source: Source) -> Reckoning<LimeNeed> {
    Reckoning::new(need, source)
        .step(Step::new("pH of the soil", ph.to_string()))
        .step(Step::new("Target", target.to_string()))
        .on("Lime hardly moves in the soil: it works only as deep as it is mixed in.")
        .caution(Caution::LimeDust)
}

/// A target that a table does not have.
fn no_such_target(target: Ph, has: &str) -> Refusal {
    Refusal::OutsideTheRule {
        field: "target".to_owned(),
        bounds: format!("the targets {has}"),
        came: target.to_string(),
    }
}

impl fmt::Display for LimeNeed {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of = self.basis.words();
        match self.range {
            _ if !self.rate.is_positive() => write!(out, "No lime"),
            Some((low, high)) => {
                let (low, high) = (low.show_apart(self.units), high.show(self.units));
                write!(out, "{} to {high} of {of}: an estimate", low.number)
            }
            None => write!(out, "{} of {of}", self.rate.show(self.units)),
        }
    }
}
