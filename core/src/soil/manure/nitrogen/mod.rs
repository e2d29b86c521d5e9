//! How much manure for a wanted amount of nitrogen.
//!
//! - simple: manure = nitrogen wanted / (N % / 100 × share that becomes available)
//! - in full: available = ammonium N × (1 − lost as ammonia) + organic N × k1, and what earlier years still give is taken off the
//!   nitrogen wanted: organic N of last year × k2 + of two years ago × k3
//!
//! Which nitrogen is counted is always said: the same bed gets 35 lb of dairy manure by one table and 75 lb by another, since one
//! counts all nitrogen and the other what becomes available. The shares k1, k2, k3 differ between services; each set has its name
//! ([`Release`]) and sets are not mixed.
//!
//! ```
//! use selion_core::quantities::{Area, Percent, Rate, Units};
//! use selion_core::soil::manure::analysis::Nutrients;
//! use selion_core::soil::manure::nitrogen::{self, Counted};
//!
//! let poultry = Nutrients {
//!     nitrogen: Percent::parse("3.2 %")?,
//!     phosphate: Some(Percent::parse("5.2 %")?),
//!     potash: Some(Percent::parse("1.8 %")?),
//! };
//! let wanted = Rate::parse("80 lb/acre")?;
//! let answer = nitrogen::rate_for(wanted, poultry, Counted::All, Area::parse("1 acre")?, Units::UsCustomary)?;
//! assert!(answer.to_string().starts_with("2,500.0 lb on 43,560 sq ft"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

mod release;

use std::fmt;

use serde::Serialize;

use super::super::compost::show_nutrient;
use super::analysis::{ManureRate, Nutrients};
use crate::quantities::{Area, Mass, PartsPerMillion, Percent, Rate, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

pub use release::{DugInAfter, Release};

/// Hundredths of a part in a million in the whole.
const WHOLE: i64 = 100_000_000;
/// More nitrogen than any crop is given: a kilogram on a square metre.
const HIGHEST: Rate = Rate::from_micrograms_per_m2(1_000_000_000);

/// Which nitrogen of a manure is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Counted {
    /// All of it, as if it all became available.
    All,
    /// The share that becomes available this season.
    Available(Percent),
}

/// The manure that brings the nitrogen wanted.
pub fn rate_for(
    wanted: Rate,
    nutrients: Nutrients,
    counted: Counted,
    area: Area,
    units: Units,
) -> Result<Reckoning<ManureRate>, Refusal> {
    check_wanted(wanted, units)?;
    check_share("nitrogen in the manure", nutrients.nitrogen)?;
    let (share, basis) = match counted {
        Counted::All => (
            Percent::HUNDRED,
            "All nitrogen is counted, as if it became available this season; less of it does."
                .to_owned(),
        ),
        Counted::Available(share) => (
            share,
            format!("Nitrogen that becomes available this season is counted: {share} of all."),
        ),
    };
    check_share("share that becomes available", share)?;
    let parts = nutrients.nitrogen.hundredths() * share.hundredths();
    let rate = for_content(wanted, parts, units)?;
    let result = ManureRate::on_bed(rate, area, Some(nutrients), units)?;
    let source = Source::arithmetic("Nitrogen wanted over the nitrogen that is counted, as is.");
    let answer = Reckoning::new(result, source)
        .step(Step::new("Nitrogen wanted", show_nutrient(wanted, units)))
        .step(Step::new(
            "Nitrogen in the manure, as is",
            nutrients.nitrogen.to_string(),
        ))
        .step(Step::new("Of that counted", share.to_string()))
        .on(basis);
    Ok(ManureRate::shown(answer).caution(Caution::RawManure))
}

/// Nitrogen of a manure, of its weight as is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct NitrogenAnalysis {
    /// As ammonium.
    pub ammonium: Percent,
    /// In organic matter.
    pub organic: Percent,
}

/// Nitrogen that becomes available, of the manure's weight as is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Available {
    /// How much of the weight.
    pub content: PartsPerMillion,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Available {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "{} become available this season",
            per_ton(self.content, self.units)
        )
    }
}

/// A content as one says it: `6.5 lb/ton` or `3.25 kg/t`.
fn per_ton(content: PartsPerMillion, units: Units) -> String {
    // 500 parts in a million are a pound in a ton of 2000 lb, 1000 a kilogram in a tonne.
    let (parts, unit) = match units {
        Units::Metric => (1_000, "kg/t"),
        Units::UsCustomary => (500, "lb/ton"),
    };
    let hundredths = super::super::exact::nearest(i128::from(content.hundredths()), parts);
    // A percentage's digits without its sign: hundredths, noughts at the end left out.
    let number = Percent::from_hundredths(hundredths.unwrap_or_default()).to_string();
    format!("{} {unit}", number.trim_end_matches(" %"))
}

