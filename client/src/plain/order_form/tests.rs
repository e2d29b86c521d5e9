//! What is typed into the form of an order, what it means, and what it comes to.

use selion_core::document::Edit;
use selion_core::document::edit::OrderField;
use selion_core::document::ids::OrderId;
use selion_core::document::records::{AmountsFrom, Order, OrderLine, Payer};
use selion_core::quantities::{Currency, Depth, Moment, Money, Rate};

use super::*;
use crate::plain::sample::{bed, day, lime, line_id, member};

fn dollars() -> Currency {
    Currency::new("USD").unwrap()
}

fn typed() -> OrderTyped {
    let mut typed = OrderTyped {
        delivery: "$12".into(),
        arrives: "Tuesday, at the gate".into(),
        ..lime("75", "50", "6.99")
    };
    let line = typed.lines.get_mut(&line_id(1)).unwrap();
    line.material = " Ground limestone ".into();
    line.source = "Soil test of 14 February".into();
    line.left_out = BTreeSet::from([bed(2)]);
    typed
}

fn with(change: impl FnOnce(&mut LineTyped)) -> OrderTyped {
    let mut typed = typed();
    change(typed.lines.get_mut(&line_id(1)).unwrap());
    typed
}

fn line(order: &Order) -> &OrderLine {
    order.lines.values().next().unwrap()
}

fn read(typed: &OrderTyped) -> Result<Order, Wrong> {
    typed.read(Units::UsCustomary, dollars(), None)
}

fn of_line(of: LineBox) -> OrderBox {
    OrderBox::Line(line_id(1), of)
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
    assert_eq!(line.beds_left_out, Map::from([(bed(2), true)]));
}

#[test]
fn a_metric_rate_is_read_in_a_customary_garden() {
    let mut typed = with(|line| line.rate = "366 g/m2".into());
    typed.delivery = String::new();
    let order = read(&typed).unwrap();
    assert_eq!(line(&order).rate, Rate::from_micrograms_per_m2(366_000_000));
    assert_eq!(line(&order).rate_as_typed, "366 g/m2");
    assert_eq!(order.delivery, Money::ZERO);
}

#[test]
fn every_wrong_field_says_so_at_once() {
    let wrong = read(&with(|line| {
        line.material = " ".into();
        line.rate = "plenty".into();
        let pack = line.packs.get_mut(&1.into()).unwrap();
        pack.price = "6.999".into();
        pack.breaks = "ten for less".into();
    }));
    let wrong = wrong.unwrap_err();
    let fields: Vec<OrderBox> = wrong.keys().copied().collect();
    let one = 1.into();
    let expected = [
        LineBox::Material,
        LineBox::Rate,
        LineBox::Price(one),
        LineBox::Breaks(one),
    ];
    assert_eq!(fields, expected.map(of_line));
    let sentence = wrong.get(&of_line(LineBox::Rate)).unwrap();
    assert!(sentence.contains("“plenty” came"), "{sentence}");
}

#[test]
fn what_is_too_long_or_too_heavy_is_told_at_its_field() {
    let too_long = read(&with(|line| line.source = "x".repeat(401))).unwrap_err();
    assert!(too_long.contains_key(&of_line(LineBox::Source)));
    let too_heavy = read(&with(|line| {
        line.packs.get_mut(&1.into()).unwrap().size = "9000 tons".into();
    }));
    let fields: Vec<OrderBox> = too_heavy.unwrap_err().into_keys().collect();
    assert_eq!(fields, [of_line(LineBox::Size(1.into()))]);
    let mut typed = typed();
    typed.arrives = "x".repeat(401);
    assert!(read(&typed).unwrap_err().contains_key(&OrderBox::Arrives));
}

/// Lime bed by bed, compost in a layer, straw as asked for, posts split: everything that the form has.
fn everything() -> OrderTyped {
    let units = Units::UsCustomary;
    let mut by_bed = Kind::Lime.line(units);
    by_bed.from = Origin::ByBed;
    by_bed.own = Map::from([(bed(1), "14.8".into()), (bed(2), String::new())]);
    by_bed.packs = Map::new();
    by_bed.add_size();
    by_bed.add_size();
    by_bed.add_size();
    for (number, size, price, breaks) in [
        (1, "50 lb", "22.00", "10 at 20.50; from 40 at 19"),
        (2, "25 lb", "12.50", ""),
    ] {
        let pack = by_bed.packs.get_mut(&number.into()).unwrap();
        pack.size = size.into();
        pack.price = price.into();
        pack.breaks = breaks.into();
    }
    let mut compost = Kind::Compost.line(units);
    compost.rate = "1/2".into();
    compost.packs.get_mut(&1.into()).unwrap().price = "38".into();
    let mut straw = Kind::Straw.line(units);
    straw.packs.get_mut(&1.into()).unwrap().price = "6.50".into();
    let mut posts = Kind::Fencing.line(units);
    posts.whole = "24".into();
    posts.packs.get_mut(&1.into()).unwrap().price = "4.20".into();
    let lines = [by_bed, compost, straw, posts];
    OrderTyped {
        supplier: "The yard at the crossroads".into(),
        lines: (1..).map(line_id).zip(lines).collect(),
        delivery: "30".into(),
        delivery_rule: DeliveryRule::Equally,
        deposit: "20".into(),
        buyer: member(2).to_string(),
        closes_on: "2026-03-28".into(),
        ..OrderTyped::default()
    }
}

