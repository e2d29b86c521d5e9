//! What was typed into the form, read.

use selion_core::document::Edit;
use selion_core::document::edit::{NewOrder, OrderField};
use selion_core::document::ids::{BedId, LineId, OrderId};
use selion_core::document::records::{AmountsFrom, Number, Order, OrderLine, Pack, Payer};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{
    Amount, BadInput, CountedIn, Currency, Day, Depth, Moment, Money, Rate, Units,
};

use super::edits::title_of;
use super::{LineBox, LineTyped, OrderBox, OrderTyped, Origin, PackTyped, Wrong};
use crate::plain::typed::with_unit;
use crate::plain::wording::capital;

impl OrderTyped {
    /// The order that was typed. `before` is the one that is changed: an amount whose text was left alone keeps its exact
    /// value, and what the form does not show stays as it is.
    pub fn read(
        &self,
        units: Units,
        currency: Currency,
        before: Option<&Order>,
    ) -> Result<Order, Wrong> {
        let mut wrong = Wrong::new();
        let mut order = before.map_or_else(|| Order::from(NewOrder::default()), Order::clone);
        let old = std::mem::take(&mut order.lines);
        for (id, line) in &self.lines {
            let mut reader = LineReader {
                line,
                before: old
                    .get(id)
                    .map(|old| (old, LineTyped::of(old, units, currency))),
                of: *id,
                units,
                currency,
                wrong: &mut wrong,
            };
            let read = reader.read();
            order.lines.insert(*id, read);
        }
        order.delivery = fee(
            &mut wrong,
            OrderBox::Delivery,
            "delivery",
            &self.delivery,
            currency,
        );
        order.deposit = fee(
            &mut wrong,
            OrderBox::Deposit,
            "deposit",
            &self.deposit,
            currency,
        );
        order.delivery_rule = self.delivery_rule;
        order.closes_on = match self.closes_on.trim() {
            "" => None,
            day => note(
                &mut wrong,
                OrderBox::ClosesOn,
                Day::parse(day)
                    .map(Some)
                    .map_err(|bad| bad.named("closing day")),
            ),
        };
        order.buyer = match self.buyer.as_str() {
            "" => Payer::default(),
            buyer => {
                let read = buyer.parse::<Payer>();
                let expected = |_not_an_id| BadInput::new("who buys", "one of the people", buyer);
                note(&mut wrong, OrderBox::Buyer, read.map_err(expected))
            }
        };
        self.supplier.trim().clone_into(&mut order.supplier);
        self.arrives.trim().clone_into(&mut order.arrives);
        order.title = match self.title.trim() {
            "" => title_of(order.lines.values()),
            title => title.to_owned(),
        };
        if wrong.is_empty() {
            within_bounds(&order, &mut wrong);
        }
        if wrong.is_empty() {
            Ok(order)
        } else {
            Err(wrong)
        }
    }
}

/// Reads one line.
struct LineReader<'a> {
    line: &'a LineTyped,
    before: Option<(&'a OrderLine, LineTyped)>,
    of: LineId,
    units: Units,
    currency: Currency,
    wrong: &'a mut Wrong,
}

