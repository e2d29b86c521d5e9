//! Settling up: who pays whom so that nobody owes anything, what waits to be confirmed, and carrying over into a new year.

use leptos::prelude::*;
use selion_core::document::ids::EntryId;
use selion_core::document::records::Payer;
use selion_core::document::{DocumentName, Edit, balance};
use selion_core::policy::{Action, may_see_balance};

use super::no_money;
use crate::parts::{
    ActKind, FigureRow, NoteKind, TagKind, WorkingText, act, act_link, acts, confirm, empty,
    figures, heading, line, lines, note, page_head, tag, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::settle_rows::{
    BillRow, Carrying, PayRow, Settled, WaitRow, bill_rows, carrying, to_pay, waiting,
};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The screen at `/settle`.
pub fn settle_screen() -> Piece {
    let book = use_book();
    let sees = memo(move || book.may(Action::SeeLedger, false));
    when(move || sees.get(), settle).otherwise(no_money).into()
}

fn settle() -> Piece {
    let book = use_book();
    let settled = memo(move || Some(balance::settle(&book.garden.read(), book.currency()?)));
    let label = derived(move || format!("{} · {}", book.garden_name(), book.today.get().year()));
    pieces![
        page_head(label, "Settle up").back("/shares", "Shares"),
        el("p").child(
            "These payments make every account even. Whoever pays writes it down, whoever is paid confirms it; then it counts."
        ),
        open_bills(),
        plan(settled),
        on_their_way(),
        how(settled),
        when(move || book.may(Action::KeepLedger, false), carry_over)
    ]
}

// Without it the payments below lead members to a supplier whom somebody has long paid.
fn open_bills() -> Piece {
    let book = use_book();
    let bills = memo(move || bill_rows(&book.garden.read(), book.currency()?));
    let bill_line = move |bill: BillRow| {
        line(bill.title)
            .bed("bill")
            .small("Open the load and record what was laid out to the supplier")
            .href(format!("/order/{}", bill.order))
            .child(bill.missing)
    };
    when(
        move || bills.with(Option::is_some),
        move || {
            pieces![
                heading("Who paid the supplier?"),
                note().kind(NoteKind::Mind).lead("It is not written down.").child(
                    "As long as nobody is written down to have paid these bills, the payments below go to the suppliers themselves. \
                     If a member or the garden paid, write that down first: then they are paid back instead."
                ),
                lines().child(move || {
                    bills.get().into_iter().flatten().map(bill_line).collect::<Piece>()
                })
            ]
        },
    )
    .into()
}

type Plan = Memo<Option<Settled>>;

fn plan(settled: Plan) -> Piece {
    let book = use_book();
    let rows = memo(move || {
        let (me, currency) = (book.me.get()?, book.currency()?);
        let garden = book.garden.read();
        settled.with(|settled| {
            let answer = settled.as_ref()?.as_ref().ok()?;
            Some(to_pay(
                &garden,
                &answer.result,
                me,
                book.today.get(),
                currency,
            ))
        })
    });
    let rows = memo(move || rows.get().unwrap_or_default());
    let refused = move || {
        settled.with(|settled| match settled {
            Some(Err(refusal)) => Some(refusal.to_string()),
            Some(Ok(_)) | None => None,
        })
    };
    pieces![
        heading("Who pays whom"),
        move || refused().map(|words| note().kind(NoteKind::Stop).child(words)),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows.get().into_iter().map(pay_line).collect::<Piece>())
        )
        .otherwise(|| empty("Nothing is to be paid").child(
            el("p").child(
                "Every account that you see is even, or will be once what waits is confirmed."
            )
        ))
    ]
}

fn pay_line(row: PayRow) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let PayRow {
        words,
        shown,
        by_me,
        to_me,
        entry,
    } = row;
    let verb = match (by_me, to_me) {
        (true, _) => "I paid it",
        (_, true) => "I had it",
        _ => "It is paid",
    };
    let spoken = format!("{verb}: {words}, {shown}");
    let write = move || {
        let garden = book.garden.get_untracked();
        let foretold =
            untrack(|| entry.foretold(&garden, book.me.get()?, book.role()?, book.currency()?));
        let said = foretold.map_or_else(
            || "Written into the ledger; it counts.".to_owned(),
            |told| format!("Written into the ledger. {told}"),
        );
        let edit = entry.clone().edit(book.fresh(EntryId::fresh));
        pen.write(entry.document(&garden), edit, said);
    };
    let own = by_me || to_me;
    line(words)
        .bed("pay")
        .mine(by_me)
        .child(shown)
        .child(when(
            move || book.may(Action::RecordPayment, own),
            move || {
                act(verb, write.clone())
                    .spoken(spoken.clone())
                    .kind(ActKind::Bare)
            },
        ))
        .into()
}

