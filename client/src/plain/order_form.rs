//! The form of a bulk order: what was typed, what it means, and what is wrong with it, field by field.

use std::collections::{BTreeMap, BTreeSet};

use selion_core::document::Edit;
use selion_core::document::edit::{NewOrder, OrderField};
use selion_core::document::ids::{BedId, LineId, OrderId};
use selion_core::document::records::{AmountsFrom, Order, OrderLine, Pack};
use selion_core::ordered;
use selion_core::quantities::{Amount, BadInput, CountedIn, Currency, Moment, Money, Rate, Units};
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
    /// A bed's own amount.
    Own(BedId),
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
    /// Each bed's own amount, where amounts come bed by bed instead of from one rate.
    pub own: BTreeMap<BedId, String>,
    /// The amounts that `own` was shown from: a text that was left alone means exactly this.
    pub exact: BTreeMap<BedId, Amount>,
}

/// What is wrong, a sentence a field.
pub type Wrong = BTreeMap<OrderBox, String>;

impl OrderTyped {
    /// The form as it stands for an order that is changed.
    pub fn of(order: &Order, units: Units, currency: Currency) -> Self {
        let line = order.lines.values().next().cloned().unwrap_or_default();
        let bag = line.packs.values().next().cloned().unwrap_or_default();
        let left_out = line.beds_left_out.iter();
        Self {
            material: line.material.clone(),
            rate: line.rate_as_typed.clone(),
            source: line.rate_source.clone(),
            bag: CountedIn::Weight.show(bag.size, units),
            bag_price: bag.price.show_number(currency),
            delivery: order.delivery.show_number(currency),
            arrives: order.arrives.clone(),
            left_out: left_out
                .filter(|(_, out)| **out)
                .map(|(bed, _)| *bed)
                .collect(),
            own: own_shown(&line.own, units),
            exact: line.own,
        }
    }

    /// Whether amounts come bed by bed, not from one rate.
    pub fn is_by_bed(&self) -> bool {
        !self.own.is_empty()
    }

    /// The order that was typed, of one line in bags. `before` is the one that is changed: an amount whose text was left
    /// alone keeps its exact value, and what the form does not show stays as it is.
    pub fn read(
        &self,
        units: Units,
        currency: Currency,
        before: Option<&Order>,
    ) -> Result<Order, Wrong> {
        let mut wrong = Wrong::new();
        let kept = before.map(|order| (order, Self::of(order, units, currency)));
        let kept = kept.as_ref();
        let (id, mut line) = kept
            .and_then(|(order, _)| order.lines.first_key_value())
            .map_or_else(
                || {
                    (
                        LineId::fresh(Moment::default(), [0; 10]),
                        OrderLine::default(),
                    )
                },
                |(id, line)| (*id, line.clone()),
            );
        let mut bag = line.packs.remove(&1.into()).unwrap_or_default();
        if self.material.trim().is_empty() {
            let bad = BadInput::new("material", "a name such as Ground limestone", "");
            wrong.insert(OrderBox::Material, capital(&bad.to_string()));
        }
        let rate_text = with_unit(&self.rate, rate_unit(units));
        if self.is_by_bed() {
            line.rate = Rate::ZERO;
        } else if kept.is_none_or(|(_, typed)| typed.rate != self.rate) {
            line.rate = note(&mut wrong, OrderBox::Rate, Rate::parse(&rate_text));
        }
        if kept.is_none_or(|(_, typed)| typed.bag != self.bag) {
            let size = CountedIn::Weight.parse(&with_unit(&self.bag, mass_unit(units)));
            bag.size = note(
                &mut wrong,
                OrderBox::Bag,
                size.map_err(|bad| bad.named("weight of a bag")),
            );
        }
        line.own = self.own_amounts(units, &mut wrong);
        let mut price = |of: OrderBox, name: &str, text: &str| {
            note(
                &mut wrong,
                of,
                Money::parse(text, currency).map_err(|bad| bad.named(name)),
            )
        };
        bag.price = price(OrderBox::BagPrice, "price of a bag", &self.bag_price);
        let delivery = if self.delivery.trim().is_empty() {
            Money::ZERO
        } else {
            price(OrderBox::Delivery, "delivery", &self.delivery)
        };
        if !wrong.is_empty() {
            return Err(wrong);
        }
        self.material.trim().clone_into(&mut line.material);
        line.rate_as_typed = if self.is_by_bed() {
            String::new()
        } else {
            rate_text
        };
        self.source.trim().clone_into(&mut line.rate_source);
        line.beds_left_out = ordered::map(self.left_out.iter().map(|bed| (*bed, true)));
        line.packs.insert(1.into(), bag);
        let mut order = kept.map_or_else(
            || Order::from(NewOrder::default()),
            |(order, _)| Order::clone(order),
        );
        if order.lines.len() <= 1 {
            order.title.clone_from(&line.material);
        }
        order.lines.insert(id, line);
        order.delivery = delivery;
        self.arrives.trim().clone_into(&mut order.arrives);
        within_bounds(&order).map(|()| order)
    }

