//! The weather of the garden: written off the gauges, drawn, and what follows from it.

pub mod answers;
pub mod file;
pub mod plot;
pub mod write;

use leptos::prelude::*;
use selion_core::document::ids::WeatherId;
use selion_core::document::proposals::Kind;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::policy::Action;

use self::answers::answers;
use self::file::file_sheet;
use self::plot::last_weeks;
use self::write::write_sheet;
use crate::parts::{
    ActKind, Toasts, act, act_link, acts, empty, heading, line, lines, note, page_head, use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::proposal_rows;
use crate::plain::weather_rows::{self, ReadingLine};
use crate::plain::wording::counted;
use crate::state::{Book, use_book};

/// The screen at `/weather`.
pub fn weather_screen() -> Piece {
    let book = use_book();
    let (writing, bringing) = (signal_of(false), signal_of(false));
    let label = derived(move || format!("Ground · {}", book.garden_name()));
    let refused = derived(move || book.why_not(Action::NoteWeather, false));
    pieces![
        page_head(label, "Weather").back("/ground", "Ground"),
        acts()
            .child(
                act("Write down a day", move || writing.set(true))
                    .kind(ActKind::Main)
                    .refused(refused)
            )
            .child(when(
                move || refused.read().is_none(),
                move || act("Bring in a station\u{2019}s file", move || bringing
                    .set(true))
            )),
        hoe_after_rain(),
        last_weeks(),
        answers(),
        written(),
        write_sheet(writing),
        file_sheet(bringing)
    ]
}

// What rain asks for stands among the proposals.
fn hoe_after_rain() -> Piece {
    let book = use_book();
    let beds = memo(move || {
        let groups = proposal_rows::groups(&book.garden.read(), book.today.get());
        let groups = groups.unwrap_or_default();
        let hoeing = groups.iter().find(|group| group.kind == Kind::Hoe);
        hoeing.map_or(0, |group| group.proposals.len())
    });
    when(
        move || beds.get() > 0,
        move || {
            pieces![
                note().child(move || format!(
                    "It rained, and weeds come up: {} could be hoed once the surface is dry.",
                    counted(beds.get(), "bed", "beds")
                )),
                acts().child(act_link("/proposals", "Hoe after the rain"))
            ]
        },
    )
    .into()
}

// What was written down, the latest first, each to be struck out as a mistake.
fn written() -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let rows =
        memo(move || weather_rows::readings(&book.garden.read(), book.me.get(), book.units()));
    let one = move |row: ReadingLine| reading_line(book, toasts, row);
    pieces![
        heading("Written down"),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows.get().into_iter().map(one).collect::<Piece>())
        )
        .otherwise(|| empty("No weather is written down yet").child(el("p").child(
            "Read the rain gauge and the thermometer once a day, best at the same hour, or bring in the file of a station near by."
        )))
    ]
}

fn reading_line(book: Book, toasts: Toasts, row: ReadingLine) -> Piece {
    let ReadingLine {
        id,
        document,
        margin,
        what,
        small,
        mine,
        reading,
    } = row;
    let spoken = format!("Strike out: {margin}, {what}");
    let strike = move || {
        let on = book.today.get_untracked();
        let edit = Edit::StrikeWeather { reading: id, on };
        match book.write(document, edit) {
            Ok(_) => {
                let reading = reading.clone();
                toasts.say_with_undo("Struck out.", move || {
                    // Nothing that was struck out comes back; it is written down anew.
                    let id = book.fresh(WeatherId::fresh);
                    let readings = Map::from([(id, reading.clone())]);
                    say_refused(book, toasts, document, Edit::NoteWeather { readings });
                });
            }
            Err(refused) => toasts.say(refused.message),
        }
    };
    line(what)
        .bed(margin)
        .small(small)
        .mine(mine)
        .child(when(
            move || book.may(Action::StrikeWeather, mine),
            move || {
                let strike = strike.clone();
                act("Strike out", strike)
                    .kind(ActKind::Bare)
                    .spoken(spoken.clone())
            },
        ))
        .into()
}

fn say_refused(book: Book, toasts: Toasts, document: DocumentName, edit: Edit) {
    if let Err(refused) = book.write(document, edit) {
        toasts.say(refused.message);
    }
}
