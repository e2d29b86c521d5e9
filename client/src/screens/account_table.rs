//! A table with a row for each account, and the working of each below it.

use leptos::prelude::*;
use selion_core::document::records::Payer;
use selion_core::reckoning::Step;

use crate::parts::{FigureRow, Figures, Working, WorkingText};
use crate::plain::share_rows::{ShareRow, ShareTable};

/// The table; one's own row is marked.
#[component]
pub fn AccountTable(
    /// What it tells, above it.
    #[prop(into)]
    caption: Signal<String>,
    /// Its rows.
    #[prop(into)]
    table: Signal<ShareTable>,
) -> impl IntoView {
    let heads = Signal::derive(move || table.with(|table| table.heads.clone()));
    let rows = Signal::derive(move || {
        let row = |row: &ShareRow| FigureRow {
            cells: row.cells.clone(),
            mine: row.mine,
        };
        table.with(|table| table.rows.iter().map(row).collect::<Vec<_>>())
    });
    let whole = Signal::derive(move || {
        vec![FigureRow {
            cells: table.with(|table| table.whole.clone()),
            mine: false,
        }]
    });
    view! { <Figures caption=caption heads=heads rows=rows whole=whole /> }
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
#[component]
pub fn AccountWorkings(
    /// The workings.
    #[prop(into)]
    workings: Signal<Vec<AccountWorking>>,
) -> impl IntoView {
    let own = move || workings.get().into_iter().filter(|working| working.mine);
    let others = move || workings.get().into_iter().filter(|working| !working.mine);
    let panel = |working: AccountWorking, open: bool| {
        let title = match (working.mine, working.payer) {
            (true, _) => "Working for you".to_owned(),
            (false, Payer::Garden) => "Working for the garden".to_owned(),
            (false, Payer::Member(_) | Payer::Supplier) => format!("Working for {}", working.name),
        };
        view! { <Working title=title of=working.text open=open /> }
    };
    view! {
        {move || own().map(|working| panel(working, true)).collect_view()}
        <Show when=move || { others().next().is_some() }>
            <details class="more screen-only">
                <summary>"How the others' parts come about"</summary>
                {move || others().map(|working| panel(working, false)).collect_view()}
            </details>
        </Show>
    }
}