    /// Each bed's own amount; an empty one is nothing, and a bed that is left out has none.
    fn own_amounts(&self, units: Units, wrong: &mut Wrong) -> BTreeMap<BedId, Amount> {
        let mut amounts = BTreeMap::new();
        for (bed, text) in &self.own {
            if self.left_out.contains(bed) {
                continue;
            }
            let exact = self.exact.get(bed);
            let exact = exact.filter(|exact| CountedIn::Weight.show(**exact, units) == *text);
            let read = match exact {
                Some(exact) => Ok(*exact),
                None if text.trim().is_empty() => Ok(Amount::ZERO),
                None => CountedIn::Weight.parse(&with_unit(text, mass_unit(units))),
            };
            let read = read.map_err(|bad| bad.named("amount for this bed"));
            amounts.insert(*bed, note(wrong, OrderBox::Own(*bed), read));
        }
        amounts
    }
}

/// Beds' own amounts as they stand in fields.
pub fn own_shown(own: &BTreeMap<BedId, Amount>, units: Units) -> BTreeMap<BedId, String> {
    let shown = |(bed, amount): (&BedId, &Amount)| (*bed, CountedIn::Weight.show(*amount, units));
    ordered::map(own.iter().map(shown))
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

/// What was put in, line by line: a word in the margin, what it is, and what belongs to it.
pub fn put_in(
    order: &Order,
    units: Units,
    currency: Currency,
) -> Vec<(&'static str, String, String)> {
    let many = order.lines.len() > 1;
    let mut rows = Vec::new();
    for line in order.lines.values() {
        let named = |words: String| {
            if many {
                format!("{}: {words}", line.material)
            } else {
                words
            }
        };
        match line.amounts {
            AmountsFrom::Beds if line.rate == Rate::ZERO && !line.own.is_empty() => rows.push((
                "rate",
                named("Each bed its own amount".to_owned()),
                line.rate_source.clone(),
            )),
            AmountsFrom::Beds => rows.push((
                "rate",
                named(line.rate_as_typed.clone()),
                line.rate_source.clone(),
            )),
            AmountsFrom::Wishes => {
                rows.push(("rate", named("as everybody asks".to_owned()), String::new()));
            }
            AmountsFrom::Even => {
                let whole = line.counted_in.show(line.whole, units);
                rows.push((
                    "rate",
                    named(format!("{whole} split by bed area")),
                    String::new(),
                ));
            }
        }
        for pack in line.packs.values() {
            let size = line.counted_in.show(pack.size, units);
            let price = pack.price.show(currency);
            rows.push(if line.loose {
                ("loose", named(format!("{price} for {size}")), String::new())
            } else {
                (
                    "bags",
                    named(format!("Bags of {size}")),
                    format!("{price} a bag"),
                )
            });
        }
    }
    let delivery = format!("Delivery {}", order.delivery.show(currency));
    rows.push(("way", delivery, order.arrives.clone()));
    rows
}

/// The edit that opens the order, its one line under an id of its own.
pub fn opened(id: OrderId, line: LineId, order: Order) -> Edit {
    let lines = order.lines.into_values().map(|one| (line, one));
    Edit::AddOrder {
        order: id,
        new: NewOrder {
            title: order.title,
            lines: lines.collect(),
            delivery: order.delivery,
            arrives: order.arrives,
            ..NewOrder::default()
        },
    }
}

/// What has to be set to make the one order the other.
pub fn changes(before: &Order, after: &Order) -> Vec<OrderField> {
    let mut set = Vec::new();
    if before.title != after.title {
        set.push(OrderField::Title(after.title.clone()));
    }
    for (id, line) in &after.lines {
        if before.lines.get(id) != Some(line) {
            set.push(OrderField::Line(*id, Box::new(line.clone())));
        }
    }
    if before.delivery != after.delivery {
        set.push(OrderField::Delivery {
            fee: after.delivery,
            rule: after.delivery_rule,
        });
    }
    if before.arrives != after.arrives {
        set.push(OrderField::Arrives(after.arrives.clone()));
    }
    set
}

/// The size limits of the edit, told beside the field they are about.
fn within_bounds(order: &Order) -> Result<(), Wrong> {
    let line = order.lines.values().next().cloned().unwrap_or_default();
    let plain = || OrderLine {
        material: "x".to_owned(),
        ..OrderLine::default()
    };
    let bag = line.packs.get(&1.into()).cloned().unwrap_or_default();
    let of_line = |line: OrderLine| {
        OrderField::Line(LineId::fresh(Moment::default(), [0; 10]), Box::new(line))
    };
    let pack = |pack: Pack| OrderLine {
        packs: BTreeMap::from([(1.into(), pack)]),
        ..plain()
    };
    let parts = [
        (OrderBox::Material, OrderField::Title(line.material.clone())),
        (
            OrderBox::Rate,
            of_line(OrderLine {
                rate: line.rate,
                rate_as_typed: line.rate_as_typed.clone(),
                ..plain()
            }),
        ),
        (
            OrderBox::Source,
            of_line(OrderLine {
                rate_source: line.rate_source.clone(),
                ..plain()
            }),
        ),
        (
            OrderBox::Bag,
            of_line(pack(Pack {
                size: bag.size,
                ..Pack::default()
            })),
        ),
        (
            OrderBox::BagPrice,
            of_line(pack(Pack {
                size: Amount::from_count(1),
                ..bag
            })),
        ),
        (
            OrderBox::Delivery,
            OrderField::Delivery {
                fee: order.delivery,
                rule: order.delivery_rule,
            },
        ),
        (
            OrderBox::Arrives,
            OrderField::Arrives(order.arrives.clone()),
        ),
    ];
    let no_order = OrderId::fresh(Moment::default(), [0; 10]);
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
            ..OrderTyped::default()
        }
    }

    fn line(order: &Order) -> &OrderLine {
        order.lines.values().next().unwrap()
    }

    fn read(typed: &OrderTyped) -> Result<Order, Wrong> {
        typed.read(Units::UsCustomary, dollars(), None)
    }

    #[test]
    fn bare_numbers_are_meant_in_the_gardens_units() {
        let order = read(&typed()).unwrap();
        let line = line(&order);
        assert_eq!(
            (order.title.as_str(), line.material.as_str()),
            ("Ground limestone", "Ground limestone")
        );
        assert_eq!(Ok(line.rate), Rate::parse("75 lb/1000 sq ft"));
        assert_eq!(line.rate_as_typed, "75 lb/1000 sq ft");
        let bag = line.packs.get(&1.into()).unwrap();
        assert_eq!(Ok(bag.size), CountedIn::Weight.parse("50 lb"));
        assert_eq!(order.delivery, Money::from_minor(1_200));
        assert_eq!(line.beds_left_out, BTreeMap::from([(bed(2), true)]));
    }

    #[test]
    fn a_metric_rate_is_read_in_a_customary_garden() {
        let order = read(&OrderTyped {
            rate: "366 g/m2".into(),
            delivery: String::new(),
            ..typed()
        });
        let order = order.unwrap();
        assert_eq!(line(&order).rate, Rate::from_micrograms_per_m2(366_000_000));
        assert_eq!(line(&order).rate_as_typed, "366 g/m2");
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
            bag: "9000 tons".into(),
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
    fn a_beds_own_amount_left_alone_stays_exact_and_a_changed_one_is_read() {
        let exact = BTreeMap::from([
            (bed(1), Amount::from_count(6_704)),
            (bed(3), Amount::from_count(6_725)),
        ]);
        let mut own = own_shown(&exact, Units::UsCustomary);
        assert_eq!(
            own.values().collect::<Vec<_>>(),
            ["14.8 lb", "14.8 lb"],
            "shown alike, though they are not"
        );
        let typed = |own: BTreeMap<BedId, String>| OrderTyped {
            rate: String::new(),
            own,
            exact: exact.clone(),
            ..typed()
        };
        let order = read(&typed(own.clone())).unwrap();
        assert_eq!(line(&order).own, exact);
        own.insert(bed(3), "10".into());
        let order = read(&typed(own.clone())).unwrap();
        let ten = CountedIn::Weight.parse("10 lb").unwrap();
        assert_eq!(line(&order).own.get(&bed(3)), Some(&ten));
        own.insert(bed(3), "some".into());
        let wrong = read(&typed(own)).unwrap_err();
        assert!(wrong.contains_key(&OrderBox::Own(bed(3))), "{wrong:?}");
    }

    #[test]
    fn only_what_differs_is_set() {
        let before = read(&typed()).unwrap();
        let after = read(&OrderTyped {
            bag_price: "7.10".into(),
            left_out: BTreeSet::new(),
            ..typed()
        });
        let after = after.unwrap();
        let id = *after.lines.keys().next().unwrap();
        let expected = [OrderField::Line(id, Box::new(line(&after).clone()))];
        assert_eq!(changes(&before, &after), expected);
        assert!(line(&after).beds_left_out.is_empty());
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
