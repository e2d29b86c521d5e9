//! The working of figures that stand in the records: a bed's area, and the shares of an order that was closed.
//!
//! A closed order is explained from what was frozen with it; nothing of it is worked out anew.

use super::records::{Bed, ClosedOrder, ClosedShare, Order, Payer};
use crate::quantities::{Area, Currency, Mass, Money, Units};
use crate::reckoning::{Reckoning, Source, Step};

/// A bed's area, from its sides where it is a rectangle, from its corners elsewhere.
pub fn bed_area(bed: &Bed, units: Units) -> Reckoning<Area> {
    let area = bed.outline.area();
    let source = Source::arithmetic("The outline of the bed, as drawn on the plan.");
    let mut answer = Reckoning::new(area, source);
    if let Some((one, other)) = bed.outline.sides() {
        let (long, short) = (one.max(other), one.min(other));
        answer = answer
            .step(Step::new("Long side", long.show(units)))
            .step(Step::new("Short side", short.show(units)))
            .step(Step::sum("Area", area.show(units)));
    } else {
        let holes = bed.outline.holes().len();
        answer = answer
            .step(Step::new(
                "Corners",
                bed.outline.corners().len().to_string(),
            ))
            .step(Step::new("All round", bed.outline.perimeter().show(units)));
        if holes > 0 {
            answer = answer.step(Step::new("Left out inside it", holes.to_string()));
        }
        answer = answer
            .step(Step::sum("Area within the corners", area.show(units)))
            .on("By the surveyor's formula: each corner with the next one, crosswise.");
    }
    answer.rounded(
        "Corners are kept to the millimetre; shown figures are rounded, kept ones are not.",
    )
}

/// The whole of a closed order.
pub fn closed_order(
    order: &Order,
    closed: &ClosedOrder,
    units: Units,
    currency: Currency,
) -> Reckoning<Money> {
    let area: Area = closed.beds.values().map(|bed| bed.area).sum();
    let goods: Money = closed.shares.values().map(|share| share.goods).sum();
    let delivery: Money = closed.shares.values().map(|share| share.delivery).sum();
    let mut answer = Reckoning::new(closed.total, Source::arithmetic(source_words(order)))
        .step(Step::new("Rate", order.rate_as_typed.clone()))
        .step(Step::new(
            format!("Area of {} beds", closed.beds.len()),
            area.show(units),
        ))
        .step(Step::new("Needed", closed.need.show(units)))
        .step(Step::new(
            format!(
                "{} of {} at {}",
                bags(closed.bags),
                order.bag.show(units),
                order.bag_price.show(currency)
            ),
            goods.show(currency),
        ));
    if let Some(left_over) = left_over(order, closed) {
        answer = answer.step(Step::new("Left over, in the shed", left_over.show(units)));
    }
    answer
        .step(Step::new("Delivery", delivery.show(currency)))
        .step(Step::sum("Whole bill", closed.total.show(currency)))
        .on(format!(
            "Frozen on {}, with the areas and holders of that day.",
            closed.on
        ))
}

/// One account's part of a closed order.
pub fn closed_share(
    order: &Order,
    closed: &ClosedOrder,
    payer: Payer,
    share: &ClosedShare,
    (units, currency): (Units, Currency),
) -> Reckoning<Money> {
    let mut answer = Reckoning::new(share.pays, Source::arithmetic(source_words(order)));
    for bed in closed.beds.values() {
        let all: u32 = bed.holders.values().sum();
        let parts = match payer {
            Payer::Garden if bed.holders.is_empty() => String::new(),
            Payer::Garden => continue,
            Payer::Member(member) => match bed.holders.get(&member) {
                None | Some(0) => continue,
                Some(parts) if *parts == all => String::new(),
                Some(parts) => format!(", of which {parts} of {all} parts"),
            },
        };
        answer = answer.step(Step::new(
            format!("Area of {}{parts}", bed.label),
            bed.area.show(units),
        ));
    }
    answer
        .step(Step::new("Area together", share.area.show(units)))
        .step(Step::new(order.material.clone(), share.mass.show(units)))
        .step(Step::new(
            format!("Whole bags to take, of {}", closed.bags),
            share.bags.to_string(),
        ))
        .step(Step::new("Part of the bags", share.goods.show(currency)))
        .step(Step::new(
            "Part of the delivery",
            share.delivery.show(currency),
        ))
        .step(Step::sum("To pay", share.pays.show(currency)))
        .on(format!(
            "Frozen on {}, with the areas and holders of that day.",
            closed.on
        ))
}

/// What was bought above the need.
pub fn left_over(order: &Order, closed: &ClosedOrder) -> Option<Mass> {
    let bought = order.bag.checked_times(closed.bags)?;
    bought
        .checked_sub(closed.need)
        .filter(|mass| mass.is_positive())
}

fn bags(count: i64) -> String {
    if count == 1 {
        "1 bag".to_owned()
    } else {
        format!("{count} bags")
    }
}

