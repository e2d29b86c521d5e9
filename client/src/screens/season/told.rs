//! The year in words, bed by bed: the list that says the same as the drawing.

use selion_core::document::ids::BedId;

use super::Shown;
use super::free::Free;
use crate::parts::{TagKind, heading, line, lines, tag};
use crate::piece::{Memo, Piece, el, live, pieces};
use crate::plain::year_rows::Band;
use crate::plain::year_rows::told::{About, ToldLine, lines as told_lines};

/// The list.
pub fn in_words(shown: Memo<Option<Shown>>, free: Free) -> Piece {
    live(move || {
        shown.with(|shown| {
            let shown = shown.as_ref()?;
            let beds = shown.bands.iter().map(|band| one_bed(band, shown, free));
            Some(beds.collect::<Piece>())
        })
    })
}

fn one_bed(band: &Band, shown: &Shown, free: Free) -> Piece {
    let (told, looks_back) = (told_lines(band, shown.year), shown.looks_back);
    let nothing = told.is_empty().then(|| {
        let words = el("p")
            .class("help")
            .child("Nothing stands in it this year.");
        Piece::from(words)
    });
    let told = told
        .into_iter()
        .map(|told| one_line(band.bed, told, looks_back, free));
    pieces![
        heading(format!("{} · {}", band.label, band.holders)),
        nothing,
        lines().child(told.collect::<Piece>())
    ]
}

fn one_line(bed: BedId, told: ToldLine, looks_back: bool, free: Free) -> Piece {
    let ToldLine {
        what,
        small,
        state,
        about,
    } = told;
    let line = line(what).small(small);
    let kind = match state {
        "in the ground" => TagKind::Mine,
        "cleared" | "ended" => TagKind::Done,
        "days unknown" => TagKind::Wait,
        _ => TagKind::Plain,
    };
    let line = line.child(tag(state, kind));
    match about {
        // What a link leads to is of today.
        About::Planting(_) if looks_back => line.into(),
        About::Planting(planting) => line.href(format!("/planting/{planting}")).into(),
        About::Free(gap) => line.on_press(move || free.open(bed, gap)).into(),
    }
}
