//! The list for the day a load comes: who takes how much of what, and what is ticked off.

use selion_core::document::ids::{LineId, MemberId};
use selion_core::document::records::{Order, Payer};
use selion_core::document::shared_out::Standing;
use selion_core::ordered;
use selion_core::quantities::{Amount, CountedIn, Units, Volume};
use selion_core::soil::loads::tenths_of_a_barrow;

use super::share_rows;

/// One account's part of one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandOutRow {
    /// Which line.
    pub line: LineId,
    /// Whose part.
    pub payer: Payer,
    /// What the account is called.
    pub name: String,
    /// Of what.
    pub material: String,
    /// How much of it: weight and bags, or a volume and barrow loads.
    pub what: String,
    /// Ticked off.
    pub taken: bool,
    /// Belongs to whoever looks.
    pub mine: bool,
}

impl HandOutRow {
    /// What the row is known by.
    pub fn key(&self) -> String {
        format!("{}/{}", self.payer, self.line)
    }
}

/// Every part of a closed order, person by person, the garden last.
pub fn rows(order: &Order, standing: &Standing, me: Option<MemberId>) -> Vec<HandOutRow> {
    let mut rows: Vec<(bool, String, HandOutRow)> = Vec::new();
    for share in &standing.shares().accounts {
        let payer = Payer::from(share.account);
        let lines = order.lines.iter().zip(&standing.case.lines);
        for (((id, record), line), part) in lines.zip(&share.lines) {
            if part.amount.is_zero() {
                continue;
            }
            let amount = share_rows::amount_words(standing, line, part);
            let name = standing.name(payer).to_owned();
            let row = HandOutRow {
                line: *id,
                payer,
                material: record.material.clone(),
                what: match barrows(line.counted_in, part.amount, standing.case.units) {
                    Some(barrows) => format!("{amount}, {barrows}"),
                    None => amount,
                },
                taken: order.is_handed(*id, payer),
                mine: me.is_some_and(|me| payer == Payer::Member(me)),
                name: name.clone(),
            };
            rows.push((payer == Payer::Garden, name.to_lowercase(), row));
        }
    }
    ordered::sort_by(&mut rows, |one, other| {
        let key = |row: &(bool, String, HandOutRow)| (row.0, row.2.payer, row.2.line);
        (one.0, &one.1)
            .cmp(&(other.0, &other.1))
            .then_with(|| key(one).cmp(&key(other)))
    });
    rows.into_iter().map(|(_, _, row)| row).collect()
}

/// A volume in level barrow loads, upwards to the tenth.
fn barrows(counted_in: CountedIn, amount: Amount, units: Units) -> Option<String> {
    if counted_in != CountedIn::Volume {
        return None;
    }
    let tenths = tenths_of_a_barrow(Volume::from_ml(amount.count()));
    let size = match units {
        Units::UsCustomary => "3 cu ft",
        Units::Metric => "85 l",
    };
    Some(match (tenths / 10, tenths % 10) {
        (1, 0) => format!("1 barrow of {size}"),
        (whole, 0) => format!("{whole} barrows of {size}"),
        (whole, tenth) => format!("{whole}.{tenth} barrows of {size}"),
    })
}

/// How many of the parts are ticked off, such as `2 of 5 taken home`.
pub fn taken_words(rows: &[HandOutRow]) -> String {
    let taken = rows.iter().filter(|row| row.taken).count();
    format!("{taken} of {} taken home", rows.len())
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;

    use selion_core::document::records::Handed;
    use selion_core::document::shared_out;
    use selion_core::quantities::Currency;

    use super::*;
    use crate::plain::sample::{day, garden, lime, member};

    #[test]
    fn each_part_stands_once_with_its_tick_and_the_garden_last() {
        let garden = garden();
        let typed = lime("75", "3 lb", "2.01");
        let dollars = Currency::new("USD").unwrap();
        let mut order = typed.read(Units::UsCustomary, dollars, None).unwrap();
        let shares = shared_out::order(&garden, &order).unwrap().result;
        order.closed = Some(shared_out::freeze(
            &garden,
            &order,
            day("2026-06-10"),
            &shares,
        ));
        let line = *order.lines.keys().next().unwrap();
        let tick = Handed {
            by: member(1),
            on: day("2026-06-12"),
            taken_back: false,
        };
        let ticks = Map::from([(Payer::Member(member(2)), tick)]);
        order.handed.insert(line, ticks);
        let standing = shared_out::standing(&garden, &order).unwrap();
        let rows = rows(&order, &standing, Some(member(2)));
        let words: Vec<String> = rows
            .iter()
            .map(|row| {
                format!(
                    "{} | {}: {} | {} {}",
                    row.name, row.material, row.what, row.taken, row.mine
                )
            })
            .collect();
        let expected = [
            "Ines | Ground limestone: 2.4 lb | false false",
            "Tomasz | Ground limestone: 2.4 lb | true true",
            "Garden, common beds | Ground limestone: 1.2 lb | false false",
        ];
        assert_eq!(words, expected);
        assert_eq!(taken_words(&rows), "1 of 3 taken home");
    }

    #[test]
    fn what_is_loose_by_volume_is_told_in_barrows_too() {
        let yards = |text: &str| CountedIn::Volume.parse(text).unwrap();
        let us = |text| barrows(CountedIn::Volume, yards(text), Units::UsCustomary).unwrap();
        assert_eq!(us("1 cu yd"), "9 barrows of 3 cu ft");
        assert_eq!(us("0.5 cu yd"), "4.5 barrows of 3 cu ft");
        assert_eq!(
            barrows(CountedIn::Weight, yards("1 cu yd"), Units::Metric),
            None
        );
    }
}
