//! Edits of a ledger: bulk orders and entries.

use std::collections::BTreeMap;

use super::{Case, Verdict, already_there, ended, not_there, write};
use crate::document::edit::OrderField;
use crate::document::ids::{BedId, EntryId, OrderId};
use crate::document::records::{Entry, EntryKind, Order, Payer};
use crate::document::stored::Write;
use crate::document::{Edit, Ledger, shared_out};
use crate::policy::{RefusalCode, Refused};
use crate::quantities::Day;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::AddOrder { order, .. } => add_order(case, *order),
        Edit::ChangeOrder { order, set } => change_order(case, *order, set),
        Edit::CloseOrder { order, on, seen } => close_order(case, *order, *on, seen),
        Edit::AddEntry {
            entry,
            payer,
            kind,
            amount,
            day,
            order,
            word,
        } => {
            let ledger = ledger(case)?;
            check_new_entry(ledger, *entry)?;
            if let Payer::Member(member) = payer
                && !case.garden.members.contains_key(member)
            {
                return Err(not_there("person"));
            }
            if order.is_some_and(|order| !ledger.orders.contains_key(&order)) {
                return Err(not_there("order"));
            }
            let record = Entry {
                payer: *payer,
                kind: *kind,
                amount: *amount,
                day: *day,
                order: *order,
                reverses: None,
                written_by: case.author,
                word: word.clone(),
            };
            write(Write::Entry(*entry, record))
        }
        Edit::ReverseEntry {
            entry,
            reverses,
            day,
            word,
        } => reverse(case, *entry, *reverses, *day, word),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong into the ledger.",
        )),
    }
}

fn ledger<'a>(case: &Case<'a>) -> Result<&'a Ledger, Refused> {
    case.garden
        .ledgers
        .get(&case.year())
        .ok_or_else(|| not_there("ledger"))
}

fn add_order(case: &Case<'_>, id: OrderId) -> Verdict {
    let Edit::AddOrder {
        material,
        rate,
        rate_as_typed,
        rate_source,
        bag,
        bag_price,
        delivery,
        beds_left_out,
        arrives,
        ..
    } = &case.envelope.edit
    else {
        return Err(not_there("order"));
    };
    if ledger(case)?.orders.contains_key(&id) {
        return Err(already_there("order"));
    }
    check_left_out(case, beds_left_out)?;
    let record = Order {
        material: material.clone(),
        rate: *rate,
        rate_as_typed: rate_as_typed.clone(),
        rate_source: rate_source.clone(),
        bag: *bag,
        bag_price: *bag_price,
        delivery: *delivery,
        beds_left_out: beds_left_out.clone(),
        arrives: arrives.clone(),
        closed: None,
        ended_on: None,
    };
    write(Write::Order(id, record))
}

/// An order that can still be changed.
fn open_order(case: &Case<'_>, order: OrderId) -> Result<Order, Refused> {
    let record = Order::clone(
        ledger(case)?
            .orders
            .get(&order)
            .ok_or_else(|| not_there("order"))?,
    );
    if record.closed.is_some() {
        return Err(Refused::new(
            RefusalCode::Closed,
            format!(
                "The order of {} is closed and does not change any more.",
                record.material
            ),
        ));
    }
    Ok(record)
}

fn change_order(case: &Case<'_>, order: OrderId, set: &[OrderField]) -> Verdict {
    let mut record = open_order(case, order)?;
    let put_up_again = set
        .iter()
        .any(|field| matches!(field, OrderField::EndedOn(None)));
    if record.ended_on.is_some() && !put_up_again {
        return Err(ended(
            &format!("The order of {}", record.material),
            "was called off",
        ));
    }
    for field in set {
        match field {
            OrderField::Material(material) => record.material.clone_from(material),
            OrderField::Rate {
                rate,
                as_typed,
                source,
            } => {
                record.rate = *rate;
                record.rate_as_typed.clone_from(as_typed);
                record.rate_source.clone_from(source);
            }
            OrderField::Bag(bag) => record.bag = *bag,
            OrderField::BagPrice(price) => record.bag_price = *price,
            OrderField::Delivery(delivery) => record.delivery = *delivery,
            OrderField::BedsLeftOut(beds) => {
                check_left_out(case, beds)?;
                record.beds_left_out.clone_from(beds);
            }
            OrderField::Arrives(words) => record.arrives.clone_from(words),
            OrderField::EndedOn(day) => record.ended_on = *day,
        }
    }
    write(Write::Order(order, record))
}

/// Closing freezes the shares as they are now, if they are still what the coordinator saw.
fn close_order(case: &Case<'_>, order: OrderId, on: Day, seen: &str) -> Verdict {
    let mut record = open_order(case, order)?;
    if record.ended_on.is_some() {
        return Err(ended(
            &format!("The order of {}", record.material),
            "was called off",
        ));
    }
    let shares = shared_out::order(case.garden, &record)
        .map_err(|refusal| Refused::new(RefusalCode::CannotShare, refusal.to_string()))?;
    if shared_out::mark_of_load(&shares.result) != seen {
        return Err(Refused::new(
            RefusalCode::SharesChanged,
            format!(
                "The shares of {} have changed since you looked (a bed, a holder or a price); look at them again, then close.",
                record.material
            ),
        ));
    }
    record.closed = Some(shared_out::freeze(case.garden, on, &shares.result));
    write(Write::Order(order, record))
}

fn check_left_out(case: &Case<'_>, beds: &BTreeMap<BedId, bool>) -> Result<(), Refused> {
    if beds.keys().all(|bed| case.garden.beds.contains_key(bed)) {
        Ok(())
    } else {
        Err(not_there("bed"))
    }
}

fn check_new_entry(ledger: &Ledger, entry: EntryId) -> Result<(), Refused> {
    if ledger.entries.contains_key(&entry) {
        Err(already_there("ledger entry"))
    } else {
        Ok(())
    }
}

/// A mistake is put right by a new entry of the opposite kind; the old one stays as it is.
fn reverse(case: &Case<'_>, entry: EntryId, reverses: EntryId, day: Day, word: &str) -> Verdict {
    let ledger = ledger(case)?;
    check_new_entry(ledger, entry)?;
    let wrong = ledger
        .entries
        .get(&reverses)
        .ok_or_else(|| not_there("ledger entry"))?;
    if wrong.reverses.is_some() {
        return Err(Refused::new(
            RefusalCode::Closed,
            "This entry takes another one back, so it cannot be taken back itself; write a new one.",
        ));
    }
    if ledger
        .entries
        .values()
        .any(|other| other.reverses == Some(reverses))
    {
        return Err(Refused::new(
            RefusalCode::Closed,
            "This entry was already taken back.",
        ));
    }
    let kind = match wrong.kind {
        EntryKind::Payment => EntryKind::PaidBack,
        EntryKind::PaidBack => EntryKind::Payment,
    };
    let record = Entry {
        payer: wrong.payer,
        kind,
        amount: wrong.amount,
        day,
        order: wrong.order,
        reverses: Some(reverses),
        written_by: case.author,
        word: word.to_owned(),
    };
    write(Write::Entry(entry, record))
}
