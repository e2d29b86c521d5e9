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

impl From<Figures> for Piece {
    fn from(figures: Figures) -> Self {
        let Figures {
            caption,
            heads,
            rows,
            whole,
        } = figures;
        let head = move || {
            let head = |head: String| el("th").attr("scope", "col").child(head);
            heads.get().into_iter().map(head).collect::<Self>()
        };
        let all = |rows: Given<Vec<FigureRow>>| {
            move || rows.get().into_iter().map(figure_row).collect::<Self>()
        };
        let table = el("table")
            .class("figures")
            .child(el("caption").child(caption))
            .child(el("thead").child(el("tr").child(head)))
            .child(el("tbody").child(all(rows)))
            .child(el("tfoot").child(all(whole)));
        el("div").class("table-wrap").child(table).into()
    }
}

fn figure_row(row: FigureRow) -> El {
    let mut cells = row.cells.into_iter();
    let you = || el("span").class("visually-hidden").child(" (you)");
    let name = el("th").attr("scope", "row").child(cells.next());
    el("tr")
        .class_if("mine", row.mine)
        .child(name.child(row.mine.then(you)))
        .child(cells.map(|cell| el("td").child(cell)).collect::<Piece>())
}
