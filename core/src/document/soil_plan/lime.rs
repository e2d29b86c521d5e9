//! Lime for a bed: from the sheet to the need, from the need to the garden's product, from there to doses.

use super::Bench;
use crate::document::Garden;
use crate::document::bed_soil::{self, Spread};
use crate::document::records::{AmendmentKind, GardenLime};
use crate::quantities::{Day, Mass, Percent, Ph, Rate};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::soil::ash;
use crate::soil::doses::{self, DoseCase, DosePlan, MONTHS_BETWEEN};
use crate::soil::lime::{self, LimeBasis, LimeCase, LimeNeed, printed_targets};
use crate::soil::liming_material::{
    Product, ProductKind, ProductRate, product_rate, pure_equivalent,
};
use crate::soil::targets::BedTarget;
use crate::soil::test_report::{TestReport, Texture};

/// Lime for a bed, as far as somebody can say.
#[derive(Clone, Debug, PartialEq)]
pub struct LimePlan {
    /// What the soil needs, by the rule of its laboratory.
    pub need: Reckoning<LimeNeed>,
    /// What is still due of the garden's product; a refusal where its label does not say enough.
    pub due: Result<DuePlan, Refusal>,
}

/// The garden's product for a need.
#[derive(Clone, Debug, PartialEq)]
pub struct DuePlan {
    /// How much of it stands for the need.
    pub product: Reckoning<ProductRate>,
    /// What is left of that after what was spread since the test.
    pub rate: Rate,
    /// The same on this bed.
    pub mass: Reckoning<Mass>,
    /// When it goes on.
    pub doses: Result<Reckoning<DosePlan>, Refusal>,
}

fn garden_lime(garden: &Garden) -> Option<&GardenLime> {
    garden.profile.as_ref()?.lime.as_ref()
}