fn source_words(order: &Order) -> String {
    if order.rate_source.is_empty() {
        "Rate and prices as put in; shared by bed area, the garden's rule.".to_owned()
    } else {
        format!(
            "Rate: {}. Shared by bed area, the garden's rule.",
            order.rate_source.trim_end_matches('.')
        )
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::document::ids::{BedId, MemberId};
    use crate::document::records::ClosedBed;
    use crate::geometry::Outline;
    use crate::quantities::{Day, Moment, Rate};

    fn bed(outline: &str) -> Bed {
        Bed {
            label: "C4".to_owned(),
            outline: Outline::parse(outline).unwrap(),
            holders: BTreeMap::new(),
            note: String::new(),
            ended_on: None,
        }
    }

    fn steps<T>(answer: &Reckoning<T>) -> Vec<(&str, &str)> {
        answer
            .steps
            .iter()
            .map(|step| (step.label.as_str(), step.value.as_str()))
            .collect()
    }

    #[test]
    fn a_rectangle_is_explained_by_its_sides() {
        let bed = bed("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))");
        let answer = bed_area(&bed, Units::Metric);
        let expected = [
            ("Long side", "6 m"),
            ("Short side", "1.2 m"),
            ("Area", "7.2 m²"),
        ];
        assert_eq!(steps(&answer), expected);
    }

    #[test]
    fn any_other_bed_is_explained_by_its_corners() {
        let bed = bed("POLYGON((0 0,4000 0,4000 4000,2000 6000,0 4000,0 0))");
        let answer = bed_area(&bed, Units::Metric);
        let expected = [
            ("Corners", "5"),
            ("All round", "17.66 m"),
            ("Area within the corners", "20.0 m²"),
        ];
        assert_eq!(steps(&answer), expected);
    }

    fn member(number: i64) -> MemberId {
        MemberId::fresh(Moment::from_millis(number), [0; 10])
    }

    fn closed() -> (Order, ClosedOrder) {
        let bed = |label: &str, holders: Vec<(MemberId, u32)>| ClosedBed {
            label: label.to_owned(),
            area: Area::from_mm2(10_000_000),
            mass: Mass::from_grams(3_660),
            holders: holders.into_iter().collect(),
        };
        let share = |minor| ClosedShare {
            name: "Ines".to_owned(),
            area: Area::from_mm2(5_000_000),
            mass: Mass::from_grams(1_830),
            bags: 0,
            goods: Money::from_minor(minor),
            delivery: Money::from_minor(100),
            pays: Money::from_minor(minor + 100),
        };
        let order = Order {
            material: "Ground limestone".to_owned(),
            rate: Rate::parse("366 g/m2").unwrap(),
            rate_as_typed: "366 g/m2".to_owned(),
            rate_source: "Soil test of 14 February.".to_owned(),
            bag: Mass::from_grams(10_000),
            bag_price: Money::from_minor(600),
            delivery: Money::from_minor(200),
            beds_left_out: BTreeMap::new(),
            arrives: String::new(),
            closed: None,
            ended_on: None,
        };
        let beds = [
            bed("A1", vec![(member(1), 1), (member(2), 1)]),
            bed("A2", vec![]),
        ];
        let closed = ClosedOrder {
            on: Day::parse("2026-03-01").unwrap(),
            need: Mass::from_grams(7_320),
            bags: 1,
            total: Money::from_minor(800),
            beds: (1..)
                .map(|at| BedId::fresh(Moment::from_millis(at), [0; 10]))
                .zip(beds)
                .collect(),
            shares: BTreeMap::from([
                (Payer::Member(member(1)), share(300)),
                (Payer::Garden, share(300)),
            ]),
        };
        (order, closed)
    }

    #[test]
    fn a_closed_order_is_explained_by_what_was_frozen() {
        let (order, closed) = closed();
        let answer = closed_order(
            &order,
            &closed,
            Units::Metric,
            Currency::new("EUR").unwrap(),
        );
        let expected = [
            ("Rate", "366 g/m2"),
            ("Area of 2 beds", "20.0 m²"),
            ("Needed", "7.3 kg"),
            ("1 bag of 10.0 kg at €6.00", "€6.00"),
            ("Left over, in the shed", "2.7 kg"),
            ("Delivery", "€2.00"),
            ("Whole bill", "€8.00"),
        ];
        assert_eq!(steps(&answer), expected);
        assert_eq!(
            answer.source.to_string(),
            "Rate: Soil test of 14 February. Shared by bed area, the garden's rule."
        );
    }

    #[test]
    fn each_account_sees_its_own_beds_only() {
        let (order, closed) = closed();
        let shown = (Units::Metric, Currency::new("EUR").unwrap());
        let labels = |payer: Payer| {
            let share = closed.shares.get(&payer).unwrap();
            let answer = closed_share(&order, &closed, payer, share, shown);
            answer.steps.first().map(|step| step.label.clone()).unwrap()
        };
        assert_eq!(
            labels(Payer::Member(member(1))),
            "Area of A1, of which 1 of 2 parts"
        );
        assert_eq!(labels(Payer::Garden), "Area of A2");
    }
}
