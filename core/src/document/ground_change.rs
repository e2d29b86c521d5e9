//! What a new outline of a bed changes elsewhere, named before it is drawn for good.
//!
//! Open orders, open jobs and the rows of what is planted follow the outline; what is closed keeps the areas that it was closed with,
//! and so is only counted here, to be told that it stays.

use super::garden::Garden;
use super::ids::{BedId, JobId, OrderId, PlantingId};
use super::records::{AmountsFrom, Order, OrderLine, Planting};
use crate::geometry::Outline;
use crate::quantities::{Area, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// What a new outline of a bed changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutlineChange {
    /// The bed's area now.
    pub before: Area,
    /// The bed's area afterwards.
    pub after: Area,
    /// Open orders of which the bed's part changes, with the materials.
    pub orders: Vec<(OrderId, Vec<String>)>,
    /// Shared jobs whose hours fall by bed area and are not closed.
    pub jobs: Vec<JobId>,
    /// Plantings whose rows are laid anew: those all over the bed, and those whose part no longer lies in it.
    pub plantings: Vec<PlantingId>,
    /// How many orders and jobs are closed with the old area and stay as they are.
    pub closed: usize,
}

impl OutlineChange {
    /// Whether anything but the bed itself follows the new outline.
    pub fn reaches_elsewhere(&self) -> bool {
        !self.orders.is_empty() || !self.jobs.is_empty() || !self.plantings.is_empty()
    }
}

/// What follows if a bed gets this outline. With the same area no order and no job follows, wherever it lies.
pub fn of_outline(
    garden: &Garden,
    bed: BedId,
    outline: &Outline,
) -> Result<Reckoning<OutlineChange>, Refusal> {
    let record = garden.open_bed(bed).ok_or_else(|| Refusal::Missing {
        what: "The bed".to_owned(),
        why: "it is not there or was given up".to_owned(),
    })?;
    let (before, after) = (record.outline.area(), outline.area());
    let mut change = OutlineChange {
        before,
        after,
        orders: Vec::new(),
        jobs: Vec::new(),
        plantings: Vec::new(),
        closed: 0,
    };
    if record.outline != *outline {
        change.plantings = plantings_on(garden, bed, outline);
    }
    if before != after {
        collect(garden, bed, &mut change);
    }
    let units = units_of(garden);
    let source = Source::arithmetic("The outline as it stands, and the one drawn now.");
    let mut answer = Reckoning::new(change, source)
        .step(Step::new("Area now", before.show(units)))
        .step(Step::sum("Area then", after.show(units)));
    for (order, materials) in &answer.result.orders.clone() {
        let title = garden
            .order(*order)
            .map_or("An order", |(_, order)| &order.title);
        answer = answer.step(Step::new(
            format!("Open order: {title}"),
            materials.join(", "),
        ));
    }
    for job in &answer.result.jobs.clone() {
        let title = garden.job(*job).map_or("A job", |(_, job)| &job.title);
        answer = answer.step(Step::new(
            format!("Hours by area: {title}"),
            "change with it",
        ));
    }
    let rows = answer.result.plantings.len();
    if rows > 0 {
        answer = answer.step(Step::new("Rows laid anew", format!("{rows} plantings")));
    }
    let closed = answer.result.closed;
    if closed > 0 {
        answer = answer.on(format!(
            "Closed already and left as they are: {closed} of orders and jobs."
        ));
    }
    Ok(answer.on("Lime, compost and seed for the bed are worked out anew from the new area."))
}

fn collect(garden: &Garden, bed: BedId, change: &mut OutlineChange) {
    for ledger in garden.ledgers.values() {
        for (id, order) in &ledger.orders {
            let materials = materials_by_area(order, bed);
            if materials.is_empty() || order.ended_on.is_some() {
                continue;
            }
            if order.closed.is_some() {
                change.closed += 1;
            } else {
                change.orders.push((*id, materials));
            }
        }
    }
    for season in garden.seasons.values() {
        for (id, job) in &season.jobs {
            let left_out = job.beds_left_out.get(&bed).copied().unwrap_or(false);
            if left_out || job.ended_on.is_some() {
                continue;
            }
            if job.closed.is_some() {
                change.closed += 1;
            } else {
                change.jobs.push(*id);
            }
        }
    }
}

fn plantings_on(garden: &Garden, bed: BedId, outline: &Outline) -> Vec<PlantingId> {
    let seasons = garden.seasons.values();
    let follows = |planting: &Planting| {
        let outside = |part: &Outline| !part.corners().iter().all(|it| outline.contains(*it));
        planting.bed == bed && planting.is_open() && planting.part.as_ref().is_none_or(outside)
    };
    seasons
        .flat_map(|season| &season.plantings)
        .filter(|(_, planting)| follows(planting))
        .map(|(id, _)| *id)
        .collect()
}

fn materials_by_area(order: &Order, bed: BedId) -> Vec<String> {
    let by_area = |line: &OrderLine| match line.amounts {
        AmountsFrom::Wishes => false,
        AmountsFrom::Beds => !line.own.contains_key(&bed) && !left_out(line, bed),
        AmountsFrom::Even => !left_out(line, bed),
    };
    let lines = order.lines.values().filter(|line| by_area(line));
    lines.map(|line| line.material.clone()).collect()
}

fn left_out(line: &OrderLine, bed: BedId) -> bool {
    line.beds_left_out.get(&bed).copied().unwrap_or(false)
}

/// The garden's units; metric before its profile has come.
pub(super) fn units_of(garden: &Garden) -> Units {
    let profile = garden.profile.as_ref();
    profile.map_or(Units::Metric, |profile| profile.units)
}
