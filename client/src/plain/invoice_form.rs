//! What came of a closed order and what is asked for it: the form, and what it changes for everybody.

use std::collections::BTreeSet;

use selion_core::document::Edit;
use selion_core::document::ids::{LineId, OrderId};
use selion_core::document::records::{
    CameOf, FrozenLine, FrozenShares, Number, Order, OrderLine, Payer,
};
use selion_core::document::shared_out::{self, Came};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, BadInput, Currency, Day, Money, Units};

use super::order_form::amount_unit;
use super::share_rows::{ShareRow, ShareTable};
use super::typed::with_unit;
use super::wording::capital;

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each field is described where the form is")]
pub enum InvoiceBox {
    Count(LineId, Number),
    Amount(LineId),
    Goods(LineId),
    Delivery,
    Word,
}

/// What is wrong, a sentence a field.
pub type Wrong = Map<InvoiceBox, String>;

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InvoiceTyped {
    /// What came of each line.
    pub lines: Map<LineId, CameTyped>,
    /// What bringing it cost.
    pub delivery: String,
    /// A word about it.
    pub word: String,
}

/// What came of one line, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CameTyped {
    /// How many packs of each size.
    pub counts: Map<Number, String>,
    /// How much, of loose material.
    pub amount: String,
    /// What is asked for it; empty for what it costs by the prices of the order.
    pub goods: String,
    /// Who takes none of it after all.
    pub none_for: BTreeSet<Payer>,
}

/// What came, as the edit says it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Invoiced {
    delivered: Map<LineId, CameOf>,
    delivery: Money,
    none_for: Map<LineId, Map<Payer, bool>>,
    word: String,
}

impl InvoiceTyped {
    /// The form as it begins: everything as it was ordered, or as the last invoice has it.
    pub fn of(order: &Order, units: Units, currency: Currency) -> Self {
        let Some(kept) = order.frozen() else {
            return Self::default();
        };
        let invoice = order.invoices.last_key_value().map(|(_, invoice)| invoice);
        let mut lines = Map::new();
        for (id, line) in &order.lines {
            let Some(frozen) = kept.lines.get(id) else {
                continue;
            };
            let mut typed = CameTyped::of(line, frozen, units, currency);
            let none = invoice.and_then(|invoice| invoice.none_for.get(id));
            for (payer, takes_none) in none.into_iter().flatten() {
                if *takes_none {
                    typed.none_for.insert(*payer);
                }
            }
            lines.insert(*id, typed);
        }
        Self {
            lines,
            delivery: kept.delivery.show_number(currency),
            word: String::new(),
        }
    }

    /// What was typed. An amount whose text was left alone keeps its exact value.
    pub fn read(&self, order: &Order, units: Units, currency: Currency) -> Result<Invoiced, Wrong> {
        let shown = Self::of(order, units, currency);
        let mut wrong = Wrong::new();
        let mut read = Invoiced::default();
        for (id, line) in &order.lines {
            let Some(typed) = self.lines.get(id) else {
                continue;
            };
            let left_alone = shown
                .lines
                .get(id)
                .is_some_and(|shown| shown.amount == typed.amount);
            let kept = order.frozen().and_then(|kept| kept.lines.get(id));
            let kept = kept.filter(|_| left_alone).map(|line| line.bought);
            let came = typed.read((*id, line), kept, (units, currency), &mut wrong);
            read.delivered.insert(*id, came);
            if !typed.none_for.is_empty() {
                let none = typed.none_for.iter().map(|payer| (*payer, true));
                read.none_for.insert(*id, ordered::map(none));
            }
        }
        if !self.delivery.trim().is_empty() {
            let fee = Money::parse(&self.delivery, currency).map_err(|bad| bad.named("delivery"));
            read.delivery = note(&mut wrong, InvoiceBox::Delivery, fee);
        }
        self.word.trim().clone_into(&mut read.word);
        if wrong.is_empty() {
            Ok(read)
        } else {
            Err(wrong)
        }
    }
}

impl CameTyped {
    fn of(line: &OrderLine, frozen: &FrozenLine, units: Units, currency: Currency) -> Self {
        let count = |number: &Number| frozen.counts.get(number).copied().unwrap_or(0);
        let came = CameOf {
            counts: frozen.counts.clone(),
            amount: frozen.bought,
            goods: frozen.goods,
        };
        let as_priced = shared_out::price_of(line, &came).is_ok_and(|price| price == frozen.goods);
        Self {
            counts: ordered::map(
                line.packs
                    .keys()
                    .map(|number| (*number, count(number).to_string())),
            ),
            amount: line.counted_in.show(frozen.bought, units),
            goods: if as_priced {
                String::new()
            } else {
                frozen.goods.show_number(currency)
            },
            none_for: BTreeSet::new(),
        }
    }

