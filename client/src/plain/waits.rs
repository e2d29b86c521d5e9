//! What waits for somebody about money, each once and without a count: an order that asks, something to pay, an entry to
//! confirm. And for a coordinator who has not answered and who has not paid.

use selion_core::document::ids::{MemberId, OrderId};
use selion_core::document::records::{AmountsFrom, Order, Payer, Role};
use selion_core::document::{Garden, balance};
use selion_core::policy::{Action, may};
use selion_core::quantities::{Currency, Day, Money};

use super::settle_rows::{WaitRow, waiting};
use super::wish_rows::unanswered;
use super::wording::{counted, in_a_sentence};

/// A wish that an order asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asks {
    /// Which order.
    pub order: OrderId,
    /// What it asks.
    pub words: String,
    /// Until when.
    pub small: String,
}

/// Open orders that ask this person how much they want and have no answer yet.
pub fn asks(garden: &Garden, me: MemberId, today: Day) -> Vec<Asks> {
    let mut found = Vec::new();
    if !takes_part(garden, me) {
        return found;
    }
    for ledger in garden.ledgers.values() {
        for (id, order) in &ledger.orders {
            if order.is_open() && order.asks_members() && !has_answered(order, me) {
                let until = order.closes_on;
                found.push(Asks {
                    order: *id,
                    words: format!("How much of {} do you want?", order.title),
                    small: until.map_or_else(
                        || "Nothing is an answer too".to_owned(),
                        |day| {
                            format!(
                                "It closes {}; nothing is an answer too",
                                in_a_sentence(day, today)
                            )
                        },
                    ),
                });
            }
        }
    }
    found
}

/// Members and coordinators are asked; helpers have no part in orders.
fn takes_part(garden: &Garden, member: MemberId) -> bool {
    let record = garden.open_member(member);
    record.is_some_and(|member| may(member.role, Action::AskFor, true))
}

/// Whether somebody has said something to every line that asks.
fn has_answered(order: &Order, member: MemberId) -> bool {
    let mut asking = order.lines.iter();
    asking.all(|(id, line)| {
        line.amounts != AmountsFrom::Wishes || order.wish(*id, Payer::Member(member)).is_some()
    })
}

/// What this person is still to pay beyond what they have written down, if anything.
pub fn to_pay(garden: &Garden, me: MemberId, currency: Currency) -> Option<String> {
    let expected = balance::of(garden, Payer::Member(me)).expected();
    (takes_part(garden, me) && expected.is_positive()).then(|| expected.show(currency))
}

/// The entries that wait for this person to confirm: what they were paid, and for a coordinator what the garden and the
/// suppliers were, and every likely double. What one member paid another is for those two; it stands under Settle up.
pub fn to_confirm(garden: &Garden, me: MemberId, today: Day, currency: Currency) -> Vec<WaitRow> {
    let role = garden.open_member(me).map(|member| member.role);
    let Some(role) = role.filter(|role| may(*role, Action::SeeLedger, false)) else {
        return Vec::new();
    };
    let mut rows = waiting(garden, me, today, currency);
    rows.retain(|row| {
        let for_all = row.looks_alike || !matches!(row.had_by, Payer::Member(_));
        row.to_me || (role == Role::Coordinator && for_all)
    });
    rows
}

/// An open order, and who has not answered it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenOrder {
    /// Which.
    pub order: OrderId,
    /// What it is of.
    pub title: String,
    /// Who has not answered, in a sentence.
    pub words: String,
}

/// Every open order that asks members, as a coordinator looks at it.
pub fn open_orders(garden: &Garden) -> Vec<OpenOrder> {
    let mut found = Vec::new();
    for ledger in garden.ledgers.values() {
        for (id, order) in &ledger.orders {
            if order.is_open() && order.asks_members() {
                found.push(OpenOrder {
                    order: *id,
                    title: order.title.clone(),
                    words: silent_words(garden, order),
                });
            }
        }
    }
    found
}

fn silent_words(garden: &Garden, order: &Order) -> String {
    let silent = unanswered(garden, order);
    match silent.len() {
        0 => "Everybody has answered".to_owned(),
        _ => format!("Not answered: {}", silent.join(", ")),
    }
}

