//! The tables of a load: who gets and pays what, open or frozen, and the comparison of two rules.

use std::collections::BTreeSet;

use selion_core::document::ids::MemberId;
use selion_core::document::records::{Bed, Payer};
use selion_core::document::shared_out::{Compared, Standing};
use selion_core::document::{Garden, shared_out};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, Area, CountedIn, Currency, Money};
use selion_core::shares::order::{HandOut, LineCase, LinePart, ShareRule};

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

/// The shares of an order: as they would be if it were closed now, or as they were frozen.
pub fn table(standing: &Standing, me: Option<MemberId>) -> ShareTable {
    let shares = standing.shares();
    let shown = (standing.case.units, standing.case.currency);
    let mut rows: Vec<(Option<String>, ShareRow)> = Vec::new();
    let labels = labels(standing);
    let each_line = lists_each_line(standing);
    for share in &shares.accounts {
        let payer = Payer::from(share.account);
        let mine = is_mine(payer, me);
        let called = standing.name(payer).to_owned();
        // Members by name, the garden last.
        let order = (payer != Payer::Garden).then(|| called.to_lowercase());
        let beds = labels.get(&payer).map(Vec::as_slice).unwrap_or_default();
        let name = name(payer, called, mine, beds.iter().copied());
        let mut cells = vec![name, share.area.show_apart(shown.0).number];
        for (place, part) in share.lines.iter().enumerate().filter(|_| each_line) {
            cells.extend(part_cells(standing, place, part));
        }
        cells.push(share.pays.show(shown.1));
        rows.push((order, ShareRow { payer, cells, mine }));
    }
    ordered::sort_by_key(&mut rows, |(order, _)| (order.is_none(), order.clone()));
    let area: Area = shares.accounts.iter().map(|share| share.area).sum();
    let mut whole = vec!["Whole".to_owned(), area.show_apart(shown.0).number];
    let lines = standing.case.lines.iter().zip(&shares.lines);
    for (line, shared) in lines.filter(|_| each_line) {
        whole.push(line.counted_in.show_apart(shared.bought, shown.0).number);
        if in_packs(line) {
            whole.push(shared.counts.iter().sum::<i64>().to_string());
        }
    }
    whole.push(shares.total.show(shown.1));
    ShareTable {
        heads: heads(standing),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        whole,
    }
}

/// Whether the table has columns for each material; of many they stand in the workings and on the list for the day.
fn lists_each_line(standing: &Standing) -> bool {
    const MOST: usize = 3;
    standing.case.lines.len() <= MOST
}

/// The first rows of a long table and whoever looks; the whole stays below the line.
pub fn shortened(table: &ShareTable, most: usize) -> ShareTable {
    let mut rows = Vec::new();
    for (place, row) in table.rows.iter().enumerate() {
        if place < most || row.mine {
            rows.push(row.clone());
        }
    }
    ShareTable {
        heads: table.heads.clone(),
        rows,
        whole: table.whole.clone(),
    }
}

fn in_packs(line: &LineCase<MemberId>) -> bool {
    line.hand_out == HandOut::WholePacks && !line.loose
}

/// How much, and in how many bags where they are handed out whole.
fn part_cells(standing: &Standing, place: usize, part: &LinePart) -> Vec<String> {
    let Some(line) = standing.case.lines.get(place) else {
        return Vec::new();
    };
    let amount = line.counted_in.show_apart(part.amount, standing.case.units);
    let mut cells = vec![amount.number];
    if in_packs(line) {
        cells.push(part.packs.iter().sum::<i64>().to_string());
    }
    cells
}

/// An account's part in a few words: `2.4 lb, 1 bag`; of several materials each with its name.
pub fn part_words(standing: &Standing, payer: Payer) -> Option<String> {
    let share = standing.part(payer)?;
    let many = standing.case.lines.len() > 1;
    let mut words = Vec::new();
    for (line, part) in standing.case.lines.iter().zip(&share.lines) {
        if many && part.is_nothing() {
            continue;
        }
        let one = amount_words(standing, line, part);
        words.push(if many {
            format!("{} {one}", line.material)
        } else {
            one
        });
    }
    Some(words.join("; "))
}

