//! What was put into an order, line by line in words.

use selion_core::document::records::{AmountsFrom, Order, OrderLine, Payer};
use selion_core::quantities::{CountedIn, Currency, Rate, Units};
use selion_core::shares::order::{HandOut, LeftOver};

/// A word in the margin, what it is, and what belongs to it.
pub type PutIn = (&'static str, String, String);

/// What was put in: each material with where its amounts come from and what it costs, the delivery, when it comes.
/// `name` says what an account is called.
pub fn put_in(
    order: &Order,
    (units, currency): (Units, Currency),
    name: impl Fn(Payer) -> String,
) -> Vec<PutIn> {
    let many = order.lines.len() > 1;
    let mut rows = Vec::new();
    for line in order.lines.values() {
        let words = amounts(line, units);
        let words = if many {
            format!("{}: {words}", line.material)
        } else {
            words
        };
        rows.push(("rate", words, line.rate_source.clone()));
        rows.extend(sizes(line, (units, currency)));
    }
    let delivery = if order.delivery.is_zero() {
        "No delivery fee".to_owned()
    } else if many {
        format!(
            "Delivery {}, {}",
            order.delivery.show(currency),
            order.delivery_rule.words()
        )
    } else {
        format!("Delivery {}", order.delivery.show(currency))
    };
    rows.push(("way", delivery, order.arrives.clone()));
    if !order.supplier.is_empty() || order.buyer != Payer::Garden {
        let from = if order.supplier.is_empty() {
            "Supplier not named".to_owned()
        } else {
            format!("From {}", order.supplier)
        };
        rows.push(("from", from, format!("Bought by {}", name(order.buyer))));
    }
    if order.deposit.is_positive() {
        let deposit = format!("{} to be paid ahead", order.deposit.show(currency));
        rows.push(("due", deposit, String::new()));
    }
    rows
}

fn amounts(line: &OrderLine, units: Units) -> String {
    match line.amounts {
        AmountsFrom::Beds if line.rate == Rate::ZERO && !line.own.is_empty() => {
            "each bed its own amount".to_owned()
        }
        AmountsFrom::Beds if line.counted_in == CountedIn::Volume => {
            format!("{} on the beds", line.rate_as_typed)
        }
        AmountsFrom::Beds => line.rate_as_typed.clone(),
        AmountsFrom::Wishes => "as everybody asks".to_owned(),
        AmountsFrom::Even => {
            let whole = line.counted_in.show(line.whole, units);
            format!("{whole} split by bed area")
        }
    }
}

fn sizes(line: &OrderLine, (units, currency): (Units, Currency)) -> Vec<PutIn> {
    let mut rows = Vec::new();
    for pack in line.packs.values() {
        let size = line.counted_in.show(pack.size, units);
        let price = pack.price.show(currency);
        let mut lower = String::new();
        for (from, price) in &pack.breaks {
            lower.push_str("; from ");
            lower.push_str(&from.to_string());
            lower.push_str(" on ");
            lower.push_str(&price.show(currency));
        }
        rows.push(if line.loose {
            (
                "bulk",
                format!("{price} for {size}"),
                lower.trim_start_matches("; ").to_owned(),
            )
        } else if line.counted_in == CountedIn::Pieces {
            let each = if pack.size.count() == 1 {
                "each".to_owned()
            } else {
                format!("for {size}")
            };
            (
                "each",
                format!("{price} {each}"),
                lower.trim_start_matches("; ").to_owned(),
            )
        } else {
            (
                "bags",
                format!("Bags of {size}"),
                format!("{price} a bag{lower}"),
            )
        });
    }
    rows
}

/// How one line is handed out and paid, in a sentence.
pub fn rules_of(line: &OrderLine) -> String {
    let out = match (line.loose, line.hand_out) {
        (false, HandOut::WholePacks) => "Handed out in whole packs",
        (false, HandOut::Loose) => "Packs are opened, everybody gets their amount",
        (true, _) => "Handed out loose",
    };
    let left = match line.left_over {
        LeftOver::Garden => "what is left over stays in the shed",
        LeftOver::Shared => "what is left over goes to all by need",
    };
    format!(
        "{}: {out}; {left}; paid {}.",
        line.material,
        line.rule.words()
    )
}