impl LineReader<'_> {
    fn read(&mut self) -> OrderLine {
        let typed = self.line;
        let mut line = self
            .before
            .as_ref()
            .map_or_else(OrderLine::default, |(old, _)| OrderLine::clone(old));
        if typed.material.trim().is_empty() {
            let bad = BadInput::new("material", "a name such as Ground limestone", "");
            self.note(LineBox::Material, Err::<(), _>(bad));
        }
        typed.material.trim().clone_into(&mut line.material);
        line.counted_in = typed.counted_in;
        line.loose = typed.loose;
        line.hand_out = typed.hand_out;
        line.rule = typed.rule;
        line.left_over = typed.left_over;
        self.read_amounts(&mut line);
        line.packs = Map::new();
        for (number, pack) in &typed.packs {
            // A further size that nobody filled in is no size.
            let is_empty = *pack == PackTyped::default();
            if is_empty && typed.packs.len() > 1 {
                continue;
            }
            let pack = self.read_pack(*number, pack);
            line.packs.insert(*number, pack);
        }
        line
    }

    fn read_amounts(&mut self, line: &mut OrderLine) {
        let typed = self.line;
        let by_rate = typed.from == Origin::Rate;
        if !by_rate {
            (line.rate, line.layer) = (Rate::ZERO, Depth::ZERO);
            line.rate_as_typed = String::new();
        }
        line.amounts = match typed.from {
            Origin::Rate => {
                self.read_rate(line);
                AmountsFrom::Beds
            }
            Origin::ByBed => AmountsFrom::Beds,
            Origin::Wishes => AmountsFrom::Wishes,
            Origin::Even => {
                let kept = self.kept(|typed| &typed.whole).map(|old| old.whole);
                let read = kept.map_or_else(|| self.amount(&typed.whole), Ok);
                let read = read.map_err(|bad| bad.named("the whole"));
                line.whole = self.note(LineBox::Whole, read);
                AmountsFrom::Even
            }
        };
        line.own = if typed.from == Origin::ByBed {
            self.own_amounts()
        } else {
            Map::new()
        };
        let out = typed.left_out.iter().map(|bed| (*bed, true));
        line.beds_left_out = ordered::map(out);
        typed.source.trim().clone_into(&mut line.rate_source);
    }

    fn read_rate(&mut self, line: &mut OrderLine) {
        let typed = self.line;
        let text = with_unit(&typed.rate, typed.rate_unit(self.units));
        let kept = self
            .kept(|typed| &typed.rate)
            .filter(|old| old.counted_in == typed.counted_in);
        if kept.is_some() {
            return;
        }
        (line.rate, line.layer) = (Rate::ZERO, Depth::ZERO);
        if typed.counted_in == CountedIn::Volume {
            let layer = Depth::parse(&text).map_err(|bad| bad.named("layer"));
            line.layer = self.note(LineBox::Rate, layer);
        } else {
            line.rate = self.note(LineBox::Rate, Rate::parse(&text));
        }
        if typed.counted_in == CountedIn::Pieces {
            let bad = BadInput::new(
                "where the amounts come from",
                "another way for what is counted by the piece",
                "a rate",
            );
            self.note(LineBox::Rate, Err::<(), _>(bad));
        }
        line.rate_as_typed = text;
    }

    /// Each bed's own amount; an empty one is nothing, and a bed that is left out has none.
    fn own_amounts(&mut self) -> Map<BedId, Amount> {
        let mut amounts = Map::new();
        for (bed, text) in &self.line.own {
            if self.line.left_out.contains(bed) {
                continue;
            }
            let shown = |exact: &Amount| self.line.counted_in.show(*exact, self.units) == *text;
            let read = match self.line.exact.get(bed).filter(|exact| shown(exact)) {
                Some(exact) => Ok(*exact),
                None if text.trim().is_empty() => Ok(Amount::ZERO),
                None => self.amount(text),
            };
            let read = read.map_err(|bad| bad.named("amount for this bed"));
            amounts.insert(*bed, self.note(LineBox::Own(*bed), read));
        }
        if amounts.values().all(|amount| amount.is_zero()) {
            let bad = BadInput::new("amounts for the beds", "an amount for at least one bed", "");
            self.note(LineBox::Rate, Err::<(), _>(bad));
        }
        amounts
    }

    fn read_pack(&mut self, number: Number, typed: &PackTyped) -> Pack {
        let loose = self.line.loose;
        let (size_name, price_name) = if loose {
            ("amount that the price is for", "price")
        } else {
            ("what is in one pack", "price of a pack")
        };
        let kept = self
            .before
            .as_ref()
            .filter(|(old, shown)| {
                old.counted_in == self.line.counted_in && shown.pack(number).size == typed.size
            })
            .and_then(|(old, _)| old.packs.get(&number))
            .map(|pack| pack.size);
        let size = kept.map_or_else(|| self.amount(&typed.size), Ok);
        let size = size.map_err(|bad| bad.named(size_name));
        let price = Money::parse(&typed.price, self.currency);
        let price = price.map_err(|bad| bad.named(price_name));
        let breaks = breaks(&typed.breaks, self.currency);
        Pack {
            size: self.note(LineBox::Size(number), size),
            price: self.note(LineBox::Price(number), price),
            breaks: self.note(LineBox::Breaks(number), breaks),
        }
    }

    fn amount(&self, text: &str) -> Result<Amount, BadInput> {
        let text = with_unit(text, self.line.unit(self.units));
        self.line.counted_in.parse(&text)
    }

    /// The line before, if this text of it was left alone.
    fn kept(&self, of: impl Fn(&LineTyped) -> &String) -> Option<&OrderLine> {
        let (old, shown) = self.before.as_ref()?;
        (!of(shown).is_empty() && of(shown) == of(self.line)).then_some(*old)
    }

    fn note<T: Default>(&mut self, of: LineBox, read: Result<T, BadInput>) -> T {
        note(self.wrong, OrderBox::Line(self.of, of), read)
    }
}

