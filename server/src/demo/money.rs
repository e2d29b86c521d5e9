//! The demonstration garden's money: a load of straw that was closed and paid for, one that asks how much people want, and a
//! ledger with payments, one that nobody has confirmed, one that was taken back, and a question to the coordinator.

use selion_core::document::edit::{NewOrder, ProfileField};
use selion_core::document::ids::{EntryId, LineId, MemberId, OrderId, RequestId};
use selion_core::document::records::{AmountsFrom, EntryKind, GardenRules, OrderLine, Pack, Payer};
use selion_core::document::{DocumentName, Edit, Garden, balance, shared_out};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, CountedIn, Currency, Day, Moment, Money, Rate};
use selion_core::shares::order::ShareRule;

use super::named;
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// The straw was closed so many days ago.
const CLOSED: i64 = -21;
/// So long ago the straw was put up: before the lime, in the order of ids.
const EARLIER: i64 = -30 * 24 * 60 * 60 * 1_000;

/// Who has paid all of their straw, and how many days ago.
const PAID: [(&str, i64); 3] = [("Adaeze", -18), ("Piet", -17), ("Tomasz", -15)];
/// Who says that they have paid, which nobody has confirmed.
const SAYS: (&str, i64) = ("Farid", -2);
/// For whom too much was written down, which was taken back.
const WRONG: (&str, i64) = ("Marisol", -16);

/// Writes the money.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let dollars = Currency::new("USD")?;
    let ledger = DocumentName::Ledger(today.year());
    let order = OrderId::fresh(desk.now.plus_millis(EARLIER), chance::bytes());
    let rules = GardenRules {
        hour_in_lieu: Money::parse("12.00", dollars)?,
        ..GardenRules::default()
    };
    let set = vec![ProfileField::Rules(rules)];
    let picture = desk.hall.picture(desk.store.as_read(), hand.garden)?;
    let bark = bark(desk.now, today, picture, dollars)?;
    let mut edits = vec![
        (DocumentName::Ground, Edit::ChangeProfile { set }),
        (ledger, straw(desk.now, order, dollars)?),
    ];
    edits.extend(bark.into_iter().map(|edit| (ledger, edit)));
    hand.make(desk, edits)?;
    close(desk, hand, (ledger, order), today.plus_days(CLOSED))?;
    let picture = desk.hall.picture(desk.store.as_read(), hand.garden)?;
    let book = Pages {
        garden: &picture.clone(),
        order,
        today,
        now: desk.now,
    };
    let by_coordinator = book.by_coordinator(hand.member)?;
    let (farid, edits) = book.by_member()?;
    let in_ledger = |edits: Vec<Edit>| edits.into_iter().map(|edit| (ledger, edit)).collect();
    hand.make(desk, in_ledger(by_coordinator))?;
    let hand = Hand {
        member: farid,
        ..hand
    };
    hand.make(desk, in_ledger(edits))
}

/// Straw for mulch by bed area.
fn straw(now: Moment, order: OrderId, dollars: Currency) -> Result<Edit, BadInput> {
    let typed = "150 lb per 1000 sq ft";
    let bale = Pack {
        size: CountedIn::Weight.parse("40 lb")?,
        price: Money::parse("7.50", dollars)?,
        ..Pack::default()
    };
    let line = OrderLine {
        material: "Barley straw".to_owned(),
        rate: Rate::parse(typed)?,
        rate_as_typed: typed.to_owned(),
        packs: Map::from([(1.into(), bale)]),
        ..OrderLine::default()
    };
    Ok(Edit::AddOrder {
        order,
        new: NewOrder {
            title: line.material.clone(),
            lines: Map::from([(LineId::fresh(now, chance::bytes()), line)]),
            delivery: Money::parse("20.00", dollars)?,
            ..NewOrder::default()
        },
    })
}

/// Bark for the paths: everybody says how much they want, and two have.
fn bark(
    now: Moment,
    today: Day,
    garden: &Garden,
    dollars: Currency,
) -> Result<Vec<Edit>, ByHandError> {
    let bag = Pack {
        size: CountedIn::Weight.parse("25 lb")?,
        price: Money::parse("5.20", dollars)?,
        ..Pack::default()
    };
    let record = OrderLine {
        material: "Path bark".to_owned(),
        amounts: AmountsFrom::Wishes,
        rule: ShareRule::Taken,
        packs: Map::from([(1.into(), bag)]),
        ..OrderLine::default()
    };
    let order = OrderId::fresh(now.plus_millis(EARLIER / 2), chance::bytes());
    let line = LineId::fresh(now, chance::bytes());
    let mut edits = vec![Edit::AddOrder {
        order,
        new: NewOrder {
            title: record.material.clone(),
            lines: Map::from([(line, record)]),
            closes_on: Some(today.plus_days(5)),
            arrives: "Saturday week, by the shed".to_owned(),
            ..NewOrder::default()
        },
    }];
    for (name, wish) in [("Adaeze", "50 lb"), ("Piet", "25 lb")] {
        edits.push(Edit::AskFor {
            order,
            line,
            whose: Payer::Member(named(garden, name)?),
            amount: CountedIn::Weight.parse(wish)?,
        });
    }
    Ok(edits)
}

