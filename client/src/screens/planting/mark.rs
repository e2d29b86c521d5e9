//! Saying that it was sown, set, first picked, cleared, or taking it out of the plan; each can be undone.

use leptos::prelude::*;
use selion_core::document::records::PlantingState;
use selion_core::policy::Action;
use selion_core::quantities::Day;

use super::Shown;
use crate::parts::{
    ActKind, act, acts, date_field, form, heading, note, send_button, sheet, use_toasts,
};
use crate::piece::{Piece, derived, live, memo, pieces, signal_of, when};
use crate::plain::plantings::marks::{Mark, found, step_back};
use crate::plain::plantings::moves::follows;
use crate::plain::wording::in_a_sentence;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The buttons for what can be said of it now, and the sheet that asks for the day.
pub fn marks(shown: Shown) -> Piece {
    let book = use_book();
    let asking = signal_of(false);
    let chosen = signal_of(None::<Mark>);
    let open = memo(move || {
        let record = shown.record();
        let record = record.filter(|record| record.ended_on.is_none());
        record.map(|it| Mark::open(&it)).unwrap_or_default()
    });
    let why_not_mark = derived(move || book.why_not(Action::MarkPlanting, false));
    let why_not_plan = derived(move || shown.why_not_plan());
    let button = move |(place, mark): (usize, Mark)| {
        let words = move || shown.record().map_or("", |record| mark.words(&record));
        let refused = match mark {
            Mark::Begun | Mark::Cleared => why_not_mark,
            Mark::FirstPicked | Mark::Dropped => why_not_plan,
        };
        let kind = match (mark, place) {
            (Mark::Dropped, _) => ActKind::Grave,
            (_, 0) => ActKind::Main,
            _ => ActKind::Plain,
        };
        let ask = move || {
            chosen.set(Some(mark));
            asking.set(true);
        };
        act(words, ask).kind(kind).refused(refused)
    };
    let title = move || {
        let mark = chosen.get();
        mark.zip(shown.record())
            .map_or("", |(mark, record)| mark.words(&record))
    };
    pieces![
        when(
            move || !open.read().is_empty(),
            move || pieces![
                heading("How far it is"),
                live(move || acts().child(
                    open.get()
                        .into_iter()
                        .enumerate()
                        .map(button)
                        .collect::<Piece>()
                ))
            ]
        ),
        back_again(shown),
        sheet(asking, title, move || match chosen.get_untracked() {
            Some(mark) => mark_form(shown, mark, asking),
            None => Piece::Nothing,
        })
    ]
}

/// For when the moment for Undo is long past.
fn back_again(shown: Shown) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let refused = derived(move || book.why_not(Action::MarkPlanting, false));
    let words = move || {
        let record = shown.record().filter(|record| record.ended_on.is_none())?;
        match record.state {
            PlantingState::Planned => None,
            PlantingState::Standing => Some("It was not sown after all"),
            PlantingState::Cleared => Some("It stands after all"),
        }
    };
    let back = move || {
        let record = shown.record_untracked();
        let edit = record
            .as_ref()
            .and_then(|(_, record)| step_back(shown.id, record));
        if let Some((document, edit)) = shown.document().zip(edit) {
            pen.write(document, edit, "Set back.");
        }
    };
    live(move || {
        words().map(|words| acts().child(act(words, back).kind(ActKind::Bare).refused(refused)))
    })
}

fn mark_form(shown: Shown, mark: Mark, asking: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&["day"]);
    let day = signal_of(book.today.get_untracked().to_string());
    let told = untrack(|| {
        let tells = matches!(mark, Mark::Begun | Mark::Dropped | Mark::Cleared);
        let garden = book.garden.read();
        tells.then(|| follows(&garden, &[shown.id], book.today.get()))
    });
    let send = move || {
        wrong.clear();
        let Some((_, record)) = shown.record_untracked() else {
            return;
        };
        let read = wrong.take("day", Day::parse(day.get_untracked().trim()));
        let Some((on, document)) = read.zip(shown.document()) else {
            return;
        };
        let Some(edit) = wrong.take("day", mark.edit(shown.id, &record, on)) else {
            return;
        };
        let undo = untrack(|| {
            let garden = book.garden.read();
            let found = found(&garden, shown.id);
            found
                .map(|(_, season, record)| {
                    mark.undo(season, shown.id, record, |task| {
                        book.may(Action::ChangeTask, book.is_me(task.made_by))
                    })
                })
                .unwrap_or_default()
        });
        if wrong.write(book, document, edit) {
            asking.set(false);
            let when = in_a_sentence(on, book.today.get_untracked());
            let said = match mark {
                Mark::Begun => format!("It stands, begun {when}."),
                Mark::FirstPicked => format!("First picked {when}."),
                Mark::Cleared => format!("Cleared {when}."),
                Mark::Dropped => "It is out of the plan.".to_owned(),
            };
            toasts.say_with_undo(said, move || {
                for edit in &undo {
                    if let Err(refused) = book.write(document, edit.clone()) {
                        toasts.say(refused.message);
                        return;
                    }
                }
            });
        }
    };
    let sentences = told.into_iter().flatten();
    let told = sentences
        .map(|words| note().child(words))
        .collect::<Piece>();
    let words = untrack(|| shown.record().map_or("", |record| mark.words(&record)));
    form(send)
        .child(date_field("On", day).error(wrong.at("day")))
        .child(told)
        .child(wrong_whole(wrong))
        .child(send_button(words))
        .into()
}
