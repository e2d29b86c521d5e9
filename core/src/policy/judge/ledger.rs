//! Edits of the ledger itself: entries, and carrying a year over.

use super::{Case, Judged, Told, Verdict, already_there, not_there, write};
use crate::document::ids::{EntryId, OrderId};
use crate::document::records::{Entry, EntryKind, Opening, Payer, Role};
use crate::document::stored::Write;
use crate::document::{DocumentName, Edit, Ledger, balance, shared_out};
use crate::policy::{RefusalCode, Refused};
use crate::quantities::Day;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    check_year(case)?;
    match &case.envelope.edit {
        Edit::AddEntry {
            entry,
            from,
            to,
            kind,
            amount,
            day,
            order,
            word,
        } => {
            let record = Entry {
                from: *from,
                to: *to,
                kind: *kind,
                amount: *amount,
                day: *day,
                order: *order,
                reverses: None,
                written_by: case.author,
                confirmed_by: None,
                looks_like: None,
                word: word.clone(),
            };
            add(case, *entry, record)
        }
        Edit::ConfirmEntry { entry } => confirm(case, *entry),
        Edit::ReverseEntry {
            entry,
            reverses,
            day,
            word,
        } => reverse(case, *entry, *reverses, *day, word),
        Edit::CarryOver { on, seen } => carry_over(case, *on, seen),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong into the ledger.",
        )),
    }
}

/// The ledger that the edit is for.
pub(super) fn of<'a>(case: &Case<'a>) -> Result<&'a Ledger, Refused> {
    case.garden
        .ledgers
        .get(&case.year())
        .ok_or_else(|| not_there("ledger"))
}

/// Whether an entry of the edit's own ledger is of a kind.
pub(super) fn is_own(case: &Case<'_>, entry: EntryId, is: impl Fn(&Entry) -> bool) -> bool {
    of(case).is_ok_and(|ledger| ledger.entries.get(&entry).is_some_and(|entry| is(entry)))
}

/// What was carried over stands in the year after, so nothing may change in the year before.
pub(super) fn check_year(case: &Case<'_>) -> Result<(), Refused> {
    let year = case.year();
    let mut later = case.garden.ledgers.range(year.saturating_add(1)..);
    match later.find(|(_, ledger)| ledger.opening.is_some()) {
        None => Ok(()),
        Some((into, _)) => Err(Refused::new(
            RefusalCode::Closed,
            format!(
                "The balances of {year} were carried over; write it into the ledger of {into}."
            ),
        )),
    }
}

/// An entry counts at once when whoever was paid or a coordinator writes it, unless it looks like one that is there.
fn add(case: &Case<'_>, id: EntryId, mut record: Entry) -> Verdict {
    let ledger = of(case)?;
    check_new(ledger, id)?;
    check_accounts(case, &record)?;
    if record
        .order
        .is_some_and(|order| !ledger.orders.contains_key(&order))
    {
        return Err(not_there("order"));
    }
    let rules = case.garden.profile.as_ref().map(|profile| profile.rules);
    if record.kind == EntryKind::HoursInLieu
        && !rules.unwrap_or_default().hour_in_lieu.is_positive()
    {
        return Err(Refused::new(
            RefusalCode::NotAllowed,
            "This garden does not set hours against money; a coordinator can allow it under Garden.",
        ));
    }
    let told = told_of(ledger, &record, case.role);
    record.looks_like = ledger.twin_of(&record);
    if told.is_none() {
        record.confirmed_by = Some(case.author);
    }
    Ok(Judged {
        writes: vec![Write::Entry(id, record)],
        told,
    })
}

/// What the writer of an entry will be told: whether it waits to be confirmed, or looks like one that is there.
pub fn told_of(ledger: &Ledger, entry: &Entry, role: Role) -> Option<Told> {
    let trusted = role == Role::Coordinator || entry.to == Payer::Member(entry.written_by);
    match ledger.twin_of(entry) {
        Some(other) => Some(Told::LooksLike(other)),
        None if !trusted => Some(Told::Unconfirmed),
        None => None,
    }
}

fn check_new(ledger: &Ledger, entry: EntryId) -> Result<(), Refused> {
    if ledger.entries.contains_key(&entry) {
        Err(already_there("ledger entry"))
    } else {
        Ok(())
    }
}

