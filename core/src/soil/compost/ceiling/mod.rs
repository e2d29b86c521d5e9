//! The most compost that a bed should get in a year: phosphorus first, then the yearly cap.
//!
//! Compost is short of nitrogen and long on phosphorus: an inch of manure compost brings the nitrogen of one season and the
//! phosphorus of fourteen (S12), and community gardens that were sampled had a median of 133 ppm, five times "very high" (S11).
//! So the order is:
//!
//! 1. soil phosphorus above 25 ppm: none at all, for some years (S11);
//! 2. at or below it: what the laboratory says the crop needs, lb compost = lb P2O5 needed / (% P2O5 as is / 100) (S16);
//! 3. in any case at most 1 inch a year (S11);
//! 4. without a soil test, compost with manure in it (or of unknown origin): 1/4 to 1/2 inch, common practice, as an estimate.
//!
//! Sources conflict: Colorado (S15) allows two to three times as much in the first years. The lower figure is taken, because phosphorus
//! cannot be taken out again.
//!
//! ```
//! use selion_core::quantities::{Area, Density, Depth, PartsPerMillion, Percent, Rate, Units};
//! use selion_core::soil::compost::ceiling::{self, CeilingCase, Origin};
//!
//! let most = ceiling::most(&CeilingCase {
//!     area: Area::parse("1000 sq ft")?,
//!     density: Density::parse("1000 lb/cu yd")?,
//!     origin: Origin::Plants,
//!     soil_phosphorus: Some(PartsPerMillion::parse("20 ppm")?),
//!     phosphate_needed: Some(Rate::parse("1 lb/1000 sq ft")?),
//!     phosphate_content: Some(Percent::parse("0.19 %")?),
//!     spread_this_year: Depth::ZERO,
//!     units: Units::UsCustomary,
//! })?;
//! assert!(most.to_string().starts_with("At most 0.17 in on 1,000 sq ft: 0.53 cu yd, 526.3 lb\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::super::exact::{layer, weight_of_layer};
use super::{check_area, show_nutrient};
use crate::json::words;
use crate::quantities::{
    Area, Density, Depth, Mass, PartsPerMillion, Percent, Rate, Units, Volume,
};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Above this the soil has more phosphorus than any crop asks for.
const VERY_HIGH: PartsPerMillion = PartsPerMillion::from_hundredths(2_500);
/// An inch.
const YEARLY_CAP: Depth = Depth::from_micrometres(25_400);
/// A quarter and a half of an inch.
const WITHOUT_A_TEST: (Depth, Depth) = (
    Depth::from_micrometres(6_350),
    Depth::from_micrometres(12_700),
);
/// Lighter than loose leaves and heavier than stone no compost is: 50 kg and 4 t on a cubic metre, in grams.
const DENSITIES: (i64, i64) = (50_000, 4_000_000);

/// What the most compost is asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CeilingCase {
    /// The bed's area.
    pub area: Area,
    /// What the compost weighs by volume, as is.
    pub density: Density,
    /// What it was made of.
    pub origin: Origin,
    /// Phosphorus in the soil, by the laboratory.
    pub soil_phosphorus: Option<PartsPerMillion>,
    /// The phosphate (P2O5) that the laboratory recommends for the crop.
    pub phosphate_needed: Option<Rate>,
    /// The phosphate in the compost, as is, from its analysis.
    pub phosphate_content: Option<Percent>,
    /// What this bed has already had this year.
    pub spread_this_year: Depth,
    /// The garden's units.
    pub units: Units,
}

/// What a compost was made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// Plants alone: leaves, straw, kitchen and garden waste.
    Plants,
    /// Manure among other things.
    Manure,
    /// Nobody can say; taken as manure.
    Unknown,
}

words!(Origin { "plants" => Plants, "manure" => Manure, "unknown" => Unknown });

/// Which rule decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CeilingRule {
    /// The soil has too much phosphorus already.
    NoMorePhosphorus,
    /// The crop's need of phosphorus.
    PhosphorusNeed,
    /// An inch a year.
    YearlyCap,
    /// No test, and manure in it or unknown.
    WithoutATest,
}

