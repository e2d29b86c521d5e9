//! Shares: what one owes and why, the open and closed loads, the shared jobs.

pub mod balances;
pub mod desk;

use leptos::prelude::*;
use selion_core::policy::Action;

use self::balances::{all_accounts, my_balance};
use self::desk::{desk, export};
use crate::parts::{
    TagKind, act, act_link, acts, empty, heading, line, lines, note, page_head, tag,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, when};
use crate::plain::share_lists::{self, JobRow, LoadRow, LoadState};
use crate::state::use_book;

/// The screen at `/shares`.
pub fn shares_screen() -> Piece {
    let book = use_book();
    let label = derived(move || format!("{} · {}", book.garden_name(), book.today.get().year()));
    let sees_ledger = memo(move || book.may(Action::SeeLedger, false));
    pieces![
        page_head(label, "Shares"),
        when(
            move || sees_ledger.get(),
            move || pieces![
                my_balance(),
                when(move || book.may(Action::KeepLedger, false), desk),
                loads()
            ]
        )
        .otherwise(no_ledger),
        jobs(),
        when(move || sees_ledger.get(), all_accounts),
        when(move || book.may(Action::KeepLedger, false), export)
    ]
}

fn no_ledger() -> Piece {
    note()
        .lead("Hours only.")
        .child(
            "Loads are paid by those who hold a bed. As a helper you owe \
             nothing, so orders and payments are not sent to this phone. The \
             shared jobs are everybody's.",
        )
        .into()
}

fn loads() -> Piece {
    let book = use_book();
    let rows = memo(move || {
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
    let refused = derived(move || book.why_not(Action::KeepOrders, false));
    pieces![
        heading("Open loads"),
        when(
            move || !open().is_empty(),
            move || lines().child(move || open().into_iter().map(load_line).collect::<Piece>())
        )
        .otherwise(|| empty("No load is being ordered").child(el("p").child(
            "Lime, compost or manure bought together stands here, shared by bed \
             area before anybody pays."
        ))),
        acts().child(new_link("/order/new", "New load", refused)),
        when(
            move || !closed().is_empty(),
            move || pieces![
                heading("Closed loads"),
                lines().child(move || closed().into_iter().map(load_line).collect::<Piece>())
            ]
        ),
        when(
            move || !called_off().is_empty(),
            move || pieces![
                heading("Called off"),
                lines().child(move || called_off().into_iter().map(load_line).collect::<Piece>())
            ]
        )
    ]
}

fn in_state(rows: Memo<Vec<LoadRow>>, state: LoadState) -> Vec<LoadRow> {
    let of_state = |row: &&LoadRow| row.state == state;
    rows.read().iter().filter(of_state).cloned().collect()
}

fn load_line(row: LoadRow) -> Piece {
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
    line(material)
        .bed("load")
        .small(small)
        .mine(mine)
        .done(done)
        .href(format!("/order/{order}"))
        .child(pays)
        .child(el("small").child(of))
        .into()
}

fn jobs() -> Piece {
    let book = use_book();
    let rows =
        memo(move || share_lists::jobs(&book.garden.read(), book.me.get(), book.today.get()));
    let refused = derived(move || book.why_not(Action::KeepJobs, false));
    pieces![
        heading("Shared jobs"),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows.get().into_iter().map(job_line).collect::<Piece>())
        )
        .otherwise(|| empty("No shared job is put up").child(el("p").child(
            "A job for everybody, such as the fence, is shared as the garden has \
             agreed, in quarter hours."
        ))),
        acts().child(new_link("/job/new", "New shared job", refused))
    ]
}

fn job_line(row: JobRow) -> Piece {
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
        Piece::from(tag("done", TagKind::Done))
    } else {
        pieces![done, el("small").child(due)]
    };
    line(title)
        .bed("job")
        .small(small)
        .mine(mine && !over)
        .done(over)
        .href(format!("/job/{job}"))
        .child(figure)
        .into()
}

// A link for those who may, a grey button with the reason for the others.
fn new_link(href: &'static str, words: &'static str, refused: Signal<Option<String>>) -> Piece {
    when(
        move || refused.read().is_none(),
        move || act_link(href, words),
    )
    .otherwise(move || act(words, || ()).refused(refused))
    .into()
}
