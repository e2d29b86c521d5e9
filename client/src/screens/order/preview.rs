//! The shares of a load as they would be if it were closed now: what to buy, who gets and pays what, and how it was reached.

use leptos::prelude::*;
use selion_core::document::records::{Order, Payer};
use selion_core::document::shared_out::{self, Standing};
use selion_core::reckoning::Refusal;
use selion_core::shares::order::ShareRule;

use crate::parts::{
    Choice, NoteKind, WorkingText, act, acts, heading, line, lines, note, select_field,
    title_block, working,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::buy_rows;
use crate::plain::share_rows::{self, ShareTable};
use crate::plain::wording::capital;
use crate::screens::account_table::account_table;
use crate::screens::looker::Looker;
use crate::state::{Book, use_book};

/// The most rows of a table before the rest is asked for.
const MOST_ROWS: usize = 30;

/// The shares with their working, or why there are none.
pub(super) type Shares = Result<Standing, Refusal>;

pub(super) type Answer = Memo<Option<Standing>>;

/// The shares of an order: over the garden as it is now, or as they were frozen.
pub(super) fn shares_of(book: Book, order: Signal<Option<Order>>) -> Memo<Option<Shares>> {
    memo(move || {
        let garden = book.garden.read();
        order.with(|order| {
            order
                .as_ref()
                .map(|order| shared_out::standing(&garden, order))
        })
    })
}

/// The tables and workings.
pub fn preview(order: impl Into<Signal<Option<Order>>>, looker: Looker) -> Piece {
    let order = order.into();
    let book = use_book();
    let shares = shares_of(book, order);
    let refused = memo(move || {
        shares.with(|shares| match shares {
            Some(Err(refusal)) => Some(refusal.to_string()),
            Some(Ok(_)) | None => None,
        })
    });
    let answer = memo(move || shares.with(|shares| shares.clone()?.ok()));
    pieces![
        move || refused.get().map(|words| note()
            .kind(NoteKind::Stop)
            .lead("It cannot be shared out like this.")
            .child(words)),
        when(
            move || answer.read().is_some(),
            move || shared(answer, looker, comparison(order, looker))
        )
    ]
}

// What everybody would pay by any two rules.
fn comparison(order: Signal<Option<Order>>, looker: Looker) -> Piece {
    let book = use_book();
    let comparing = signal_of(false);
    let [one, other] =
        [ShareRule::Need, ShareRule::Equal].map(|rule| signal_of(rule.key().to_owned()));
    let table = memo(move || {
        let (garden, me) = (book.garden.read(), looker.me());
        let rules = (rule(&one.get()), rule(&other.get()));
        let compared =
            order.with(|order| shared_out::compare(&garden, order.as_ref()?, rules).ok());
        compared
            .zip(book.currency())
            .map(|(compared, currency)| {
                share_rows::compared(&garden, &compared, rules, currency, me)
            })
            .unwrap_or_default()
    });
    let words = derived(move || {
        let words = if comparing.get() {
            "Leave the comparison"
        } else {
            "Compare two rules"
        };
        words.to_owned()
    });
    let choices = ShareRule::ALL.map(|rule| Choice::new(rule.key(), capital(rule.words())));
    let chosen = move || {
        el("div")
            .class("form screen-only")
            .child(
                el("div")
                    .class("pair")
                    .child(select_field("One rule", one, choices.to_vec()))
                    .child(select_field("The other", other, choices.to_vec())),
            )
            .child(el("p").class("help").child(
                "Every material by the one rule or by the other; amounts and delivery stay as they are. Nothing is changed by looking.",
            ))
    };
    pieces![
        acts().child(act(words, move || comparing.update(|on| *on = !*on))),
        when(
            move || comparing.get(),
            move || pieces![chosen(), long_table("By two rules", table)]
        )
    ]
}

fn rule(key: &str) -> ShareRule {
    let rule = ShareRule::ALL.iter().find(|rule| rule.key() == key);
    rule.copied().unwrap_or_default()
}

/// Shares, open or frozen: the block, what is bought, the table, the working of the whole, what stands between, the
/// accounts' workings.
pub(super) fn shared(answer: Answer, looker: Looker, between: impl Into<Piece>) -> Piece {
    let block = derived(move || {
        answer.with(|answer| answer.as_ref().map(share_rows::block).unwrap_or_default())
    });
    let table = memo(move || {
        let me = looker.me();
        let table = answer.with(|answer| Some(share_rows::table(answer.as_ref()?, me)));
        table.unwrap_or_default()
    });
    let whole = memo(move || {
        answer.with(|answer| {
            answer
                .as_ref()
                .map(|answer| WorkingText::from(&answer.answer))
        })
    });
    pieces![
        title_block(block),
        to_buy(answer),
        long_table("Shared out", table),
        el("p").class("note").child(
            "Everybody gets the whole part of their share; what is left goes one by one to the largest remainders. On a tie the larger share comes first, then whoever joined the garden earlier, the garden last."
        ),
        own_working(answer, looker),
        move || whole
            .get()
            .map(|text| working("Working for the whole", text)),
        between.into(),
        another_working(answer, table)
    ]
}

// The packs to buy, or that were bought.
fn to_buy(answer: Answer) -> Piece {
    let rows =
        memo(move || answer.with(|answer| answer.as_ref().map(buy_rows::rows).unwrap_or_default()));
    let closed = memo(move || {
        answer.with(|answer| {
            answer
                .as_ref()
                .is_some_and(|answer| answer.closed_on.is_some())
        })
    });
    let listed = move || {
        let rows = rows.get().into_iter();
        rows.map(|row| {
            line(format!("{}: {}", row.material, row.packs))
                .bed("buy")
                .small(row.small)
                .child(row.costs)
        })
        .collect::<Piece>()
    };
    let words = derived(move || if closed.get() { "Bought" } else { "To buy" }.to_owned());
    pieces![heading(words), lines().child(listed)]
}

/// A table with a row an account; a long one shows its first rows until somebody asks for all. On paper all stand.
pub(super) fn long_table(caption: &'static str, table: Memo<ShareTable>) -> Piece {
    let all = signal_of(false);
    let is_long = memo(move || table.with(|table| table.rows.len() > MOST_ROWS));
    let shown = memo(move || {
        if all.get() || !is_long.get() {
            table.get()
        } else {
            table.with(|table| share_rows::shortened(table, MOST_ROWS))
        }
    });
    let words = derived(move || {
        if all.get() {
            "Show fewer".to_owned()
        } else {
            format!("Show all {}", table.with(|table| table.rows.len()))
        }
    });
    pieces![
        // A name, an area, one material, its bags and what is paid fit a phone beside each other.
        account_table(caption, shown, 5),
        when(
            move || is_long.get(),
            move || acts().child(act(words, move || all.update(|all| *all = !*all)))
        )
    ]
}

fn own_working(answer: Answer, looker: Looker) -> Piece {
    let own = memo(move || {
        let payer = Payer::Member(looker.me()?);
        answer.with(|answer| Some(WorkingText::from(&answer.as_ref()?.working(payer)?)))
    });
    (move || {
        own.get()
            .map(|text| working("Working for you", text).open(true))
    })
    .into()
}

// The working of whoever is chosen; it is only worked out then.
fn another_working(answer: Answer, table: Memo<ShareTable>) -> Piece {
    let chosen = signal_of(String::new());
    let accounts = derived(move || {
        let table = table.read();
        let mut choices = vec![Choice::new("", "Choose")];
        answer.with(|answer| {
            for row in &table.rows {
                let name = answer
                    .as_ref()
                    .map(|standing| standing.name(row.payer).to_owned());
                choices.push(Choice::new(row.payer.to_string(), name.unwrap_or_default()));
            }
        });
        choices
    });
    let text = memo(move || {
        let payer: Payer = chosen.get().parse().ok()?;
        answer.with(|answer| {
            let standing = answer.as_ref()?;
            let text = WorkingText::from(&standing.working(payer)?);
            Some((format!("Working for {}", standing.name(payer)), text))
        })
    });
    el("div")
        .class("screen-only")
        .child(el("div").class("form").child(select_field(
            "How another's part comes about",
            chosen,
            accounts,
        )))
        .child(move || {
            text.get()
                .map(|(title, text)| working(title, text).open(true))
        })
        .into()
}
