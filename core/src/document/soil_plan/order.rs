//! The lime of several beds as the start of one order.

use super::BedPlan;
use crate::document::ids::BedId;
use crate::document::records::GardenLime;
use crate::document::{Garden, bed_soil};
use crate::ordered::Map;
use crate::quantities::{Area, Mass, Money, Rate};

/// The start of an order of lime.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimeOrder {
    /// What is ordered.
    pub material: String,
    /// What all the beds are due together.
    pub need: Mass,
    /// The ground that it goes on.
    pub area: Area,
    /// What that comes to on the average.
    pub rate: Rate,
    /// What each bed is due.
    pub beds: Map<BedId, Mass>,
    /// The beds that get nothing of it.
    pub left_out: Map<BedId, bool>,
    /// How much is in one bag, where the label says so.
    pub bag: Option<Mass>,
    /// What one bag costs, where somebody knows.
    pub bag_price: Option<Money>,
}

impl LimeOrder {
    /// Whether one rate says less than the beds' own amounts.
    pub fn is_an_average(&self, garden: &Garden) -> bool {
        self.beds
            .iter()
            .any(|(bed, mass)| self.rate.over(bed_soil::area(garden, *bed)) != *mass)
    }
}

/// An order of what these beds are due together; nothing where none of them is due any.
pub fn lime_order(garden: &Garden, plans: &[BedPlan]) -> Option<LimeOrder> {
    let mut beds = Map::new();
    for plan in plans {
        if let Some(mass) = plan.lime_due().filter(|mass| mass.is_positive()) {
            beds.insert(plan.bed, mass);
        }
    }
    let need: Mass = beds.values().copied().sum();
    let area: Area = beds.keys().map(|bed| bed_soil::area(garden, *bed)).sum();
    let lime: Option<&GardenLime> = garden
        .profile
        .as_ref()
        .and_then(|profile| profile.lime.as_ref());
    let mut left_out = Map::new();
    for (bed, record) in &garden.beds {
        if record.ended_on.is_none() && !beds.contains_key(bed) {
            left_out.insert(*bed, true);
        }
    }
    Some(LimeOrder {
        material: lime.map_or_else(|| "Ground limestone".to_owned(), |lime| lime.name.clone()),
        need,
        area,
        rate: Rate::spread(need, area)?,
        beds,
        left_out,
        bag: lime.and_then(|lime| lime.bag),
        bag_price: lime.and_then(|lime| lime.bag_price),
    })
}
