//! What one owes; every account that one may see, each leading to its statement; the year as a treasurer's file.

use leptos::prelude::*;
use selion_core::document::balance;
use selion_core::document::records::Payer;

use crate::parts::{act_link, acts, heading, line, lines};
use crate::piece::{Memo, Piece, el, live, memo, pieces, when};
use crate::plain::settle_rows::{AccountRow, accounts};
use crate::plain::statement::owed_words;
use crate::screens::account::settle::account_href;
use crate::state::use_book;

/// One's own account in a line, with the way to its statement.
pub fn my_balance() -> Piece {
    let book = use_book();
    let account = memo(move || {
        let payer = Payer::Member(book.me.get()?);
        let currency = book.currency()?;
        let owed = balance::of(&book.garden.read(), payer).owed;
        Some(owed_words(owed, currency, true))
    });
    pieces![
        live(move || {
            account.get().map(|(words, figure)| {
                el("p")
                    .class("balance")
                    .child(el("span").class("label").child(words))
                    .child(el("strong").child(figure))
            })
        }),
        acts()
            .child(act_link("/account", "My statement"))
            .child(act_link("/settle", "Settle up"))
    ]
}

/// The accounts that whoever looks may see, each leading to its statement; their sum is nothing, always.
pub fn all_accounts() -> Piece {
    let book = use_book();
    let found = memo(move || {
        let (Some(me), Some(currency)) = (book.me.get(), book.currency()) else {
            return (Vec::new(), None);
        };
        accounts(&book.garden.read(), me, currency)
    });
    when(
        move || !found.read().0.is_empty(),
        move || pieces![heading("Accounts"), account_lines(found)],
    )
    .into()
}

fn account_lines(found: Memo<(Vec<AccountRow>, Option<String>)>) -> Piece {
    let one = |row: AccountRow| {
        Piece::from(
            line(row.name)
                .bed("acct")
                .small(row.small)
                .mine(row.mine)
                .href(account_href(row.payer))
                .child(row.figure)
                .child(el("small").child(row.words)),
        )
    };
    let whole = move || {
        found.get().1.map(|sum| {
            line("All accounts together")
                .bed("sum")
                .small("Whatever one owes, another is owed")
                .child(sum)
        })
    };
    lines()
        .child(move || found.get().0.into_iter().map(one).collect::<Piece>())
        .child(whole)
        .into()
}