#[test]
fn several_materials_are_read_each_in_its_own_way() {
    let order = read(&everything()).unwrap();
    assert_eq!(order.title, "Ground limestone and 3 more");
    assert_eq!(order.buyer, Payer::Member(member(2)));
    assert_eq!(order.closes_on, Some(day("2026-03-28")));
    let lines: Vec<&OrderLine> = order.lines.values().collect();
    let [lime, compost, straw, posts] = lines.as_slice() else {
        unreachable!("four lines were typed")
    };
    assert_eq!(Ok(lime.own[&bed(1)]), CountedIn::Weight.parse("14.8 lb"));
    assert!(lime.own[&bed(2)].is_zero());
    assert_eq!(lime.packs.len(), 2, "a size that nobody filled in is none");
    let breaks = [(10, 2_050), (40, 1_900)];
    let breaks = breaks.map(|(from, price)| (from.into(), Money::from_minor(price)));
    assert_eq!(lime.packs[&1.into()].breaks, Map::from(breaks));
    assert_eq!(Ok(compost.layer), Depth::parse("1/2 in"));
    assert!(compost.loose && compost.rate == Rate::ZERO);
    assert_eq!(straw.amounts, AmountsFrom::Wishes);
    assert_eq!(straw.hand_out, HandOut::WholePacks);
    assert_eq!(
        (posts.amounts, posts.whole.count()),
        (AmountsFrom::Even, 24)
    );
}

#[test]
fn an_order_shown_and_read_again_has_not_changed() {
    let metric = with(|line| line.packs.get_mut(&1.into()).unwrap().size = "22.7 kg".into());
    for typed in [typed(), metric, everything()] {
        let order = read(&typed).unwrap();
        let again = OrderTyped::of(&order, Units::UsCustomary, dollars());
        let again = again
            .read(Units::UsCustomary, dollars(), Some(&order))
            .unwrap();
        assert_eq!(changes(&order, &again), []);
    }
}

#[test]
fn only_what_differs_is_set_and_a_line_can_go() {
    let before = read(&everything()).unwrap();
    let mut typed = everything();
    let straw = typed.lines.get_mut(&line_id(3)).unwrap();
    straw.packs.get_mut(&1.into()).unwrap().price = "7.10".into();
    typed.lines.remove(&line_id(4));
    typed.deposit = String::new();
    let after = read(&typed).unwrap();
    let straw = Box::new(after.lines[&line_id(3)].clone());
    let expected = [
        OrderField::Title("Ground limestone and 2 more".to_owned()),
        OrderField::Line(line_id(3), straw),
        OrderField::DropLine(line_id(4)),
        OrderField::Deposit(Money::ZERO),
    ];
    assert_eq!(changes(&before, &after), expected);
}

#[test]
fn what_is_opened_is_what_was_typed() {
    let order = read(&everything()).unwrap();
    let id = OrderId::fresh(Moment::default(), [0; 10]);
    let Edit::AddOrder { new, .. } = opened(id, order.clone()) else {
        unreachable!("an order is opened by adding it")
    };
    assert_eq!(Order::from(new), order);
}

#[test]
fn a_beds_own_amount_left_alone_stays_exact_and_a_changed_one_is_read() {
    let exact = Map::from([
        (bed(1), Amount::from_count(6_704)),
        (bed(3), Amount::from_count(6_725)),
    ]);
    let mut own = own_shown(CountedIn::Weight, &exact, Units::UsCustomary);
    assert_eq!(
        own.values().collect::<Vec<_>>(),
        ["14.8 lb", "14.8 lb"],
        "shown alike, though they are not"
    );
    let typed = |own: Map<BedId, String>| {
        with(|line| {
            line.from = Origin::ByBed;
            line.own = own;
            line.exact = exact.clone();
        })
    };
    let order = read(&typed(own.clone())).unwrap();
    assert_eq!(line(&order).own, exact);
    own.insert(bed(3), "10".into());
    let order = read(&typed(own.clone())).unwrap();
    let ten = CountedIn::Weight.parse("10 lb").unwrap();
    assert_eq!(line(&order).own.get(&bed(3)), Some(&ten));
    own.insert(bed(3), "some".into());
    let wrong = read(&typed(own)).unwrap_err();
    assert!(
        wrong.contains_key(&of_line(LineBox::Own(bed(3)))),
        "{wrong:?}"
    );
}

#[test]
fn a_form_that_was_kept_comes_back_as_it_was() {
    let typed = everything();
    let text = selion_core::json::write(&typed);
    assert_eq!(selion_core::json::read::<OrderTyped>(&text), Ok(typed));
}

#[test]
fn a_line_turned_into_another_kind_keeps_its_price_and_a_name_of_its_own() {
    let units = Units::UsCustomary;
    let mut line = Kind::Lime.line(units);
    line.packs.get_mut(&1.into()).unwrap().price = "12".into();
    let straw = line.turned_into(Kind::Straw, units);
    assert_eq!(straw.material, "Straw bales");
    assert_eq!(straw.packs[&1.into()].price, "12");
    line.material = "Oyster shell".into();
    assert_eq!(
        line.turned_into(Kind::Other, units).material,
        "Oyster shell"
    );
    for (kind, _) in Kind::ALL {
        let material = kind.material();
        assert!(
            kind == Kind::Other || Kind::of(material) == kind,
            "{material}"
        );
    }
}

#[test]
fn the_common_bracket_is_marked_as_common_practice() {
    let lime = Kind::Lime.line(Units::UsCustomary);
    let us = rate_hint(&lime, Units::UsCustomary);
    assert!(
        us.contains("50 to 100 lb per 1000 sq ft (common practice)"),
        "{us}"
    );
    let metric = rate_hint(&lime, Units::Metric);
    assert!(
        metric.contains("244 to 488 g/m² (common practice)"),
        "{metric}"
    );
}
