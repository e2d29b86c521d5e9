//! The shares of a load as they would be if it were closed now, with the working of the whole and of each account.

use leptos::prelude::*;
use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::records::{Order, Payer};
use selion_core::document::shared_out;
use selion_core::reckoning::{Reckoning, Refusal};
use selion_core::shares::load::LoadShares;

use crate::parts::{Act, Acts, Note, NoteKind, TitleBlock, Working, WorkingText};
use crate::plain::share_rows::{self, ShareTable};
use crate::screens::account_table::{AccountTable, AccountWorking, AccountWorkings};
use crate::screens::looker::Looker;
use crate::state::{Book, use_book};

/// The shares with their working, or why there are none.
pub(super) type Shares = Result<Reckoning<LoadShares<BedId, MemberId>>, Refusal>;

/// The shares of an order over the beds as they are now.
pub(super) fn shares_of(book: Book, order: Signal<Option<Order>>) -> Memo<Option<Shares>> {
    Memo::new(move |_| {
        let garden = book.garden.read();
        order.with(|order| {
            order
                .as_ref()
                .map(|order| shared_out::order(&garden, order))
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
            <Tables answer=answer looker=looker />
        </Show>
    }
}

type Answer = Memo<Option<Reckoning<LoadShares<BedId, MemberId>>>>;

#[component]
fn Tables(answer: Answer, looker: Looker) -> impl IntoView {
    let book = use_book();
    let result = move |read: &dyn Fn(&LoadShares<BedId, MemberId>) -> ShareTable| {
        answer.with(|answer| {
            answer
                .as_ref()
                .map(|answer| read(&answer.result))
                .unwrap_or_default()
        })
    };
    let block = Signal::derive(move || {
        answer.with(|answer| {
            answer
                .as_ref()
                .map(|answer| share_rows::block(&answer.result))
                .unwrap_or_default()
        })
    });
    let by_area = Signal::derive(move || {
        let (garden, me) = (book.garden.read(), looker.me());
        result(&|shares| share_rows::open(&garden, shares, me))
    });
    let even = Signal::derive(move || {
        let (garden, me) = (book.garden.read(), looker.me());
        result(&|shares| share_rows::equal(&garden, shares, me))
    });
    let whole = Memo::new(move |_| answer.with(|answer| answer.as_ref().map(WorkingText::from)));
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
        <TitleBlock entries=block />
        <AccountTable caption="Shared by bed area" table=by_area />
        {move || whole.get().map(|text| view! { <Working title="Working for the whole" of=text /> })}
        <Acts><Act words=words on_press=move |()| comparing.update(|on| *on = !*on) /></Acts>
        <Show when=move || comparing.get()>
            <AccountTable caption="If every account paid the same" table=even />
        </Show>
        <AccountWorkings workings=account_workings(book, looker, answer) />
    }
}

fn account_workings(book: Book, looker: Looker, answer: Answer) -> Signal<Vec<AccountWorking>> {
    Signal::derive(move || {
        let garden = book.garden.read();
        answer.with(|answer| {
            let Some(answer) = answer else {
                return Vec::new();
            };
            let one = |share: &selion_core::shares::load::AccountShare<MemberId>| {
                let payer = Payer::from(share.account);
                AccountWorking {
                    payer,
                    name: shared_out::payer_name(&garden, payer),
                    mine: looker.me().is_some_and(|me| payer == Payer::Member(me)),
                    text: AccountWorking::text(share.steps.clone(), answer.source.to_string()),
                }
            };
            answer.result.accounts.iter().map(one).collect()
        })
    })
}