fn close(
    desk: &mut Desk<'_>,
    hand: Hand,
    (ledger, order): (DocumentName, OrderId),
    on: Day,
) -> Result<(), ByHandError> {
    let picture = desk.hall.picture(desk.store.as_read(), hand.garden)?;
    let (_, record) = picture
        .order(order)
        .ok_or_else(|| ByHandError::Asked("the straw is not there".to_owned()))?;
    let shares = shared_out::order(picture, record)
        .map_err(|refusal| ByHandError::Asked(refusal.to_string()))?;
    let seen = shared_out::mark_of_order(&shares.result);
    hand.make(desk, vec![(ledger, Edit::CloseOrder { order, on, seen })])
}

/// What the ledger is written with.
struct Pages<'p> {
    garden: &'p Garden,
    order: OrderId,
    today: Day,
    now: Moment,
}

impl Pages<'_> {
    fn entry(
        &self,
        (from, to): (Payer, Payer),
        amount: Money,
        day: i64,
        word: &str,
    ) -> (EntryId, Edit) {
        let entry = EntryId::fresh(self.now, chance::bytes());
        let supplier = [from, to].contains(&Payer::Supplier);
        let edit = Edit::AddEntry {
            entry,
            from,
            to,
            kind: if supplier {
                EntryKind::Outlay
            } else {
                EntryKind::Payment
            },
            amount,
            day: self.today.plus_days(day),
            order: Some(self.order),
            word: word.to_owned(),
        };
        (entry, edit)
    }

    fn owed(&self, name: &str) -> Result<(Payer, Money), ByHandError> {
        let payer = Payer::Member(named(self.garden, name)?);
        Ok((payer, balance::of(self.garden, payer).owed))
    }

    /// She paid the supplier, and has had most of it back; one line was wrong and is taken back.
    fn by_coordinator(&self, coordinator: MemberId) -> Result<Vec<Edit>, ByHandError> {
        let bill = balance::of(self.garden, Payer::Supplier).owed;
        let bill = Money::from_minor(bill.minor().saturating_neg());
        let own = Payer::Member(coordinator);
        let laid_out = self.entry((own, Payer::Supplier), bill, CLOSED, "Paid the driver");
        let mut edits = vec![laid_out.1];
        for (name, day) in PAID {
            let (payer, owed) = self.owed(name)?;
            edits.push(
                self.entry((payer, Payer::Garden), owed, day, "In the tin")
                    .1,
            );
        }
        let (payer, owed) = self.owed(WRONG.0)?;
        let twice = Money::from_minor(owed.minor().saturating_mul(2));
        let (wrong, edit) = self.entry((payer, Payer::Garden), twice, WRONG.1, "Transfer");
        edits.push(edit);
        edits.push(Edit::ReverseEntry {
            entry: EntryId::fresh(self.now, chance::bytes()),
            reverses: wrong,
            day: self.today.plus_days(WRONG.1 + 1),
            word: "Twice the amount".to_owned(),
        });
        edits.push(
            self.entry((payer, Payer::Garden), owed, WRONG.1 + 1, "Transfer")
                .1,
        );
        Ok(edits)
    }

    /// He says that he paid, and asks for more.
    fn by_member(&self) -> Result<(MemberId, Vec<Edit>), ByHandError> {
        let member = named(self.garden, SAYS.0)?;
        let (payer, owed) = self.owed(SAYS.0)?;
        let says = self.entry((payer, Payer::Garden), owed, SAYS.1, "In the tin");
        let asks = Edit::AskCoordinator {
            request: RequestId::fresh(self.now, chance::bytes()),
            about: Some(self.order),
            day: self.today.plus_days(-1),
            text: "Is there a bale left over for the squash?".to_owned(),
        };
        Ok((member, vec![says.1, asks]))
    }
}

#[cfg(test)]
mod tests {
    use selion_core::document::balance::{self, LineFrom};

    use crate::demo;
    use crate::testing::Bench;

    #[test]
    fn the_ledger_has_a_payment_that_waits_and_one_that_was_taken_back_and_sums_to_nothing() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        let garden = bench.hall.picture(&bench.store, made.garden).unwrap();
        let accounts = balance::all(garden);
        let owed: i64 = accounts
            .iter()
            .map(|(_, account)| account.owed.minor())
            .sum();
        assert_eq!(owed, 0);
        let lines = || accounts.iter().flat_map(|(_, account)| &account.lines);
        assert_eq!(
            lines().filter(|line| line.waits()).count(),
            2,
            "on two accounts"
        );
        let taken_back =
            lines().filter(|line| matches!(&line.from, LineFrom::Entry(entry) if entry.taken_back));
        assert_eq!(taken_back.count(), 2);
        let requests = garden.ledgers.values().map(|ledger| ledger.requests.len());
        assert_eq!(requests.sum::<usize>(), 1);
    }
}