/// The most compost for a bed this year, after what it has had.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Ceiling {
    /// Which rule decided.
    pub rule: CeilingRule,
    /// The bed's area.
    pub area: Area,
    /// How thick it may still lie.
    pub depth: Depth,
    /// A higher figure that may also be right, for an estimate.
    pub at_best: Option<Depth>,
    /// The same by volume.
    pub volume: Volume,
    /// The same by weight.
    pub weight: Mass,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Ceiling {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.depth.is_positive() {
            return out.write_str("No compost this year");
        }
        let depth = match self.at_best {
            Some(best) => format!(
                "{} to {}",
                self.depth.show(self.units),
                best.show(self.units)
            ),
            None => self.depth.show(self.units),
        };
        let (volume, weight) = (
            self.volume.show_bulk(self.units),
            self.weight.show(self.units),
        );
        let lower = if self.at_best.is_some() {
            " at the lower figure"
        } else {
            ""
        };
        write!(
            out,
            "At most {depth} on {}: {volume}, {weight}{lower}",
            self.area.show(self.units)
        )
    }
}

/// The most compost that this bed should still get this year.
pub fn most(case: &CeilingCase) -> Result<Reckoning<Ceiling>, Refusal> {
    let units = case.units;
    check_area(case.area, units)?;
    check(case)?;
    let (answer, limits) = match (case.soil_phosphorus, case.origin) {
        (Some(phosphorus), _) if phosphorus > VERY_HIGH => (too_much(phosphorus), None),
        (Some(phosphorus), _) => {
            let limit = by_phosphorus(case, phosphorus)?;
            (limit.0, Some((limit.1, None)))
        }
        (None, Origin::Plants) => (by_cap(), Some((YEARLY_CAP, None))),
        (None, Origin::Manure | Origin::Unknown) => {
            let (low, high) = WITHOUT_A_TEST;
            (without_a_test(units), Some((low, Some(high))))
        }
    };
    let left = |limit: Depth| {
        let rest = limit.min(YEARLY_CAP).checked_sub(case.spread_this_year);
        rest.unwrap_or(Depth::ZERO).max(Depth::ZERO)
    };
    let (limit, best) = limits.unwrap_or((Depth::ZERO, None));
    let depth = left(limit);
    let (rule, mut answer) = (answer.result, answer);
    if limit > YEARLY_CAP {
        answer = answer.step(Step::new("At most in a year", YEARLY_CAP.show(units)));
    }
    if case.spread_this_year.is_positive() && limits.is_some() {
        answer = answer.step(Step::new(
            "Already spread this year",
            case.spread_this_year.show(units),
        ));
    }
    let volume = depth.over(case.area);
    let ceiling = Ceiling {
        rule: if limit > YEARLY_CAP {
            CeilingRule::YearlyCap
        } else {
            rule
        },
        area: case.area,
        depth,
        at_best: best.map(left).filter(|_| depth.is_positive()),
        volume,
        weight: case.density.weigh(volume),
        units,
    };
    Ok(answer
        .map(|_| ceiling)
        .step(Step::new("Weight by volume", case.density.show(units)))
        .step(Step::sum("Still allowed", depth.show(units)))
        .rounded(
            "The layer to the micrometre, volume to the millilitre, weight to the gram, halves up.",
        ))
}

fn check(case: &CeilingCase) -> Result<(), Refusal> {
    let units = case.units;
    let (light, heavy) = DENSITIES;
    if !(light..=heavy).contains(&case.density.grams_per_m3()) {
        let of = |grams| Density::from_grams_per_m3(grams).show(units);
        let expected = format!("{} to {}", of(light), of(heavy));
        return Err(Refusal::bad(
            "bulk density",
            expected,
            case.density.show(units),
        ));
    }
    if case.spread_this_year < Depth::ZERO {
        let came = case.spread_this_year.show(units);
        return Err(Refusal::bad(
            "already spread this year",
            "nothing or more",
            came,
        ));
    }
    Ok(())
}

