//! The tables of a load: who gets and pays what, open or frozen, and the comparison with an equal split.

use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::records::{Bed, ClosedOrder, Payer};
use selion_core::document::{Garden, shared_out, workings};
use selion_core::quantities::{Area, Currency, Mass, Money, Units};
use selion_core::shares::load::LoadShares;

use super::wording::counted;

/// A table of shares.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShareTable {
    /// The heads of the columns.
    pub heads: Vec<String>,
    /// One row an account.
    pub rows: Vec<ShareRow>,
    /// The row below the line.
    pub whole: Vec<String>,
}

/// One account's row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShareRow {
    /// Whose.
    pub payer: Payer,
    /// Its cells.
    pub cells: Vec<String>,
    /// Belongs to whoever looks.
    pub mine: bool,
}

/// What an account's cells are made of.
struct Figures {
    area: Area,
    mass: Mass,
    bags: i64,
    pays: Money,
}

impl Figures {
    fn cells(&self, name: String, (units, currency): (Units, Currency)) -> Vec<String> {
        vec![
            name,
            self.area.show_apart(units).number,
            self.mass.show_apart(units).number,
            self.bags.to_string(),
            self.pays.show(currency),
        ]
    }
}

/// The shares of an order as they would be if it were closed now.
pub fn open(
    garden: &Garden,
    shares: &LoadShares<BedId, MemberId>,
    me: Option<MemberId>,
) -> ShareTable {
    let shown = (shares.units, shares.currency);
    let rows = shares.accounts.iter().map(|share| {
        let payer = Payer::from(share.account);
        let figures = Figures {
            area: share.area,
            mass: share.mass,
            bags: share.bags,
            pays: share.pays,
        };
        let beds = shares.beds.iter().filter_map(|part| {
            let bed = garden.beds.get(&part.bed)?;
            is_of(bed, payer).then_some(part.label.as_str())
        });
        let mine = is_mine(payer, me);
        let name = name(payer, shared_out::payer_name(garden, payer), mine, beds);
        ShareRow {
            payer,
            cells: figures.cells(name, shown),
            mine,
        }
    });
    let whole = Figures {
        area: shares.area,
        mass: shares.bought,
        bags: shares.bags,
        pays: shares.total,
    };
    ShareTable {
        heads: heads(shares.units),
        rows: rows.collect(),
        whole: whole.cells("Whole".to_owned(), shown),
    }
}

/// The shares of a closed order, with the names, beds and figures that were frozen.
pub fn frozen(
    closed: &ClosedOrder,
    me: Option<MemberId>,
    units: Units,
    currency: Currency,
) -> ShareTable {
    let mut whole = Figures {
        area: Area::ZERO,
        mass: Mass::ZERO,
        bags: closed.bags,
        pays: closed.total,
    };
    let mut rows: Vec<(Option<String>, ShareRow)> = Vec::new();
    for (payer, share) in &closed.shares {
        let figures = Figures {
            area: share.area,
            mass: share.mass,
            bags: share.bags,
            pays: share.pays,
        };
        whole.area = [whole.area, share.area].into_iter().sum();
        whole.mass = [whole.mass, share.mass].into_iter().sum();
        let mut labels: Vec<&str> = closed
            .beds
            .values()
            .filter(|bed| match payer {
                Payer::Garden => bed.holders.is_empty(),
                Payer::Member(member) => bed.holders.get(member).is_some_and(|parts| *parts > 0),
            })
            .map(|bed| bed.label.as_str())
            .collect();
        labels.sort_unstable();
        let mine = is_mine(*payer, me);
        let row = ShareRow {
            payer: *payer,
            cells: figures.cells(
                name(*payer, share.name.clone(), mine, labels.into_iter()),
                (units, currency),
            ),
            mine,
        };
        // Members by name, the garden last.
        let order = (*payer != Payer::Garden).then(|| share.name.to_lowercase());
        rows.push((order, row));
    }
    rows.sort_by_key(|(order, _)| (order.is_none(), order.clone()));
    ShareTable {
        heads: heads(units),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        whole: whole.cells("Whole".to_owned(), (units, currency)),
    }
}

/// What everybody would pay if the bill were split evenly, beside what they pay by area.
pub fn equal(
    garden: &Garden,
    shares: &LoadShares<BedId, MemberId>,
    me: Option<MemberId>,
) -> ShareTable {
    let money = |amount: Money| amount.show(shares.currency);
    let rows = shares
        .accounts
        .iter()
        .zip(shares.equal_split())
        .map(|(by_area, even)| {
            let payer = Payer::from(even.account);
            let mine = is_mine(payer, me);
            let name = if mine {
                "You".to_owned()
            } else {
                shared_out::payer_name(garden, payer)
            };
            let more = if even.difference.is_positive() {
                "+"
            } else {
                ""
            };
            ShareRow {
                payer,
                cells: vec![
                    name,
                    money(by_area.pays),
                    money(even.pays),
                    format!("{more}{}", money(even.difference)),
                ],
                mine,
            }
        });
    let heads = ["Member", "by area", "evenly", "differs"];
    ShareTable {
        heads: heads.map(ToOwned::to_owned).to_vec(),
        rows: rows.collect(),
        whole: vec![
            "Whole".to_owned(),
            money(shares.total),
            money(shares.total),
            money(Money::ZERO),
        ],
    }
}

