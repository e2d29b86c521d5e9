//! Orders and the ledger from the wish to the settled season, judged and stored as the service does it.

use selion_core::document::balance::{self, BalanceLine};
use selion_core::document::edit::{BedField, MemberField};
use selion_core::document::ids::MemberId;
use selion_core::document::records::{EntryKind, Order, Payer};
use selion_core::document::shared_out::{self, Came};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered::Map;
use selion_core::policy::{RefusalCode, Told};
use selion_core::quantities::{Amount, Money};

use crate::small_garden::orders::{self, invoice, paid, wish};
use crate::small_garden::{GROUND, LEDGER, SmallGarden, YEAR, day, ids, ines, tomasz, wren};

fn order(garden: &SmallGarden, number: u8) -> Order {
    let (_, order) = garden.replica.garden().order(ids::order(number)).unwrap();
    Order::clone(order)
}

fn member(who: MemberId) -> Payer {
    Payer::Member(who)
}

fn owed(garden: &SmallGarden, payer: Payer) -> i64 {
    balance::of(garden.replica.garden(), payer).owed.minor()
}

/// What all accounts owe together, in every year's own books and over all years.
pub(crate) fn all_together(garden: &Garden) -> Vec<i64> {
    let sum = |owed: &mut dyn Iterator<Item = i64>| owed.sum::<i64>();
    let mut sums = vec![sum(&mut balance::all(garden)
        .iter()
        .map(|(_, balance)| balance.owed.minor()))];
    for year in garden.ledgers.keys() {
        let owed = balance::at_the_end_of(garden, *year);
        sums.push(sum(&mut owed.values().map(|owed| owed.minor())));
    }
    sums
}

#[test]
fn what_happens_to_people_and_beds_after_the_closing_changes_nothing_that_is_closed() {
    let mut garden = SmallGarden::new();
    garden.does(ines(), LEDGER, orders::every().remove(2));
    let closed = order(&garden, 1);
    let before = shared_out::standing(garden.replica.garden(), &closed).unwrap();
    let held = Map::from([(tomasz(), 1)]);
    let larger = crate::small_garden::rectangle(0, 0, 9_000, 1_200);
    let set = vec![BedField::Holders(held), BedField::Outline(larger)];
    let bed = ids::bed(1);
    garden.does(ines(), GROUND, Edit::ChangeBed { bed, set });
    let set = vec![MemberField::EndedOn(Some(day("2026-05-01")))];
    let member = wren();
    garden.does(ines(), GROUND, Edit::ChangeMember { member, set });
    assert_eq!(order(&garden, 1), closed);
    let after = shared_out::standing(garden.replica.garden(), &closed).unwrap();
    assert_eq!(after, before);
    // And an invoice goes by the same ground.
    let nothing = Map::new();
    let none = Map::new();
    let as_ordered = Came {
        delivered: &nothing,
        delivery: closed.delivery,
        none_for: &none,
    };
    let anew = shared_out::invoiced(garden.replica.garden(), &closed, as_ordered).unwrap();
    for (one, other) in before.shares().accounts.iter().zip(&anew.result.accounts) {
        assert_eq!((one.account, one.pays), (other.account, other.pays));
        assert_eq!(one.lines, other.lines);
    }
}

#[test]
fn a_wish_can_be_changed_until_the_closing_and_then_comes_too_late() {
    let mut garden = SmallGarden::new();
    garden.does(wren(), LEDGER, wish(1, wren(), 90_000));
    let asked = order(&garden, 1).wish(ids::line(41), member(wren()));
    assert_eq!(asked, Some(Amount::from_count(90_000)));
    let for_another = garden.tries(tomasz(), LEDGER, wish(1, wren(), 1));
    assert_eq!(for_another.unwrap_err().code, RefusalCode::NotAllowed);
    let late = garden
        .tries(wren(), LEDGER, wish(2, wren(), 9))
        .unwrap_err();
    assert_eq!(late.code, RefusalCode::TooLate);
    assert_eq!(
        late.message,
        "The order of Straw was closed on 2026-03-20; your wish came too late. Ask the coordinator."
    );
    let Edit::AskFor { order, .. } = wish(1, wren(), 1) else {
        unreachable!()
    };
    let of_lime = Edit::AskFor {
        order,
        line: ids::line(1),
        whose: member(wren()),
        amount: Amount::from_count(1),
    };
    let refused = garden.tries(wren(), LEDGER, of_lime).unwrap_err();
    assert_eq!(refused.code, RefusalCode::CannotShare);
}

