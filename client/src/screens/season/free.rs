//! What fits where a bed is free: crops and cover crops, each with when to sow it and the way to plan it.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::season_plan::fits::Gap;
use selion_core::document::season_plan::frost::FrostYear;
use selion_core::document::season_plan::year_view::filling;
use selion_core::policy::Action;

use super::{Asked, Tables};
use crate::parts::{empty, heading, line, lines, sheet};
use crate::piece::{Memo, Piece, derived, el, live, pieces, signal_of};
use crate::plain::year_rows::buy::crop_name;
use crate::plain::year_rows::filling::{FitRow, rows};
use crate::plain::year_rows::told::free_days;
use crate::state::Book;

/// Which free days are looked at.
#[derive(Clone, Copy, Debug)]
pub struct Free {
    of: RwSignal<Option<(BedId, Gap)>>,
    up: RwSignal<bool>,
}

impl Free {
    /// None yet.
    pub fn new() -> Self {
        Self {
            of: signal_of(None),
            up: signal_of(false),
        }
    }

    /// Opens the sheet about these days.
    pub fn open(self, bed: BedId, gap: Gap) {
        self.of.set(Some((bed, gap)));
        self.up.set(true);
    }
}

impl Default for Free {
    fn default() -> Self {
        Self::new()
    }
}

/// The sheet that says what fits.
pub fn free_sheet(asked: Asked, tables: Memo<Tables>, free: Free) -> Piece {
    let book = asked.book;
    let title = derived(move || {
        let Some((bed, gap)) = free.of.get() else {
            return String::new();
        };
        let garden = book.garden.read();
        let label = garden.label_of(Some(bed));
        format!("{label} is free {}", free_days(gap, gap.from.year()))
    });
    sheet(free.up, title, move || {
        live(move || {
            let (bed, gap) = free.of.get()?;
            Some(what_fits(asked, tables, (bed, gap)))
        })
    })
}

fn what_fits(asked: Asked, tables: Memo<Tables>, (bed, gap): (BedId, Gap)) -> Piece {
    let book = asked.book;
    let garden = book.garden.get();
    let (Ok(books), Ok(frost)) = (tables.get(), FrostYear::of(&garden, gap.from.year())) else {
        return Piece::Nothing;
    };
    let found = filling(&garden, &books, &frost, bed, gap);
    let (crops, covers) = rows(&found, bed, asked.units());
    let may = may_plan(book, bed);
    if crops.is_empty() && covers.is_empty() {
        return empty("Nothing of the tables fits these days")
            .child(el("p").child(
                "The garden’s own crops are looked at too, where their days to harvest are entered.",
            ))
            .into();
    }
    let group = |title: &'static str, rows: Vec<FitRow>| {
        (!rows.is_empty()).then(|| {
            let shown = rows.into_iter().map(|row| fit_line(row, may));
            pieces![heading(title), lines().child(shown.collect::<Piece>())]
        })
    };
    let help = if may {
        "A touch on one plans it here. The day and everything else can still be changed."
    } else {
        "Whoever holds the bed, and the coordinators, plan what grows in it."
    };
    pieces![
        el("p").class("help").child(help),
        group("A second sowing, picked within these days", crops),
        group("A cover crop", covers)
    ]
}

fn fit_line(row: FitRow, may: bool) -> Piece {
    let shown = line(crop_name(&row.name)).small(row.small);
    if may {
        shown.href(row.href).child("Plan it").into()
    } else {
        shown.into()
    }
}

/// Whether whoever looks may plan in this bed.
fn may_plan(book: Book, bed: BedId) -> bool {
    let garden = book.garden.read();
    let own = garden
        .open_bed(bed)
        .zip(book.me.get())
        .is_some_and(|(bed, me)| bed.is_held_by(me));
    book.may(Action::Plan, own)
}
