//! Whose ground it is: from beds with their holders to one account each, and one for the garden's common beds.

use serde::Serialize;

use super::apportion::apportion;
use crate::quantities::{Area, Units};
use crate::reckoning::{Refusal, Step};

/// The most beds that share one thing.
const MOST_BEDS: usize = 2_000;
/// The most people that hold one bed together.
const MOST_HOLDERS: usize = 50;
/// The most parts that one person can hold of a bed.
const MOST_PARTS: u32 = 1_000;
/// The largest bed: a square kilometre.
const LARGEST: Area = Area::from_mm2(1_000_000_000_000);
/// A working that lists more beds than this sums them up instead.
const MOST_LISTED: usize = 6;

/// A bed that takes part in sharing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LoadBed<B, M> {
    /// Which bed.
    pub bed: B,
    /// Its label on the plan.
    pub label: String,
    /// Its area.
    pub area: Area,
    /// Who holds it, with how many parts each; nobody for a common bed.
    pub holders: Vec<(M, u32)>,
}

/// Who a share is charged to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Account<M> {
    /// One member.
    Member(M),
    /// Everybody together: the common beds and what stays in the shed.
    Garden,
}

/// One account's ground.
#[derive(Clone, Debug)]
pub(super) struct Holding<M> {
    pub(super) account: Account<M>,
    pub(super) portions: Vec<Portion>,
}

/// One account's part of one bed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Portion {
    /// Which bed, by its place in the list.
    pub(super) bed: usize,
    /// Which of the bed's holders, by place.
    holder: usize,
    parts: u32,
    of: u32,
    pub(super) area: Area,
}

impl<M> Holding<M> {
    pub(super) fn area(&self) -> Area {
        self.portions.iter().map(|portion| portion.area).sum()
    }

    /// The lines of working that lead to this account's area.
    pub(super) fn area_steps<B>(&self, beds: &[LoadBed<B, M>], units: Units) -> Vec<Step> {
        let mut steps = Vec::new();
        if self.portions.len() <= MOST_LISTED {
            for portion in &self.portions {
                let label = beds.get(portion.bed).map_or("", |bed| bed.label.as_str());
                let parts = if portion.parts == portion.of {
                    String::new()
                } else {
                    format!(", {} of {} parts", portion.parts, portion.of)
                };
                steps.push(Step::new(
                    format!("Area of {label}{parts}"),
                    portion.area.show(units),
                ));
            }
        }
        if self.portions.len() != 1 {
            let label = format!("Area of {} beds together", self.portions.len());
            steps.push(Step {
                label,
                value: self.area().show(units),
                is_sum: steps.len() > 1,
            });
        }
        steps
    }

    /// This account's beds by their labels, or how many they are.
    pub(super) fn bed_words<B>(&self, beds: &[LoadBed<B, M>]) -> String {
        if self.portions.len() > MOST_LISTED {
            return format!("{} beds", self.portions.len());
        }
        let labels = self
            .portions
            .iter()
            .filter_map(|portion| beds.get(portion.bed))
            .map(|bed| bed.label.as_str());
        labels.collect::<Vec<_>>().join(", ")
    }

    /// What comes to this account when every bed has this amount.
    pub(super) fn part_of<B>(
        &self,
        amounts: &[i64],
        beds: &[LoadBed<B, M>],
    ) -> Result<i64, Refusal> {
        let mut sum = 0_i64;
        for portion in &self.portions {
            let (Some(&amount), Some(bed)) = (amounts.get(portion.bed), beds.get(portion.bed))
            else {
                continue;
            };
            // Parts of one whole that fits: the sum fits too.
            sum += split(amount, bed)?
                .get(portion.holder)
                .copied()
                .unwrap_or(0);
        }
        Ok(sum)
    }
}

/// The accounts of these beds: members in the order in which they first hold one, then the garden if a bed is common.
pub(super) fn holdings<B: PartialEq, M: Clone + Ord>(
    beds: &[LoadBed<B, M>],
) -> Result<Vec<Holding<M>>, Refusal> {
    check(beds)?;
    let mut members: Vec<Holding<M>> = Vec::new();
    let mut common = Holding {
        account: Account::Garden,
        portions: Vec::new(),
    };
    for (index, bed) in beds.iter().enumerate() {
        if bed.holders.is_empty() {
            common.portions.push(Portion {
                bed: index,
                holder: 0,
                parts: 1,
                of: 1,
                area: bed.area,
            });
            continue;
        }
        let of = bed.holders.iter().map(|(_, parts)| parts).sum();
        let areas = split(bed.area.mm2(), bed)?;
        for (holder, ((member, parts), area)) in bed.holders.iter().zip(areas).enumerate() {
            let portion = Portion {
                bed: index,
                holder,
                parts: *parts,
                of,
                area: Area::from_mm2(area),
            };
            let account = Account::Member(member.clone());
            match members
                .iter_mut()
                .find(|holding| holding.account == account)
            {
                Some(holding) => holding.portions.push(portion),
                None => members.push(Holding {
                    account,
                    portions: vec![portion],
                }),
            }
        }
    }
    if !common.portions.is_empty() {
        members.push(common);
    }
    Ok(members)
}

/// An amount of a bed by its holders' parts; all of it to the garden where nobody holds it.
fn split<B, M>(amount: i64, bed: &LoadBed<B, M>) -> Result<Vec<i64>, Refusal> {
    if bed.holders.is_empty() {
        return Ok(vec![amount]);
    }
    let parts: Vec<i64> = bed
        .holders
        .iter()
        .map(|(_, parts)| i64::from(*parts))
        .collect();
    apportion(amount, &parts)
}

fn check<B: PartialEq, M: PartialEq>(beds: &[LoadBed<B, M>]) -> Result<(), Refusal> {
    if beds.is_empty() || beds.len() > MOST_BEDS {
        return Err(Refusal::bad(
            "beds",
            format!("1 to {MOST_BEDS} beds"),
            format!("{} beds", beds.len()),
        ));
    }
    for (index, bed) in beds.iter().enumerate() {
        let name = |what: &str| format!("{what} of bed {}", bed.label);
        if !bed.area.is_positive() || bed.area > LARGEST {
            let came = format!("{} mm²", bed.area.mm2());
            return Err(Refusal::bad(
                name("area"),
                "more than nothing and at most 1 km²",
                came,
            ));
        }
        if beds.iter().take(index).any(|other| other.bed == bed.bed) {
            return Err(Refusal::bad(
                "beds",
                "each bed once",
                format!("{} twice", bed.label),
            ));
        }
        if bed.holders.len() > MOST_HOLDERS {
            let came = format!("{} holders", bed.holders.len());
            return Err(Refusal::bad(
                name("holders"),
                format!("at most {MOST_HOLDERS}"),
                came,
            ));
        }
        for (place, (member, parts)) in bed.holders.iter().enumerate() {
            if !(1..=MOST_PARTS).contains(parts) {
                return Err(Refusal::bad(
                    name("parts"),
                    format!("1 to {MOST_PARTS} parts a holder"),
                    parts.to_string(),
                ));
            }
            if bed
                .holders
                .iter()
                .take(place)
                .any(|(other, _)| other == member)
            {
                return Err(Refusal::bad(
                    name("holders"),
                    "each holder once",
                    "one of them twice",
                ));
            }
        }
    }
    Ok(())
}
