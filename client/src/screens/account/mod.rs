//! One account: its statement year by year, each line with its working, and writing money down.

pub mod line;
pub mod record;
pub mod settle;
pub mod statement;

use leptos::prelude::*;
use selion_core::document::Garden;
use selion_core::document::ids::MemberId;
use selion_core::document::records::Payer;
use selion_core::policy::may_see_balance;

use self::statement::statement_screen;
use crate::parts::{act_link, empty, note, page_head};
use crate::piece::{Piece, el, live, memo, pieces};
use crate::state::use_book;

/// Whose account the address names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    Known(Payer),
    /// It is there, and the garden has agreed that it is not everybody's to see.
    Hidden,
    NotHere,
    /// Whoever looks has no part in the garden's money.
    NoMoney,
}

/// The screen at `/account`, one's own, and at `/account/:account`.
pub fn account_screen(whose: Option<&str>) -> Piece {
    let book = use_book();
    let is_own = whose.is_none();
    let asked = whose.and_then(|whose| whose.parse::<Payer>().ok());
    let named = memo(move || {
        let me = book.me.get();
        let own = me.filter(|_| is_own).map(Payer::Member);
        match (me, asked.or(own)) {
            (Some(me), Some(payer)) => named(&book.garden.read(), payer, me),
            _ => Named::NotHere,
        }
    });
    live(move || match named.get() {
        Named::Known(payer) => statement_screen(payer),
        Named::NoMoney => no_money(),
        Named::Hidden => away(
            "This account is not yours to see",
            "This garden has agreed that members do not see each other’s accounts. Ask a coordinator.",
        ),
        Named::NotHere => away(
            "No such account is on this phone",
            "The link may be old, or the account has not come yet.",
        ),
    })
}

fn named(garden: &Garden, asked: Payer, me: MemberId) -> Named {
    let is_there = match asked {
        Payer::Member(member) => garden.members.contains_key(&member),
        Payer::Garden | Payer::Supplier => true,
    };
    if !may_see_balance(garden, me, Payer::Garden) {
        Named::NoMoney
    } else if !is_there {
        Named::NotHere
    } else if may_see_balance(garden, me, asked) {
        Named::Known(asked)
    } else {
        Named::Hidden
    }
}

/// What a helper sees in place of money.
pub fn no_money() -> Piece {
    pieces![
        page_head("Shares", "No money here").back("/shares", "Shares"),
        note().lead("Hours only.").child(
            "As a helper you owe nothing, so orders and payments are not sent to this phone."
        )
    ]
}

fn away(lead: &'static str, words: &'static str) -> Piece {
    pieces![
        page_head("Shares", "No statement").back("/shares", "Shares"),
        empty(lead)
            .child(el("p").child(words))
            .child(act_link("/shares", "To the shares"))
    ]
}