    fn read(
        &self,
        (id, line): (LineId, &OrderLine),
        kept: Option<Amount>,
        (units, currency): (Units, Currency),
        wrong: &mut Wrong,
    ) -> CameOf {
        let mut came = CameOf::default();
        if line.loose {
            let unit = amount_unit(line.counted_in, units);
            let read =
                kept.map_or_else(|| line.counted_in.parse(&with_unit(&self.amount, unit)), Ok);
            let read = read.map_err(|bad| bad.named("how much came"));
            came.amount = note(wrong, InvoiceBox::Amount(id), read);
        } else {
            for (number, text) in &self.counts {
                let count = text.trim().parse::<u32>().map_err(|_not_a_number| {
                    BadInput::new("how many came", "a whole number such as 4", text)
                });
                let count = note(wrong, InvoiceBox::Count(id, *number), count);
                came.counts.insert(*number, i64::from(count));
            }
        }
        let goods = if self.goods.trim().is_empty() {
            shared_out::price_of(line, &came)
                .map_err(|why| BadInput::new("price", why.to_string(), ""))
        } else {
            Money::parse(&self.goods, currency).map_err(|bad| bad.named("price"))
        };
        came.goods = note(wrong, InvoiceBox::Goods(id), goods);
        came
    }
}

impl Invoiced {
    /// What came, for the arithmetic.
    pub fn came(&self) -> Came<'_> {
        Came {
            delivered: &self.delivered,
            delivery: self.delivery,
            none_for: &self.none_for,
        }
    }

    /// The edit that enters it, for shares with this mark.
    pub fn edit(self, order: OrderId, on: Day, seen: String) -> Edit {
        Edit::EnterInvoice {
            order,
            on,
            delivered: self.delivered,
            delivery: self.delivery,
            none_for: self.none_for,
            seen,
            word: self.word,
        }
    }
}

/// What everybody pays by the one shares and by the other, those for whom nothing differs left away.
pub fn differences(
    before: &FrozenShares,
    after: &Map<Payer, Money>,
    name: impl Fn(Payer) -> String,
    currency: Currency,
    mine: Option<Payer>,
) -> ShareTable {
    let mut payers: BTreeSet<Payer> = ordered::set(before.accounts.keys().copied());
    for payer in after.keys() {
        payers.insert(*payer);
    }
    let money = |amount: Money| amount.show(currency);
    let mut rows = Vec::new();
    let (mut was_all, mut now_all) = (Money::ZERO, Money::ZERO);
    for payer in payers {
        let was = before
            .accounts
            .get(&payer)
            .map_or(Money::ZERO, |share| share.pays);
        let now = after.get(&payer).copied().unwrap_or(Money::ZERO);
        (was_all, now_all) = (sum(was_all, was), sum(now_all, now));
        if was == now {
            continue;
        }
        let is_mine = mine == Some(payer);
        let name = if is_mine {
            "You".to_owned()
        } else {
            name(payer)
        };
        let cells = vec![
            name,
            money(was),
            money(now),
            signed(less(now, was), currency),
        ];
        rows.push(ShareRow {
            payer,
            cells,
            mine: is_mine,
        });
    }
    ordered::sort_by_key(&mut rows, |row| {
        let name = row.cells.first().map(|name| name.to_lowercase());
        (row.payer == Payer::Garden, name)
    });
    let differs = signed(less(now_all, was_all), currency);
    ShareTable {
        heads: ["Member", "was", "now", "differs"]
            .map(ToOwned::to_owned)
            .to_vec(),
        rows,
        whole: vec!["Whole".to_owned(), money(was_all), money(now_all), differs],
    }
}

fn sum(one: Money, other: Money) -> Money {
    [one, other].into_iter().sum()
}

fn less(one: Money, other: Money) -> Money {
    one.checked_sub(other).unwrap_or(Money::ZERO)
}

fn signed(amount: Money, currency: Currency) -> String {
    let more = if amount.is_positive() { "+" } else { "" };
    format!("{more}{}", amount.show(currency))
}