#[test]
fn a_short_delivery_is_shared_anew_and_only_what_differs_is_charged() {
    let mut garden = SmallGarden::new();
    // Six bales at 6.50 for two people.
    let straw = |garden: &SmallGarden, who| {
        balance::of_order(garden.replica.garden(), member(who), ids::order(2))
            .owed
            .minor()
    };
    assert_eq!(
        (straw(&garden, wren()), straw(&garden, tomasz())),
        (1_950, 1_950)
    );
    garden.does(ines(), LEDGER, invoice());
    // Five came for 33.00 and 5.00 delivery; Wren has the three she asked for, the garden keeps two, Tomasz none.
    let shares = order(&garden, 2).frozen().unwrap().clone();
    assert_eq!(shares.total, Money::from_minor(3_800));
    assert!(!shares.accounts.contains_key(&member(tomasz())));
    assert_eq!(
        (straw(&garden, wren()), straw(&garden, tomasz())),
        (2_280, 0)
    );
    assert_eq!(all_together(garden.replica.garden()), [0, 0, 0]);
    let lines = balance::of(garden.replica.garden(), member(tomasz())).lines;
    let words: Vec<String> = lines.iter().map(BalanceLine::words).collect();
    assert_eq!(words, ["Share of Straw", "Bill of Straw differs"]);
    // The next invoice is judged against this one.
    let again = garden.tries(ines(), LEDGER, invoice()).unwrap();
    assert!(
        again.change.is_some(),
        "the same bill gives the same shares"
    );
    assert_eq!(straw(&garden, wren()), 2_280);
}

#[test]
fn the_same_tick_by_two_people_counts_once() {
    let mut garden = SmallGarden::new();
    let tick = |taken| Edit::HandOut {
        order: ids::order(2),
        line: ids::line(2),
        payer: member(wren()),
        on: day("2026-04-02"),
        taken,
    };
    let is_handed = |garden: &SmallGarden| order(garden, 2).is_handed(ids::line(2), member(wren()));
    assert!(garden.does(ines(), LEDGER, tick(true)).change.is_some());
    let again = garden.does(tomasz(), LEDGER, tick(true));
    assert!(again.change.is_none() && is_handed(&garden));
    assert_eq!(
        order(&garden, 2).handed[&ids::line(2)][&member(wren())].by,
        ines()
    );
    garden.does(tomasz(), LEDGER, tick(false));
    assert!(!is_handed(&garden));
    let nobodys = Edit::HandOut {
        order: ids::order(2),
        line: ids::line(2),
        payer: Payer::Garden,
        on: day("2026-04-02"),
        taken: true,
    };
    let refused = garden.tries(ines(), LEDGER, nobodys).unwrap_err();
    assert_eq!(refused.code, RefusalCode::NotThere);
}

#[test]
fn a_payment_counts_once_whoever_was_paid_says_so() {
    let mut garden = SmallGarden::new();
    let before = owed(&garden, member(wren()));
    // Entry 2 of the small garden: Wren says she paid 7.00.
    garden.does(
        ines(),
        LEDGER,
        Edit::ConfirmEntry {
            entry: ids::entry(2),
        },
    );
    assert_eq!(owed(&garden, member(wren())), before - 700);
    let to_tomasz = paid(20, member(wren()), member(tomasz()), 300);
    let told = garden.does(wren(), LEDGER, to_tomasz).told;
    assert_eq!(told, Some(Told::Unconfirmed));
    let confirm = Edit::ConfirmEntry {
        entry: ids::entry(20),
    };
    let refused = garden.tries(wren(), LEDGER, confirm.clone()).unwrap_err();
    assert_eq!(refused.code, RefusalCode::NotAllowed);
    garden.does(tomasz(), LEDGER, confirm);
    assert_eq!(owed(&garden, member(wren())), before - 1_000);
    // Whoever was paid may write it down themselves.
    let had = paid(21, member(ines()), member(tomasz()), 450);
    assert_eq!(garden.does(tomasz(), LEDGER, had).told, None);
    let of_others = paid(22, member(ines()), member(wren()), 450);
    let refused = garden.tries(tomasz(), LEDGER, of_others).unwrap_err();
    assert_eq!(refused.code, RefusalCode::NotAllowed);
    assert_eq!(all_together(garden.replica.garden()), [0, 0, 0]);
}

#[test]
fn the_same_payment_by_two_treasurers_is_flagged_and_a_real_second_one_is_not_blocked() {
    let mut garden = SmallGarden::new();
    let before = owed(&garden, member(tomasz()));
    let payment = |entry| paid(entry, member(tomasz()), Payer::Garden, 1_200);
    assert_eq!(garden.does(ines(), LEDGER, payment(30)).told, None);
    let told = garden.does(ines(), LEDGER, payment(31)).told;
    assert_eq!(told, Some(Told::LooksLike(ids::entry(30))));
    assert_eq!(
        owed(&garden, member(tomasz())),
        before - 1_200,
        "it counts once"
    );
    garden.does(
        ines(),
        LEDGER,
        Edit::ConfirmEntry {
            entry: ids::entry(31),
        },
    );
    assert_eq!(owed(&garden, member(tomasz())), before - 2_400);
    // Taken back, it was never there.
    let (entry, reverses) = (ids::entry(32), ids::entry(31));
    let on = day("2026-04-09");
    let word = String::new();
    garden.does(
        ines(),
        LEDGER,
        Edit::ReverseEntry {
            entry,
            reverses,
            day: on,
            word,
        },
    );
    assert_eq!(owed(&garden, member(tomasz())), before - 1_200);
}

