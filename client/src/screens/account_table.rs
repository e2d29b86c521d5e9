//! A table with a row for each account, and the working of each below it.

use leptos::prelude::*;
use selion_core::document::records::Payer;
use selion_core::reckoning::Step;

use crate::parts::{FigureRow, WorkingText, figures, working};
use crate::piece::{Piece, Words, derived, el, pieces, when};
use crate::plain::share_rows::{ShareRow, ShareTable};

/// The table; one's own row is marked. Of more columns than these the cells stand below each other on a narrow page.
pub fn account_table(
    caption: impl Into<Words>,
    table: impl Into<Signal<ShareTable>>,
    most_beside: usize,
) -> Piece {
    let table = table.into();
    let heads = derived(move || table.with(|table| table.heads.clone()));
    let rows = derived(move || {
        let row = |row: &ShareRow| FigureRow {
            cells: row.cells.clone(),
            mine: row.mine,
        };
        table.with(|table| table.rows.iter().map(row).collect::<Vec<_>>())
    });
    let whole = derived(move || {
        vec![FigureRow {
            cells: table.with(|table| table.whole.clone()),
            mine: false,
        }]
    });
    let is_wide = derived(move || table.with(|table| table.heads.len() > most_beside));
    figures(caption, heads, rows)
        .whole(whole)
        .stacks(is_wide)
        .into()
}

/// One account's working, ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountWorking {
    /// Whose.
    pub payer: Payer,
    /// Its name.
    pub name: String,
    /// Belongs to whoever looks.
    pub mine: bool,
    /// The working.
    pub text: WorkingText,
}

impl AccountWorking {
    /// The text of a working that has lines only; its rule stands with the whole.
    pub fn text(steps: Vec<Step>, source: impl Into<String>) -> WorkingText {
        WorkingText {
            steps,
            basis: Vec::new(),
            rounding: None,
            source: source.into(),
            is_estimate: false,
            cautions: Vec::new(),
        }
    }
}

/// The workings of all accounts, one's own first and open. On paper only one's own is kept.
pub fn each_working(workings: Signal<Vec<AccountWorking>>) -> Piece {
    let own = move || workings.get().into_iter().filter(|account| account.mine);
    let others = move || workings.get().into_iter().filter(|account| !account.mine);
    let panel = |account: AccountWorking, open: bool| {
        let title = match (account.mine, account.payer) {
            (true, _) => "Working for you".to_owned(),
            (false, Payer::Garden) => "Working for the garden".to_owned(),
            (false, Payer::Member(_) | Payer::Supplier) => format!("Working for {}", account.name),
        };
        working(title, account.text).open(open)
    };
    pieces![
        move || own().map(|account| panel(account, true)).collect::<Piece>(),
        when(
            move || { others().next().is_some() },
            move || el("details")
                .class("more screen-only")
                .child(el("summary").child("How the others' parts come about"))
                .child(move || others()
                    .map(|account| panel(account, false))
                    .collect::<Piece>())
        )
    ]
}