/// How much of one line, and in which packs where they are handed out whole.
pub fn amount_words(standing: &Standing, line: &LineCase<MemberId>, part: &LinePart) -> String {
    let show = |amount: Amount| line.counted_in.show(amount, standing.case.units);
    let amount = show(part.amount);
    let packs: i64 = part.packs.iter().sum();
    match (line.offers.as_slice(), usize::try_from(packs)) {
        (_, Ok(0) | Err(_)) => amount,
        ([offer], Ok(_)) if line.counted_in == CountedIn::Pieces && offer.size.count() == 1 => {
            amount
        }
        ([_], Ok(packs)) if line.counted_in == CountedIn::Weight => {
            format!("{amount}, {}", counted(packs, "bag", "bags"))
        }
        ([_], Ok(packs)) => format!("{amount}, {}", counted(packs, "pack", "packs")),
        (offers, Ok(_)) => {
            let mut sizes = Vec::new();
            for (offer, count) in offers.iter().zip(&part.packs) {
                if *count > 0 {
                    sizes.push(format!("{count} × {}", show(offer.size)));
                }
            }
            format!("{amount}: {}", sizes.join(" + "))
        }
    }
}

/// What everybody would pay by the one rule and by the other.
pub fn compared(
    garden: &Garden,
    compared: &[Compared],
    (one, other): (ShareRule, ShareRule),
    currency: Currency,
    me: Option<MemberId>,
) -> ShareTable {
    let money = |amount: Money| amount.show(currency);
    let rows = compared.iter().map(|account| {
        let payer = account.payer;
        let mine = is_mine(payer, me);
        let name = if mine {
            "You".to_owned()
        } else {
            shared_out::payer_name(garden, payer)
        };
        let difference = account.difference();
        let more = if difference.is_positive() { "+" } else { "" };
        ShareRow {
            payer,
            cells: vec![
                name,
                money(account.one),
                money(account.other),
                format!("{more}{}", money(difference)),
            ],
            mine,
        }
    });
    let mut rows: Vec<ShareRow> = rows.collect();
    // By name as in the table of shares, the garden last.
    ordered::sort_by_key(&mut rows, |row| {
        let name = shared_out::payer_name(garden, row.payer).to_lowercase();
        (row.payer == Payer::Garden, name)
    });
    let total: Money = compared.iter().map(|account| account.one).sum();
    let heads = ["Member", short_name(one), short_name(other), "differs"];
    ShareTable {
        heads: heads.map(ToOwned::to_owned).to_vec(),
        rows,
        whole: vec![
            "Whole".to_owned(),
            money(total),
            money(total),
            money(Money::ZERO),
        ],
    }
}

/// A rule as the head of a column.
fn short_name(rule: ShareRule) -> &'static str {
    match rule {
        ShareRule::Need => "by need",
        ShareRule::Area => "by area",
        ShareRule::Taken => "by taking",
        ShareRule::Equal => "evenly",
    }
}

/// The block under the head of a load: of one material bags, weight, what is left; of any the bill.
pub fn block(standing: &Standing) -> Vec<(String, String)> {
    let (units, shares) = (standing.case.units, standing.shares());
    let bill = ("Bill", shares.total.show(standing.case.currency));
    match (standing.case.lines.as_slice(), shares.lines.as_slice()) {
        ([line], [shared]) => {
            let bags: i64 = shared.counts.iter().sum();
            let show = |amount: Amount| line.counted_in.show(amount, units);
            pairs([
                ("Bags", bags.to_string()),
                ("Need", show(shared.need)),
                ("Left", show(shared.left_over)),
                bill,
            ])
        }
        (lines, _) => pairs([("Lines", lines.len().to_string()), bill]),
    }
}