/// Only an outlay has the suppliers on one side, and it has them on one side only.
fn check_accounts(case: &Case<'_>, entry: &Entry) -> Result<(), Refused> {
    let sides = [entry.from, entry.to];
    for side in sides {
        if let Payer::Member(member) = side
            && !case.garden.members.contains_key(&member)
        {
            return Err(not_there("person"));
        }
    }
    let with_supplier = sides.contains(&Payer::Supplier);
    if entry.from == entry.to || with_supplier != (entry.kind == EntryKind::Outlay) {
        return Err(Refused::new(
            RefusalCode::BadInput,
            "accounts: expected two different accounts, one of them the suppliers’ for an outlay and neither otherwise.",
        ));
    }
    Ok(())
}

fn confirm(case: &Case<'_>, id: EntryId) -> Verdict {
    let ledger = of(case)?;
    let entry = ledger
        .entries
        .get(&id)
        .ok_or_else(|| not_there("ledger entry"))?;
    if ledger.is_taken_back(id) {
        return Err(taken_back());
    }
    if entry.confirmed_by.is_some() || entry.reverses.is_some() {
        return Ok(Judged {
            writes: Vec::new(),
            told: None,
        });
    }
    let mut record = Entry::clone(entry);
    record.confirmed_by = Some(case.author);
    write(Write::Entry(id, record))
}

fn taken_back() -> Refused {
    Refused::new(RefusalCode::Closed, "This entry was already taken back.")
}

/// A mistake is put right by a new entry the other way round; the old one stays as it is.
fn reverse(case: &Case<'_>, entry: EntryId, reverses: EntryId, day: Day, word: &str) -> Verdict {
    let ledger = of(case)?;
    check_new(ledger, entry)?;
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
    if ledger.is_taken_back(reverses) {
        return Err(taken_back());
    }
    let record = Entry {
        from: wrong.to,
        to: wrong.from,
        day,
        reverses: Some(reverses),
        written_by: case.author,
        confirmed_by: Some(case.author),
        looks_like: None,
        word: word.to_owned(),
        ..Entry::clone(wrong)
    };
    write(Write::Entry(entry, record))
}

/// Carrying over freezes what every account owes, if that is still what was seen; the sum is nothing, as it always is.
fn carry_over(case: &Case<'_>, on: Day, seen: &str) -> Verdict {
    let year = case.year();
    if of(case)?.opening.is_some() {
        return Err(Refused::new(
            RefusalCode::Closed,
            format!("Balances were already carried over into {year}."),
        ));
    }
    let mut earlier = case.garden.ledgers.range(..year);
    let Some((from, before)) = earlier.next_back() else {
        return Err(not_there("ledger of an earlier year"));
    };
    if case.garden.read_only.contains(&DocumentName::Ledger(*from)) {
        return Err(Refused::new(
            RefusalCode::ReadOnly,
            format!("The ledger of {from} was written by a newer version of the program."),
        ));
    }
    if let Some(order) = open_order(before) {
        let title = before.orders.get(&order).map_or("", |order| &order.title);
        return Err(Refused::new(
            RefusalCode::CannotShare,
            format!("The order of {title} is still open in {from}; close it or call it off first."),
        ));
    }
    let waits = |(id, entry): (&EntryId, &Entry)| {
        entry.confirmed_by.is_none() && !before.is_taken_back(*id)
    };
    if before.entries.iter().any(|(id, entry)| waits((id, entry))) {
        return Err(Refused::new(
            RefusalCode::CannotShare,
            format!("An entry of {from} is not confirmed yet; confirm it or take it back first."),
        ));
    }
    let balances = balance::at_the_end_of(case.garden, *from);
    if shared_out::mark_of_balances(&balances) != seen {
        return Err(Refused::new(
            RefusalCode::SharesChanged,
            format!(
                "The balances of {from} have changed since you looked; look at them again, then carry them over."
            ),
        ));
    }
    write(Write::Opening(Opening {
        from: *from,
        on,
        balances,
        written_by: case.author,
    }))
}

fn open_order(ledger: &Ledger) -> Option<OrderId> {
    let mut orders = ledger.orders.iter();
    orders.find(|(_, order)| order.is_open()).map(|(id, _)| *id)
}
