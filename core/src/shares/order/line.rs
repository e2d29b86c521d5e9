//! One material of an order: who needs, gets and pays how much of it.

use super::super::accounts::{Account, LoadBed};
use super::super::apportion::apportion;
use super::super::buying::{self, Bought, MOST};
use super::{
    BedAmount, BedPart, Ground, HandOut, LeftOver, LineCase, LinePart, LineShares, Need, OrderCase,
    ShareRule,
};
use crate::quantities::{Amount, Area, BadInput, Money};
use crate::reckoning::Refusal;

/// Shares one line out: the line, and the part of every account in the order of the accounts.
pub(super) fn share<B: Clone, M: Clone + Ord>(
    case: &OrderCase<B, M>,
    line: &LineCase<M>,
    ground: &Ground<M>,
) -> Result<(LineShares<B>, Vec<LinePart>), Refusal> {
    let on_beds = on_beds(&case.beds, line)?;
    let (mut needs, mut areas) = match &line.need {
        Need::Asked(asked) => (asked_by(asked, ground)?, areas(line, ground)),
        Need::Spread(_) | Need::Even(_) => (needs(case, &on_beds, ground)?, areas(line, ground)),
    };
    for account in &line.none_for {
        if let Some(need) = ground.place(account).and_then(|place| needs.get_mut(place)) {
            *need = 0;
        }
    }
    for (area, need) in areas.iter_mut().zip(&needs) {
        *area = if *need > 0 { *area } else { 0 };
    }
    let need = needs
        .iter()
        .try_fold(0_i64, |sum, need| sum.checked_add(*need))
        .filter(|sum| *sum <= MOST.count())
        .map(Amount::from_count)
        .ok_or_else(|| Refusal::bad("amount needed", "at most a billion base units", "more"))?;
    let bought = bought(line, need)?;
    let targets = targets(line, &needs, need.count(), bought.amount.count())?;
    let (amounts, packs) = handed_out(line, &bought, &targets)?;
    let goods = goods(line, &bought, (&needs, &areas, &amounts))?;
    let parts = parts(&needs, &areas, &amounts, packs, &goods);
    let left_over = bought
        .amount
        .checked_sub(need)
        .unwrap_or(Amount::ZERO)
        .max(Amount::ZERO);
    let amount_of_bed = |(bed, amount): (&LoadBed<B, M>, Option<i64>)| {
        amount.map(|amount| BedAmount {
            bed: bed.bed.clone(),
            area: bed.area,
            amount: Amount::from_count(amount),
        })
    };
    let shares = LineShares {
        need,
        counts: bought.counts,
        each: bought.each,
        bought: bought.amount,
        left_over,
        goods: bought.goods,
        area: Area::from_mm2(areas.iter().fold(0, |sum, area| sum.saturating_add(*area))),
        beds: case
            .beds
            .iter()
            .zip(on_beds)
            .filter_map(amount_of_bed)
            .collect(),
    };
    Ok((shares, parts))
}

/// Says of which line a refusal speaks.
pub(super) fn named(material: &str, refusal: Refusal) -> Refusal {
    if let Refusal::BadInput(bad) = refusal {
        let field = format!("{} of {material}", bad.field);
        Refusal::BadInput(BadInput { field, ..bad })
    } else {
        refusal
    }
}

fn part_of<M>(line: &LineCase<M>, bed: usize) -> BedPart {
    line.beds.get(bed).copied().unwrap_or_default()
}

