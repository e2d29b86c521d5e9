//! A short word about what was just done, with a way to undo it.

use std::sync::Arc;

use leptos::prelude::*;

use crate::browser::{page, timer};
use crate::piece::{Piece, each, el, row};

/// How long a toast stays when it only tells.
const TELLING_MILLIS: i32 = 6_000;
/// How long a toast stays when something can be undone.
const UNDO_MILLIS: i32 = 12_000;

#[derive(Clone)]
struct Toast {
    id: usize,
    words: String,
    undo: Option<Undo>,
}

/// The way back. Shared and not a `Callback`: a toast outlives the screen that said it, and a callback ends with it.
type Undo = Arc<dyn Fn() + Send + Sync>;

/// Where toasts are said; any screen inside the frame has it with [`use_toasts`].
#[derive(Clone, Copy, Default)]
pub struct Toasts {
    list: RwSignal<Vec<Toast>>,
    said: RwSignal<usize>,
    /// The sheets that are up, the uppermost last: toasts show on that one, since the page below it cannot be touched.
    sheets: RwSignal<Vec<String>>,
}

impl std::fmt::Debug for Toasts {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Toasts")
            .field("said", &self.said.get_untracked())
            .finish_non_exhaustive()
    }
}

impl Toasts {
    /// Says that something was done.
    pub fn say(self, words: impl Into<String>) {
        self.add(words.into(), None);
    }

    /// Says that something was done, and offers to undo it.
    pub fn say_with_undo(self, words: impl Into<String>, undo: impl Fn() + Send + Sync + 'static) {
        self.add(words.into(), Some(Arc::new(undo)));
    }

    fn add(self, words: String, undo: Option<Undo>) {
        let id = self.said.get_untracked();
        self.said.set(id + 1);
        self.list.update(|list| {
            // Of three at once the oldest goes: a pile of them hides the page.
            if list.len() >= 2 {
                list.remove(0);
            }
            list.push(Toast { id, words, undo });
        });
    }

    /// A sheet comes up, or goes down again.
    pub(super) fn follow_sheet(self, id: &str, up: bool) {
        let stands = self
            .sheets
            .with_untracked(|sheets| sheets.iter().any(|sheet| sheet == id));
        if up != stands {
            self.sheets.update(|sheets| {
                sheets.retain(|sheet| sheet != id);
                if up {
                    sheets.push(id.to_owned());
                }
            });
        }
    }

    fn take_away(self, id: usize) {
        self.list.update(|list| list.retain(|toast| toast.id != id));
    }
}

/// The place to say toasts. Outside the frame it says them to nobody.
pub fn use_toasts() -> Toasts {
    use_context::<Toasts>().unwrap_or_default()
}

/// Where toasts show while no sheet is up; part of the frame.
pub fn toast_shelf() -> Piece {
    shelf(None)
}

/// Where toasts show while this sheet is up.
pub(super) fn toast_shelf_on(sheet: String) -> Piece {
    shelf(Some(sheet))
}

fn shelf(sheet: Option<String>) -> Piece {
    let toasts = use_toasts();
    let shown = move || {
        if toasts.sheets.read().last() == sheet.as_ref() {
            toasts.list.get()
        } else {
            Vec::new()
        }
    };
    el("div")
        .class("toasts")
        .attr("role", "status")
        .attr("aria-live", "polite")
        .child(each(shown, move |toast| {
            row(toast.id, move || one_toast(toasts, toast))
        }))
        .into()
}

// It goes by itself, but never while somebody has a finger, the mouse or the focus on it.
fn one_toast(toasts: Toasts, toast: Toast) -> Piece {
    let Toast { id, words, undo } = toast;
    let millis = if undo.is_some() {
        UNDO_MILLIS
    } else {
        TELLING_MILLIS
    };
    let clock = StoredValue::new_local(None::<timer::Timer>);
    let start = move || match timer::after(millis, move || toasts.take_away(id)) {
        Ok(running) => clock.set_value(Some(running)),
        Err(trouble) => page::note(&trouble.to_string()),
    };
    let pause = move || clock.set_value(None);
    start();
    let button = |words| {
        el("button")
            .attr("type", "button")
            .class("act")
            .child(words)
    };
    let undo = undo.map(|undo| {
        button("Undo").on("click", move || {
            toasts.take_away(id);
            undo();
        })
    });
    el("div")
        .class("toast")
        .on("focusin", pause)
        .on("focusout", start)
        .on("pointerenter", pause)
        .on("pointerleave", start)
        .child(el("span").child(words))
        .child(undo)
        .child(
            button("×")
                .attr("aria-label", "Close this word")
                .on("click", move || toasts.take_away(id)),
        )
        .into()
}
