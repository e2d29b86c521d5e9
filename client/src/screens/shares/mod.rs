//! Shares: what one owes and why, the open and closed loads, the shared jobs.

pub mod balances;

use leptos::prelude::*;
use selion_core::policy::Action;

use self::balances::{AllBalances, MyBalance};
use crate::parts::{Act, ActLink, Acts, Empty, Heading, Line, Lines, Note, PageHead, Tag, TagKind};
use crate::plain::share_lists::{self, JobRow, LoadRow, LoadState};
use crate::state::use_book;

/// The screen at `/shares`.
#[component]
pub fn SharesScreen() -> impl IntoView {
    let book = use_book();
    let label =
        Signal::derive(move || format!("{} · {}", book.garden_name(), book.today.get().year()));
    let sees_ledger = Memo::new(move |_| book.may(Action::SeeLedger, false));
    view! {
        <PageHead label=label title="Shares" />
        <Show when=move || sees_ledger.get() fallback=NoLedger>
            <MyBalance />
            <Loads />
        </Show>
        <Jobs />
        <Show when=move || book.may(Action::KeepLedger, false)>
            <AllBalances />
        </Show>
    }
}

#[component]
fn NoLedger() -> impl IntoView {
    view! {
        <Note lead="Hours only.">
            "Loads are paid by those who hold a bed. As a helper you owe nothing, so orders and payments are not sent to this phone. The shared jobs are everybody's."
        </Note>
    }
}

#[component]
fn Loads() -> impl IntoView {
    let book = use_book();
    let rows = Memo::new(move |_| {
        let Some(currency) = book.currency() else {
            return Vec::new();
        };
        share_lists::loads(
            &book.garden.read(),
            book.me.get(),
            book.today.get(),
            currency,
        )
    });
    let open = move || in_state(rows, LoadState::Open);
    let closed = move || in_state(rows, LoadState::Closed);
    let called_off = move || in_state(rows, LoadState::CalledOff);
    let refused = Signal::derive(move || book.why_not(Action::KeepOrders, false));
    view! {
        <Heading text="Open loads" />
        <Show
            when=move || !open().is_empty()
            fallback=|| view! {
                <Empty lead="No load is being ordered">
                    <p>"Lime, compost or manure bought together stands here, shared by bed area before anybody pays."</p>
                </Empty>
            }
        >
            <Lines>{move || open().into_iter().map(load_line).collect_view()}</Lines>
        </Show>
        <Acts>
            <NewLink href="/order/new" words="New load" refused=refused />
        </Acts>
        <Show when=move || !closed().is_empty()>
            <Heading text="Closed loads" />
            <Lines>{move || closed().into_iter().map(load_line).collect_view()}</Lines>
        </Show>
        <Show when=move || !called_off().is_empty()>
            <Heading text="Called off" />
            <Lines>{move || called_off().into_iter().map(load_line).collect_view()}</Lines>
        </Show>
    }
}

fn in_state(rows: Memo<Vec<LoadRow>>, state: LoadState) -> Vec<LoadRow> {
    let of_state = |row: &&LoadRow| row.state == state;
    rows.read().iter().filter(of_state).cloned().collect()
}

fn load_line(row: LoadRow) -> impl IntoView {
    let LoadRow {
        order,
        material,
        small,
        pays,
        of,
        mine,
        state,
    } = row;
    let done = state == LoadState::CalledOff;
    let mine = mine && state == LoadState::Open;
    view! {
        <Line bed="load" what=material small=small mine=mine done=done href=format!("/order/{order}")>
            {pays}
            <small>{of}</small>
        </Line>
    }
}

#[component]
fn Jobs() -> impl IntoView {
    let book = use_book();
    let rows =
        Memo::new(move |_| share_lists::jobs(&book.garden.read(), book.me.get(), book.today.get()));
    let refused = Signal::derive(move || book.why_not(Action::KeepJobs, false));
    view! {
        <Heading text="Shared jobs" />
        <Show
            when=move || !rows.read().is_empty()
            fallback=|| view! {
                <Empty lead="No shared job is put up">
                    <p>"A job for everybody, such as the fence, is shared by bed area in quarter hours."</p>
                </Empty>
            }
        >
            <Lines>{move || rows.get().into_iter().map(job_line).collect_view()}</Lines>
        </Show>
        <Acts>
            <NewLink href="/job/new" words="New shared job" refused=refused />
        </Acts>
    }
}

fn job_line(row: JobRow) -> impl IntoView {
    let JobRow {
        job,
        title,
        small,
        done,
        due,
        mine,
        over,
    } = row;
    let figure = if due.is_empty() && over {
        view! { <Tag word="done" kind=TagKind::Done /> }.into_any()
    } else {
        view! { {done}<small>{due}</small> }.into_any()
    };
    view! {
        <Line bed="job" what=title small=small mine=mine && !over done=over href=format!("/job/{job}")>
            {figure}
        </Line>
    }
}

// A link for those who may, a grey button with the reason for the others.
#[component]
fn NewLink(
    href: &'static str,
    words: &'static str,
    refused: Signal<Option<String>>,
) -> impl IntoView {
    view! {
        <Show
            when=move || refused.read().is_none()
            fallback=move || view! { <Act words=words on_press=|()| () refused=refused /> }
        >
            <ActLink href=href words=words />
        </Show>
    }
}
