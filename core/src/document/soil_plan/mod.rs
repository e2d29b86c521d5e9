//! What a bed is due: lime with its doses, ash in its place, compost; each with its working, or why nobody can say.
//!
//! The arithmetic is in [`crate::soil`]; here the records are put in front of it. What was spread since the newest test is
//! taken off, so that a bed is not limed twice for one reading.

mod lime;
mod order;

#[cfg(test)]
mod tests;

use super::Garden;
use super::bed_soil::{self, spread_of};
use super::ids::{BedId, SoilTestId};
use super::records::{AmendmentKind, BedCrops, GardenCompost, SoilSheet};
use crate::quantities::{Area, Day, Density, Depth, Mass, Ph, Rate, Units};
use crate::reckoning::{Reckoning, Refusal};
use crate::soil::ash::{self, AshCase, AshPlan};
use crate::soil::blossom_end_rot::{self, RotAdvice, RotCase};
use crate::soil::bulk;
use crate::soil::compost::ceiling::{self, Ceiling, CeilingCase, Origin};
use crate::soil::doses::Placement;
use crate::soil::liming_material::{StoneKind, kind_of_stone};
use crate::soil::sulfur::{self, SulfurCase, SulfurPlan};
use crate::soil::targets::{BedTarget, Verdict, bed_target};
use crate::soil::test_report::Purpose;

pub use lime::{DuePlan, LimePlan};
pub use order::{LimeOrder, lime_order};

/// What stands in for the crops of a bed of which nobody said what grows there.
const USUAL_CROPS: &str = "vegetables";
/// The crop for which the table of sulfur is printed.
const SOUREST_CROP: &str = "blueberry";

/// The question: which bed, on which day, and how lime would be put into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Which bed.
    pub bed: BedId,
    /// The day from which something may be spread.
    pub today: Day,
    /// Where lime goes.
    pub placement: Placement,
}

/// What a bed is due.
#[derive(Clone, Debug, PartialEq)]
pub struct BedPlan {
    /// Which bed.
    pub bed: BedId,
    /// Its area.
    pub area: Area,
    /// The test that all of this rests on.
    pub test: Option<(SoilTestId, Day)>,
    /// The pH of that test.
    pub ph: Option<Ph>,
    /// The pH that its crops ask for.
    pub target: Result<Reckoning<BedTarget>, Refusal>,
    /// Lime: the need, the product, the doses.
    pub lime: Result<LimePlan, Refusal>,
    /// Elemental sulfur, where blueberries grow in soil that is not sour enough for them; nothing for any other bed.
    pub sulfur: Option<Result<Reckoning<SulfurPlan>, Refusal>>,
    /// Wood ash in place of lime.
    pub ash: Result<Reckoning<AshPlan>, Refusal>,
    /// Compost this year.
    pub compost: Result<Reckoning<Ceiling>, Refusal>,
    /// Calcitic or dolomitic lime.
    pub stone: Result<Reckoning<StoneKind>, Refusal>,
    /// What to do about blossom-end rot, should it show; never a lime line of its own.
    pub rot: Result<Reckoning<RotAdvice>, Refusal>,
    /// What would have to be known for all of this.
    pub missing: Vec<&'static str>,
}

impl BedPlan {
    /// The lime that is still to be spread, of the garden's product; nothing known where nobody can say.
    pub fn lime_due(&self) -> Option<Mass> {
        let due = self.lime.as_ref().ok()?.due.as_ref().ok()?;
        Some(due.mass.result)
    }
}

/// Everything about one bed that its answers share.
struct Bench<'a> {
    garden: &'a Garden,
    asked: Asked,
    area: Area,
    units: Units,
    test: Option<(SoilTestId, &'a SoilSheet)>,
    crops: BedCrops,
}

