//! How much of a limestone works in time: fineness and effective value, by named schemes.
//!
//! The same stone has a different number in each state, so a value is never stored without its scheme.
//!
//! - New York ENV (CORN): `0.40 (P20 − P60) + 0.80 (P60 − P100) + 1.00 P100`, times CCE / 100; P is what passes that mesh, in %.
//! - Mississippi RNV [MS-REG]: `CCE × (P10 + P50) / 200`; the legal minimum is 63.
//! - Ohio and Minnesota ENP [OAIMA, MDA]: `CCE/100 × FF/100 × (100 − moisture)/100 × 2000` lb a ton. The weights of the sieve
//!   classes could not be confirmed, so the fineness factor is taken from the label.
//!
//! ```
//! use selion_core::quantities::Percent;
//! use selion_core::soil::liming_material::fineness::new_york_env;
//!
//! let percent = |whole: i64| Percent::from_hundredths(whole * 100);
//! let answer = new_york_env(percent(95), percent(95), percent(70), percent(55))?;
//! assert_eq!(answer.result.value.to_string(), "73.15 %");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::json::words;
use crate::quantities::Percent;
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// By whose rule an effective value was worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Scheme {
    /// Effective neutralizing value, New York.
    NewYorkEnv,
    /// Relative neutralizing value, Mississippi.
    MississippiRnv,
    /// Effective neutralizing power, Ohio and Minnesota, as a percentage of 2000 lb a ton.
    Enp,
    /// Lime score, Oregon.
    OregonLimeScore,
    /// Effective calcium carbonate equivalent, as the label of the product's state prints it.
    Ecce,
}

words!(Scheme {
    "new_york_env" => NewYorkEnv,
    "mississippi_rnv" => MississippiRnv,
    "enp" => Enp,
    "oregon_lime_score" => OregonLimeScore,
    "ecce" => Ecce,
});

impl Scheme {
    /// Its name for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::NewYorkEnv => "ENV (New York)",
            Self::MississippiRnv => "RNV (Mississippi)",
            Self::Enp => "ENP (% of 2000 lb/ton)",
            Self::OregonLimeScore => "lime score (Oregon)",
            Self::Ecce => "ECCE",
        }
    }
}

/// An effective value with its scheme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct EffectiveValue {
    /// By whose rule.
    pub scheme: Scheme,
    /// How much of the product's weight counts as pure, fine limestone.
    pub value: Percent,
    /// The fineness factor behind it.
    pub fineness: Percent,
}

impl fmt::Display for EffectiveValue {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {}", self.value, self.scheme.words())
    }
}

/// New York's effective neutralizing value from the CCE and what passes mesh 20, 60 and 100.
pub fn new_york_env(
    cce: Percent,
    p20: Percent,
    p60: Percent,
    p100: Percent,
) -> Result<Reckoning<EffectiveValue>, Refusal> {
    check_cce(cce)?;
    check_sieves(&[("20 mesh", p20), ("60 mesh", p60), ("100 mesh", p100)])?;
    let [p20, p60, p100] = [p20, p60, p100].map(Percent::hundredths);
    let weighted = 40 * (p20 - p60) + 80 * (p60 - p100) + 100 * p100;
    let fineness = Percent::from_hundredths(rounded(weighted, 100));
    let value = effective(cce, weighted, 100);
    let source = Source::published("Cornell CCA study guide, lime fineness [CORN].");
    Ok(Reckoning::new(
        EffectiveValue {
            scheme: Scheme::NewYorkEnv,
            value,
            fineness,
        },
        source,
    )
    .step(Step::new(
        "0.40 × (P20 − P60)",
        hundredths(40 * (p20 - p60)),
    ))
    .step(Step::new(
        "0.80 × (P60 − P100)",
        hundredths(80 * (p60 - p100)),
    ))
    .step(Step::new("1.00 × P100", hundredths(100 * p100)))
    .step(Step::sum("Fineness factor", fineness.to_string()))
    .step(Step::sum(format!("× CCE {cce}"), value.to_string()))
    .on("What reacts within a year."))
}