impl Bench<'_> {
    pub(super) fn lime(&self, target: &BedTarget) -> Result<LimePlan, Refusal> {
        let sheet = self.sheet()?;
        if !target.takes_lime {
            return Err(Refusal::OutsideTheRule {
                field: "lime".to_owned(),
                bounds: "beds without potatoes and blueberries, this year and next".to_owned(),
                came: "this bed".to_owned(),
            });
        }
        let spread = self.spread(&[AmendmentKind::Lime]);
        let limed_on = spread.iter().map(|one| one.record.day).collect();
        let report = bed_soil::report(sheet, limed_on);
        let need = lime::need(&LimeCase {
            target: aim(target, &report),
            credit: None,
            turf: false,
            units: self.units,
            report,
        })?;
        let due = self.due(&need.result, &spread, sheet.texture);
        Ok(LimePlan { need, due })
    }

    /// What is still due, as pure limestone: what ash is reckoned against.
    pub(super) fn pure_due(&self, plan: &LimePlan) -> Result<Rate, Refusal> {
        let need = &plan.need.result;
        if !need.rate.is_positive() {
            return Ok(Rate::ZERO);
        }
        let cce = garden_lime(self.garden).and_then(|lime| lime.cce);
        let pure = match (&plan.due, cce) {
            (Ok(due), _) if !due.rate.is_positive() => Some(Rate::ZERO),
            (Ok(due), Some(cce)) => pure_equivalent(due.rate, cce),
            // Without a label the need itself says it, as long as nothing was spread that would have to come off.
            (Ok(_) | Err(_), _)
                if need.basis == LimeBasis::CalciumCarbonateEquivalent
                    && self.spread_since_the_test().is_empty() =>
            {
                Some(need.range.map_or(need.rate, |(low, _)| low))
            }
            (Ok(_) | Err(_), _) => None,
        };
        pure.ok_or_else(|| Refusal::Missing {
            what: "The CCE of the garden's lime".to_owned(),
            why: "ash is reckoned against pure limestone; it stands on the label".to_owned(),
        })
    }

    fn spread_since_the_test(&self) -> Vec<Spread> {
        let sampled_on = self.test.map(|(_, sheet)| sheet.sampled_on);
        let mut spread = self.spread(&[AmendmentKind::Lime, AmendmentKind::Ash]);
        spread.retain(|one| sampled_on.is_some_and(|day| one.record.day > day));
        spread
    }

    fn due(
        &self,
        need: &LimeNeed,
        limed: &[Spread],
        texture: Option<Texture>,
    ) -> Result<DuePlan, Refusal> {
        let product = garden_lime(self.garden)
            .map_or_else(|| Product::of(ProductKind::Ground), GardenLime::product);
        // Of an estimate the lower end is planned: lime can be added after the next test and cannot be taken out.
        let asked = need.range.map_or(need.rate, |(low, _)| low);
        let mut answer = product_rate(asked, need.basis, &product, self.units)?;
        if need.range.is_some() {
            answer = answer.on("The lower end of the estimate, until the next test.");
        }
        let mass = self.still_due(answer.result.rate, &product)?;
        let rate = mass.result;
        let mass = mass.map(|rate| rate.over(self.area));
        let doses = doses::plan(&DoseCase {
            rate,
            area: self.area,
            placement: self.asked.placement,
            is_sandy: texture == Some(Texture::Sand),
            first_on: self.first_on(limed),
            manure_on: self.manured(),
            crop_on: None,
            test_on: None,
            units: self.units,
        });
        Ok(DuePlan {
            product: answer,
            rate,
            mass,
            doses,
        })
    }

    /// What is left of a rate after what was spread since the sample was taken; lime as it is sold, ash as what it replaces.
    fn still_due(&self, whole: Rate, product: &Product) -> Result<Reckoning<Rate>, Refusal> {
        let source = Source::arithmetic(
            "The product's rate, less what was spread since the sample was taken, on the area of the bed.",
        );
        let mut left = whole;
        let mut steps = vec![Step::new("For the need", whole.show(self.units))];
        for one in self.spread_since_the_test() {
            let spread = self.rate_of(&one)?;
            let (had, label) = if one.record.what == AmendmentKind::Ash {
                let label = format!("Less the ash of {}, as lime", one.record.day);
                (as_product(spread, product), label)
            } else {
                (spread, format!("Less the lime of {}", one.record.day))
            };
            left = left.less(had);
            steps.push(Step::new(label, had.show(self.units)));
        }
        let mut answer = Reckoning::new(left, source);
        answer.steps = steps;
        Ok(answer
            .step(Step::new("Still due", left.show(self.units)))
            .step(Step::sum(
                format!("On {}", self.area.show(self.units)),
                left.over(self.area).show(self.units),
            ))
            .rounded("To the nearest gram."))
    }

    /// The first day for the next dose: half a year after the lime that the bed had last.
    fn first_on(&self, limed: &[Spread]) -> Day {
        let last = limed.last().map(|one| one.record.day);
        let today = self.asked.today;
        last.map_or(today, |last| today.max(last.plus_months(MONTHS_BETWEEN)))
    }

    fn manured(&self) -> Vec<Day> {
        let kinds = [AmendmentKind::RawManure, AmendmentKind::CompostedManure];
        let spread = self.spread(&kinds);
        spread.iter().map(|one| one.record.day).collect()
    }
}

/// The lime of this product that ash stands for; of a weak product it takes more. Where the label does not say how strong it
/// is, it is taken as pure.
fn as_product(ash: Rate, product: &Product) -> Rate {
    let pure = ash::replaces(ash).unwrap_or(ash);
    let hundred = Percent::HUNDRED.hundredths();
    let of_product = product
        .cce
        .and_then(|cce| pure.scaled(hundred, cce.hundredths()));
    of_product.unwrap_or(pure)
}

/// The pH to reckon with: the bed's own aim, or where the laboratory's rule is printed for certain targets the nearest of them
/// that suits the crops, the lower one of two.
fn aim(target: &BedTarget, report: &TestReport) -> Ph {
    let suits = |ph: &Ph| {
        target.least.is_none_or(|least| *ph >= least) && target.most.is_none_or(|most| *ph <= most)
    };
    let far = |ph: &Ph| (ph.hundredths() - target.aim.hundredths()).abs();
    printed_targets(report)
        .into_iter()
        .filter(suits)
        .min_by_key(|ph| (far(ph), *ph))
        .unwrap_or(target.aim)
}
