//! What is to be bought of each material of an order: the packs, what they cost, and who gets what is left over.

use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::shared_out::Standing;
use selion_core::quantities::{Amount, CountedIn};
use selion_core::shares::order::{LeftOver, LineCase, LineShares};

use super::wording::capital;

/// One material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuyRow {
    /// What it is.
    pub material: String,
    /// The packs, or the loose amount: `4 × 50.0 lb + 1 × 25.0 lb`.
    pub packs: String,
    /// What is needed, what is left over and who gets it, or what came short.
    pub small: String,
    /// What it costs.
    pub costs: String,
}

/// A row for each material.
pub fn rows(standing: &Standing) -> Vec<BuyRow> {
    let lines = standing.case.lines.iter().zip(&standing.shares().lines);
    lines
        .map(|(line, shared)| BuyRow {
            material: line.material.clone(),
            packs: packs(standing, line, shared),
            small: small(standing, line, shared),
            costs: shared.goods.show(standing.case.currency),
        })
        .collect()
}

fn packs(standing: &Standing, line: &LineCase<MemberId>, shared: &LineShares<BedId>) -> String {
    let show = |amount: Amount| line.counted_in.show(amount, standing.case.units);
    if line.loose {
        return format!("{} loose", show(shared.bought));
    }
    let mut packs = Vec::new();
    for ((offer, count), each) in line.offers.iter().zip(&shared.counts).zip(&shared.each) {
        if *count == 0 {
            continue;
        }
        let single = line.counted_in == CountedIn::Pieces && offer.size.count() == 1;
        let size = if single {
            show(Amount::from_count(*count))
        } else {
            format!("{count} × {}", show(offer.size))
        };
        // What was agreed on an invoice need not be a price times a count.
        packs.push(if line.delivered.is_some() {
            size
        } else {
            format!("{size} at {}", each.show(standing.case.currency))
        });
    }
    if packs.is_empty() {
        "none".to_owned()
    } else {
        packs.join(" + ")
    }
}

fn small(standing: &Standing, line: &LineCase<MemberId>, shared: &LineShares<BedId>) -> String {
    let show = |amount: Amount| line.counted_in.show(amount, standing.case.units);
    let mut words = vec![format!("{} needed", show(shared.need))];
    if shared.bought < shared.need {
        let short = shared
            .need
            .checked_sub(shared.bought)
            .unwrap_or(Amount::ZERO);
        words.push(format!(
            "{} short, missing for all in proportion",
            show(short)
        ));
    } else if shared.left_over.is_positive() {
        let whose = match line.left_over {
            LeftOver::Garden => "left over, for the shed",
            LeftOver::Shared => "left over, shared by need",
        };
        words.push(format!("{} {whose}", show(shared.left_over)));
    }
    words.push(format!("paid {}", line.rule.words()));
    capital(&words.join(" · "))
}

#[cfg(test)]
mod tests {
    use selion_core::document::shared_out;
    use selion_core::quantities::{Currency, Units};

    use super::*;
    use crate::plain::sample::{garden, lime, line_id};

    #[test]
    fn the_packs_the_rest_and_who_gets_it_stand_in_one_row() {
        let garden = garden();
        let mut typed = lime("75", "3 lb", "2.01");
        let line = typed.lines.get_mut(&line_id(1)).unwrap();
        line.add_size();
        let pack = line.packs.get_mut(&2.into()).unwrap();
        (pack.size, pack.price) = ("2 lb".into(), "1.40".into());
        let dollars = Currency::new("USD").unwrap();
        let order = typed.read(Units::UsCustomary, dollars, None).unwrap();
        let standing = shared_out::standing(&garden, &order).unwrap();
        let row = rows(&standing).remove(0);
        assert_eq!(row.packs, "1 × 3.0 lb at $2.01 + 1 × 2.0 lb at $1.40");
        assert_eq!(row.costs, "$3.41");
        assert_eq!(
            row.small,
            "4.8 lb needed · 2.5 oz left over, for the shed · paid by what each needs"
        );
    }
}