/// What a bed is due on a day.
pub fn of_bed(garden: &Garden, asked: Asked) -> BedPlan {
    let bench = Bench {
        garden,
        asked,
        area: bed_soil::area(garden, asked.bed),
        units: super::shared_out::units(garden),
        test: bed_soil::newest_test(garden, asked.bed).map(|(id, test)| (id, &test.sheet)),
        crops: bed_soil::crops(garden, asked.bed, asked.today.year()),
    };
    let target = bench.target();
    let lime = match &target {
        Ok(target) => bench.lime(&target.result),
        Err(refusal) => Err(refusal.clone()),
    };
    let ash = match (&target, &lime) {
        (Ok(target), Ok(lime)) => bench.ash(&target.result, lime),
        (Err(refusal), _) | (_, Err(refusal)) => Err(refusal.clone()),
    };
    let rot = match &target {
        Ok(target) => bench.rot(&target.result),
        Err(refusal) => Err(refusal.clone()),
    };
    BedPlan {
        bed: asked.bed,
        area: bench.area,
        test: bench.test.map(|(id, sheet)| (id, sheet.sampled_on)),
        ph: bench.test.and_then(|(_, sheet)| sheet.ph),
        sulfur: target
            .as_ref()
            .ok()
            .and_then(|target| bench.sulfur(&target.result)),
        target,
        lime,
        ash,
        compost: bench.compost(),
        stone: bench.stone(),
        rot,
        missing: bench.missing(),
    }
}