/// What goes on each bed, nothing where a bed takes no part; nothing at all where amounts are asked for.
fn on_beds<B, M>(beds: &[LoadBed<B, M>], line: &LineCase<M>) -> Result<Vec<Option<i64>>, Refusal> {
    let mut amounts: Vec<Option<i64>> = vec![None; beds.len()];
    if let Need::Asked(_) = line.need {
        return Ok(amounts);
    }
    let mut by_rule = Vec::with_capacity(beds.len());
    for (place, (bed, amount)) in beds.iter().zip(&mut amounts).enumerate() {
        match part_of(line, place) {
            BedPart::ByRule => by_rule.push(bed.area.mm2()),
            BedPart::Own(own) if (Amount::ZERO..=MOST).contains(&own) => {
                *amount = Some(own.count());
            }
            BedPart::Own(own) => {
                let field = format!("amount for bed {}", bed.label);
                return Err(Refusal::bad(
                    field,
                    "nothing or more",
                    own.count().to_string(),
                ));
            }
            BedPart::LeftOut => {}
        }
    }
    if by_rule.is_empty() {
        return Ok(amounts);
    }
    let area = Area::from_mm2(
        by_rule
            .iter()
            .fold(0, |sum, area| sum.saturating_add(*area)),
    );
    let whole = match &line.need {
        Need::Spread(spread) => spread.over(area),
        Need::Even(total) => *total,
        Need::Asked(_) => Amount::ZERO,
    };
    let mut parts = apportion(whole.count(), &by_rule)?.into_iter();
    for (place, amount) in amounts.iter_mut().enumerate() {
        if part_of(line, place) == BedPart::ByRule {
            *amount = parts.next();
        }
    }
    Ok(amounts)
}

fn asked_by<M: Clone + Ord>(
    asked: &[(Account<M>, Amount)],
    ground: &Ground<M>,
) -> Result<Vec<i64>, Refusal> {
    let mut needs = vec![0; ground.accounts.len()];
    for (account, amount) in asked {
        if !(Amount::ZERO..=MOST).contains(amount) {
            let came = amount.count().to_string();
            return Err(Refusal::bad("amount asked for", "nothing or more", came));
        }
        if let Some(need) = ground.place(account).and_then(|place| needs.get_mut(place)) {
            *need += amount.count();
        }
    }
    Ok(needs)
}

fn needs<B, M: Clone + Ord>(
    case: &OrderCase<B, M>,
    on_beds: &[Option<i64>],
    ground: &Ground<M>,
) -> Result<Vec<i64>, Refusal> {
    let amounts: Vec<i64> = on_beds.iter().map(|amount| amount.unwrap_or(0)).collect();
    let need = |holding: &Option<_>| match holding {
        None => Ok(0),
        Some(holding) => super::Holding::part_of(holding, &amounts, &case.beds),
    };
    ground
        .accounts
        .iter()
        .map(|(_, holding)| need(holding))
        .collect()
}

/// The ground of every account that takes part in this line.
fn areas<M>(line: &LineCase<M>, ground: &Ground<M>) -> Vec<i64> {
    let counts = |bed: usize| part_of(line, bed) != BedPart::LeftOut;
    ground
        .accounts
        .iter()
        .map(|(_, holding)| {
            let portions = holding.iter().flat_map(|holding| &holding.portions);
            let areas = portions.filter(|portion| counts(portion.bed));
            areas.fold(0_i64, |sum, portion| sum.saturating_add(portion.area.mm2()))
        })
        .collect()
}

fn bought<M>(line: &LineCase<M>, need: Amount) -> Result<Bought, Refusal> {
    let Some(delivered) = &line.delivered else {
        return buying::cheapest(need, &line.offers, line.counted_in, line.loose);
    };
    let billed = buying::billed(&line.offers, delivered.counts.clone())?;
    let fits = |counts: &[i64]| {
        counts.len() == line.offers.len()
            && counts
                .iter()
                .all(|count| (0..=MOST.count()).contains(count))
    };
    let amount = if line.loose {
        delivered.amount
    } else if fits(&delivered.counts) {
        billed.amount
    } else {
        return Err(Refusal::bad(
            "packs delivered",
            "a number of each size",
            "another",
        ));
    };
    if !(Amount::ZERO..=MOST).contains(&amount)
        || !(Money::ZERO..=buying::HIGHEST).contains(&delivered.goods)
    {
        return Err(Refusal::bad(
            "delivered",
            "an amount and a price of nothing or more",
            "another",
        ));
    }
    Ok(Bought {
        counts: if line.loose {
            Vec::new()
        } else {
            delivered.counts.clone()
        },
        each: billed.each,
        amount,
        goods: delivered.goods,
    })
}

