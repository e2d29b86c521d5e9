//! Edits that the garden could not take, each with the reason, to do again or to drop.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::{EditId, RequestId};
use selion_core::document::{DocumentName, Edit};

use crate::address::use_location;
use crate::browser::page;
use crate::later::{Later, later_part};
use crate::parts::{ActKind, act, confirm, form, heading, note_field, send_button, use_toasts};
use crate::piece::{Piece, each, el, memo, pieces, row, signal_of, watch, when};
use crate::plain::requests::{Ready, in_place_of};
use crate::plain::wording::edit_words;
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::{AsideRow, use_book};

/// The edits the garden refused. The truth line leads here.
pub fn set_aside() -> Piece {
    let book = use_book();
    let hash = use_location().hash;
    watch(move || {
        if hash.read().as_str() == "#aside" && !book.set_aside.read().is_empty() {
            page::focus("aside");
        }
    });
    when(
        move || !book.set_aside.read().is_empty(),
        move || {
            el("section")
                .id("aside")
                .attr("tabindex", "-1")
                .attr("aria-label", "Set aside")
                .child(heading("Set aside"))
                .child(el("p").child(
                    "This was written on this phone, and the garden could not take it. \
                     Nothing of it is lost: do it again, or drop it.",
                ))
                .child(each(
                    move || book.set_aside.get(),
                    |aside| {
                        row(aside.edit, move || {
                            later_part(Later::Aside(Arc::new(aside)))
                        })
                    },
                ))
        },
    )
    .into()
}

/// One of them, with what can be done about it.
pub fn one_aside(row: &AsideRow) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let asking = signal_of(false);
    let AsideRow {
        edit,
        envelope,
        refused,
        ..
    } = row.clone();
    let instead = memo({
        let (edit, refused) = (envelope.edit.clone(), refused.clone());
        move || in_place_of(&book.garden.read(), &edit, &refused)
    });
    let document = envelope.document;
    let words = memo(move || edit_words(&book.garden.read(), &envelope.edit, book.today.get()));
    let redo = move || {
        if let Err(refused) = book.redo(edit) {
            toasts.say(refused.message);
        }
    };
    pieces![
        el("div")
            .class("note stop")
            .child(el("p").class("lead").child(words))
            .child(el("p").child(refused.message))
            .child(move || instead.get().map(|ready| ask_form(edit, document, ready)))
            .child(
                el("div")
                    .class("acts-inline")
                    .child(act("Do it again", redo))
                    .child(act("Drop it", move || asking.set(true)).kind(ActKind::Grave))
            ),
        confirm(asking, "Drop what was set aside?")
            .follows(words)
            .yes("Drop it", move || book.drop_aside(edit))
            .grave()
    ]
}

/// What came too late can still be asked for: the words are there, to be sent as they are or changed first.
fn ask_form(aside: EditId, document: DocumentName, ready: Ready) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let text = signal_of(ready.text);
    let wrong = Wrong::new(&["request"]);
    let send = move || {
        wrong.clear();
        let edit = Edit::AskCoordinator {
            request: book.fresh(RequestId::fresh),
            about: Some(ready.order),
            day: book.today.get_untracked(),
            text: text.get_untracked().trim().to_owned(),
        };
        if wrong.write(book, document, edit) {
            // The wish lives on in the request, so it is set aside no longer.
            book.drop_aside(aside);
            toasts.say("The coordinator is asked; the answer comes to This week.");
        }
    };
    form(send)
        .child(note_field("To the coordinator", text).error(wrong.at("request")))
        .child(wrong_whole(wrong))
        .child(send_button("Ask the coordinator"))
        .into()
}
