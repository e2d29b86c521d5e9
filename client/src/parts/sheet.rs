//! A sheet that comes up from the bottom, for one thing at a time.

use leptos::ev::MouseEvent;
use leptos::prelude::*;

use super::fresh_id;
use super::toast::{toast_shelf_on, use_toasts};
use crate::browser::page;
use crate::piece::{Draw, Piece, Words, el, pieces, watch, when};

/// A sheet over the page with this title, open while `open` says so; closing sets it back. Esc, the button at its head and
/// a touch beside it close it; the browser keeps the focus inside and gives it back afterwards. What stands on it is made
/// anew each time it opens.
pub fn sheet<P: Into<Piece>>(
    open: RwSignal<bool>,
    title: impl Into<Words>,
    content: impl Fn() -> P + 'static,
) -> Piece {
    sheet_of(open, title.into(), Box::new(content))
}

// What is generic above hands over to this, which is compiled once.
fn sheet_of(open: RwSignal<bool>, title: Words, content: Box<dyn Draw>) -> Piece {
    let sheet_id = fresh_id("sheet");
    let title_id = format!("{sheet_id}-title");
    let id = sheet_id.clone();
    let toasts = use_toasts();
    watch(move || {
        let up = open.get();
        page::show_dialog(&id, up);
        toasts.follow_sheet(&id, up);
    });
    let id = sheet_id.clone();
    on_cleanup(move || toasts.follow_sheet(&id, false));
    let id = sheet_id.clone();
    let shelf = sheet_id.clone();
    let close_beside = move |event: MouseEvent| {
        if page::is_beside_dialog(&id, &event) {
            open.set(false);
        }
    };
    let close = move || open.set(false);
    el("dialog")
        .class("sheet")
        .id(sheet_id)
        .attr("aria-labelledby", title_id.clone())
        .on("close", close)
        .on_event("click", close_beside)
        .child(
            el("div")
                .class("sheet-head")
                .child(el("h2").id(title_id).child(title))
                .child(
                    el("button")
                        .attr("type", "button")
                        .class("act bare")
                        .on("click", close)
                        .child("Close"),
                ),
        )
        .child(when(
            move || open.get(),
            move || pieces![content.draw(), toast_shelf_on(shelf.clone())],
        ))
        .into()
}