fn note<T: Default>(wrong: &mut Wrong, of: InvoiceBox, read: Result<T, BadInput>) -> T {
    read.unwrap_or_else(|bad| {
        wrong.insert(of, capital(&bad.to_string()));
        T::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{day, garden, lime, line_id, member};
    use selion_core::document::Garden;

    const US: Units = Units::UsCustomary;

    fn dollars() -> Currency {
        Currency::new("USD").unwrap()
    }

    /// Two bags of three pounds at 2.01 for Ines and Tomasz, closed.
    fn closed(garden: &Garden) -> Order {
        let mut order = lime("75", "3 lb", "2.01")
            .read(US, dollars(), None)
            .unwrap();
        let shares = shared_out::order(garden, &order).unwrap().result;
        order.closed = Some(shared_out::freeze(
            garden,
            &order,
            day("2026-06-10"),
            &shares,
        ));
        order
    }

    fn pays(garden: &Garden, order: &Order, read: &Invoiced) -> Map<Payer, Money> {
        let shares = shared_out::invoiced(garden, order, read.came())
            .unwrap()
            .result;
        let accounts = shares.accounts.iter();
        accounts
            .map(|share| (share.account.into(), share.pays))
            .collect()
    }

    fn cells(table: &ShareTable) -> Vec<String> {
        let rows = table.rows.iter().map(|row| row.cells.join(" | "));
        rows.chain([table.whole.join(" | ")]).collect()
    }

    #[test]
    fn left_as_it_is_nothing_differs() {
        let garden = garden();
        let order = closed(&garden);
        let typed = InvoiceTyped::of(&order, US, dollars());
        assert_eq!(typed.lines[&line_id(1)].counts[&1.into()], "2");
        let read = typed.read(&order, US, dollars()).unwrap();
        let after = pays(&garden, &order, &read);
        let name = |payer| shared_out::payer_name(&garden, payer);
        let table = differences(
            &order.closed.as_ref().unwrap().shares,
            &after,
            name,
            dollars(),
            None,
        );
        assert_eq!(cells(&table), ["Whole | $4.02 | $4.02 | $0.00"]);
    }

    #[test]
    fn one_bag_less_is_priced_by_the_order_and_the_difference_told() {
        let garden = garden();
        let order = closed(&garden);
        let mut typed = InvoiceTyped::of(&order, US, dollars());
        let line = typed.lines.get_mut(&line_id(1)).unwrap();
        line.counts.insert(1.into(), "1".into());
        typed.delivery = "1".into();
        let read = typed.read(&order, US, dollars()).unwrap();
        let after = pays(&garden, &order, &read);
        let name = |payer| shared_out::payer_name(&garden, payer);
        let me = Some(Payer::Member(member(2)));
        let table = differences(
            &order.closed.as_ref().unwrap().shares,
            &after,
            name,
            dollars(),
            me,
        );
        let expected = [
            "Ines | $2.01 | $1.51 | −$0.50",
            "You | $2.01 | $1.50 | −$0.51",
            "Whole | $4.02 | $3.01 | −$1.01",
        ];
        assert_eq!(cells(&table), expected);
    }

    #[test]
    fn what_somebody_leaves_goes_to_the_others() {
        let garden = garden();
        let order = closed(&garden);
        let mut typed = InvoiceTyped::of(&order, US, dollars());
        let line = typed.lines.get_mut(&line_id(1)).unwrap();
        line.none_for.insert(Payer::Member(member(1)));
        let read = typed.read(&order, US, dollars()).unwrap();
        let after = pays(&garden, &order, &read);
        let tomasz = Payer::Member(member(2));
        assert_eq!(after.get(&tomasz), Some(&Money::from_minor(402)));
        assert!(!after.contains_key(&Payer::Member(member(1))));
    }

    #[test]
    fn every_wrong_field_says_so() {
        let garden = garden();
        let order = closed(&garden);
        let mut typed = InvoiceTyped::of(&order, US, dollars());
        let line = typed.lines.get_mut(&line_id(1)).unwrap();
        line.counts.insert(1.into(), "a few".into());
        line.goods = "cheap".into();
        typed.delivery = "-".into();
        let wrong: Vec<InvoiceBox> = typed
            .read(&order, US, dollars())
            .unwrap_err()
            .into_keys()
            .collect();
        let id = line_id(1);
        let expected = [
            InvoiceBox::Count(id, 1.into()),
            InvoiceBox::Goods(id),
            InvoiceBox::Delivery,
        ];
        assert_eq!(wrong, expected);
    }
}
