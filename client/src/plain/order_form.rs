//! The form of a bulk order: what was typed, what it means, and what is wrong with it, field by field.

use std::collections::{BTreeMap, BTreeSet};

use selion_core::document::Edit;
use selion_core::document::edit::OrderField;
use selion_core::document::ids::{BedId, OrderId};
use selion_core::document::records::Order;
use selion_core::quantities::{BadInput, Currency, Mass, Money, Rate, Units};
use selion_core::shares::load::COMMON_LIME_BRACKET;

use super::typed::with_unit;
use super::wording::capital;

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each field is described where the order is")]
pub enum OrderBox {
    Material,
    Rate,
    Source,
    Bag,
    BagPrice,
    Delivery,
    Arrives,
}

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the order is")]
pub struct OrderTyped {
    pub material: String,
    pub rate: String,
    pub source: String,
    pub bag: String,
    pub bag_price: String,
    pub delivery: String,
    pub arrives: String,
    pub left_out: BTreeSet<BedId>,
}

/// What is wrong, a sentence a field.
pub type Wrong = BTreeMap<OrderBox, String>;

impl OrderTyped {
    /// The form as it stands for an order that is changed.
    pub fn of(order: &Order, units: Units, currency: Currency) -> Self {
        let left_out = order.beds_left_out.iter();
        Self {
            material: order.material.clone(),
            rate: order.rate_as_typed.clone(),
            source: order.rate_source.clone(),
            bag: order.bag.show(units),
            bag_price: order.bag_price.show_number(currency),
            delivery: order.delivery.show_number(currency),
            arrives: order.arrives.clone(),
            left_out: left_out
                .filter(|(_, out)| **out)
                .map(|(bed, _)| *bed)
                .collect(),
        }
    }

    /// The order that was typed. `before` is the one that is changed: an amount whose text was left alone keeps its exact value.
    pub fn read(
        &self,
        units: Units,
        currency: Currency,
        before: Option<&Order>,
    ) -> Result<Order, Wrong> {
        let mut wrong = Wrong::new();
        let kept = before.map(|order| (order, Self::of(order, units, currency)));
        let kept = kept.as_ref();
        if self.material.trim().is_empty() {
            let bad = BadInput::new("material", "a name such as Ground limestone", "");
            wrong.insert(OrderBox::Material, capital(&bad.to_string()));
        }
        let rate_text = with_unit(&self.rate, rate_unit(units));
        let rate = match kept.filter(|(_, typed)| typed.rate == self.rate) {
            Some((order, _)) => order.rate,
            None => note(&mut wrong, OrderBox::Rate, Rate::parse(&rate_text)),
        };
        let bag = match kept.filter(|(_, typed)| typed.bag == self.bag) {
            Some((order, _)) => order.bag,
            None => note(
                &mut wrong,
                OrderBox::Bag,
                Mass::parse(&with_unit(&self.bag, mass_unit(units)))
                    .map_err(|bad| bad.named("weight of a bag")),
            ),
        };
        let mut price = |of: OrderBox, name: &str, text: &str| {
            note(
                &mut wrong,
                of,
                Money::parse(text, currency).map_err(|bad| bad.named(name)),
            )
        };
        let bag_price = price(OrderBox::BagPrice, "price of a bag", &self.bag_price);
        let delivery = if self.delivery.trim().is_empty() {
            Money::ZERO
        } else {
            price(OrderBox::Delivery, "delivery", &self.delivery)
        };
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let order = Order {
            material: self.material.trim().to_owned(),
            rate,
            rate_as_typed: rate_text,
            rate_source: self.source.trim().to_owned(),
            bag,
            bag_price,
            delivery,
            beds_left_out: self.left_out.iter().map(|bed| (*bed, true)).collect(),
            arrives: self.arrives.trim().to_owned(),
            closed: None,
            ended_on: None,
        };
        within_bounds(&order).map(|()| order)
    }
}

/// A rate without a unit is meant in this one.
pub fn rate_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "g/m²",
        Units::UsCustomary => "lb/1000 sq ft",
    }
}