fn too_much(phosphorus: PartsPerMillion) -> Reckoning<CeilingRule> {
    Reckoning::new(CeilingRule::NoMorePhosphorus, minnesota())
        .step(Step::new("Phosphorus in the soil", phosphorus.to_string()))
        .step(Step::new("Very high above", VERY_HIGH.to_string()))
        .on("25 ppm is Minnesota's limit; a laboratory that extracts otherwise has its own.")
        .on("Mulch with leaves or straw instead, and have the soil tested again in some years.")
}

fn by_phosphorus(
    case: &CeilingCase,
    phosphorus: PartsPerMillion,
) -> Result<(Reckoning<CeilingRule>, Depth), Refusal> {
    let needed = case.phosphate_needed.ok_or_else(|| Refusal::Missing {
        what: "The phosphate (P2O5) that the laboratory recommends".to_owned(),
        why:
            "with a soil test the phosphorus decides how much compost; it stands in the same report"
                .to_owned(),
    })?;
    let content = case.phosphate_content.ok_or_else(|| Refusal::Missing {
        what: "The phosphate (P2O5) in the compost, as is".to_owned(),
        why: "the supplier's analysis gives it, or a laboratory".to_owned(),
    })?;
    if !(Percent::ZERO..=Percent::HUNDRED).contains(&content) || content == Percent::ZERO {
        let came = content.to_string();
        return Err(Refusal::bad(
            "phosphate in the compost",
            "more than 0 and at most 100 %",
            came,
        ));
    }
    let refused = || {
        let came = needed.show(case.units);
        Refusal::bad("phosphate needed", "a rate such as 1 lb/1000 sq ft", came)
    };
    let rate = needed
        .scaled(Percent::HUNDRED.hundredths(), content.hundredths())
        .filter(|rate| *rate >= Rate::ZERO)
        .ok_or_else(refused)?;
    let depth = layer(rate, case.density).ok_or_else(refused)?;
    let answer = Reckoning::new(CeilingRule::PhosphorusNeed, phosphorus_rate())
        .step(Step::new("Phosphorus in the soil", phosphorus.to_string()))
        .step(Step::new("Phosphate (P2O5) needed", show_nutrient(needed, case.units)))
        .step(Step::new(format!("Compost at {content} P2O5"), rate.show(case.units)))
        .step(Step::new("As a layer", depth.show(case.units)))
        .on("P2O5 as is, not of the dry part. The nitrogen that is still lacking comes from something else.");
    Ok((answer, depth))
}

fn by_cap() -> Reckoning<CeilingRule> {
    Reckoning::new(CeilingRule::YearlyCap, minnesota())
        .on("No soil test, compost of plants alone: an inch a year is the most; a test may allow less or none.")
}

fn without_a_test(units: Units) -> Reckoning<CeilingRule> {
    let (low, high) = WITHOUT_A_TEST;
    let source = Source::estimate(
        "Common practice for compost with manure and no soil test; an inch holds the phosphorus of 14 years [compost S12].",
    );
    Reckoning::new(CeilingRule::WithoutATest, source)
        .step(Step::new(
            "Without a soil test",
            format!("{} to {}", low.show(units), high.show(units)),
        ))
        .on("Have the soil's phosphorus tested: above 25 ppm the answer is none.")
        .on("Compost of unknown origin is taken as compost with manure.")
}

fn minnesota() -> Source {
    Source::published(
        "University of Minnesota Extension, How much compost should you apply to your garden this spring [compost S11].",
    )
}

fn phosphorus_rate() -> Source {
    Source::published(
        "Penn State Extension, Less is More, phosphorus-based rate [compost S16]; yearly cap of an inch, University of Minnesota Extension [compost S11].",
    )
}

/// The phosphate that a layer of compost brings, as is.
pub fn phosphate_in(layer: Depth, density: Density, content: Percent) -> Option<Rate> {
    weight_of_layer(layer, density)?.scaled(content.hundredths(), Percent::HUNDRED.hundredths())
}

#[cfg(test)]
mod tests;
