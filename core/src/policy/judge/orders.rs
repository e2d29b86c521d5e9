//! Edits of bulk orders.

use super::{Case, Judged, Verdict, already_there, check_fence, ended, ledger, not_there, write};
use crate::document::Edit;
use crate::document::edit::{NewOrder, OrderField};
use crate::document::ids::{LineId, OrderId};
use crate::document::records::{
    AmountsFrom, CameOf, Handed, Invoice, Number, Order, OrderLine, Payer,
};
use crate::document::shared_out::{self, Came};
use crate::document::stored::Write;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::{Amount, BadInput, Day, Money};
use crate::reckoning::Refusal;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    ledger::check_year(case)?;
    match &case.envelope.edit {
        Edit::AddOrder { order, new } => add(case, *order, new),
        Edit::ChangeOrder { order, set } => change(case, *order, set),
        Edit::CloseOrder { order, on, seen } => close(case, *order, *on, seen),
        Edit::AskFor {
            order,
            line,
            whose,
            amount,
        } => ask_for(case, (*order, *line), *whose, *amount),
        Edit::EnterInvoice {
            order,
            on,
            delivered,
            delivery,
            none_for,
            seen,
            word,
        } => {
            let came = Came {
                delivered,
                delivery: *delivery,
                none_for,
            };
            enter_invoice(case, *order, came, (*on, seen, word))
        }
        Edit::HandOut {
            order,
            line,
            payer,
            on,
            taken,
        } => hand_out(case, (*order, *line), *payer, *on, *taken),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong to an order.",
        )),
    }
}

fn add(case: &Case<'_>, id: OrderId, new: &NewOrder) -> Verdict {
    if ledger::of(case)?.orders.contains_key(&id) {
        return Err(already_there("order"));
    }
    new.lines
        .values()
        .try_for_each(|line| check_line(case, line))?;
    check_buyer(case, new.buyer)?;
    write(Write::Order(id, Order::from(new.clone())))
}

fn found(case: &Case<'_>, order: OrderId) -> Result<Order, Refused> {
    let orders = &ledger::of(case)?.orders;
    let record = orders.get(&order).ok_or_else(|| not_there("order"))?;
    Ok(Order::clone(record))
}

/// An order that can still be changed, called off or not.
fn not_closed(case: &Case<'_>, order: OrderId) -> Result<Order, Refused> {
    let record = found(case, order)?;
    if record.closed.is_some() {
        return Err(Refused::new(
            RefusalCode::Closed,
            format!(
                "The order of {} is closed and does not change any more.",
                record.title
            ),
        ));
    }
    Ok(record)
}

fn called_off(order: &Order) -> Refused {
    ended(&format!("The order of {}", order.title), "was called off")
}

fn change(case: &Case<'_>, order: OrderId, set: &[OrderField]) -> Verdict {
    let mut record = not_closed(case, order)?;
    let put_up_again = set
        .iter()
        .any(|field| matches!(field, OrderField::EndedOn(None)));
    if record.ended_on.is_some() && !put_up_again {
        return Err(called_off(&record));
    }
    for field in set {
        match field {
            OrderField::Title(title) => record.title.clone_from(title),
            OrderField::Supplier(supplier) => record.supplier.clone_from(supplier),
            OrderField::Line(id, line) => {
                check_line(case, line)?;
                record.lines.insert(*id, OrderLine::clone(line));
            }
            OrderField::DropLine(id) => {
                if record.lines.remove(id).is_none() {
                    return Err(not_there("line of the order"));
                }
            }
            OrderField::Delivery { fee, rule } => {
                record.delivery = *fee;
                record.delivery_rule = *rule;
            }
            OrderField::Deposit(deposit) => record.deposit = *deposit,
            OrderField::Buyer(buyer) => {
                check_buyer(case, *buyer)?;
                record.buyer = *buyer;
            }
            OrderField::ClosesOn(day) => record.closes_on = *day,
            OrderField::Arrives(words) => record.arrives.clone_from(words),
            OrderField::Fence(fence) => {
                check_fence(case, *fence)?;
                record.fence = *fence;
            }
            OrderField::EndedOn(day) => record.ended_on = *day,
        }
    }
    if record.lines.len() > crate::shares::order::MOST_LINES {
        let most = format!("at most {}", crate::shares::order::MOST_LINES);
        return Err(BadInput::new("lines", most, record.lines.len().to_string()).into());
    }
    write(Write::Order(order, record))
}

/// Closing freezes the shares as they are now, if they are still what the coordinator saw.
fn close(case: &Case<'_>, order: OrderId, on: Day, seen: &str) -> Verdict {
    let mut record = not_closed(case, order)?;
    if record.ended_on.is_some() {
        return Err(called_off(&record));
    }
    let shares = shared_out::order(case.garden, &record).map_err(|why| cannot_share(&why))?;
    if shared_out::mark_of_order(&shares.result) != seen {
        return Err(changed(
            &record,
            "a bed, a holder, a wish or a price",
            "close",
        ));
    }
    record.closed = Some(shared_out::freeze(case.garden, &record, on, &shares.result));
    write(Write::Order(order, record))
}

fn changed(order: &Order, what: &str, then: &str) -> Refused {
    Refused::new(
        RefusalCode::SharesChanged,
        format!(
            "The shares of {} have changed since you looked ({what}); look at them again, then {then}.",
            order.title
        ),
    )
}

fn cannot_share(why: &Refusal) -> Refused {
    Refused::new(RefusalCode::CannotShare, why.to_string())
}

