//! Exchangeable acidity by the modified Mehlich buffer, Pennsylvania, field and garden (PSU-AG).
//!
//! Target 7.0: 1000 × EA lb an acre. Target 6.5: 840 × EA where EA is above 4.0, otherwise 2000 lb. Pounds of lime of 100 % CCE,
//! ground fine, for a slice of about 7 inches, spread once in three years.
//!
//! The publication leaves EA = 4.0 open, where the rule jumps from 2000 to 3360 lb; the lower amount is taken, since lime can be
//! added after the next test and cannot be taken out.

use super::{LimeBasis, LimeMethod, LimeNeed, answer, guard, no_such_target};
use crate::quantities::{Acidity, Depth, Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

const NEUTRAL: Ph = Ph::from_hundredths(700);
const SLIGHTLY_ACID: Ph = Ph::from_hundredths(650);
/// The targets that the rule is printed for.
pub(super) const TARGETS: [Ph; 2] = [SLIGHTLY_ACID, NEUTRAL];
/// Above this acidity the amount follows it.
const JUMP: Acidity = Acidity::from_hundredths(400);
/// About 7 inches.
const DEPTH: Depth = Depth::from_micrometres(177_800);

/// The lime need of a field or garden by exchangeable acidity.
///
/// ```
/// use selion_core::quantities::{Acidity, Ph, RateUnit, Units};
/// use selion_core::soil::lime::penn_state;
///
/// let need = penn_state(Acidity::parse("10.3")?, Ph::parse("5.5")?, Ph::parse("6.5")?, Units::UsCustomary)?;
/// assert_eq!(need.result.rate.shown_in(RateUnit::PoundsPerAcre, 0).to_string(), "8,652 lb/acre");
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn penn_state(
    acidity: Acidity,
    ph: Ph,
    target: Ph,
    units: Units,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    let basis = LimeBasis::CalciumCarbonateEquivalent;
    if let Some(nothing) = guard(ph, target, basis, units) {
        return Ok(nothing);
    }
    // Hundredths of a meq times pounds, times ten, are thousandths of a pound.
    let by_acidity = |pounds: i64| acidity.hundredths().saturating_mul(pounds * 10);
    let (rule, thousandths) = match target {
        NEUTRAL => ("1000 × EA", by_acidity(1_000)),
        SLIGHTLY_ACID if acidity > JUMP => ("840 × EA", by_acidity(840)),
        SLIGHTLY_ACID => ("EA of 4.0 or less", 2_000_000),
        _ => return Err(no_such_target(target, "6.5 and 7.0")),
    };
    let rate = Rate::of(thousandths, RateUnit::PoundsPerAcre);
    let need = LimeNeed {
        method: LimeMethod::PennState,
        rate,
        range: None,
        basis,
        depth: Some(DEPTH),
        units,
    };
    let source = Source::published(
        "Penn State Agronomy Guide, Part 1 Section 2, lime by exchangeable acidity [PSU-AG].",
    );
    let pounds = rate.shown_in(RateUnit::PoundsPerAcre, 0).to_string();
    let mut answer = answer(need, ph, target, source)
        .step(Step::new("Exchangeable acidity (EA)", format!("{acidity} g")))
        .step(Step::new(rule, pounds))
        .step(Step::sum("Lime", rate.show(units)))
        .on("Finely ground lime of 100 % CCE, for a slice of about 7 inches, spread once in three years.");
    if acidity == JUMP && target == SLIGHTLY_ACID {
        answer = answer.on(
            "The publication leaves EA 4.0 open, where its rule jumps; the lower amount is taken.",
        );
    }
    Ok(answer)
}