impl<'a> Bench<'a> {
    fn sheet(&self) -> Result<&'a SoilSheet, Refusal> {
        self.test
            .map(|(_, sheet)| sheet)
            .ok_or_else(|| Refusal::Missing {
                what: "A soil test of this bed".to_owned(),
                why: "what it wants rests on its pH and on the laboratory's readings".to_owned(),
            })
    }

    fn target(&self) -> Result<Reckoning<BedTarget>, Refusal> {
        let next_year = BedCrops::chosen(&self.crops.next_year);
        let ph = self.test.and_then(|(_, sheet)| sheet.ph);
        let now = BedCrops::chosen(&self.crops.now);
        if now.is_empty() {
            let answer = bed_target(&[USUAL_CROPS], &next_year, ph)?;
            return Ok(
                answer.on("Nobody said what grows here: it is taken as a bed of mixed vegetables.")
            );
        }
        bed_target(&now, &next_year, ph)
    }

    fn spread(&self, kinds: &[AmendmentKind]) -> Vec<bed_soil::Spread> {
        spread_of(self.garden, self.asked.bed, kinds)
    }

    fn ash(&self, target: &BedTarget, lime: &LimePlan) -> Result<Reckoning<AshPlan>, Refusal> {
        let sheet = self.sheet()?;
        let ph = sheet.ph.ok_or_else(|| Refusal::Missing {
            what: "The pH of the soil".to_owned(),
            why: "from pH 7.0 on ash does harm".to_owned(),
        })?;
        let this_year = self.asked.today.year();
        let mut spread = Rate::ZERO;
        for one in self.spread(&[AmendmentKind::Ash]) {
            if one.record.day.year() == this_year {
                let more = self.rate_of(&one)?;
                spread = spread.checked_add(more).unwrap_or(spread);
            }
        }
        ash::plan(&AshCase {
            need: self.pure_due(lime)?,
            ph,
            cce: None,
            potassium: sheet.potassium.level,
            spread_this_year: spread,
            keeps_lime_off: !target.takes_lime,
            units: self.units,
        })
    }

    /// Potatoes stand sour soil too, but nobody prints a table for them: their beds only stay without lime.
    fn sulfur(&self, target: &BedTarget) -> Option<Result<Reckoning<SulfurPlan>, Refusal>> {
        let is_for = BedCrops::chosen(&self.crops.now).contains(&SOUREST_CROP);
        if !is_for || target.verdict != Some(Verdict::AboveTheRange) {
            return None;
        }
        let sheet = self.test.map(|(_, sheet)| sheet)?;
        let ph = sheet.ph?;
        let Some(texture) = sheet.texture else {
            return Some(Err(Refusal::Missing {
                what: "The texture of the soil".to_owned(),
                why: "clay takes four times the sulfur that sand does".to_owned(),
            }));
        };
        Some(sulfur::plan(&SulfurCase {
            ph,
            target: sulfur::TARGET,
            texture,
            fizzes: None,
            units: self.units,
        }))
    }

    fn compost(&self) -> Result<Reckoning<Ceiling>, Refusal> {
        let known: Option<GardenCompost> = self
            .garden
            .profile
            .as_ref()
            .and_then(|profile| profile.compost);
        let weighed = known.and_then(|compost| compost.density);
        let density = match weighed {
            Some(density) => density,
            None => lightest_compost()?,
        };
        let this_year = self.asked.today.year();
        let mut spread = Depth::ZERO;
        for one in self.spread(&[AmendmentKind::Compost, AmendmentKind::CompostedManure]) {
            if one.record.day.year() != this_year {
                continue;
            }
            let depth = one
                .record
                .amount
                .and_then(|amount| amount.depth_on(self.area, Some(density)))
                .ok_or_else(|| amount_missing(&one))?;
            spread = spread.checked_add(depth).unwrap_or(spread);
        }
        let sheet = self.test.map(|(_, sheet)| sheet);
        let answer = ceiling::most(&CeilingCase {
            area: self.area,
            density,
            origin: known.map_or(Origin::Unknown, |compost| compost.origin),
            soil_phosphorus: sheet.and_then(|sheet| sheet.phosphorus.amount),
            phosphate_needed: sheet.and_then(|sheet| sheet.phosphate_needed),
            phosphate_content: known.and_then(|compost| compost.phosphate),
            spread_this_year: spread,
            units: self.units,
        })?;
        Ok(if weighed.is_some() {
            answer
        } else {
            answer.on("Nobody weighed the compost: it is taken as light as any finished compost that is printed.")
        })
    }

    fn stone(&self) -> Result<Reckoning<StoneKind>, Refusal> {
        let magnesium = self.sheet()?.magnesium;
        kind_of_stone(magnesium.level, magnesium.amount)
    }

    fn rot(&self, target: &BedTarget) -> Result<Reckoning<RotAdvice>, Refusal> {
        let sheet = self.test.map(|(_, sheet)| sheet);
        blossom_end_rot::advise(&RotCase {
            ph: sheet.and_then(|sheet| sheet.ph),
            target: target.aim,
            calcium: sheet.and_then(|sheet| sheet.calcium.level),
            area: self.area,
            units: self.units,
        })
    }

    /// What the sheet lacks for all of this, in the order in which one would ask for it, each once.
    fn missing(&self) -> Vec<&'static str> {
        let Some((_, sheet)) = self.test else {
            return vec!["a soil test"];
        };
        let report = bed_soil::report(sheet, Vec::new());
        let mut missing = Vec::new();
        for purpose in [Purpose::LimeRate, Purpose::Ash, Purpose::KindOfLime] {
            // An amount of magnesium will do as well as a word for it.
            if purpose == Purpose::KindOfLime && sheet.magnesium.amount.is_some() {
                continue;
            }
            for what in report.missing_for(purpose) {
                if !missing.contains(&what) {
                    missing.push(what);
                }
            }
        }
        let phosphorus = sheet.phosphorus.amount.is_none();
        missing.extend(phosphorus.then_some("phosphorus"));
        missing
    }

    /// What was spread, as a rate on this bed.
    fn rate_of(&self, spread: &bed_soil::Spread) -> Result<Rate, Refusal> {
        spread
            .record
            .amount
            .and_then(|amount| amount.rate_on(self.area))
            .ok_or_else(|| amount_missing(spread))
    }
}

fn amount_missing(spread: &bed_soil::Spread) -> Refusal {
    Refusal::Missing {
        what: format!(
            "The amount of {} spread on {}",
            spread.record.what.words(),
            spread.record.day
        ),
        why: "what is still due rests on what the bed has had; strike that line out and write it anew with its weight"
            .to_owned(),
    }
}

fn lightest_compost() -> Result<Density, Refusal> {
    Ok(bulk::material("finished compost")?.density().0)
}
