//! Mehlich buffer acidity as North Carolina's laboratory reads it (NCDA).
//!
//! `Ac = 4 × (6.6 − buffer pH)` meq/100 cm³, and `tons an acre = Ac × (target − pH) / (6.6 − pH) − residual credit`. The rate is
//! of standard agricultural lime with a margin for ordinary stone already inside, so it is never divided by a CCE again.
//!
//! The fraction has no value at pH 6.6 and the wrong sign above it: there the rule ends. The credit for lime already spread is
//! taken as the laboratory prints it, since its page does not say how it is worked out.
//!
//! The page's own example (Ac 1.2, pH 5.0, target 6.0) prints 0.76 tons; exact arithmetic gives 0.75.

use super::{LimeBasis, LimeMethod, LimeNeed, answer, guard};
use crate::quantities::{Acidity, Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The pH of the buffer in soil without acidity, where the rule ends.
const BUFFER: Ph = Ph::from_hundredths(660);
/// From this pH on a small error of the reading moves the answer a lot.
const TOUCHY: Ph = Ph::from_hundredths(630);

/// Acidity from the buffer's pH.
pub(super) fn acidity_from_buffer(buffer: Ph) -> Result<Acidity, Refusal> {
    let below = BUFFER.hundredths() - buffer.hundredths();
    if (0..=260).contains(&below) {
        return Ok(Acidity::from_hundredths(4 * below));
    }
    Err(Refusal::OutsideTheRule {
        field: "buffer pH".to_owned(),
        bounds: "Mehlich buffer readings from 4.0 to 6.6".to_owned(),
        came: buffer.to_string(),
    })
}

/// The lime need by Mehlich acidity.
///
/// ```
/// use selion_core::quantities::{Acidity, Ph, Units};
/// use selion_core::soil::lime::mehlich_nc;
///
/// let (acidity, ph, target) = (Acidity::parse("2.0")?, Ph::parse("5.2")?, Ph::parse("6.5")?);
/// let need = mehlich_nc(acidity, ph, target, None, Units::UsCustomary)?;
/// assert_eq!(need.result.rate.show(Units::UsCustomary), "85.3 lb/1000 sq ft");
/// let too_high = Ph::parse("6.6")?;
/// assert!(mehlich_nc(acidity, too_high, Ph::parse("6.8")?, None, Units::UsCustomary).is_err());
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn mehlich_nc(
    acidity: Acidity,
    ph: Ph,
    target: Ph,
    credit: Option<Rate>,
    units: Units,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    let basis = LimeBasis::StandardAgriculturalLime;
    if let Some(nothing) = guard(ph, target, basis, units) {
        return Ok(nothing);
    }
    for (field, value) in [("pH", ph), ("target", target)] {
        let within = value < BUFFER || (field == "target" && value == BUFFER);
        if !within {
            return Err(Refusal::OutsideTheRule {
                field: field.to_owned(),
                bounds: if field == "pH" {
                    "a pH below 6.6"
                } else {
                    "targets up to 6.6"
                }
                .to_owned(),
                came: value.to_string(),
            });
        }
    }
    let refused = || Refusal::bad("acidity", "up to 100 meq/100 cm³", acidity.to_string());
    let (up, room) = (
        target.hundredths() - ph.hundredths(),
        BUFFER.hundredths() - ph.hundredths(),
    );
    // One meq/100 cm³ asks for one ton an acre; hundredths become thousandths.
    let whole = Rate::of(
        acidity.hundredths().checked_mul(10).ok_or_else(refused)?,
        RateUnit::TonsPerAcre,
    );
    let before_credit = whole.scaled(up, room).ok_or_else(refused)?;
    let rate = before_credit.less(credit.unwrap_or_default());
    let need = LimeNeed {
        method: LimeMethod::MehlichNc,
        rate,
        range: None,
        basis,
        depth: None,
        units,
    };
    let source = Source::published(
        "North Carolina Department of Agriculture, Agronomic Division, buffer acidity table [NCDA].",
    );
    let mut answer = answer(need, ph, target, source)
        .step(Step::new("Acidity (Ac)", format!("{acidity} cm³")))
        .step(Step::new(
            format!("Ac × ({target} − {ph}) / (6.6 − {ph})"),
            before_credit.shown_in(RateUnit::TonsPerAcre, 3).to_string(),
        ));
    if let Some(credit) = credit {
        answer = answer.step(Step::new(
            "Less the laboratory's credit for earlier lime",
            credit.show(units),
        ));
    }
    if ph >= TOUCHY {
        answer = answer
            .on("The pH lies near 6.6, where a small error of the reading moves the answer a lot.");
    }
    let shown = answer.result.rate.show(units);
    Ok(answer
        .step(Step::sum("Lime", shown))
        .on("Standard agricultural lime; a product's label says how many pounds equal a ton of it. Not to be divided by a CCE."))
}
