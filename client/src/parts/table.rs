//! Tables of figures: names at the left, numbers at the right, the whole below the line.

use crate::piece::{El, Given, Piece, Words, el};

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
    #[inline(never)]
    pub fn mine(self) -> Self {
        Self { mine: true, ..self }
    }
}

/// A table.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Figures {
    caption: Words,
    heads: Given<Vec<String>>,
    rows: Given<Vec<FigureRow>>,
    whole: Given<Vec<FigureRow>>,
    stacks: Given<bool>,
}

/// A table: what it tells, above it; the heads of its columns; its rows.
pub fn figures(
    caption: impl Into<Words>,
    heads: impl Into<Given<Vec<String>>>,
    rows: impl Into<Given<Vec<FigureRow>>>,
) -> Figures {
    Figures {
        caption: caption.into(),
        heads: heads.into(),
        rows: rows.into(),
        whole: Given::default(),
        stacks: Given::Fixed(false),
    }
}

impl Figures {
    /// The rows below the line, such as the whole.
    #[inline(never)]
    pub fn whole(self, whole: impl Into<Given<Vec<FigureRow>>>) -> Self {
        Self {
            whole: whole.into(),
            ..self
        }
    }
}

impl Figures {
    /// With so many columns that on a narrow page the cells of a row stand below its name, each under its own head.
    #[inline(never)]
    pub fn stacks(self, stacks: impl Into<Given<bool>>) -> Self {
        Self {
            stacks: stacks.into(),
            ..self
        }
    }
}

impl From<Figures> for Piece {
    fn from(figures: Figures) -> Self {
        let Figures {
            caption,
            heads,
            rows,
            whole,
            stacks,
        } = figures;
        // Rows that are laid out as blocks lose their meaning to a screen reader unless it is said.
        let role = |role: &'static str| {
            let stacks = stacks.clone();
            move || stacks.get().then_some(role)
        };
        let (names, is_stacked) = (heads.clone(), stacks.clone());
        let head = move || {
            let role = is_stacked.get().then_some("columnheader");
            let head = |head: String| el("th").attr("scope", "col").attr("role", role).child(head);
            heads.get().into_iter().map(head).collect::<Self>()
        };
        let all = |rows: Given<Vec<FigureRow>>| {
            let (names, stacks) = (names.clone(), stacks.clone());
            move || {
                let names = stacks.get().then(|| names.get());
                let row = |row| figure_row(row, names.as_deref());
                rows.get().into_iter().map(row).collect::<Self>()
            }
        };
        let group = |tag: &'static str| el(tag).attr("role", role("rowgroup"));
        let heads = el("tr").attr("role", role("row")).child(head);
        let table = el("table")
            .class("figures")
            .class_if("stacks", stacks.clone())
            .attr("role", role("table"))
            .child(el("caption").child(caption))
            .child(group("thead").child(heads))
            .child(group("tbody").child(all(rows)))
            .child(group("tfoot").child(all(whole)));
        // Where it is too wide it scrolls, by key as well.
        el("div")
            .class("table-wrap")
            .attr("tabindex", "0")
            .child(table)
            .into()
    }
}

fn figure_row(row: FigureRow, heads: Option<&[String]>) -> El {
    let mut cells = row.cells.into_iter();
    let you = || el("span").class("visually-hidden").child(" (you)");
    let role = |role: &'static str| heads.map(|_stacked| role);
    let name = el("th")
        .attr("scope", "row")
        .attr("role", role("rowheader"));
    let name = name.child(cells.next()).child(row.mine.then(you));
    let cell = |(place, cell): (usize, String)| {
        let head = heads.and_then(|heads| heads.get(place + 1).cloned());
        el("td")
            .attr("role", role("cell"))
            .attr("data-head", head)
            .child(cell)
    };
    el("tr")
        .class_if("mine", row.mine)
        .attr("role", heads.map(|_stacked| "row"))
        .child(name)
        .child(cells.enumerate().map(cell).collect::<Piece>())
}
