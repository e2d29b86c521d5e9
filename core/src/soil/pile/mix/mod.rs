//! Moisture and carbon to nitrogen of a mix.
//!
//! With the weight as is Q, moisture M, and carbon C and nitrogen N of the dry part (S20, S21):
//!
//! - moisture = sum(Q·M) / sum(Q)
//! - C:N = sum(Q·C·(100 − M)) / sum(Q·N·(100 − M))
//!
//! Everything is summed in whole numbers and divided once. A mix of table values is an estimate: its range is the lowest and
//! highest ratio that the printed ends of the materials can give.
//!
//! ```
//! use selion_core::quantities::{CarbonToNitrogen, Mass, Percent, Units};
//! use selion_core::soil::pile::{Makeup, Material, Portion, mix};
//!
//! let straw = Makeup::by_ratio(Percent::parse("12 %")?, Percent::parse("0.7 %")?, CarbonToNitrogen::parse("80:1")?)?;
//! let pile = [Portion { material: Material::analysed("straw", straw), mass: Mass::parse("300 lb")? }];
//! let answer = mix::of(&pile, Units::UsCustomary)?;
//! assert!(answer.to_string().starts_with("300.0 lb at 12 % moisture, C:N 80:1\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::super::exact::nearest;
use super::material::HEAVIEST;
use super::{Makeup, Portion};
use crate::quantities::{CarbonToNitrogen, Density, Mass, Percent, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The most materials in one pile.
const MOST: usize = 20;

/// What a pile holds as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Mix {
    /// Its weight, as is.
    pub mass: Mass,
    /// Its water.
    pub moisture: Percent,
    /// Its carbon to its nitrogen; nothing where it holds no nitrogen.
    pub ratio: Option<CarbonToNitrogen>,
    /// The lowest and highest that the printed values allow, where they were used.
    pub range: Option<Range>,
    /// The sum of the volumes before mixing, where every bulk density is known; the mix fills less.
    pub volume: Option<Volume>,
    /// The garden's units.
    pub units: Units,
}

/// How far printed values leave a mix open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Range {
    /// Its water, least and most.
    pub moisture: (Percent, Percent),
    /// Its carbon to its nitrogen, least and most.
    pub ratio: (CarbonToNitrogen, CarbonToNitrogen),
}

impl fmt::Display for Mix {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "{} at {} moisture, ",
            self.mass.show(self.units),
            self.moisture
        )?;
        match self.ratio {
            Some(ratio) => write!(out, "C:N {ratio}")?,
            None => out.write_str("no nitrogen")?,
        }
        if let Some(Range { moisture, ratio }) = &self.range {
            write!(
                out,
                "\nBy the printed ranges: {} to {} moisture, C:N {} to {}",
                moisture.0, moisture.1, ratio.0, ratio.1
            )?;
        }
        Ok(())
    }
}

/// Moisture and carbon to nitrogen of this pile.
pub fn of(pile: &[Portion], units: Units) -> Result<Reckoning<Mix>, Refusal> {
    let sums = checked_sums(pile, units)?;
    let mix = sums.mix(pile, units);
    let source = if mix.range.is_some() {
        Source::estimate(
            "Cornell's formulas [compost S20, S21] over printed values of materials, middle of their ranges [compost S6].",
        )
    } else {
        Source::published(
            "Cornell Waste Management, C/N ratio and moisture of a mix [compost S20, S21].",
        )
    };
    let mut answer = Reckoning::new(mix, source);
    for portion in pile {
        let makeup = portion.material.makeup;
        let label = format!(
            "{}, {} at {}",
            portion.material.name,
            portion.mass.show(units),
            makeup.moisture
        );
        let one = Sums::of(std::slice::from_ref(portion));
        answer = answer.step(Step::new(label, one.carbon_and_nitrogen(units)));
    }
    answer = answer.step(Step::sum("Together", sums.carbon_and_nitrogen(units)));
    if let Some(ratio) = mix.ratio {
        answer = answer.step(Step::new("Carbon / nitrogen", ratio.to_string()));
    }
    answer = answer.step(Step::new("Water / weight", mix.moisture.to_string()));
    if let Some(volume) = mix.volume {
        let density = Density::of(mix.mass, volume).unwrap_or_default();
        answer = answer
            .step(Step::new("Volumes before mixing", volume.show_bulk(units)))
            .step(Step::new("Weight by volume, at least", density.show(units)))
            .on("Fine material fills the gaps of the coarse: the mix takes less room and is heavier by volume.");
    }
    for judged in judged(&mix) {
        answer = answer.on(judged);
    }
    Ok(answer
        .rounded("Sums in whole numbers; moisture and ratio once, to the hundredth, halves up."))
}

