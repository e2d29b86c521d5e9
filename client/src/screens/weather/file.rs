//! Bringing in a station's file from the public archive: picked on the phone, looked at, then written in batches.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::browser::{picked, timer};
use crate::parts::{ActKind, NoteKind, act, acts, heading, line, lines, note, sheet, use_toasts};
use crate::piece::{Piece, el, pieces, signal_of, when};
use crate::plain::weather_file::{Preview, preview};
use crate::plain::wording::counted;
use crate::state::use_book;

/// How it stands with the file.
#[derive(Clone)]
enum Stands {
    /// None was picked yet.
    Nothing,
    /// It cannot be read, and why.
    Wrong(String),
    /// What it would bring.
    Read(Preview),
    /// So many of so many edits are written.
    Writing(usize, usize),
}

pub(super) fn file_sheet(open: RwSignal<bool>) -> Piece {
    sheet(open, "Bring in a station\u{2019}s file", move || {
        file_form(open)
    })
}

fn file_form(open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let stands = signal_of(Stands::Nothing);
    let picked = move |event: leptos::ev::Event| {
        spawn_local(async move {
            let next = match picked::text_of(&event).await {
                Ok(None) => return,
                Ok(Some(text)) => {
                    let (today, units) = (book.today.get_untracked(), untrack(|| book.units()));
                    match preview(&book.garden.get_untracked(), &text, today, units) {
                        Ok(found) => Stands::Read(found),
                        Err(bad) => Stands::Wrong(bad.to_string()),
                    }
                }
                Err(trouble) => Stands::Wrong(trouble.to_string()),
            };
            stands.try_set(next);
        });
    };
    pieces![
        el("p").child(
            "The daily weather of a station near the garden, as NOAA\u{2019}s archive GHCN-Daily gives it out by station \
             or by year: a CSV file, unpacked if it ends in .gz. It is read on this phone and works without a signal."
        ),
        el("div")
            .class("form")
            .child(
                el("div")
                    .class("field")
                    .child(el("label").attr("for", "weather-file").child("The file"))
                    .child(
                        el("input")
                            .id("weather-file")
                            .attr("type", "file")
                            .attr("accept", ".csv,.txt,text/csv,text/plain")
                            .on_event("change", picked)
                    )
            ),
        move || match stands.get() {
            Stands::Nothing => Piece::Nothing,
            Stands::Wrong(why) => note()
                .kind(NoteKind::Stop)
                .lead("Nothing was brought in.")
                .child(why)
                .into(),
            Stands::Read(found) => what_it_brings(found, stands, open),
            Stands::Writing(done, all) => el("p")
                .attr("role", "status")
                .child(format!("Writing: {done} of {all}."))
                .child(
                    el("progress")
                        .attr("max", all.to_string())
                        .attr("value", done.to_string())
                        .attr("aria-label", "Written")
                )
                .into(),
        }
    ]
}

fn what_it_brings(found: Preview, stands: RwSignal<Stands>, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let Preview {
        edits,
        days,
        words,
        first,
    } = found;
    let has_new = days > 0;
    let bring = move || {
        let edits = edits.clone();
        spawn_local(async move {
            let all = edits.len();
            for (number, (document, edit)) in (1..).zip(edits) {
                if let Err(refused) = book.write(document, edit) {
                    stands.try_set(Stands::Wrong(refused.message));
                    return;
                }
                stands.try_set(Stands::Writing(number, all));
                // The page draws between the batches.
                timer::sleep(30).await;
            }
            toasts.say(format!("Brought in: {}.", counted(days, "day", "days")));
            open.try_set(false);
        });
    };
    let day = |(day, what): (String, String)| line(what).bed(day);
    pieces![
        words
            .into_iter()
            .map(|words| note().child(words))
            .collect::<Piece>(),
        (!first.is_empty()).then(|| pieces![
            heading("The first days of it"),
            lines().child(first.into_iter().map(day).collect::<Piece>())
        ]),
        when(
            move || has_new,
            move || acts().child(
                act(
                    format!("Bring in {}", counted(days, "day", "days")),
                    bring.clone()
                )
                .kind(ActKind::Main)
            )
        )
    ]
}
