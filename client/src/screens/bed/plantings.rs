//! What is planned in a bed and what grows in it, and its rows drawn to scale.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::season_plan::frost::FrostYear;

use crate::parts::{TagKind, act, act_link, acts, empty, heading, line, lines, tag};
use crate::piece::{Piece, derived, el, memo, pieces, when};
use crate::plain::plantings::address::{Begun, plant_address};
use crate::plain::plantings::drawn;
use crate::plain::plantings::rows::{PlantingRow, Stage, of_bed};
use crate::screens::plant::shown::{no_frost, without_books};
use crate::screens::plant::sketch::bed_sketch;
use crate::screens::plant::{may_not_plan, use_shelf};
use crate::state::use_book;

/// The lines of the open years, and the way to a new one.
pub fn plantings(bed: BedId) -> Piece {
    let book = use_book();
    let shelf = use_shelf();
    let rows = memo(move || {
        let books = shelf.read();
        let Ok(books) = books.as_ref() else {
            return Vec::new();
        };
        of_bed(&book.garden.read(), books, bed, book.today.get())
    });
    let standing = memo(move || {
        let books = shelf.read();
        let Ok(books) = books.as_ref() else {
            return Vec::new();
        };
        drawn::standing(&book.garden.read(), books, Some(bed))
    });
    let no_frost_dates = memo(move || {
        let year = book.today.get().year();
        FrostYear::of(&book.garden.read(), year).is_err()
    });
    let refused = derived(move || may_not_plan(book, bed));
    let words = "Plan a planting";
    pieces![
        heading("Plantings"),
        without_books(shelf),
        when(
            move || !standing.read().is_empty(),
            move || bed_sketch(bed, standing, false)
        ),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows.get().into_iter().map(one_line).collect::<Piece>())
        )
        .otherwise(|| empty("Nothing is planned for this bed").child(el("p").child(
            "A planting says what stands here from sowing to clearing; its days, plants and seed follow from it."
        ))),
        when(
            move || no_frost_dates.get() && !rows.read().is_empty(),
            no_frost
        ),
        acts().child(
            when(
                move || refused.read().is_none(),
                move || act_link(plant_address(bed, &Begun::default()), words)
            )
            .otherwise(move || act(words, || ()).refused(refused))
        )
    ]
}

fn one_line(row: PlantingRow) -> Piece {
    let kind = match row.stage {
        Stage::Planned => TagKind::Wait,
        Stage::Sown | Stage::Set | Stage::Cleared => TagKind::Plain,
        Stage::Picking => TagKind::Done,
    };
    let book = use_book();
    let waits = {
        let id = row.planting;
        move || book.waits(&id).then(|| tag("waiting", TagKind::Wait))
    };
    line(row.what)
        .bed(row.begins)
        .small(row.days)
        .done(row.stage == Stage::Cleared)
        .href(format!("/planting/{}", row.planting))
        .child(tag(row.stage.word(), kind))
        .child(row.cover.then(|| el("small").child("cover crop")))
        .child(waits)
        .into()
}
