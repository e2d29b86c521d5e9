//! What somebody asks for of an open order, what that would cost, and who has not answered yet.

use selion_core::document::ids::LineId;
use selion_core::document::records::{AmountsFrom, Order, OrderLine, Payer, Role};
use selion_core::document::{Garden, shared_out};
use selion_core::ordered;
use selion_core::quantities::{Amount, BadInput, CountedIn, Currency, Units};

use super::order_form::amount_unit;
use super::share_rows::amount_words;
use super::typed::with_unit;

/// A material that one account is asked about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WishRow {
    /// Which line.
    pub line: LineId,
    /// What it is.
    pub material: String,
    /// What its amounts are counted in.
    pub counted_in: CountedIn,
    /// How it is sold, in a few words.
    pub sold: String,
    /// What was asked for; nothing while there is no answer.
    pub asked: Option<Amount>,
}

/// The materials that everybody is asked about, with the answers of one account.
pub fn rows(order: &Order, whose: Payer, units: Units, currency: Currency) -> Vec<WishRow> {
    let mut rows = Vec::new();
    for (id, line) in &order.lines {
        if line.amounts == AmountsFrom::Wishes {
            rows.push(WishRow {
                line: *id,
                material: line.material.clone(),
                counted_in: line.counted_in,
                sold: sold(line, units, currency),
                asked: order.wish(*id, whose),
            });
        }
    }
    rows
}

fn sold(line: &OrderLine, units: Units, currency: Currency) -> String {
    let mut sizes = Vec::new();
    for pack in line.packs.values() {
        let size = line.counted_in.show(pack.size, units);
        sizes.push(format!("{} for {size}", pack.price.show(currency)));
    }
    sizes.join(", ")
}

impl WishRow {
    /// The answer in words.
    pub fn answer(&self, units: Units) -> String {
        match self.asked {
            None => "Not answered yet".to_owned(),
            Some(Amount::ZERO) => "None wanted".to_owned(),
            Some(amount) => format!("Asked for {}", self.counted_in.show(amount, units)),
        }
    }

    /// The answer as it stands in the field.
    pub fn text(&self, units: Units) -> String {
        self.asked
            .filter(|amount| amount.is_positive())
            .map(|amount| self.counted_in.show(amount, units))
            .unwrap_or_default()
    }

    /// The amount that was typed.
    pub fn read(&self, text: &str, units: Units) -> Result<Amount, BadInput> {
        self.counted_in
            .parse(&with_unit(text, amount_unit(self.counted_in, units)))
            .map_err(|bad| bad.named(self.material.clone()))
    }
}

/// What an account would take and pay if it asked for so much and everything else stayed as it is; nothing where the order
/// cannot be shared out yet.
pub fn would_cost(
    garden: &Garden,
    order: &Order,
    (line, whose): (LineId, Payer),
    amount: Amount,
) -> Option<String> {
    let mut order = order.clone();
    order.wishes.entry(line).or_default().insert(whose, amount);
    let standing = shared_out::standing(garden, &order).ok()?;
    let place = order.lines.keys().position(|id| *id == line)?;
    let Some(share) = standing.part(whose) else {
        return Some("Nothing to take and nothing to pay.".to_owned());
    };
    let (case, part) = (standing.case.lines.get(place)?, share.lines.get(place)?);
    let money = |amount: selion_core::quantities::Money| amount.show(standing.case.currency);
    let takes = amount_words(&standing, case, part);
    let whole = if share.pays == part.goods {
        String::new()
    } else {
        format!(", {} with all the rest of this load", money(share.pays))
    };
    Some(format!(
        "As it stands: {takes} for {}{whole}.",
        money(part.goods)
    ))
}

/// The people who have not said of every material how much they want, by name.
pub fn unanswered(garden: &Garden, order: &Order) -> Vec<String> {
    let asked: Vec<LineId> = order
        .lines
        .iter()
        .filter(|(_, line)| line.amounts == AmountsFrom::Wishes)
        .map(|(id, _)| *id)
        .collect();
    let mut names = Vec::new();
    for (id, member) in &garden.members {
        let is_asked = member.ended_on.is_none() && member.role != Role::Helper;
        let whose = Payer::Member(*id);
        if is_asked && asked.iter().any(|line| order.wish(*line, whose).is_none()) {
            names.push(member.name.clone());
        }
    }
    ordered::sort_by_key(&mut names, |name| name.to_lowercase());
    names
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;

    use super::*;
    use crate::plain::order_form::{Kind, OrderTyped};
    use crate::plain::sample::{garden, line_id, member};

    const US: Units = Units::UsCustomary;

    fn dollars() -> Currency {
        Currency::new("USD").unwrap()
    }

    fn straw() -> Order {
        let mut line = Kind::Straw.line(US);
        line.packs.get_mut(&1.into()).unwrap().price = "6.50".into();
        let typed = OrderTyped {
            lines: Map::from([(line_id(1), line)]),
            delivery: "5".into(),
            ..OrderTyped::default()
        };
        typed.read(US, dollars(), None).unwrap()
    }

    #[test]
    fn an_answer_of_nothing_is_an_answer_and_silence_is_none() {
        let (garden, mut order) = (garden(), straw());
        assert_eq!(unanswered(&garden, &order), ["Ines", "Tomasz"]);
        let tomasz = Payer::Member(member(2));
        let row = |order: &Order| rows(order, tomasz, US, dollars()).remove(0);
        assert_eq!(row(&order).answer(US), "Not answered yet");
        assert_eq!(row(&order).sold, "$6.50 for 1 piece");
        order
            .wishes
            .entry(line_id(1))
            .or_default()
            .insert(tomasz, Amount::ZERO);
        assert_eq!(row(&order).answer(US), "None wanted");
        assert_eq!(unanswered(&garden, &order), ["Ines"]);
    }

    #[test]
    fn what_it_would_cost_counts_the_delivery_in() {
        let (garden, order) = (garden(), straw());
        let tomasz = Payer::Member(member(2));
        let row = rows(&order, tomasz, US, dollars()).remove(0);
        let amount = row.read(" 3 ", US).unwrap();
        let cost = would_cost(&garden, &order, (line_id(1), tomasz), amount);
        let expected = "As it stands: 3 pieces for $19.50, $24.50 with all the rest of this load.";
        assert_eq!(cost.as_deref(), Some(expected));
        let bad = row.read("a few", US).unwrap_err().to_string();
        assert!(bad.starts_with("Straw bales: expected"), "{bad}");
    }
}