/// The block under the head of a load: bags, weight, what is left, the bill.
pub fn block(shares: &LoadShares<BedId, MemberId>) -> Vec<(String, String)> {
    pairs([
        ("Bags", shares.bags.to_string()),
        ("Need", shares.need.show(shares.units)),
        ("Left", shares.left_over.show(shares.units)),
        ("Bill", shares.total.show(shares.currency)),
    ])
}

/// The same of a closed order.
pub fn frozen_block(
    order: &selion_core::document::records::Order,
    closed: &ClosedOrder,
    units: Units,
    currency: Currency,
) -> Vec<(String, String)> {
    let left_over = workings::left_over(order, closed).unwrap_or(Mass::ZERO);
    pairs([
        ("Bags", closed.bags.to_string()),
        ("Need", closed.need.show(units)),
        ("Left", left_over.show(units)),
        ("Bill", closed.total.show(currency)),
    ])
}

/// Whether a bed is charged to this account.
pub fn is_of(bed: &Bed, payer: Payer) -> bool {
    match payer {
        Payer::Garden => bed.is_common(),
        Payer::Member(member) => bed.is_held_by(member),
    }
}

fn is_mine(payer: Payer, me: Option<MemberId>) -> bool {
    me.is_some_and(|me| payer == Payer::Member(me))
}

fn pairs<const N: usize>(pairs: [(&str, String); N]) -> Vec<(String, String)> {
    pairs
        .map(|(name, figure)| (name.to_owned(), figure))
        .to_vec()
}

fn heads(units: Units) -> Vec<String> {
    let area = Area::ZERO.show_apart(units).unit;
    let mass = Mass::ZERO.show_apart(units).unit;
    ["Member", area, mass, "bags", "pays"]
        .map(ToOwned::to_owned)
        .to_vec()
}

/// The name, and below it the beds; many beds are counted.
fn name<'a>(payer: Payer, name: String, mine: bool, beds: impl Iterator<Item = &'a str>) -> String {
    const MOST_LISTED: usize = 4;
    let beds: Vec<&str> = beds.collect();
    let name = match payer {
        Payer::Garden => return format!("Garden\n{}", common(beds.len())),
        Payer::Member(_) if mine => "You".to_owned(),
        Payer::Member(_) => name,
    };
    match beds.len() {
        0 => name,
        1..=MOST_LISTED => format!("{name}\n{}", beds.join(" ")),
        many => format!("{name}\n{many} beds"),
    }
}

fn common(beds: usize) -> String {
    match beds {
        0 => "in the shed".to_owned(),
        beds => counted(beds, "common bed", "common beds"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::order_form::OrderTyped;
    use crate::plain::sample::{day, garden, member};
    use selion_core::document::records::Order;

    /// Two beds of 3 m² each, of Ines and Tomasz.
    fn order() -> Order {
        let typed = OrderTyped {
            material: "Ground limestone".into(),
            rate: "75 lb/1000 sq ft".into(),
            bag: "3 lb".into(),
            bag_price: "2.01".into(),
            ..OrderTyped::default()
        };
        let dollars = Currency::new("USD").unwrap();
        typed.read(Units::UsCustomary, dollars, None).unwrap()
    }

    fn cells(table: &ShareTable) -> Vec<String> {
        let rows = table.rows.iter().map(|row| row.cells.join(" | "));
        rows.chain([table.whole.join(" | ")]).collect()
    }

    #[test]
    fn the_open_table_tells_who_gets_and_pays_what() {
        let garden = garden();
        let shares = shared_out::order(&garden, &order()).unwrap().result;
        let table = open(&garden, &shares, Some(member(2)));
        assert_eq!(table.heads, ["Member", "sq ft", "lb", "bags", "pays"]);
        let expected = [
            "Ines\nA2 | 32 | 2.4 | 1 | $2.01",
            "You\nC4 | 32 | 2.4 | 1 | $2.01",
            "Garden\nin the shed | 0 | 1.2 | 0 | $0.00",
            "Whole | 65 | 6.0 | 2 | $4.02",
        ];
        assert_eq!(cells(&table), expected);
        assert_eq!(
            table.rows.iter().map(|row| row.mine).collect::<Vec<_>>(),
            [false, true, false]
        );
    }

    #[test]
    fn the_frozen_table_says_what_was_closed_whatever_the_ground_has_become() {
        let garden = garden();
        let order = order();
        let shares = shared_out::order(&garden, &order).unwrap().result;
        let before = open(&garden, &shares, None);
        let closed = shared_out::freeze(&garden, day("2026-06-01"), &shares);
        let after = frozen(&closed, None, shares.units, shares.currency);
        assert_eq!(cells(&after), cells(&before));
        assert_eq!(
            frozen_block(&order, &closed, shares.units, shares.currency)
                .last()
                .unwrap()
                .1,
            "$4.02"
        );
    }

    #[test]
    fn an_equal_split_is_compared_account_by_account() {
        let garden = garden();
        let shares = shared_out::order(&garden, &order()).unwrap().result;
        let expected = [
            "Ines | $2.01 | $1.34 | −$0.67",
            "Tomasz | $2.01 | $1.34 | −$0.67",
            "Garden, common beds | $0.00 | $1.34 | +$1.34",
            "Whole | $4.02 | $4.02 | $0.00",
        ];
        assert_eq!(cells(&equal(&garden, &shares, None)), expected);
    }
}
