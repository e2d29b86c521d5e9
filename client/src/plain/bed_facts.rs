//! What stands on a bed's sheet: its part of each load, and what was picked from it this season.

use selion_core::document::ids::{BedId, OrderId};
use selion_core::document::records::{Order, Picked};
use selion_core::document::{Garden, shared_out};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Mass, Units};
use selion_core::reckoning::Step;

use super::order_form::mass_unit;
use super::wording::day_words;

/// A bed's part of a load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadOfBed {
    /// Which order.
    pub order: OrderId,
    /// What the load is.
    pub material: String,
    /// How much goes on this bed.
    pub mass: String,
    /// When it comes, or when it was closed.
    pub small: String,
    /// How the weight comes about.
    pub steps: Vec<Step>,
    /// Whether the shares are frozen.
    pub is_closed: bool,
}

/// The bed's part of every load that was not called off, open ones first.
pub fn loads(garden: &Garden, bed: BedId, today: Day, units: Units) -> Vec<LoadOfBed> {
    let orders = garden.ledgers.values().flat_map(|ledger| &ledger.orders);
    let mut loads: Vec<LoadOfBed> = orders
        .filter(|(_, order)| order.ended_on.is_none())
        .flat_map(|(id, order)| of_order(garden, (*id, order), bed, (today, units)))
        .collect();
    ordered::sort_by_key(&mut loads, |load| load.is_closed);
    loads
}

/// A bed's part of each line of an order that has one for it, as it would be or as it was frozen.
fn of_order(
    garden: &Garden,
    (id, order): (OrderId, &Order),
    bed: BedId,
    (today, units): (Day, Units),
) -> Vec<LoadOfBed> {
    let Ok(standing) = shared_out::standing(garden, order) else {
        return Vec::new();
    };
    let small = match standing.closed_on {
        Some(on) => format!("Closed {}", day_words(on, today)),
        None if order.arrives.is_empty() => "Open".to_owned(),
        None => format!("Open · {}", order.arrives),
    };
    let lines = order.lines.values().zip(&standing.shares().lines);
    lines
        .filter_map(|(line, shared)| {
            let part = shared.beds.iter().find(|part| part.bed == bed)?;
            let show = |amount| line.counted_in.show(amount, units);
            let (area, amount) = (part.area.show(units), show(part.amount));
            let (whole, need) = (shared.area.show(units), show(shared.need));
            Some(LoadOfBed {
                order: id,
                material: line.material.clone(),
                steps: vec![
                    Step::new("Rate", line.rate_as_typed.clone()),
                    Step::new("Area of this bed", area),
                    Step::new(format!("Needed for {whole}"), need),
                    Step::sum("By area, for this bed", amount.clone()),
                ],
                mass: amount,
                small: small.clone(),
                is_closed: order.closed.is_some(),
            })
        })
        .collect()
}

/// What was picked of one crop.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PickedCrop {
    /// The crop, as it was first written.
    pub crop: String,
    /// How often.
    pub times: usize,
    /// All of it.
    pub mass: Mass,
    /// Of that, what was given away.
    pub given_away: Mass,
}

/// What was picked from a bed in a season, by crop, in the order of the alphabet.
pub fn picked(garden: &Garden, bed: BedId, year: i16) -> Vec<PickedCrop> {
    let mut crops: Map<String, PickedCrop> = Map::new();
    let season = garden.seasons.get(&year);
    let pickings = season
        .into_iter()
        .flat_map(|season| season.pickings.values())
        .filter(|picking| picking.bed == bed && picking.ended_on.is_none());
    for picking in pickings {
        let name = picking.crop.trim();
        let crop = crops
            .entry(name.to_lowercase())
            .or_insert_with(|| PickedCrop {
                crop: name.to_owned(),
                ..PickedCrop::default()
            });
        crop.times += 1;
        crop.mass = [crop.mass, picking.mass].into_iter().sum();
        if picking.picked == Picked::GivenAway {
            crop.given_away = [crop.given_away, picking.mass].into_iter().sum();
        }
    }
    crops.into_values().collect()
}

/// The heads of the table of what was picked.
pub fn picked_heads(units: Units) -> Vec<String> {
    ["Crop", "times", mass_unit(units), "given away"]
        .map(ToOwned::to_owned)
        .to_vec()
}

impl PickedCrop {
    /// Its row in the table.
    pub fn cells(&self, units: Units) -> Vec<String> {
        vec![
            self.crop.clone(),
            self.times.to_string(),
            self.mass.show_apart(units).number,
            self.given_away.show_apart(units).number,
        ]
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::ids::PickingId;
    use selion_core::document::records::Picking;
    use selion_core::quantities::{Currency, Moment};

    use super::*;
    use crate::plain::order_form::OrderTyped;
    use crate::plain::sample::{bed, day, garden, lime, member};

    fn with_orders() -> Garden {
        let typed = OrderTyped {
            arrives: "Tuesday".into(),
            ..lime("75", "3 lb", "2.01")
        };
        let dollars = Currency::new("USD").unwrap();
        let open = typed.read(Units::UsCustomary, dollars, None).unwrap();
        let mut garden = garden();
        let shares = shared_out::order(&garden, &open).unwrap().result;
        let mut closed = open.clone();
        closed.closed = Some(shared_out::freeze(
            &garden,
            &open,
            day("2026-03-02"),
            &shares,
        ));
        let mut ledger = Ledger::default();
        for (number, order) in (1..).zip([closed, open]) {
            let id = OrderId::fresh(Moment::from_millis(number), [0; 10]);
            ledger.orders.insert(id, Arc::new(order));
        }
        garden.ledgers.insert(2026, ledger);
        garden
    }

    #[test]
    fn open_loads_stand_first_and_closed_ones_show_what_was_frozen() {
        let loads = loads(
            &with_orders(),
            bed(1),
            day("2026-03-05"),
            Units::UsCustomary,
        );
        let lines: Vec<String> = loads
            .iter()
            .map(|load| format!("{} {}: {}", load.material, load.mass, load.small))
            .collect();
        let expected = [
            "Ground limestone 2.4 lb: Open · Tuesday",
            "Ground limestone 2.4 lb: Closed Mon 2 March",
        ];
        assert_eq!(lines, expected);
        let last = loads[0].steps.last().unwrap();
        assert_eq!(last, &Step::sum("By area, for this bed", "2.4 lb"));
    }

    #[test]
    fn pickings_of_one_crop_come_together_whatever_its_capitals() {
        let mut garden = garden();
        let season = garden.seasons.get_mut(&2026).unwrap();
        let rows = [
            (1, "Beans", 500, Picked::Kept),
            (1, "beans ", 300, Picked::GivenAway),
            (2, "beans", 900, Picked::Kept),
        ];
        for (number, (of, crop, grams, became)) in (1..).zip(rows) {
            let picking = Picking {
                parts: None,
                planting: None,
                bed: bed(of),
                day: day("2026-07-01"),
                crop: crop.into(),
                mass: Mass::from_grams(grams),
                picked: became,
                member: member(1),
                turn: None,
                word: String::new(),
                ended_on: None,
            };
            let id = PickingId::fresh(Moment::from_millis(number), [0; 10]);
            season.pickings.insert(id, Arc::new(picking));
        }
        let crops = picked(&garden, bed(1), 2026);
        let cells: Vec<_> = crops.iter().map(|crop| crop.cells(Units::Metric)).collect();
        assert_eq!(cells, [["Beans", "2", "0.8", "0.3"]]);
        assert!(picked(&garden, bed(1), 2025).is_empty());
    }
}