/// What becomes available of a manure this season, by its analysis.
pub fn available(
    analysis: NitrogenAnalysis,
    dug_in: DugInAfter,
    release: Release,
    units: Units,
) -> Result<Reckoning<Available>, Refusal> {
    check_content("ammonium nitrogen", analysis.ammonium)?;
    check_content("organic nitrogen", analysis.organic)?;
    let kept = Percent::from_hundredths(Percent::HUNDRED.hundredths() - dug_in.loss().hundredths());
    let [first_year, _, _] = release.shares();
    let parts = |content: Percent, share: Percent| {
        PartsPerMillion::from_hundredths(content.hundredths() * share.hundredths())
    };
    let (from_ammonium, from_organic) = (
        parts(analysis.ammonium, kept),
        parts(analysis.organic, first_year),
    );
    let content =
        PartsPerMillion::from_hundredths(from_ammonium.hundredths() + from_organic.hundredths());
    let source = Source::published(format!(
        "{}; loss of ammonia, University of Massachusetts node 8019 [compost S76].",
        release.source()
    ));
    Ok(Reckoning::new(Available { content, units }, source)
        .step(Step::new(
            format!("Ammonium {} × {kept} kept", analysis.ammonium),
            per_ton(from_ammonium, units),
        ))
        .step(Step::new(
            format!("Organic {} × {first_year} released", analysis.organic),
            per_ton(from_organic, units),
        ))
        .step(Step::sum("Becomes available", per_ton(content, units)))
        .on(format!(
            "Spread and {}: {} of the ammonium is lost.",
            dug_in.words(),
            dug_in.loss()
        )))
}

/// Manure of an earlier year on the same bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct EarlierYear {
    /// How many years ago: 1 or 2.
    pub years_ago: i64,
    /// How much, as is.
    pub rate: Rate,
    /// Its organic nitrogen, of the weight as is.
    pub organic: Percent,
}

/// Nitrogen that manure of earlier years still gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Credit {
    /// How much.
    pub rate: Rate,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Credit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "{} of nitrogen from earlier years",
            show_nutrient(self.rate, self.units)
        )
    }
}

/// What the manure of earlier years still gives this season.
pub fn credits(
    years: &[EarlierYear],
    release: Release,
    units: Units,
) -> Result<Reckoning<Credit>, Refusal> {
    let mut rate = Rate::ZERO;
    let mut steps = Vec::new();
    for year in years {
        let [_, second, third] = release.shares();
        let share = match year.years_ago {
            1 => second,
            2 => third,
            other => return Err(Refusal::bad("years ago", "1 or 2", other.to_string())),
        };
        check_content("organic nitrogen", year.organic)?;
        let refused = || {
            Refusal::bad(
                "manure of an earlier year",
                "a rate such as 10 tons/acre",
                year.rate.show(units),
            )
        };
        let parts = year.organic.hundredths() * share.hundredths();
        let given = year
            .rate
            .scaled(parts, WHOLE)
            .filter(|_| year.rate >= Rate::ZERO)
            .ok_or_else(refused)?;
        rate = rate.checked_add(given).ok_or_else(refused)?;
        let label = format!(
            "{} year{} ago, {} at {} organic × {share}",
            year.years_ago,
            if year.years_ago == 1 { "" } else { "s" },
            year.rate.show(units),
            year.organic
        );
        steps.push(Step::new(label, show_nutrient(given, units)));
    }
    steps.push(Step::sum("Still given", show_nutrient(rate, units)));
    let mut answer = Reckoning::new(
        Credit { rate, units },
        Source::published(format!("{}.", release.source())),
    );
    answer.steps = steps;
    Ok(answer.rounded("Each year to the microgram a square metre, halves up."))
}

/// What a full nitrogen plan is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanCase {
    /// The nitrogen wanted this season.
    pub wanted: Rate,
    /// The manure's nitrogen.
    pub analysis: NitrogenAnalysis,
    /// How soon it is dug in.
    pub dug_in: DugInAfter,
    /// Whose shares of the organic nitrogen are taken.
    pub release: Release,
    /// Manure of earlier years.
    pub earlier: Vec<EarlierYear>,
    /// The bed.
    pub area: Area,
    /// The garden's units.
    pub units: Units,
}

