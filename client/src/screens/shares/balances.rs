//! What one owes, line by line; and for a coordinator, what everybody owes.

use leptos::prelude::*;
use selion_core::document::balance;
use selion_core::document::records::Payer;
use selion_core::document::shared_out::payer_name;
use selion_core::quantities::Money;

use crate::parts::{FigureRow, WorkingText, figures, working};
use crate::piece::{Piece, derived, el, live, memo, pieces, when};
use crate::plain::share_lists::owed_words;
use crate::state::use_book;

/// One's own account.
pub fn my_balance() -> Piece {
    let book = use_book();
    let account = memo(move || {
        let payer = Payer::Member(book.me.get()?);
        let currency = book.currency()?;
        let account = balance::of(&book.garden.read(), payer);
        let (words, figure) = owed_words(account.owed, currency);
        let has_lines = !account.lines.is_empty();
        let working = WorkingText::from(&account.working(currency));
        Some((words, figure, has_lines.then_some(working)))
    });
    live(move || {
        account.get().map(|(words, figure, text)| {
            pieces![
                el("p")
                    .class("balance")
                    .child(el("span").class("label").child(words))
                    .child(el("strong").child(figure)),
                text.map(|text| working("How that comes about", text))
            ]
        })
    })
}

/// Everybody's accounts; the sum of what is still out stands below.
pub fn all_balances() -> Piece {
    let book = use_book();
    let accounts = memo(move || balance::all(&book.garden.read()));
    let money = move |amount: Money| {
        book.currency()
            .map(|currency| amount.show(currency))
            .unwrap_or_default()
    };
    let rows = derived(move || {
        let garden = book.garden.read();
        accounts
            .get()
            .into_iter()
            .map(|(payer, account)| {
                let mine = book.me.get().is_some_and(|me| payer == Payer::Member(me));
                FigureRow {
                    cells: vec![
                        payer_name(&garden, payer),
                        money(account.shares),
                        money(account.paid),
                        money(account.owed),
                    ],
                    mine,
                }
            })
            .collect::<Vec<_>>()
    });
    let whole = derived(move || {
        let sum = |of: fn(&balance::Balance) -> Money| {
            money(accounts.read().iter().map(|(_, account)| of(account)).sum())
        };
        let cells = vec![
            "Whole".to_owned(),
            sum(|account| account.shares),
            sum(|account| account.paid),
            sum(|account| account.owed),
        ];
        vec![FigureRow { cells, mine: false }]
    });
    let heads = ["Member", "shares", "paid", "to pay"]
        .map(ToOwned::to_owned)
        .to_vec();
    when(
        move || !accounts.read().is_empty(),
        move || {
            figures(
                "All accounts: closed loads, and what was paid",
                heads.clone(),
                rows,
            )
            .whole(whole)
        },
    )
    .into()
}