/// A weight without a unit is meant in this one.
pub fn mass_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "kg",
        Units::UsCustomary => "lb",
    }
}

/// The hint beside the rate: the common bracket, marked as what it is.
pub fn rate_hint(units: Units) -> String {
    let (low, high) = COMMON_LIME_BRACKET;
    let low_and_high = match units {
        Units::UsCustomary => "50 to 100 lb per 1000 sq ft".to_owned(),
        Units::Metric => format!("{} to {}", low.show_apart(units).number, high.show(units)),
    };
    format!(
        "From the soil test, if there is one. Lime often lies at {low_and_high} (common practice). Write it as 75 lb/1000 sq ft or 366 g/m2."
    )
}

/// The edit that opens the order.
pub fn opened(id: OrderId, order: Order) -> Edit {
    Edit::AddOrder {
        order: id,
        material: order.material,
        rate: order.rate,
        rate_as_typed: order.rate_as_typed,
        rate_source: order.rate_source,
        bag: order.bag,
        bag_price: order.bag_price,
        delivery: order.delivery,
        beds_left_out: order.beds_left_out,
        arrives: order.arrives,
    }
}

/// What has to be set to make the one order the other.
pub fn changes(before: &Order, after: &Order) -> Vec<OrderField> {
    let rate = |order: &Order| {
        (
            order.rate,
            order.rate_as_typed.clone(),
            order.rate_source.clone(),
        )
    };
    let left_out = after
        .beds_left_out
        .iter()
        .filter(|(_, out)| **out)
        .map(|(bed, _)| (*bed, true))
        .collect();
    [
        (before.material != after.material).then(|| OrderField::Material(after.material.clone())),
        (rate(before) != rate(after)).then(|| OrderField::Rate {
            rate: after.rate,
            as_typed: after.rate_as_typed.clone(),
            source: after.rate_source.clone(),
        }),
        (before.bag != after.bag).then_some(OrderField::Bag(after.bag)),
        (before.bag_price != after.bag_price).then_some(OrderField::BagPrice(after.bag_price)),
        (before.delivery != after.delivery).then_some(OrderField::Delivery(after.delivery)),
        (before.beds_left_out != after.beds_left_out).then_some(OrderField::BedsLeftOut(left_out)),
        (before.arrives != after.arrives).then(|| OrderField::Arrives(after.arrives.clone())),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The size limits of the edit, told beside the field they are about.
fn within_bounds(order: &Order) -> Result<(), Wrong> {
    let parts = [
        (
            OrderBox::Material,
            OrderField::Material(order.material.clone()),
        ),
        (
            OrderBox::Rate,
            OrderField::Rate {
                rate: order.rate,
                as_typed: order.rate_as_typed.clone(),
                source: String::new(),
            },
        ),
        (
            OrderBox::Source,
            OrderField::Rate {
                rate: Rate::from_micrograms_per_m2(1),
                as_typed: "1".to_owned(),
                source: order.rate_source.clone(),
            },
        ),
        (OrderBox::Bag, OrderField::Bag(order.bag)),
        (OrderBox::BagPrice, OrderField::BagPrice(order.bag_price)),
        (OrderBox::Delivery, OrderField::Delivery(order.delivery)),
        (
            OrderBox::Arrives,
            OrderField::Arrives(order.arrives.clone()),
        ),
    ];
    let no_order = OrderId::fresh(selion_core::quantities::Moment::default(), [0; 10]);
    let mut wrong = Wrong::new();
    for (of, field) in parts {
        let edit = Edit::ChangeOrder {
            order: no_order,
            set: vec![field],
        };
        if let Err(bad) = edit.check_bounds() {
            wrong.insert(of, capital(&bad.to_string()));
        }
    }
    if wrong.is_empty() { Ok(()) } else { Err(wrong) }
}

fn note<T: Default>(wrong: &mut Wrong, of: OrderBox, read: Result<T, BadInput>) -> T {
    read.unwrap_or_else(|bad| {
        wrong.insert(of, capital(&bad.to_string()));
        T::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::bed;

    fn dollars() -> Currency {
        Currency::new("USD").unwrap()
    }

    fn typed() -> OrderTyped {
        OrderTyped {
            material: " Ground limestone ".into(),
            rate: "75".into(),
            source: "Soil test of 14 February".into(),
            bag: "50".into(),
            bag_price: "6.99".into(),
            delivery: "$12".into(),
            arrives: "Tuesday, at the gate".into(),
            left_out: BTreeSet::from([bed(2)]),
        }
    }

    fn read(typed: &OrderTyped) -> Result<Order, Wrong> {
        typed.read(Units::UsCustomary, dollars(), None)
    }

    #[test]
    fn bare_numbers_are_meant_in_the_gardens_units() {
        let order = read(&typed()).unwrap();
        assert_eq!(order.material, "Ground limestone");
        assert_eq!(Ok(order.rate), Rate::parse("75 lb/1000 sq ft"));
        assert_eq!(order.rate_as_typed, "75 lb/1000 sq ft");
        assert_eq!(Ok(order.bag), Mass::parse("50 lb"));
        assert_eq!(order.delivery, Money::from_minor(1_200));
        assert_eq!(order.beds_left_out, BTreeMap::from([(bed(2), true)]));
    }

    #[test]
    fn a_metric_rate_is_read_in_a_customary_garden() {
        let order = read(&OrderTyped {
            rate: "366 g/m2".into(),
            delivery: String::new(),
            ..typed()
        });
        let order = order.unwrap();
        assert_eq!(order.rate, Rate::from_micrograms_per_m2(366_000_000));
        assert_eq!(order.rate_as_typed, "366 g/m2");
        assert_eq!(order.delivery, Money::ZERO);
    }

    #[test]
    fn every_wrong_field_says_so_at_once() {
        let wrong = read(&OrderTyped {
            material: " ".into(),
            rate: "plenty".into(),
            bag_price: "6.999".into(),
            ..typed()
        });
        let wrong = wrong.unwrap_err();
        let fields: Vec<OrderBox> = wrong.keys().copied().collect();
        let expected = [OrderBox::Material, OrderBox::Rate, OrderBox::BagPrice];
        assert_eq!(fields, expected);
        let sentence = wrong.get(&OrderBox::Rate).unwrap();
        assert!(sentence.contains("“plenty” came"), "{sentence}");
    }

    #[test]
    fn what_is_too_long_or_too_heavy_is_told_at_its_field() {
        let wrong = read(&OrderTyped {
            source: "x".repeat(401),
            bag: "9 tons".into(),
            ..typed()
        });
        let fields: Vec<OrderBox> = wrong.unwrap_err().into_keys().collect();
        assert_eq!(fields, [OrderBox::Source, OrderBox::Bag]);
    }

    #[test]
    fn an_order_shown_and_read_again_has_not_changed() {
        let order = read(&OrderTyped {
            bag: "22.7 kg".into(),
            ..typed()
        });
        let order = order.unwrap();
        let again = OrderTyped::of(&order, Units::UsCustomary, dollars());
        let again = again
            .read(Units::UsCustomary, dollars(), Some(&order))
            .unwrap();
        assert_eq!(changes(&order, &again), []);
    }

    #[test]
    fn only_what_differs_is_set() {
        let before = read(&typed()).unwrap();
        let after = read(&OrderTyped {
            bag_price: "7.10".into(),
            left_out: BTreeSet::new(),
            ..typed()
        });
        let expected = [
            OrderField::BagPrice(Money::from_minor(710)),
            OrderField::BedsLeftOut(BTreeMap::new()),
        ];
        assert_eq!(changes(&before, &after.unwrap()), expected);
    }

    #[test]
    fn the_common_bracket_is_marked_as_common_practice() {
        let us = rate_hint(Units::UsCustomary);
        assert!(
            us.contains("50 to 100 lb per 1000 sq ft (common practice)"),
            "{us}"
        );
        let metric = rate_hint(Units::Metric);
        assert!(
            metric.contains("244 to 488 g/m² (common practice)"),
            "{metric}"
        );
    }
}