/// The manure for a bed by its full analysis, what earlier years give taken off.
pub fn plan(case: &PlanCase) -> Result<Reckoning<ManureRate>, Refusal> {
    let units = case.units;
    check_wanted(case.wanted, units)?;
    let available = available(case.analysis, case.dug_in, case.release, units)?;
    let credit = credits(&case.earlier, case.release, units)?;
    let lacking = case.wanted.less(credit.result.rate);
    let content = available.result.content;
    let rate = for_content(lacking, content.hundredths(), units)?;
    let all = case.analysis.ammonium.hundredths() + case.analysis.organic.hundredths();
    let nutrients = Nutrients {
        nitrogen: Percent::from_hundredths(all),
        phosphate: None,
        potash: None,
    };
    let result = ManureRate::on_bed(rate, case.area, Some(nutrients), units)?;
    let mut answer = Reckoning::new(result, available.source);
    answer.steps = available.steps;
    answer.steps.push(Step::new(
        "Nitrogen wanted",
        show_nutrient(case.wanted, units),
    ));
    if !case.earlier.is_empty() {
        answer.steps.extend(credit.steps);
        answer
            .steps
            .push(Step::new("Still lacking", show_nutrient(lacking, units)));
    }
    answer.basis = available.basis;
    let answer = answer
        .on("Nitrogen that becomes available this season is counted.")
        .on("Look at the phosphorus as well: manure for all the nitrogen brings more of it than crops take.");
    Ok(ManureRate::shown(answer).caution(Caution::RawManure))
}

/// Ammonium nitrogen that is left when manure is dug in so soon.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct AmmoniumKept {
    /// What is left.
    pub kept: Mass,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for AmmoniumKept {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "{} of ammonium nitrogen left",
            self.kept.show(self.units)
        )
    }
}

/// What is left of ammonium nitrogen after spreading.
pub fn ammonium_kept(
    ammonium: Mass,
    dug_in: DugInAfter,
    units: Units,
) -> Result<Reckoning<AmmoniumKept>, Refusal> {
    let refused = || {
        Refusal::bad(
            "ammonium nitrogen",
            "a weight of nothing or more",
            ammonium.show(units),
        )
    };
    let lost = super::super::exact::part(dug_in.loss(), ammonium)
        .filter(|_| ammonium >= Mass::ZERO)
        .ok_or_else(refused)?;
    let kept = ammonium.checked_sub(lost).ok_or_else(refused)?;
    let source =
        Source::published("University of Massachusetts node 8019, loss of ammonia [compost S76].");
    Ok(Reckoning::new(AmmoniumKept { kept, units }, source)
        .step(Step::new("Ammonium nitrogen spread", ammonium.show(units)))
        .step(Step::new(
            format!("Lost at {}", dug_in.loss()),
            lost.show(units),
        ))
        .step(Step::sum("Left", kept.show(units)))
        .on(format!("Spread and {}.", dug_in.words())))
}

/// Ontario's shortcut for manure spread in autumn: half of all nitrogen can be counted on (S75).
pub fn autumn(total: Percent, units: Units) -> Result<Reckoning<Available>, Refusal> {
    check_content("nitrogen in the manure", total)?;
    let content =
        PartsPerMillion::from_hundredths(total.hundredths() * Percent::HUNDRED.hundredths() / 2);
    let source = Source::published("Ontario, OMAFRA 13-043, 2013 [compost S75].");
    Ok(Reckoning::new(Available { content, units }, source)
        .step(Step::new("All nitrogen, as is", total.to_string()))
        .step(Step::sum("Half of it", per_ton(content, units)))
        .on("Spread in autumn; a shortcut without an analysis of ammonium and organic nitrogen."))
}

/// The manure that holds the nitrogen wanted, at so many hundredths of a part in a million.
fn for_content(wanted: Rate, hundredths: i64, units: Units) -> Result<Rate, Refusal> {
    if hundredths <= 0 {
        return Err(Refusal::CannotBeMet {
            goal: format!("{} of nitrogen", wanted.show(units)),
            why: "nothing of this manure's nitrogen becomes available".to_owned(),
            helps: "digging it in sooner, or another manure".to_owned(),
        });
    }
    wanted.scaled(WHOLE, hundredths).ok_or_else(|| {
        Refusal::bad(
            "nitrogen wanted",
            "a rate such as 2 lb/1000 sq ft",
            wanted.show(units),
        )
    })
}

fn check_wanted(wanted: Rate, units: Units) -> Result<(), Refusal> {
    if wanted.is_positive() && wanted <= HIGHEST {
        return Ok(());
    }
    let expected = format!("more than nothing and at most {}", HIGHEST.show(units));
    Err(Refusal::bad(
        "nitrogen wanted",
        expected,
        wanted.show(units),
    ))
}

/// A content that may be nothing.
fn check_content(field: &str, content: Percent) -> Result<(), Refusal> {
    if (Percent::ZERO..=Percent::HUNDRED).contains(&content) {
        return Ok(());
    }
    Err(Refusal::bad(
        field,
        "a percentage from 0 to 100",
        content.to_string(),
    ))
}

/// A share without which nothing can be reckoned.
fn check_share(field: &str, share: Percent) -> Result<(), Refusal> {
    if share > Percent::ZERO && share <= Percent::HUNDRED {
        return Ok(());
    }
    Err(Refusal::bad(
        field,
        "more than 0 and at most 100 %",
        share.to_string(),
    ))
}

#[cfg(test)]
mod tests;
