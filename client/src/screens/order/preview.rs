//! The shares of a load as they would be if it were closed now, with the working of the whole and of each account.

use leptos::prelude::*;
use selion_core::document::records::{Order, Payer};
use selion_core::document::shared_out::{self, Standing};
use selion_core::reckoning::Refusal;
use selion_core::shares::order::ShareRule;

use crate::parts::{Act, Acts, Note, NoteKind, TitleBlock, Working, WorkingText};
use crate::plain::share_rows;
use crate::screens::account_table::{AccountTable, AccountWorking, AccountWorkings};
use crate::screens::looker::Looker;
use crate::state::{Book, use_book};

/// The shares with their working, or why there are none.
pub(super) type Shares = Result<Standing, Refusal>;

/// The shares of an order: over the garden as it is now, or as they were frozen.
pub(super) fn shares_of(book: Book, order: Signal<Option<Order>>) -> Memo<Option<Shares>> {
    Memo::new(move |_| {
        let garden = book.garden.read();
        order.with(|order| {
            order
                .as_ref()
                .map(|order| shared_out::standing(&garden, order))
        })
    })
}

/// The tables and workings.
#[component]
pub fn Preview(
    /// The order.
    #[prop(into)]
    order: Signal<Option<Order>>,
    /// Who looks.
    looker: Looker,
) -> impl IntoView {
    let book = use_book();
    let shares = shares_of(book, order);
    let refused = Memo::new(move |_| {
        shares.with(|shares| match shares {
            Some(Err(refusal)) => Some(refusal.to_string()),
            Some(Ok(_)) | None => None,
        })
    });
    let answer = Memo::new(move |_| shares.with(|shares| shares.clone()?.ok()));
    view! {
        {move || refused.get().map(|words| view! {
            <Note kind=NoteKind::Stop lead="It cannot be shared out like this.">{words}</Note>
        })}
        <Show when=move || answer.read().is_some()>
            <Tables order=order answer=answer looker=looker />
        </Show>
    }
}

pub(super) type Answer = Memo<Option<Standing>>;

#[component]
fn Tables(order: Signal<Option<Order>>, answer: Answer, looker: Looker) -> impl IntoView {
    let book = use_book();
    let even = Signal::derive(move || {
        let (garden, me) = (book.garden.read(), looker.me());
        let rules = (ShareRule::Need, ShareRule::Equal);
        let compared =
            order.with(|order| shared_out::compare(&garden, order.as_ref()?, rules).ok());
        compared
            .zip(book.currency())
            .map(|(compared, currency)| share_rows::equal(&garden, &compared, currency, me))
            .unwrap_or_default()
    });
    let comparing = RwSignal::new(false);
    let words = Signal::derive(move || {
        let words = if comparing.get() {
            "Leave the comparison"
        } else {
            "Compare with an equal split"
        };
        words.to_owned()
    });
    view! {
        <Shared answer=answer looker=looker>
            <Acts><Act words=words on_press=move |()| comparing.update(|on| *on = !*on) /></Acts>
            <Show when=move || comparing.get()>
                <AccountTable caption="If every account paid the same" table=even />
            </Show>
        </Shared>
    }
}

/// Shares, open or frozen: the block, the table, the working of the whole, what stands between, the others' workings.
#[component]
pub(super) fn Shared(
    /// The shares.
    answer: Answer,
    /// Who looks.
    looker: Looker,
    /// What stands below the working of the whole.
    children: Children,
) -> impl IntoView {
    let block = Signal::derive(move || {
        answer.with(|answer| answer.as_ref().map(share_rows::block).unwrap_or_default())
    });
    let table = Signal::derive(move || {
        let me = looker.me();
        let table = answer.with(|answer| Some(share_rows::table(answer.as_ref()?, me)));
        table.unwrap_or_default()
    });
    let whole = Memo::new(move |_| {
        answer.with(|answer| {
            answer
                .as_ref()
                .map(|answer| WorkingText::from(&answer.answer))
        })
    });
    let workings = Signal::derive(move || {
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
    view! {
        <TitleBlock entries=block />
        <AccountTable caption="Shared out" table=table />
        {move || whole.get().map(|text| view! { <Working title="Working for the whole" of=text /> })}
        {children()}
        <AccountWorkings workings=workings />
    }
}
