//! A closed load: every figure as it was frozen, nothing worked out anew.

use leptos::prelude::*;
use selion_core::document::records::{ClosedOrder, Order, Payer};
use selion_core::document::workings;
use selion_core::quantities::{Currency, Units};
use selion_core::reckoning::Reckoning;

use super::payments::Payments;
use super::{PutIn, Shown};
use crate::parts::{Note, NoteKind, TitleBlock, Working, WorkingText};
use crate::plain::share_rows::{self, ShareTable};
use crate::plain::wording::in_a_sentence;
use crate::screens::account_table::{AccountTable, AccountWorking, AccountWorkings};
use crate::screens::looker::Looker;
use crate::state::{Book, use_book};

/// The closed load.
#[component]
pub fn ClosedLoad(
    /// Which load.
    shown: Shown,
    /// Who looks.
    looker: Looker,
) -> impl IntoView {
    let book = use_book();
    let frozen = move || {
        let on = shown
            .with(|order| order.closed.as_ref().map(|closed| closed.on))
            .flatten()?;
        let day = in_a_sentence(on, book.today.get());
        Some(format!(
            "{day}, with the areas, holders and prices of that day. Nothing below changes any more."
        ))
    };
    let block =
        Signal::derive(move || read(book, shown, share_rows::frozen_block).unwrap_or_default());
    let table = Signal::derive(move || {
        let me = looker.me();
        read(book, shown, |_, closed, units, currency| {
            share_rows::frozen(closed, me, units, currency)
        })
        .unwrap_or_default()
    });
    let whole = Memo::new(move |_| {
        read(book, shown, |order, closed, units, currency| {
            WorkingText::from(&workings::closed_order(order, closed, units, currency))
        })
    });
    view! {
        {move || frozen().map(|words| view! { <Note kind=NoteKind::Done lead="Closed">{words}</Note> })}
        <PutIn shown=shown />
        <TitleBlock entries=block />
        <AccountTable caption="Shared by bed area" table=table />
        {move || whole.get().map(|text| view! { <Working title="Working for the whole" of=text /> })}
        <Payments shown=shown looker=looker />
        <AccountWorkings workings=account_workings(book, shown, table) />
    }
}

/// Reads the order with what was frozen, in the garden's units and currency.
fn read<T>(
    book: Book,
    shown: Shown,
    read: impl FnOnce(&Order, &ClosedOrder, Units, Currency) -> T,
) -> Option<T> {
    let (units, currency) = (book.units(), book.currency()?);
    shown
        .with(|order| {
            order
                .closed
                .as_ref()
                .map(|closed| read(order, closed, units, currency))
        })
        .flatten()
}

// In the order of the table.
fn account_workings(
    book: Book,
    shown: Shown,
    table: Signal<ShareTable>,
) -> Signal<Vec<AccountWorking>> {
    Signal::derive(move || {
        read(book, shown, |order, closed, units, currency| {
            let working = |payer: Payer, mine: bool| {
                let share = closed.shares.get(&payer)?;
                let answer: Reckoning<_> =
                    workings::closed_share(order, closed, payer, share, (units, currency));
                Some(AccountWorking {
                    payer,
                    name: share.name.clone(),
                    mine,
                    text: WorkingText::from(&answer),
                })
            };
            table.with(|table| {
                table
                    .rows
                    .iter()
                    .filter_map(|row| working(row.payer, row.mine))
                    .collect()
            })
        })
        .unwrap_or_default()
    })
}
