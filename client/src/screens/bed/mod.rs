//! A bed's sheet: its area and how that was reached, who holds it, what is on, its part of each load, its note.

pub mod change;
pub mod note;
pub mod on_it;
pub mod plantings;
pub mod soil;

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::records::Bed;
use selion_core::document::workings;

use self::change::changes;
use self::note::bed_note;
use self::on_it::{loads_of_bed, pickings, this_week};
use self::plantings::plantings;
use self::soil::soil_of;
use crate::parts::{
    NoteKind, TagKind, WorkingText, heading, line, lines, not_here, note, page_head, tag,
    title_block, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, when};
use crate::plain::ground_rows;
use crate::plain::wording::{counted, in_a_sentence};
use crate::screens::plant::plant_screen;
use crate::state::use_book;

/// The screen at `/bed/:id`, and the form for a new planting at `/bed/:id/plant`.
pub fn bed_screen(id: &str) -> Piece {
    if let Some(id) = id.strip_suffix("/plant") {
        return plant_screen(id);
    }
    let book = use_book();
    let id = id.parse::<BedId>().ok();
    let bed = memo(move || id.filter(|bed| book.garden.read().beds.contains_key(bed)));
    live(move || match bed.get() {
        Some(bed) => one_bed(bed),
        None => not_here("bed", ("/ground", "Ground")),
    })
}

/// A bed as its screen reads it.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    bed: BedId,
    record: Memo<Option<Arc<Bed>>>,
}

impl Shown {
    fn with<T>(self, read: impl FnOnce(&Bed) -> T) -> Option<T> {
        self.record.with(|bed| bed.as_deref().map(read))
    }

    fn label(self) -> String {
        self.with(|bed| bed.label.clone()).unwrap_or_default()
    }

    /// Whether whoever looks holds a part of it.
    fn is_mine(self) -> bool {
        let me = use_book().me.get();
        me.is_some_and(|me| self.with(|bed| bed.is_held_by(me)).unwrap_or(false))
    }
}

fn one_bed(bed: BedId) -> Piece {
    let book = use_book();
    let record = memo(move || book.garden.read().beds.get(&bed).cloned());
    let shown = Shown { bed, record };
    let mine = memo(move || {
        let me = book.me.get();
        me.is_some_and(|me| shown.with(|bed| bed.is_held_by(me)).unwrap_or(false))
    });
    let label = derived(move || {
        let kind = if mine.get() { "Yours" } else { "Bed" };
        format!("{kind} · {}", book.garden_name())
    });
    let title = derived(move || shown.label());
    pieces![
        page_head(label, title).back("/ground", "Ground"),
        when(
            move || book.waits(&bed),
            move || el("p")
                .child(tag("waiting", TagKind::Wait))
                .child(" Something about this bed is saved on this phone and not sent yet.")
        ),
        given_up(shown),
        facts(shown),
        holders(shown),
        plantings(bed),
        this_week(bed),
        soil_of(bed),
        loads_of_bed(bed),
        pickings(bed),
        bed_note(bed),
        changes(shown)
    ]
}

fn given_up(shown: Shown) -> Piece {
    let book = use_book();
    let words = move || {
        let day = shown.with(|bed| bed.ended_on).flatten()?;
        Some(format!("{}.", in_a_sentence(day, book.today.get())))
    };
    live(move || words().map(|words| note().kind(NoteKind::Mind).lead("Given up").child(words)))
}

fn facts(shown: Shown) -> Piece {
    let book = use_book();
    let entries = derived(move || {
        let units = book.units();
        shown
            .with(|bed| {
                let shape = match bed.outline.sides() {
                    Some((one, other)) => (
                        "Sides",
                        format!(
                            "{} × {}",
                            one.min(other).show(units),
                            one.max(other).show(units)
                        ),
                    ),
                    None => (
                        "Shape",
                        counted(bed.outline.corners().len(), "corner", "corners"),
                    ),
                };
                let area = ("Area", bed.outline.area().show(units));
                [area, shape]
                    .map(|(name, figure)| (name.to_owned(), figure))
                    .to_vec()
            })
            .unwrap_or_default()
    });
    let text =
        memo(move || shown.with(|bed| WorkingText::from(&workings::bed_area(bed, book.units()))));
    let title = derived(move || format!("Working for the area of {}", shown.label()));
    pieces![title_block(entries), move || text
        .get()
        .map(|text| working(title, text))]
}

fn holders(shown: Shown) -> Piece {
    let book = use_book();
    let words = derived(move || {
        let garden = book.garden.read();
        shown
            .with(|bed| ground_rows::holders(&garden, bed, book.me.get()))
            .unwrap_or_default()
    });
    let small = derived(move || {
        let common = shown.with(Bed::is_common).unwrap_or(false);
        if common {
            "Its shares are on the garden's account".to_owned()
        } else {
            String::new()
        }
    });
    let mine = derived(move || shown.is_mine());
    pieces![
        heading("Held by"),
        lines().child(
            line(words)
                .bed(move || shown.label())
                .small(small)
                .mine(mine)
        )
    ]
}
