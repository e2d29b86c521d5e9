//! Tables of figures: names at the left, numbers at the right, the whole below the line.

use leptos::prelude::*;

/// One row of a table; its first cell names it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FigureRow {
    /// The cells, as many as there are heads.
    pub cells: Vec<String>,
    /// Belongs to whoever is looking.
    pub mine: bool,
}

impl FigureRow {
    /// A row of these cells.
    pub fn new<const N: usize>(cells: [&str; N]) -> Self {
        Self {
            cells: cells.map(ToOwned::to_owned).to_vec(),
            mine: false,
        }
    }

    /// The same row, belonging to whoever is looking.
    #[must_use]
    pub fn mine(self) -> Self {
        Self { mine: true, ..self }
    }
}

/// A table.
#[component]
pub fn Figures(
    /// What it tells, above it.
    #[prop(into)]
    caption: Signal<String>,
    /// The heads of the columns.
    #[prop(into)]
    heads: Signal<Vec<String>>,
    /// The rows.
    #[prop(into)]
    rows: Signal<Vec<FigureRow>>,
    /// The rows below the line, such as the whole.
    #[prop(into, optional)]
    whole: Signal<Vec<FigureRow>>,
) -> impl IntoView {
    let head = move || {
        heads
            .get()
            .into_iter()
            .map(|head| view! { <th scope="col">{head}</th> })
            .collect_view()
    };
    let body = move || rows.get().into_iter().map(row).collect_view();
    let foot = move || whole.get().into_iter().map(row).collect_view();
    view! {
        <div class="table-wrap">
            <table class="figures">
                <caption>{move || caption.get()}</caption>
                <thead><tr>{head}</tr></thead>
                <tbody>{body}</tbody>
                <tfoot>{foot}</tfoot>
            </table>
        </div>
    }
}

fn row(row: FigureRow) -> impl IntoView {
    let mut cells = row.cells.into_iter();
    let name = cells.next();
    view! {
        <tr class:mine=row.mine>
            <th scope="row">{name}{row.mine.then(|| view! { <span class="visually-hidden">" (you)"</span> })}</th>
            {cells.map(|cell| view! { <td>{cell}</td> }).collect_view()}
        </tr>
    }
}