/// Who has not paid: how many and how much, and who, for a coordinator; nothing when all is paid.
pub fn not_paid(garden: &Garden, currency: Currency) -> Option<(String, String)> {
    let mut names = Vec::new();
    let mut sum = Money::ZERO;
    for (payer, account) in balance::all(garden) {
        let Payer::Member(member) = payer else {
            continue;
        };
        let owes = account.expected();
        if owes.is_positive() {
            sum = [sum, owes].into_iter().sum();
            names.push(format!(
                "{} {}",
                garden.name_of(member),
                owes.show(currency)
            ));
        }
    }
    let people = counted(names.len(), "member has", "members have");
    (!names.is_empty()).then(|| {
        (
            format!("{people} not paid yet: {}", sum.show(currency)),
            names.join(", "),
        )
    })
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;
    use std::sync::Arc;

    use selion_core::document::edit::NewOrder;
    use selion_core::document::ids::{EntryId, LineId};
    use selion_core::document::records::{Entry, EntryKind, Member, OrderLine};
    use selion_core::quantities::{Amount, Moment};

    use super::*;
    use crate::plain::sample::{day, garden, member};

    const ORDER: Moment = Moment::from_millis(1);

    /// Ines (1) and Tomasz (2), Wren (3) coordinates and Ash (4) helps; an open order asks how much they want.
    fn with_order() -> (Garden, Order) {
        let mut garden = garden();
        for (number, name, role) in [(3, "Wren", Role::Coordinator), (4, "Ash", Role::Helper)] {
            let record = Member {
                name: name.into(),
                role,
                ended_on: None,
            };
            garden.members.insert(member(number), Arc::new(record));
        }
        let record = OrderLine {
            material: "Ground limestone".into(),
            amounts: AmountsFrom::Wishes,
            ..OrderLine::default()
        };
        let order = Order::from(NewOrder {
            title: record.material.clone(),
            lines: [(LineId::fresh(ORDER, [0; 10]), record)].into(),
            closes_on: Some(day("2026-06-12")),
            ..NewOrder::default()
        });
        put(&mut garden, &order);
        (garden, order)
    }

    fn put(garden: &mut Garden, order: &Order) {
        let ledger = garden.ledgers.entry(2026).or_default();
        let id = OrderId::fresh(ORDER, [0; 10]);
        ledger.orders.insert(id, Arc::new(order.clone()));
    }

    fn write(garden: &mut Garden, number: i64, from: Payer, to: Payer, confirmed: bool) {
        let entry = Entry {
            from,
            to,
            kind: EntryKind::Payment,
            amount: Money::from_minor(100 * number),
            day: day("2026-06-02"),
            order: None,
            reverses: None,
            written_by: member(1),
            confirmed_by: confirmed.then(|| member(3)),
            looks_like: None,
            word: String::new(),
        };
        let id = EntryId::fresh(Moment::from_millis(number), [0; 10]);
        let ledger = garden.ledgers.get_mut(&2026).unwrap();
        ledger.entries.insert(id, Arc::new(entry));
    }

    #[test]
    fn an_order_asks_until_it_is_answered_and_never_a_helper() {
        let (mut garden, mut order) = with_order();
        let today = day("2026-06-11");
        let asked = asks(&garden, member(1), today);
        assert_eq!(asked[0].words, "How much of Ground limestone do you want?");
        assert_eq!(
            asked[0].small,
            "It closes tomorrow; nothing is an answer too"
        );
        assert!(asks(&garden, member(4), today).is_empty());
        assert_eq!(
            open_orders(&garden)[0].words,
            "Not answered: Ines, Tomasz, Wren"
        );
        let line = *order.lines.keys().next().unwrap();
        let nothing = Map::from([(Payer::Member(member(1)), Amount::ZERO)]);
        order.wishes.insert(line, nothing);
        put(&mut garden, &order);
        assert!(
            asks(&garden, member(1), today).is_empty(),
            "nothing is an answer"
        );
        assert_eq!(open_orders(&garden)[0].words, "Not answered: Tomasz, Wren");
        order.ended_on = Some(today);
        put(&mut garden, &order);
        assert!(
            asks(&garden, member(2), today).is_empty(),
            "it is called off"
        );
    }

    #[test]
    fn what_is_owed_waits_until_it_is_written_down() {
        let (mut garden, _) = with_order();
        let dollars = garden.profile.as_ref().unwrap().currency;
        let ines = Payer::Member(member(1));
        assert_eq!(to_pay(&garden, member(1), dollars), None);
        write(&mut garden, 1, Payer::Garden, ines, true);
        assert_eq!(
            to_pay(&garden, member(1), dollars).as_deref(),
            Some("$1.00")
        );
        write(&mut garden, 2, Payer::Garden, ines, true);
        let (words, names) = not_paid(&garden, dollars).unwrap();
        assert_eq!(
            (words.as_str(), names.as_str()),
            ("1 member has not paid yet: $3.00", "Ines $3.00")
        );
        write(&mut garden, 3, ines, Payer::Garden, false);
        assert_eq!(
            to_pay(&garden, member(1), dollars),
            None,
            "it is on its way"
        );
        assert_eq!(not_paid(&garden, dollars), None);
    }

    #[test]
    fn whoever_was_paid_is_asked_to_confirm() {
        let (mut garden, _) = with_order();
        let dollars = garden.profile.as_ref().unwrap().currency;
        let of = |number| Payer::Member(member(number));
        write(&mut garden, 1, of(1), of(2), false);
        write(&mut garden, 2, of(1), Payer::Garden, false);
        let asked = |me| {
            let rows = to_confirm(&garden, member(me), day("2026-07-01"), dollars);
            rows.into_iter().map(|row| row.words).collect::<Vec<_>>()
        };
        assert_eq!(asked(2), ["Ines pays you"]);
        assert_eq!(asked(3), ["Ines pays the garden"]);
        assert!(asked(1).is_empty(), "not whoever paid");
        assert!(asked(4).is_empty(), "helpers see no money");
    }
}