/// Mississippi's relative neutralizing value from the CCE and what passes mesh 10 and 50.
pub fn mississippi_rnv(
    cce: Percent,
    p10: Percent,
    p50: Percent,
) -> Result<Reckoning<EffectiveValue>, Refusal> {
    const MINIMUM: Percent = Percent::from_hundredths(6_300);
    check_cce(cce)?;
    check_sieves(&[("10 mesh", p10), ("50 mesh", p50)])?;
    let sum = p10.hundredths() + p50.hundredths();
    let fineness = Percent::from_hundredths(rounded(sum, 2));
    let value = effective(cce, sum, 2);
    let source = Source::published("2 Mississippi Code R. 1-3-04-100.01 [MS-REG].");
    let answer = Reckoning::new(
        EffectiveValue {
            scheme: Scheme::MississippiRnv,
            value,
            fineness,
        },
        source,
    )
    .step(Step::new("(P10 + P50) / 2", fineness.to_string()))
    .step(Step::sum(format!("× CCE {cce}"), value.to_string()));
    Ok(if value < MINIMUM {
        answer.on("Below the 63 % that agricultural lime sold there must have.")
    } else {
        answer
    })
}

/// The effective neutralizing power from the CCE, the label's fineness factor and the moisture, as a percentage of 2000 lb a ton.
pub fn enp(
    cce: Percent,
    fineness: Percent,
    moisture: Percent,
) -> Result<Reckoning<EffectiveValue>, Refusal> {
    check_cce(cce)?;
    for (field, value) in [("fineness factor", fineness), ("moisture", moisture)] {
        check_part(field, value)?;
    }
    let dry = Percent::HUNDRED.hundredths() - moisture.hundredths();
    let value = effective(cce, fineness.hundredths() * dry, 10_000);
    // Hundredths of a percent of 2000 lb are fifths of a pound.
    let pounds = i128::from(cce.hundredths()) * i128::from(fineness.hundredths()) * i128::from(dry);
    let tenths = (2 * pounds + 50_000_000).div_euclid(100_000_000);
    let source = Source::published(
        "Ohio aggregates association, ENP; Minnesota Department of Agriculture, liming materials [OAIMA, MDA].",
    );
    let shown = format!("{}.{} lb/ton", tenths / 10, tenths % 10);
    Ok(Reckoning::new(
        EffectiveValue {
            scheme: Scheme::Enp,
            value,
            fineness,
        },
        source,
    )
    .step(Step::new("CCE", cce.to_string()))
    .step(Step::new(
        "Fineness factor, from the label",
        fineness.to_string(),
    ))
    .step(Step::new("Moisture", moisture.to_string()))
    .step(Step::new("ENP", shown))
    .step(Step::sum("As a percentage of 2000 lb", value.to_string())))
}

/// The value of a product whose label gives its ENP in pounds a ton.
pub fn enp_from_pounds_a_ton(pounds: i64) -> Result<Percent, Refusal> {
    if (100..=5_000).contains(&pounds) {
        return Ok(Percent::from_hundredths(pounds * 5));
    }
    Err(Refusal::bad(
        "ENP",
        "from 100 to 5000 lb a ton, as on a label",
        pounds.to_string(),
    ))
}

fn check_cce(cce: Percent) -> Result<(), Refusal> {
    if (500..=25_000).contains(&cce.hundredths()) {
        return Ok(());
    }
    Err(Refusal::bad("CCE", "from 5 to 250 %", cce.to_string()))
}

fn check_part(field: &str, value: Percent) -> Result<(), Refusal> {
    if (Percent::ZERO..=Percent::HUNDRED).contains(&value) {
        return Ok(());
    }
    Err(Refusal::bad(field, "from 0 to 100 %", value.to_string()))
}

/// What passes a finer mesh has passed the coarser one too.
fn check_sieves(sieves: &[(&str, Percent)]) -> Result<(), Refusal> {
    let mut coarser = Percent::HUNDRED;
    for (mesh, passes) in sieves {
        if !(Percent::ZERO..=coarser).contains(passes) {
            return Err(Refusal::bad(
                format!("passing {mesh}"),
                format!("from 0 to {coarser}, what passes the coarser mesh"),
                passes.to_string(),
            ));
        }
        coarser = *passes;
    }
    Ok(())
}

/// The CCE by a fineness of `top / bottom` hundredths of a percent.
fn effective(cce: Percent, top: i64, bottom: i64) -> Percent {
    Percent::from_hundredths(rounded(
        cce.hundredths().saturating_mul(top),
        10_000 * bottom,
    ))
}

fn rounded(top: i64, bottom: i64) -> i64 {
    top.saturating_mul(2)
        .saturating_add(bottom)
        .div_euclid(2 * bottom)
}

/// Ten-thousandths as text with two digits.
fn hundredths(weighted: i64) -> String {
    Percent::from_hundredths(rounded(weighted, 100)).to_string()
}