/// Lower prices from so many on: `10 at 6.50; 40 at 5.99`.
fn breaks(text: &str, currency: Currency) -> Result<Map<Number, Money>, BadInput> {
    let mut breaks = Map::new();
    for part in text
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let expected = || BadInput::new("lower prices", "such as 10 at 6.50; 40 at 5.99", part);
        let (from, price) = part
            .split_once(" at ")
            .or_else(|| part.split_once(':'))
            .ok_or_else(expected)?;
        let from = from.trim().trim_start_matches("from").trim();
        let from: Number = from.parse().map_err(|_not_a_number| expected())?;
        let price = Money::parse(price, currency).map_err(|bad| bad.named("lower price"))?;
        breaks.insert(from, price);
    }
    Ok(breaks)
}

fn fee(wrong: &mut Wrong, of: OrderBox, name: &str, text: &str, currency: Currency) -> Money {
    if text.trim().is_empty() {
        return Money::ZERO;
    }
    note(
        wrong,
        of,
        Money::parse(text, currency).map_err(|bad| bad.named(name)),
    )
}

/// The size limits of the edit, told beside the field they are about.
fn within_bounds(order: &Order, wrong: &mut Wrong) {
    let mut parts = vec![
        (
            OrderBox::Supplier,
            OrderField::Supplier(order.supplier.clone()),
        ),
        (OrderBox::Deposit, OrderField::Deposit(order.deposit)),
        (OrderBox::ClosesOn, OrderField::ClosesOn(order.closes_on)),
        (
            OrderBox::Arrives,
            OrderField::Arrives(order.arrives.clone()),
        ),
        (
            OrderBox::Delivery,
            OrderField::Delivery {
                fee: order.delivery,
                rule: order.delivery_rule,
            },
        ),
    ];
    for (id, line) in &order.lines {
        let of = OrderBox::Line(*id, LineBox::Material);
        parts.push((of, OrderField::Line(*id, Box::new(line.clone()))));
    }
    for (of, field) in parts {
        if let Some(bad) = out_of_bounds(field) {
            let of = if let OrderBox::Line(id, _) = of {
                OrderBox::Line(id, box_of(&bad.field))
            } else {
                of
            };
            wrong.insert(of, capital(&bad.to_string()));
        }
    }
    if wrong.is_empty()
        && let Some(bad) = out_of_bounds(OrderField::Title(order.title.clone()))
    {
        wrong.insert(OrderBox::Title, capital(&bad.to_string()));
    }
}

fn out_of_bounds(field: OrderField) -> Option<BadInput> {
    let edit = Edit::ChangeOrder {
        order: OrderId::fresh(Moment::default(), [0; 10]),
        set: vec![field],
    };
    edit.check_bounds().err()
}

/// The field of a line that the size limits know by this name.
fn box_of(field: &str) -> LineBox {
    match field {
        "rate in micrograms a square metre" | "layer in micrometres" | "rate" => LineBox::Rate,
        "source of the rate" => LineBox::Source,
        "amount to be split" => LineBox::Whole,
        "size of a pack" | "sizes" => LineBox::Size(1.into()),
        "price of a pack" => LineBox::Price(1.into()),
        "price breaks" => LineBox::Breaks(1.into()),
        _ => LineBox::Material,
    }
}

fn note<T: Default>(wrong: &mut Wrong, of: OrderBox, read: Result<T, BadInput>) -> T {
    read.unwrap_or_else(|bad| {
        wrong.insert(of, capital(&bad.to_string()));
        T::default()
    })
}