/// How the mix stands to what a pile likes: acceptable 20 to 40 and 45 to 65 % (S23), preferred 25 to 30 and 50 to 60 %.
fn judged(mix: &Mix) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(ratio) = mix.ratio {
        let said = match ratio.hundredths() {
            ..2_000 => "below 20, the least that is acceptable: nitrogen will go off as ammonia",
            2_000..2_500 => "acceptable (20 to 40), below the preferred 25 to 30",
            2_500..=3_000 => "within the preferred 25 to 30",
            3_001..=4_000 => "acceptable (20 to 40), above the preferred 25 to 30",
            4_001.. => "above 40, the most that is acceptable: it will heat slowly or not at all",
        };
        lines.push(format!("C:N {ratio} is {said} [compost S23]."));
        if !(2_500..=4_000).contains(&ratio.hundredths()) {
            lines.push(
                "Compost with manure by the organic rule starts at 25 to 40 [compost S26]."
                    .to_owned(),
            );
        }
    }
    let said = match mix.moisture.hundredths() {
        ..4_500 => "below 45 %, the least that is acceptable: add water",
        4_500..5_000 => "acceptable (45 to 65 %), below the preferred 50 to 60 %",
        5_000..=6_000 => "within the preferred 50 to 60 %",
        6_001..=6_500 => "acceptable (45 to 65 %), above the preferred 50 to 60 %",
        6_501.. => "above 65 %, the most that is acceptable: add something dry and coarse",
    };
    lines.push(format!(
        "Moisture {} is {said} [compost S23].",
        mix.moisture
    ));
    lines
}

/// The sums of a pile, once every portion is known to be within bounds.
pub(super) fn checked_sums(pile: &[Portion], units: Units) -> Result<Sums, Refusal> {
    if pile.is_empty() || pile.len() > MOST {
        return Err(Refusal::bad(
            "materials",
            format!("1 to {MOST} of them"),
            pile.len().to_string(),
        ));
    }
    for portion in pile {
        if !(Mass::ZERO..=HEAVIEST).contains(&portion.mass) {
            return Err(Refusal::bad(
                format!("weight of {}", portion.material.name),
                format!("nothing or more and at most {}", HEAVIEST.show(units)),
                portion.mass.show(units),
            ));
        }
    }
    let sums = Sums::of(pile);
    if sums.mass > 0 {
        Ok(sums)
    } else {
        Err(Refusal::bad("weight of the pile", "more than nothing", "0"))
    }
}

/// Weighted sums over a pile; the weights are at most 10⁸ g, so that products of two sums still fit.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    /// Grams.
    mass: i128,
    /// Grams times hundredths of a percent.
    water: i128,
    /// 10⁻⁸ g.
    nitrogen: i128,
    /// 10⁻¹⁰ g.
    carbon: i128,
}

impl Sums {
    pub(super) fn of(pile: &[Portion]) -> Self {
        pile.iter().fold(Self::default(), |sums, portion| {
            sums.with(portion.mass, portion.material.makeup)
        })
    }