/// A wish counts until the order is closed, whatever day it is; what comes later is for the coordinator to decide.
fn ask_for(
    case: &Case<'_>,
    (order, line): (OrderId, LineId),
    whose: Payer,
    amount: Amount,
) -> Verdict {
    let mut record = found(case, order)?;
    if let Some(closed) = &record.closed {
        return Err(Refused::new(
            RefusalCode::TooLate,
            format!(
                "The order of {} was closed on {}; your wish came too late. Ask the coordinator.",
                record.title, closed.on
            ),
        ));
    }
    if record.ended_on.is_some() {
        return Err(called_off(&record));
    }
    let asked = record
        .lines
        .get(&line)
        .ok_or_else(|| not_there("line of the order"))?;
    if asked.amounts != AmountsFrom::Wishes {
        return Err(Refused::new(
            RefusalCode::CannotShare,
            format!(
                "How much {} everybody gets comes from the beds, so nobody is asked.",
                asked.material
            ),
        ));
    }
    match whose {
        Payer::Member(member) if case.garden.open_member(member).is_none() => {
            return Err(not_there("person"));
        }
        Payer::Supplier => return Err(not_there("account with a share")),
        Payer::Member(_) | Payer::Garden => {}
    }
    record.wishes.entry(line).or_default().insert(whose, amount);
    write(Write::Order(order, record))
}

/// An invoice shares a closed order anew; what was frozen stays beside it.
fn enter_invoice(
    case: &Case<'_>,
    order: OrderId,
    came: Came<'_>,
    (on, seen, word): (Day, &str, &str),
) -> Verdict {
    let mut record = found(case, order)?;
    let Some(closed) = &record.closed else {
        return Err(Refused::new(
            RefusalCode::CannotShare,
            format!(
                "The order of {} is not closed yet; change its prices instead.",
                record.title
            ),
        ));
    };
    check_came(&record, came)?;
    let shares =
        shared_out::invoiced(case.garden, &record, came).map_err(|why| cannot_share(&why))?;
    if shared_out::mark_of_order(&shares.result) != seen {
        return Err(changed(&record, "another invoice", "enter it"));
    }
    let names = closed.shares.accounts.clone();
    let name = |payer: Payer| {
        names.get(&payer).map_or_else(
            || shared_out::payer_name(case.garden, payer),
            |share| share.name.clone(),
        )
    };
    let invoice = Invoice {
        on,
        delivered: came.delivered.clone(),
        none_for: came.none_for.clone(),
        shares: shared_out::frozen(&record, &shares.result, name),
        written_by: case.author,
        word: word.to_owned(),
    };
    let next = record
        .invoices
        .last_key_value()
        .map_or(Number::from(1), |(number, _)| number.next());
    record.invoices.insert(next, invoice);
    write(Write::Order(order, record))
}

fn check_came(order: &Order, came: Came<'_>) -> Result<(), Refused> {
    let mut lines = came.delivered.keys().chain(came.none_for.keys());
    if lines.any(|line| !order.lines.contains_key(line)) {
        return Err(not_there("line of the order"));
    }
    let sizes_fit = |(line, came): (&LineId, &CameOf)| {
        let sizes = order.lines.get(line).map(|line| &line.packs);
        sizes.is_some_and(|sizes| came.counts.keys().all(|size| sizes.contains_key(size)))
    };
    if came.delivered.iter().all(sizes_fit) {
        Ok(())
    } else {
        Err(not_there("size of a pack"))
    }
}

/// A tick stands once, whoever ticks and however often.
fn hand_out(
    case: &Case<'_>,
    (order, line): (OrderId, LineId),
    payer: Payer,
    on: Day,
    taken: bool,
) -> Verdict {
    let mut record = found(case, order)?;
    let Some(shares) = record.frozen() else {
        return Err(Refused::new(
            RefusalCode::CannotShare,
            format!(
                "The order of {} is not closed yet, so there is nothing to hand out.",
                record.title
            ),
        ));
    };
    let part = shares.lines.get(&line).map(|line| &line.amounts);
    if !part.is_some_and(|amounts| amounts.contains_key(&payer)) {
        return Err(not_there("share of this line"));
    }
    if record.is_handed(line, payer) == taken {
        return Ok(Judged {
            writes: Vec::new(),
            told: None,
        });
    }
    let tick = Handed {
        by: case.author,
        on,
        taken_back: !taken,
    };
    record.handed.entry(line).or_default().insert(payer, tick);
    write(Write::Order(order, record))
}

fn check_line(case: &Case<'_>, line: &OrderLine) -> Result<(), Refused> {
    let mut beds = line.beds_left_out.keys().chain(line.own.keys());
    if !beds.all(|bed| case.garden.beds.contains_key(bed)) {
        return Err(not_there("bed"));
    }
    let has_breaks = line.packs.values().any(|pack| !pack.breaks.is_empty());
    let falls = |(before, price): (&Money, &Money)| price <= before;
    let sensible = line.packs.values().all(|pack| {
        let later = pack.breaks.values();
        std::iter::once(&pack.price)
            .chain(later.clone())
            .zip(later)
            .all(falls)
    });
    if has_breaks && !sensible {
        return Err(BadInput::new(
            "price breaks",
            "prices that fall as counts rise",
            line.material.clone(),
        )
        .into());
    }
    Ok(())
}

fn check_buyer(case: &Case<'_>, buyer: Payer) -> Result<(), Refused> {
    match buyer {
        Payer::Garden => Ok(()),
        Payer::Member(member) if case.garden.members.contains_key(&member) => Ok(()),
        Payer::Member(_) | Payer::Supplier => Err(not_there("person who buys")),
    }
}
