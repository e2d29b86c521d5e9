//! The orders of the small garden: one of lime and compost that is open, one of straw that is closed.

use selion_core::document::Edit;
use selion_core::document::edit::{NewOrder, OrderField};
use selion_core::document::ids::{LineId, MemberId, OrderId};
use selion_core::document::records::{AmountsFrom, CameOf, EntryKind, OrderLine, Pack, Payer};
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn, Money, Rate};
use selion_core::shares::delivery::DeliveryRule;
use selion_core::shares::order::{HandOut, LeftOver, ShareRule};

use super::{day, ids};

/// The mark of the shares of order 1 in the small garden, as the coordinator saw them.
pub(crate) const SHARES_SEEN: &str = "e01258acbcd68053";
/// The same of order 2.
pub(crate) const SHARES_SEEN_2: &str = "4eab1d2755a2afa3";
/// The mark of what [`invoice`] makes of order 2.
pub(crate) const INVOICE_SEEN: &str = "bdf47147b40416fe";
/// The mark of the balances at the end of a year without entries.
pub(crate) const BALANCES_SEEN: &str = "cbf29ce484222325";

fn pack(size: i64, minor: i64) -> Pack {
    Pack {
        size: Amount::from_count(size),
        price: Money::from_minor(minor),
        breaks: Map::new(),
    }
}

fn lime() -> OrderLine {
    OrderLine {
        material: "Ground limestone".to_owned(),
        rate: Rate::from_micrograms_per_m2(366_000_000),
        rate_as_typed: "75 lb/1000 sq ft".to_owned(),
        rate_source: "Soil test of March".to_owned(),
        packs: Map::from([(1.into(), pack(5_000, 745)), (2.into(), pack(2_500, 410))]),
        hand_out: HandOut::WholePacks,
        ..OrderLine::default()
    }
}

/// An open order, numbered like its first line: lime by the beds, compost by what people ask for (line number + 40).
pub(crate) fn lime_and_compost(number: u8) -> (OrderId, NewOrder) {
    let mut loose = pack(1_000_000, 3_800);
    loose.breaks.insert(3.into(), Money::from_minor(3_500));
    let compost = OrderLine {
        material: "Compost".to_owned(),
        counted_in: CountedIn::Volume,
        amounts: AmountsFrom::Wishes,
        packs: Map::from([(1.into(), loose)]),
        loose: true,
        rule: ShareRule::Taken,
        left_over: LeftOver::Shared,
        ..OrderLine::default()
    };
    let new = NewOrder {
        title: "Lime and compost".to_owned(),
        supplier: "The yard at the crossroads".to_owned(),
        lines: Map::from([
            (ids::line(number), lime()),
            (ids::line(number + 40), compost),
        ]),
        delivery: Money::from_minor(3_000),
        delivery_rule: DeliveryRule::Equally,
        deposit: Money::from_minor(2_000),
        buyer: Payer::Member(ids::member(1)),
        closes_on: Some(day("2026-03-28")),
        arrives: "Saturday at the gate".to_owned(),
    };
    (ids::order(number), new)
}

/// An order of straw by the bale, as people ask for it.
pub(crate) fn straw(number: u8) -> (OrderId, NewOrder) {
    let bales = OrderLine {
        material: "Straw".to_owned(),
        counted_in: CountedIn::Pieces,
        amounts: AmountsFrom::Wishes,
        packs: Map::from([(1.into(), pack(1, 650))]),
        hand_out: HandOut::WholePacks,
        rule: ShareRule::Taken,
        ..OrderLine::default()
    };
    let new = NewOrder {
        title: "Straw".to_owned(),
        lines: Map::from([(ids::line(number), bales)]),
        ..NewOrder::default()
    };
    (ids::order(number), new)
}

/// Somebody asks for so much: of the compost of order 1, of the straw of order 2.
pub(crate) fn wish(order: u8, who: MemberId, amount: i64) -> Edit {
    Edit::AskFor {
        order: ids::order(order),
        line: line_that_asks(order),
        whose: Payer::Member(who),
        amount: Amount::from_count(amount),
    }
}

fn line_that_asks(order: u8) -> LineId {
    ids::line(if order == 1 { 41 } else { order })
}

/// One bale of the straw is missing, and Tomasz takes none.
pub(crate) fn invoice() -> Edit {
    let came = CameOf {
        counts: Map::from([(1.into(), 5)]),
        amount: Amount::ZERO,
        goods: Money::from_minor(3_300),
    };
    let none = Map::from([(Payer::Member(ids::member(4)), true)]);
    Edit::EnterInvoice {
        order: ids::order(2),
        on: day("2026-04-02"),
        delivered: Map::from([(ids::line(2), came)]),
        delivery: Money::from_minor(500),
        none_for: Map::from([(ids::line(2), none)]),
        seen: INVOICE_SEEN.to_owned(),
        word: "Rain got one bale".to_owned(),
    }
}

/// A payment without an order, on one day.
pub(crate) fn paid(entry: u8, from: Payer, to: Payer, minor: i64) -> Edit {
    Edit::AddEntry {
        entry: ids::entry(entry),
        from,
        to,
        kind: EntryKind::Payment,
        amount: Money::from_minor(minor),
        day: day("2026-04-04"),
        order: None,
        word: "In the tin".to_owned(),
    }
}

/// Every edit about orders, each of which stands when the coordinator makes it.
pub(crate) fn every() -> Vec<Edit> {
    let (order, new) = lime_and_compost(9);
    let garlic = OrderLine {
        material: "Seed garlic".to_owned(),
        amounts: AmountsFrom::Even,
        whole: Amount::from_count(4_000),
        own: Map::from([(ids::bed(1), Amount::from_count(500))]),
        beds_left_out: Map::from([(ids::bed(2), true)]),
        packs: Map::from([(1.into(), pack(500, 900))]),
        rule: ShareRule::Equal,
        ..OrderLine::default()
    };
    vec![
        Edit::AddOrder { order, new },
        Edit::ChangeOrder {
            order: ids::order(1),
            set: vec![
                OrderField::Title("Lime and garlic".to_owned()),
                OrderField::Supplier("The mill".to_owned()),
                OrderField::Line(ids::line(70), Box::new(garlic)),
                OrderField::DropLine(ids::line(41)),
                OrderField::Delivery {
                    fee: Money::from_minor(2_500),
                    rule: DeliveryRule::ByWeight,
                },
                OrderField::Deposit(Money::ZERO),
                OrderField::Buyer(Payer::Garden),
                OrderField::ClosesOn(None),
                OrderField::Arrives("Sunday".to_owned()),
                OrderField::EndedOn(None),
            ],
        },
        Edit::CloseOrder {
            order: ids::order(1),
            on: day("2026-04-01"),
            seen: SHARES_SEEN.to_owned(),
        },
        Edit::AskFor {
            order: ids::order(1),
            line: ids::line(41),
            whose: Payer::Garden,
            amount: Amount::from_count(500_000),
        },
        invoice(),
        Edit::HandOut {
            order: ids::order(2),
            line: ids::line(2),
            payer: Payer::Member(ids::member(2)),
            on: day("2026-04-02"),
            taken: true,
        },
    ]
}