/// Whether a bed is charged to this account.
pub fn is_of(bed: &Bed, payer: Payer) -> bool {
    match payer {
        Payer::Garden => bed.is_common(),
        Payer::Member(member) => bed.is_held_by(member),
        Payer::Supplier => false,
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

fn heads(standing: &Standing) -> Vec<String> {
    let units = standing.case.units;
    let many = standing.case.lines.len() > 1;
    let mut heads = vec![
        "Member".to_owned(),
        Area::ZERO.show_apart(units).unit.to_owned(),
    ];
    let each_line = lists_each_line(standing);
    for line in standing.case.lines.iter().filter(|_| each_line) {
        let unit = line.counted_in.show_apart(Amount::ZERO, units).unit;
        heads.push(if many {
            format!("{}, {unit}", line.material)
        } else {
            unit.to_owned()
        });
        if in_packs(line) {
            heads.push("bags".to_owned());
        }
    }
    heads.push("pays".to_owned());
    heads
}

/// The labels of the beds that bring each account into the order.
fn labels(standing: &Standing) -> Map<Payer, Vec<&str>> {
    let mut taking_part = BTreeSet::new();
    for line in &standing.shares().lines {
        for part in &line.beds {
            taking_part.insert(part.bed);
        }
    }
    let mut labels: Map<Payer, Vec<&str>> = Map::new();
    for bed in &standing.case.beds {
        if !taking_part.contains(&bed.bed) {
            continue;
        }
        let mut put = |payer| labels.entry(payer).or_default().push(&bed.label);
        if bed.holders.is_empty() {
            put(Payer::Garden);
        }
        for (holder, _) in &bed.holders {
            put(Payer::Member(*holder));
        }
    }
    labels
}

/// The name, and below it the beds; many beds are counted.
fn name<'a>(payer: Payer, name: String, mine: bool, beds: impl Iterator<Item = &'a str>) -> String {
    const MOST_LISTED: usize = 4;
    let beds: Vec<&str> = beds.collect();
    let name = match payer {
        Payer::Garden => return format!("Garden\n{}", common(beds.len())),
        Payer::Member(_) if mine => "You".to_owned(),
        Payer::Member(_) | Payer::Supplier => name,
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
    use crate::plain::sample::{day, garden, lime, member};
    use selion_core::document::records::Order;
    use selion_core::quantities::Units;

    /// Two beds of 3 m² each, of Ines and Tomasz.
    fn order() -> Order {
        let typed = lime("75 lb/1000 sq ft", "3 lb", "2.01");
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
        let standing = shared_out::standing(&garden, &order()).unwrap();
        let table = table(&standing, Some(member(2)));
        assert_eq!(table.heads, ["Member", "sq ft", "lb", "pays"]);
        let expected = [
            "Ines\nA2 | 32 | 2.4 | $2.01",
            "You\nC4 | 32 | 2.4 | $2.01",
            "Garden\nin the shed | 0 | 1.2 | $0.00",
            "Whole | 65 | 6.0 | $4.02",
        ];
        assert_eq!(cells(&table), expected);
        assert_eq!(
            table.rows.iter().map(|row| row.mine).collect::<Vec<_>>(),
            [false, true, false]
        );
        let words = part_words(&standing, Payer::Member(member(2)));
        assert_eq!(words.as_deref(), Some("2.4 lb"));
    }

    #[test]
    fn whole_bags_are_counted_where_they_are_handed_out_whole() {
        let garden = garden();
        let mut order = order();
        order.lines.values_mut().next().unwrap().hand_out = HandOut::WholePacks;
        let standing = shared_out::standing(&garden, &order).unwrap();
        let table = table(&standing, None);
        assert_eq!(table.heads, ["Member", "sq ft", "lb", "bags", "pays"]);
        assert_eq!(
            cells(&table).last().unwrap(),
            "Whole | 65 | 6.0 | 2 | $4.02"
        );
        let words = part_words(&standing, Payer::Member(member(2)));
        assert_eq!(words.as_deref(), Some("3.0 lb, 1 bag"));
    }

    #[test]
    fn the_frozen_table_says_what_was_closed_whatever_the_ground_has_become() {
        let mut garden = garden();
        let mut order = order();
        let open = shared_out::standing(&garden, &order).unwrap();
        let closed = shared_out::freeze(&garden, &order, day("2026-06-01"), open.shares());
        order.closed = Some(closed);
        garden.beds.clear();
        let after = shared_out::standing(&garden, &order).unwrap();
        assert_eq!(cells(&table(&after, None)), cells(&table(&open, None)));
        assert_eq!(block(&after).last().unwrap().1, "$4.02");
    }

    #[test]
    fn an_equal_split_is_compared_account_by_account() {
        let garden = garden();
        let mut order = order();
        let line = order.lines.values_mut().next().unwrap();
        line.own
            .insert(crate::plain::sample::bed(1), Amount::from_count(2_000));
        let rules = (ShareRule::Need, ShareRule::Equal);
        let compared = shared_out::compare(&garden, &order, rules).unwrap();
        let dollars = Currency::new("USD").unwrap();
        let expected = [
            "Ines | $3.89 | $3.02 | −$0.87",
            "Tomasz | $2.14 | $3.01 | +$0.87",
            "Garden, common beds | $0.00 | $0.00 | $0.00",
            "Whole | $6.03 | $6.03 | $0.00",
        ];
        let table = super::compared(&garden, &compared, rules, dollars, None);
        assert_eq!(cells(&table), expected);
        assert_eq!(cells(&shortened(&table, 1)), [expected[0], expected[3]]);
    }
}