/// What everybody is to get of what was bought; sums to it.
fn targets<M>(
    line: &LineCase<M>,
    needs: &[i64],
    need: i64,
    bought: i64,
) -> Result<Vec<i64>, Refusal> {
    if need > 0 && (bought < need || line.left_over == LeftOver::Shared) {
        return apportion(bought, needs);
    }
    let mut targets = needs.to_vec();
    // The garden stands last and is always there.
    if let Some(garden) = targets.last_mut() {
        *garden += bought - need;
    }
    Ok(targets)
}

/// How many packs of each offer everybody gets, when they are handed out whole.
type Packs = Option<Vec<Vec<i64>>>;

/// What everybody gets, and in how many packs of each size.
fn handed_out<M>(
    line: &LineCase<M>,
    bought: &Bought,
    targets: &[i64],
) -> Result<(Vec<i64>, Packs), Refusal> {
    if line.loose || line.hand_out == HandOut::Loose {
        return Ok((targets.to_vec(), None));
    }
    let mut packs = vec![vec![0; line.offers.len()]; targets.len()];
    let mut amounts = vec![0_i64; targets.len()];
    let mut sizes: Vec<(i64, usize)> = line
        .offers
        .iter()
        .enumerate()
        .map(|(place, offer)| (offer.size.count(), place))
        .collect();
    sizes.sort_by_key(|(size, place)| (std::cmp::Reverse(*size), *place));
    for (size, place) in sizes {
        let count = bought.counts.get(place).copied().unwrap_or(0);
        if count == 0 {
            continue;
        }
        let mut missing: Vec<i64> = targets
            .iter()
            .zip(&amounts)
            .map(|(target, has)| (target - has).max(0))
            .collect();
        if missing.iter().all(|missing| *missing == 0) {
            missing = targets.to_vec();
        }
        let parts = apportion(count, &missing)?;
        for ((amount, packs), part) in amounts.iter_mut().zip(&mut packs).zip(parts) {
            *amount += part * size;
            if let Some(pack) = packs.get_mut(place) {
                *pack = part;
            }
        }
    }
    Ok((amounts, Some(packs)))
}

/// What everybody pays for the goods.
fn goods<M>(
    line: &LineCase<M>,
    bought: &Bought,
    (needs, areas, amounts): (&[i64], &[i64], &[i64]),
) -> Result<Vec<i64>, Refusal> {
    let weights = match line.rule {
        ShareRule::Need => needs.to_vec(),
        ShareRule::Area => areas.to_vec(),
        ShareRule::Taken => amounts.to_vec(),
        ShareRule::Equal => needs.iter().map(|need| i64::from(*need > 0)).collect(),
    };
    if weights.iter().any(|weight| *weight > 0) {
        return apportion(bought.goods.minor(), &weights);
    }
    if line.rule == ShareRule::Area && needs.iter().any(|need| *need > 0) {
        return Err(Refusal::bad(
            "sharing by bed area",
            "at least one bed of somebody who takes part",
            "none",
        ));
    }
    // What came although nobody takes of it is the garden's.
    let mut parts = vec![0; needs.len()];
    if let Some(garden) = parts.last_mut() {
        *garden = bought.goods.minor();
    }
    Ok(parts)
}

fn parts(
    needs: &[i64],
    areas: &[i64],
    amounts: &[i64],
    packs: Packs,
    goods: &[i64],
) -> Vec<LinePart> {
    let mut packs = packs.unwrap_or_default().into_iter();
    needs
        .iter()
        .zip(areas)
        .zip(amounts)
        .zip(goods)
        .map(|(((need, area), amount), goods)| LinePart {
            need: Amount::from_count(*need),
            area: Area::from_mm2(*area),
            amount: Amount::from_count(*amount),
            packs: packs.next().unwrap_or_default(),
            goods: Money::from_minor(*goods),
        })
        .collect()
}