    pub(super) fn with(self, mass: Mass, makeup: Makeup) -> Self {
        let grams = i128::from(mass.grams());
        Self {
            mass: self.mass + grams,
            water: self.water + grams * i128::from(makeup.moisture.hundredths()),
            nitrogen: self.nitrogen + grams * makeup.nitrogen_weight(),
            carbon: self.carbon + grams * makeup.carbon_weight(),
        }
    }

    pub(super) fn moisture(self) -> Percent {
        Percent::from_hundredths(nearest(self.water, self.mass).unwrap_or_default())
    }

    pub(super) fn ratio(self) -> Option<CarbonToNitrogen> {
        nearest(self.carbon, self.nitrogen).map(CarbonToNitrogen::from_hundredths)
    }

    pub(super) fn mix(self, pile: &[Portion], units: Units) -> Mix {
        let volumes: Option<Vec<Volume>> = pile.iter().map(Portion::volume).collect();
        Mix {
            mass: Mass::from_grams(i64::try_from(self.mass).unwrap_or(i64::MAX)),
            moisture: self.moisture(),
            ratio: self.ratio(),
            range: range(pile),
            volume: volumes.map(|volumes| volumes.into_iter().sum()),
            units,
        }
    }

    /// `C 147.8 lb, N 1.8 lb`.
    fn carbon_and_nitrogen(self, units: Units) -> String {
        let grams = |weight: i128, per_gram: i128| {
            Mass::from_grams(nearest(weight, per_gram).unwrap_or_default()).show(units)
        };
        let (carbon, nitrogen) = (
            grams(self.carbon, 10_000_000_000),
            grams(self.nitrogen, 100_000_000),
        );
        format!("C {carbon}, N {nitrogen}")
    }
}

/// The extremes over the printed ends of every material; nothing where no printed values were used.
fn range(pile: &[Portion]) -> Option<Range> {
    if pile
        .iter()
        .all(|portion| portion.material.printed.is_none())
    {
        return None;
    }
    let moisture = |pick: fn(&Makeup) -> i64| {
        let corner = |corners: &[Makeup]| corners.iter().copied().min_by_key(pick);
        Some(chosen(pile, corner)?.moisture())
    };
    Some(Range {
        moisture: (
            moisture(|makeup| makeup.moisture.hundredths())?,
            moisture(|makeup| -makeup.moisture.hundredths())?,
        ),
        ratio: (extreme_ratio(pile, 1)?, extreme_ratio(pile, -1)?),
    })
}

/// The lowest (sign 1) or highest (sign −1) ratio of the sums, each material standing at one of its corners.
///
/// From any ratio c/n, taking for every material the corner with the least C·n − c·N leads to a lower one, until there is none
/// (Dinkelbach's method). Each step strictly improves, so it ends; pairs of corners bound the number of steps in practice.
fn extreme_ratio(pile: &[Portion], sign: i128) -> Option<CarbonToNitrogen> {
    let mut best = Sums::of(pile);
    loop {
        let next = chosen(pile, |corners| {
            corners.iter().copied().min_by_key(|makeup| {
                sign * (makeup.carbon_weight() * best.nitrogen
                    - best.carbon * makeup.nitrogen_weight())
            })
        })?;
        let gain = next.carbon * best.nitrogen - best.carbon * next.nitrogen;
        if sign * gain >= 0 {
            return best.ratio();
        }
        best = next;
    }
}

/// The sums with every material at the corner that is picked for it.
fn chosen(pile: &[Portion], pick: impl Fn(&[Makeup]) -> Option<Makeup>) -> Option<Sums> {
    let mut sums = Sums::default();
    for portion in pile {
        let makeup = match portion.material.printed {
            Some(feedstock) => pick(&feedstock.corners())?,
            None => portion.material.makeup,
        };
        sums = sums.with(portion.mass, makeup);
    }
    Some(sums)
}

#[cfg(test)]
mod tests;