/// What was written down and not confirmed; it is not asked for once more.
fn on_their_way() -> Piece {
    let book = use_book();
    let rows = memo(move || {
        let (Some(me), Some(currency)) = (book.me.get(), book.currency()) else {
            return Vec::new();
        };
        waiting(&book.garden.read(), me, book.today.get(), currency)
    });
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("To be confirmed"),
                lines().child(move || rows.get().into_iter().map(wait_line).collect::<Piece>())
            ]
        },
    )
    .into()
}

/// A line of an entry that waits, with its button for whoever may confirm it.
pub fn wait_line(row: WaitRow) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let WaitRow {
        entry,
        document,
        words,
        small,
        shown,
        to_me,
        looks_alike,
        account,
        ..
    } = row;
    let verb = if looks_alike {
        "It is a second one"
    } else {
        "Confirm"
    };
    let spoken = format!("{verb}: {words}, {shown}");
    let confirm_it = move || {
        pen.write(
            document,
            Edit::ConfirmEntry { entry },
            "Confirmed: it counts now.",
        );
    };
    line(words)
        .bed("paid")
        .small(small)
        .mine(to_me)
        .href(account_href(account))
        .child(shown)
        .child(if looks_alike {
            tag("a double?", TagKind::Stop)
        } else {
            tag("not confirmed", TagKind::Wait)
        })
        .child(when(
            move || book.may(Action::ConfirmEntry, to_me),
            move || {
                act(verb, confirm_it)
                    .spoken(spoken.clone())
                    .kind(ActKind::Bare)
            },
        ))
        .into()
}

/// The address of an account.
pub fn account_href(payer: Payer) -> String {
    format!("/account/{payer}")
}

/// How the plan comes about; it names every balance, so only for those who see them all.
fn how(settled: Plan) -> Piece {
    let book = use_book();
    let sees_all = memo(move || {
        let garden = book.garden.read();
        book.me.get().is_some_and(|me| {
            garden
                .members
                .keys()
                .all(|member| may_see_balance(&garden, me, Payer::Member(*member)))
        })
    });
    let text = memo(move || {
        settled.with(|settled| settled.as_ref()?.as_ref().ok().map(WorkingText::from))
    });
    let greedy = memo(move || {
        settled.with(|settled| matches!(settled, Some(Ok(answer)) if !answer.result.is_fewest))
    });
    pieces![
        when(
            move || greedy.get(),
            || {
                note().child("With so many accounts not every grouping is tried: there may be a way with fewer payments.")
            }
        ),
        when(
            move || sees_all.get(),
            move || live(move || text
                .get()
                .map(|text| working("How the payments come about", text)))
        )
    ]
}

fn carry_over() -> Piece {
    let book = use_book();
    let found = memo(move || carrying(&book.garden.read(), book.currency()?));
    pieces![
        heading("Into the next year"),
        live(move || {
            match found.get() {
            None => el("p")
                .child(
                    "Balances are carried over once the next year is opened under Garden. Until then nothing is lost: what is open stays open."
                )
                .into(),
            Some(found) => carry_desk(found),
        }
        }),
        acts().child(act_link("/garden", "To the years under Garden"))
    ]
}

// The mark is that of the balances shown, so that nobody carries over figures they did not see.
fn carry_desk(found: Carrying) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let asking = signal_of(false);
    let Carrying {
        from,
        into,
        accounts,
        seen,
    } = found;
    let rows: Vec<FigureRow> = accounts
        .into_iter()
        .map(|(name, owed)| FigureRow {
            cells: vec![name, owed],
            mine: false,
        })
        .collect();
    let follows = format!(
        "What each account owes at the end of {from} becomes the first line of {into}. The ledger of {from} then takes nothing more: what turns up later is written into {into}. Open loads must be closed or called off, and entries confirmed or taken back, before that."
    );
    let carry = move || {
        let edit = Edit::CarryOver {
            on: book.today.get_untracked(),
            seen: seen.clone(),
        };
        pen.write(
            DocumentName::Ledger(into),
            edit,
            format!("The balances of {from} are carried over into {into}."),
        );
    };
    let heads = vec!["Account".to_owned(), "owes".to_owned()];
    pieces![
        if rows.is_empty() {
            Piece::from(el("p").child(format!("Every account is even at the end of {from}.")))
        } else {
            figures(format!("At the end of {from}"), heads, rows).into()
        },
        acts().child(act(format!("Carry over into {into}"), move || asking.set(true))),
        confirm(asking, format!("Carry {from} over into {into}?"))
            .follows(follows)
            .yes("Carry over", carry)
    ]
}
