//! The ground as a file: out for drawing and mapping programs, and in from them, looked over before anything is written.

use std::sync::Arc;

use leptos::ev::Event;
use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::{DocumentName, Edit};
use selion_core::exchange::bring_in::{Fresh, ground_of};
use selion_core::exchange::geojson;
use selion_core::policy::Action;

use crate::browser::{chance, clock, page, timer};
use crate::parts::{
    ActKind, NoteKind, TagKind, act, acts, heading, line, lines, note, tag, use_toasts,
};
use crate::piece::{Piece, el, pieces, signal_of, when};
use crate::plain::file_name::file_word;
use crate::plain::ground_file::{FileRow, Looked, REFUSED, look};
use crate::state::{Book, use_book};

/// So many edits are written before the page is drawn again.
const AT_ONCE: usize = 5;

/// Out for everybody, in for whoever keeps the ground.
pub fn ground_files() -> Piece {
    let book = use_book();
    let may = move || book.may(Action::KeepGround, false);
    pieces![
        heading("As a file"),
        acts().child(save()),
        when(may, bring_in)
    ]
}

fn save() -> Piece {
    let (book, toasts) = (use_book(), use_toasts());
    let save = move || {
        let name = format!(
            "{}-ground.geojson",
            file_word(&untrack(|| book.garden_name()))
        );
        let text = geojson::write(&ground_of(&book.garden.read_untracked()));
        toasts.say(match page::save_as_file(&name, &text) {
            Ok(()) => format!("Saved as {name}."),
            Err(trouble) => trouble.to_string(),
        });
    };
    act("Save beds and fences (GeoJSON)", save).into()
}

/// How far bringing in has come.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Stage {
    Nothing,
    Wrong(String),
    Shown(Arc<Looked>),
    Writing(usize, usize),
}

fn bring_in() -> Piece {
    let (book, toasts) = (use_book(), use_toasts());
    let stage = signal_of(Stage::Nothing);
    let chosen = move |event: Event| {
        spawn_local(async move {
            match page::chosen_text(&event, selion_core::exchange::LARGEST_FILE).await {
                Ok(Some(text)) => stage.set(looked_over(book, &text)),
                Ok(None) => stage.set(Stage::Nothing),
                Err(trouble) => stage.set(Stage::Wrong(trouble.to_string())),
            }
        });
    };
    let write = move |looked: Arc<Looked>| {
        spawn_local(async move {
            let edits: Vec<Edit> = looked.edits();
            let most = edits.len();
            for (done, edit) in edits.into_iter().enumerate() {
                if done % AT_ONCE == 0 {
                    stage.set(Stage::Writing(done, most));
                    timer::sleep(0).await;
                }
                if let Err(refused) = book.write(DocumentName::Ground, edit) {
                    stage.set(Stage::Wrong(format!(
                        "{} {done} of {most} changes were written.",
                        refused.message
                    )));
                    return;
                }
            }
            stage.set(Stage::Nothing);
            toasts.say(looked.done_words());
        });
    };
    let input = el("input")
        .id("ground-file")
        .attr("type", "file")
        .attr(
            "accept",
            ".geojson,.json,application/geo+json,application/json",
        )
        .on_event("change", chosen);
    pieces![
        el("div").class("form").child(
            el("div")
                .class("field")
                .child(
                    el("label")
                        .attr("for", "ground-file")
                        .child("Bring in beds (GeoJSON)")
                )
                .child(el("p").class("help").child(
                    "What is new or changed is shown first; nothing is written before you say so. Known beds are known by their label.",
                ))
                .child(input)
        ),
        move || match stage.get() {
            Stage::Nothing => Piece::Nothing,
            Stage::Wrong(words) => note().kind(NoteKind::Stop).child(words).into(),
            Stage::Shown(looked) => shown(looked, stage, write),
            Stage::Writing(done, most) => el("p")
                .attr("role", "status")
                .child(format!("Writing {done} of {most}."))
                .into(),
        }
    ]
}

fn looked_over(book: Book, text: &str) -> Stage {
    let random = || chance::bytes().unwrap_or([0; 10]);
    let fresh = Fresh {
        now: clock::now(),
        chance: &random,
    };
    let Some(me) = book.me.get_untracked() else {
        return Stage::Wrong("No garden is open on this phone yet.".to_owned());
    };
    match look(&book.garden.read_untracked(), me, text, &fresh) {
        Ok(looked) => Stage::Shown(Arc::new(looked)),
        Err(bad) => Stage::Wrong(bad.to_string()),
    }
}

fn shown(
    looked: Arc<Looked>,
    stage: RwSignal<Stage>,
    write: impl Fn(Arc<Looked>) + Copy + 'static,
) -> Piece {
    let row = |row: &FileRow| {
        line(row.name.clone())
            .bed(row.margin)
            .small(row.why.clone())
            .child(tag(
                row.word,
                if row.word == REFUSED {
                    TagKind::Stop
                } else {
                    TagKind::Wait
                },
            ))
    };
    let rows: Piece = looked.rows.iter().map(row).map(Piece::from).collect();
    let any = !looked.edits().is_empty();
    let verb = looked.verb();
    pieces![
        el("p").attr("role", "status").child(looked.words()),
        lines().child(rows),
        acts()
            .child(
                any.then(|| { act(verb, move || write(Arc::clone(&looked))).kind(ActKind::Main) })
            )
            .child(act("Leave it", move || stage.set(Stage::Nothing)))
    ]
}
