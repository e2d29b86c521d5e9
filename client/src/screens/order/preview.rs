//! The shares of a load as they would be if it were closed now, with the working of the whole and of each account.

use leptos::prelude::*;
use selion_core::document::records::{Order, Payer};
use selion_core::document::shared_out::{self, Standing};
use selion_core::reckoning::Refusal;
use selion_core::shares::order::ShareRule;

use crate::parts::{NoteKind, WorkingText, act, acts, note, title_block, working};
use crate::piece::{Memo, Piece, derived, memo, pieces, signal_of, when};
use crate::plain::share_rows;
use crate::screens::account_table::{AccountWorking, account_table, each_working};
use crate::screens::looker::Looker;
use crate::state::{Book, use_book};

/// The shares with their working, or why there are none.
pub(super) type Shares = Result<Standing, Refusal>;

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
            move || tables(order, answer, looker)
        )
    ]
}

pub(super) type Answer = Memo<Option<Standing>>;

fn tables(order: Signal<Option<Order>>, answer: Answer, looker: Looker) -> Piece {
    let book = use_book();
    let even = derived(move || {
        let (garden, me) = (book.garden.read(), looker.me());
        let rules = (ShareRule::Need, ShareRule::Equal);
        let compared =
            order.with(|order| shared_out::compare(&garden, order.as_ref()?, rules).ok());
        compared
            .zip(book.currency())
            .map(|(compared, currency)| share_rows::equal(&garden, &compared, currency, me))
            .unwrap_or_default()
    });
    let comparing = signal_of(false);
    let words = derived(move || {
        let words = if comparing.get() {
            "Leave the comparison"
        } else {
            "Compare with an equal split"
        };
        words.to_owned()
    });
    let comparison = pieces![
        acts().child(act(words, move || comparing.update(|on| *on = !*on))),
        when(
            move || comparing.get(),
            move || account_table("If every account paid the same", even)
        )
    ];
    shared(answer, looker, comparison)
}

/// Shares, open or frozen: the block, the table, the working of the whole, what stands between, the others' workings.
pub(super) fn shared(answer: Answer, looker: Looker, between: impl Into<Piece>) -> Piece {
    let block = derived(move || {
        answer.with(|answer| answer.as_ref().map(share_rows::block).unwrap_or_default())
    });
    let table = derived(move || {
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
    let workings = derived(move || {
        let me = looker.me();
        let rows = table.read();
        let rows = rows.rows.iter().map(|row| row.payer);
        answer.with(|answer| {
            let Some(standing) = answer else {
                return Vec::new();
            };
            let one = |payer: Payer| {
                Some(AccountWorking {
                    payer,
                    name: standing.name(payer).to_owned(),
                    mine: me.is_some_and(|me| payer == Payer::Member(me)),
                    text: WorkingText::from(&standing.working(payer)?),
                })
            };
            rows.filter_map(one).collect::<Vec<_>>()
        })
    });
    pieces![
        title_block(block),
        account_table("Shared out", table),
        move || whole
            .get()
            .map(|text| working("Working for the whole", text)),
        between.into(),
        each_working(workings)
    ]
}
