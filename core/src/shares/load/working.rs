//! How a shared load is explained: each account's own working, the working of the whole, and the table as text.

use std::fmt;

use super::super::accounts::{Account, Holding};
use super::super::apportion::{HAMILTON_IN_WORDS, apportion};
use super::super::packs::Bags;
use super::{AccountShare, LoadCase, LoadShares};
use crate::quantities::{Area, Mass, Money};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// From this weight on a bag needs two people (40 lb from the ground; 22 lb is the recommended limit for one).
const HEAVY_BAG: Mass = Mass::from_grams(10_000);

/// The load as a whole, from which each account takes its part.
pub(super) struct Whole<'case, B, M> {
    pub(super) case: &'case LoadCase<B, M>,
    pub(super) area: Area,
    pub(super) bags: Bags,
    pub(super) goods: Money,
}

impl<B, M: Clone + PartialEq> Whole<'_, B, M> {
    pub(super) fn accounts(
        &self,
        holdings: &[Holding<M>],
        bed_masses: &[i64],
    ) -> Result<Vec<AccountShare<M>>, Refusal> {
        let areas: Vec<i64> = holdings
            .iter()
            .map(|holding| holding.area().mm2())
            .collect();
        let goods = apportion(self.goods.minor(), &areas)?;
        let delivery = apportion(self.case.delivery.minor(), &areas)?;
        let bags = apportion(self.bags.count, &areas)?;
        let mut shares = Vec::with_capacity(holdings.len());
        for (((holding, goods), delivery), bags) in
            holdings.iter().zip(goods).zip(delivery).zip(bags)
        {
            let on_beds = Mass::from_grams(holding.part_of(bed_masses, &self.case.beds)?);
            let in_shed = if holding.account == Account::Garden {
                self.bags.left_over
            } else {
                Mass::ZERO
            };
            let mut share = AccountShare {
                account: holding.account.clone(),
                area: holding.area(),
                mass: [on_beds, in_shed].into_iter().sum(),
                bags,
                goods: Money::from_minor(goods),
                delivery: Money::from_minor(delivery),
                pays: Money::from_minor(goods + delivery),
                steps: Vec::new(),
            };
            share.steps = self.account_steps(holding, &share, on_beds);
            shares.push(share);
        }
        Ok(shares)
    }

    fn account_steps(
        &self,
        holding: &Holding<M>,
        share: &AccountShare<M>,
        on_beds: Mass,
    ) -> Vec<Step> {
        let (units, currency) = (self.case.units, self.case.currency);
        let mut steps = vec![Step::new("Rate", self.case.rate.show(units))];
        steps.extend(holding.area_steps(&self.case.beds, units));
        if !holding.portions.is_empty() {
            let label = format!(
                "{} for {}",
                self.case.material,
                holding.bed_words(&self.case.beds)
            );
            steps.push(Step::new(label, on_beds.show(units)));
        }
        if holding.account == Account::Garden && self.bags.left_over.is_positive() {
            steps.push(Step::new(
                "Above the need, kept in the shed",
                self.bags.left_over.show_apart(units).to_string(),
            ));
        }
        steps.push(Step::new(
            format!("Whole bags to take, of {}", self.bags.count),
            share.bags.to_string(),
        ));
        let of = format!("{} of {}", share.area.show(units), self.area.show(units));
        steps.push(Step::new(
            format!("Bags {} by area, {of}", self.goods.show(currency)),
            share.goods.show(currency),
        ));
        steps.push(Step::new(
            format!("Delivery {} by area", self.case.delivery.show(currency)),
            share.delivery.show(currency),
        ));
        steps.push(Step::sum("To pay", share.pays.show(currency)));
        steps
    }

    pub(super) fn with_working(&self, shares: LoadShares<B, M>) -> Reckoning<LoadShares<B, M>> {
        let (units, currency) = (self.case.units, self.case.currency);
        let bag = self.case.bag.show(units);
        let steps = [
            Step::new("Rate", self.case.rate.show(units)),
            Step::new(
                format!("Area of {} beds", self.case.beds.len()),
                self.area.show(units),
            ),
            Step::new(
                format!("{} needed", self.case.material),
                shares.need.show(units),
            ),
            Step::new(format!("Whole bags of {bag}"), self.bags.count.to_string()),
            Step::new("In them", self.bags.bought.show(units)),
            Step::new(
                "Above the need, kept in the shed",
                self.bags.left_over.show_apart(units).to_string(),
            ),
            Step::new(
                format!(
                    "{} bags at {}",
                    self.bags.count,
                    self.case.bag_price.show(currency)
                ),
                self.goods.show(currency),
            ),
            Step::new("Delivery", self.case.delivery.show(currency)),
            Step::sum("Whole bill", shares.total.show(currency)),
        ];
        let rounding = format!(
            "Grams, bags and the smallest coin are shared by {HAMILTON_IN_WORDS}. Each column adds up to the whole: {} exactly.",
            shares.total.show(currency)
        );
        let source =
            Source::arithmetic("Rate and prices as put in; shared by bed area, the garden's rule.");
        let mut answer = Reckoning::new(shares, source)
            .on("Bed areas as drawn on the plan; a bed with several holders counts for each by parts.")
            .on("What is bought above the need stays in the shed on the garden's account; its cost is shared like the rest.")
            .rounded(rounding);
        answer.steps.extend(steps);
        cautions(&self.case.material, self.case.bag)
            .into_iter()
            .fold(answer, Reckoning::caution)
    }
}

/// What to be careful about with this material, as far as its name tells, and with bags of this weight.
pub(in crate::shares) fn cautions(material: &str, bag: Mass) -> Vec<Caution> {
    const BY_WORD: [(&str, Caution); 6] = [
        ("lime", Caution::LimeDust),
        ("dolomit", Caution::LimeDust),
        ("chalk", Caution::LimeDust),
        ("marl", Caution::LimeDust),
        ("ash", Caution::WoodAsh),
        ("manure", Caution::RawManure),
    ];
    let name = material.to_lowercase();
    let named = BY_WORD
        .iter()
        .filter(|(word, _)| name.contains(word))
        .map(|(_, caution)| *caution);
    named
        .chain((bag >= HEAVY_BAG).then_some(Caution::Lifting))
        .collect()
}

/// The whole in a sentence, then one line for each account.
impl<B, M: fmt::Display> fmt::Display for LoadShares<B, M> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (units, currency) = (self.units, self.currency);
        let whole = (
            self.need.show(units),
            self.area.show(units),
            self.total.show(currency),
        );
        writeln!(
            out,
            "{}: {} for {}, {} bags, {}",
            self.material, whole.0, whole.1, self.bags, whole.2
        )?;
        for share in &self.accounts {
            let name = match &share.account {
                Account::Member(member) => member.to_string(),
                Account::Garden => "Garden".to_owned(),
            };
            let columns = (
                share.area.show(units),
                share.mass.show_apart(units).to_string(),
                share.pays.show(currency),
            );
            writeln!(
                out,
                "  {name:20} {:>14} {:>12} {:>3} bags {:>12}",
                columns.0, columns.1, share.bags, columns.2
            )?;
        }
        Ok(())
    }
}
