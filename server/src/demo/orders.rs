//! A load of two materials in the invented garden: lime for the beds, compost as everybody is still being asked for it.

use selion_core::document::edit::NewOrder;
use selion_core::document::ids::{BedId, LineId, OrderId};
use selion_core::document::records::{AmountsFrom, OrderLine, Pack, Payer};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, CountedIn, Currency, Day, Moment, Money, Rate};
use selion_core::shares::order::ShareRule;

use super::named;
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// Who asked for how much compost; an answer of nothing is an answer too.
const ASKED: [(&str, &str); 5] = [
    ("Adaeze", "0.75 cu yd"),
    ("Farid", "0.5 cu yd"),
    ("Ines", "1 cu yd"),
    ("Noor", "0 cu yd"),
    ("Yuki", "0.25 cu yd"),
];

/// Makes it, as the coordinator.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let ledger = DocumentName::Ledger(today.year());
    let garden = desk
        .hall
        .picture(desk.store.as_read(), hand.garden)?
        .clone();
    let order = OrderId::fresh(desk.now, chance::bytes());
    let lines = (line_id(desk.now, 0), line_id(desk.now, 1));
    let mut edits = vec![(
        ledger,
        lime_and_compost(&garden, order, lines, (hand, today))?,
    )];
    for (who, amount) in ASKED {
        let edit = Edit::AskFor {
            order,
            line: lines.1,
            whose: Payer::Member(named(&garden, who)?),
            amount: CountedIn::Volume.parse(amount)?,
        };
        edits.push((ledger, edit));
    }
    hand.make(desk, edits)
}

/// Lime for all beds but the berries and the herbs, and compost as everybody asks for it.
fn lime_and_compost(
    garden: &Garden,
    order: OrderId,
    (lime, compost): (LineId, LineId),
    (hand, today): (Hand, Day),
) -> Result<Edit, ByHandError> {
    let typed = "75 lb per 1000 sq ft";
    let left_out = ["D2", "D5"]
        .into_iter()
        .map(|label| Ok((bed(garden, label)?, true)));
    let limestone = OrderLine {
        material: "Ground limestone".to_owned(),
        rate: Rate::parse(typed)?,
        rate_as_typed: typed.to_owned(),
        rate_source: "Common practice is 50 to 100 lb per 1000 sq ft; not every bed is tested yet."
            .to_owned(),
        beds_left_out: left_out.collect::<Result<_, ByHandError>>()?,
        packs: Map::from([(1.into(), pack(CountedIn::Weight, "50 lb", "6.99")?)]),
        ..OrderLine::default()
    };
    let mut by_the_yard = pack(CountedIn::Volume, "1 cu yd", "38.00")?;
    by_the_yard.breaks.insert(5.into(), money("34.50")?);
    let loose = OrderLine {
        material: "Compost".to_owned(),
        counted_in: CountedIn::Volume,
        amounts: AmountsFrom::Wishes,
        packs: Map::from([(1.into(), by_the_yard)]),
        loose: true,
        rule: ShareRule::Taken,
        ..OrderLine::default()
    };
    Ok(Edit::AddOrder {
        order,
        new: NewOrder {
            title: "Ground limestone and compost".to_owned(),
            supplier: "The yard at the crossroads".to_owned(),
            lines: Map::from([(lime, limestone), (compost, loose)]),
            delivery: money("45.00")?,
            deposit: money("40.00")?,
            buyer: Payer::Member(hand.member),
            closes_on: Some(today.plus_days(5)),
            arrives: "Saturday week, at the gate".to_owned(),
            ..NewOrder::default()
        },
    })
}

fn bed(garden: &Garden, label: &str) -> Result<BedId, ByHandError> {
    let mut beds = garden.open_beds().into_iter();
    let found = beds.find(|(_, bed)| bed.label == label).map(|(id, _)| id);
    found.ok_or_else(|| ByHandError::Asked(format!("there is no bed {label}")))
}

/// Ids of lines in the order in which they are to stand.
fn line_id(now: Moment, place: i64) -> LineId {
    LineId::fresh(now.plus_millis(place), chance::bytes())
}

fn pack(counted_in: CountedIn, size: &str, price: &str) -> Result<Pack, BadInput> {
    Ok(Pack {
        size: counted_in.parse(size)?,
        price: money(price)?,
        breaks: Map::new(),
    })
}

fn money(text: &str) -> Result<Money, BadInput> {
    Money::parse(text, Currency::new("USD")?)
}

#[cfg(test)]
mod tests {
    use selion_core::document::shared_out;

    use crate::demo;
    use crate::testing::Bench;

    #[test]
    fn the_open_load_has_two_materials_and_is_shared_out_to_the_cent() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        let garden = bench
            .hall
            .picture(&bench.store, made.garden)
            .unwrap()
            .clone();
        let orders = || {
            garden
                .ledgers
                .values()
                .flat_map(|ledger| ledger.orders.values())
        };
        assert!(orders().any(|order| order.closed.is_some()));
        let open = orders().find(|order| order.lines.len() == 2).unwrap();
        assert!(open.is_open() && open.asks_members());
        let standing = shared_out::standing(&garden, open).unwrap();
        let shares = standing.shares();
        let pays = shares.accounts.iter().map(|share| share.pays.minor());
        assert_eq!(pays.sum::<i64>(), shares.total.minor());
        assert_eq!(shares.lines[0].counts, [13]);
    }
}