#[test]
fn a_member_takes_back_what_they_wrote_only_while_nobody_has_confirmed_it() {
    let mut garden = SmallGarden::new();
    let reverse = |entry| Edit::ReverseEntry {
        entry: ids::entry(entry),
        reverses: ids::entry(2),
        day: day("2026-04-08"),
        word: String::new(),
    };
    let refused = garden.tries(tomasz(), LEDGER, reverse(40)).unwrap_err();
    assert_eq!(refused.code, RefusalCode::NotAllowed);
    let before = owed(&garden, member(wren()));
    garden.does(wren(), LEDGER, reverse(41));
    assert_eq!(owed(&garden, member(wren())), before);
    let confirm = Edit::ConfirmEntry {
        entry: ids::entry(2),
    };
    let refused = garden.tries(ines(), LEDGER, confirm).unwrap_err();
    assert_eq!(refused.code, RefusalCode::Closed);
}

#[test]
fn suppliers_stand_on_one_side_of_an_outlay_and_nowhere_else() {
    let mut garden = SmallGarden::new();
    let mut tries = |from, to, kind| {
        let mut edit = paid(50, from, to, 100);
        if let Edit::AddEntry { kind: of, .. } = &mut edit {
            *of = kind;
        }
        garden
            .tries(ines(), LEDGER, edit)
            .map(|applied| applied.told)
    };
    let code = |tried: Result<_, selion_core::policy::Refused>| tried.unwrap_err().code;
    let (ines, supplier) = (member(ines()), Payer::Supplier);
    assert_eq!(
        code(tries(ines, supplier, EntryKind::Payment)),
        RefusalCode::BadInput
    );
    assert_eq!(
        code(tries(ines, Payer::Garden, EntryKind::Outlay)),
        RefusalCode::BadInput
    );
    assert_eq!(
        code(tries(ines, ines, EntryKind::Adjustment)),
        RefusalCode::BadInput
    );
    assert_eq!(tries(ines, supplier, EntryKind::Outlay).unwrap(), None);
}

#[test]
fn a_year_is_carried_over_once_everything_is_closed_and_then_stays_as_it_is() {
    let next = DocumentName::Ledger(YEAR + 1);
    let mut garden = SmallGarden::new();
    garden.does(ines(), GROUND, Edit::OpenYear { year: YEAR + 1 });
    garden.replica.begin_missing(ids::NOW).unwrap();
    let carry = |garden: &SmallGarden| Edit::CarryOver {
        on: day("2027-01-03"),
        seen: shared_out::mark_of_balances(&balance::at_the_end_of(garden.replica.garden(), YEAR)),
    };
    let refused = garden.tries(ines(), next, carry(&garden)).unwrap_err();
    assert!(
        refused.message.contains("still open in 2026"),
        "{}",
        refused.message
    );
    let seen = carry(&garden);
    garden.does(ines(), LEDGER, orders::every().remove(2));
    garden.does(
        ines(),
        LEDGER,
        Edit::ConfirmEntry {
            entry: ids::entry(2),
        },
    );
    let refused = garden.tries(ines(), next, seen).unwrap_err();
    assert_eq!(refused.code, RefusalCode::SharesChanged);
    let before = balance::all(garden.replica.garden())
        .into_iter()
        .map(|(payer, balance)| (payer, balance.owed))
        .collect::<Vec<_>>();
    garden.does(ines(), next, carry(&garden));
    let after = balance::all(garden.replica.garden())
        .into_iter()
        .map(|(payer, balance)| (payer, balance.owed))
        .collect::<Vec<_>>();
    assert_eq!(after, before);
    for (document, edit) in [
        (LEDGER, paid(60, member(wren()), Payer::Garden, 5)),
        (LEDGER, invoice()),
        (next, carry(&garden)),
    ] {
        let refused = garden.tries(ines(), document, edit).unwrap_err();
        assert_eq!(refused.code, RefusalCode::Closed);
    }
    garden.does(ines(), next, paid(61, member(wren()), Payer::Garden, 5));
    assert_eq!(all_together(garden.replica.garden()), [0, 0, 0, 0]);
}
