//! The laboratory's own recommendation: trusted first, and only converted.

use super::super::test_report::Recommendation;
use super::{LimeMethod, LimeNeed, answer, guard};
use crate::quantities::{Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// More than any laboratory asks for: 20 tons an acre, where overliming is a risk by itself.
const HIGHEST_TONS: i64 = 20_000;

pub(super) fn laboratory(
    recommendation: &Recommendation,
    ph: Ph,
    target: Ph,
    units: Units,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    if let Some(nothing) = guard(ph, target, recommendation.basis, units) {
        return Ok(nothing);
    }
    if recommendation.target != target {
        return Err(Refusal::OutsideTheRule {
            field: "target".to_owned(),
            bounds: format!(
                "the target {} that the laboratory's rate is meant for",
                recommendation.target
            ),
            came: target.to_string(),
        });
    }
    let highest = Rate::of(HIGHEST_TONS, RateUnit::TonsPerAcre);
    if !(Rate::ZERO..=highest).contains(&recommendation.rate) {
        return Err(Refusal::bad(
            "recommended rate",
            format!("nothing or more and at most {}", highest.show(units)),
            recommendation.rate.show(units),
        ));
    }
    let need = LimeNeed {
        method: LimeMethod::Laboratory,
        rate: recommendation.rate,
        range: None,
        basis: recommendation.basis,
        depth: recommendation.depth,
        units,
    };
    let source = Source::arithmetic("The laboratory's own recommendation, as put in.");
    Ok(answer(need, ph, target, source).step(Step::sum(
        "Recommended by the laboratory",
        recommendation.rate.show(units),
    )))
}
