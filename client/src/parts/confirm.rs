//! Asking once before something that cannot be undone.

use leptos::prelude::*;

use super::{ActKind, Press, act, acts, sheet};
use crate::piece::{Piece, Words, el, pieces};

/// A question on a sheet, with what follows from yes. For what can be undone, do it and offer to undo instead.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Confirm {
    open: RwSignal<bool>,
    question: Words,
    follows: Words,
    yes: Words,
    on_yes: Press,
    kind: ActKind,
}

/// A question that is asked while `open` says so.
#[inline(never)]
pub fn confirm(open: RwSignal<bool>, question: impl Into<Words>) -> Confirm {
    Confirm {
        open,
        question: question.into(),
        follows: Words::None,
        yes: Words::None,
        on_yes: Press::new(|| ()),
        kind: ActKind::Main,
    }
}

impl Confirm {
    /// What will be so afterwards, and for whom.
    #[inline(never)]
    pub fn follows(self, words: impl Into<Words>) -> Self {
        Self {
            follows: words.into(),
            ..self
        }
    }

    /// The yes, as a verb, such as "Close the order", and what happens on it.
    #[inline(never)]
    pub fn yes(self, words: impl Into<Words>, on_yes: impl Fn() + 'static) -> Self {
        Self {
            yes: words.into(),
            on_yes: Press::new(on_yes),
            ..self
        }
    }

    /// Something is taken from somebody.
    #[inline(never)]
    pub fn grave(self) -> Self {
        Self {
            kind: ActKind::Grave,
            ..self
        }
    }
}

impl From<Confirm> for Piece {
    fn from(confirm: Confirm) -> Self {
        let Confirm {
            open,
            question,
            follows,
            yes,
            on_yes,
            kind,
        } = confirm;
        sheet(open, question, move || {
            let on_yes = on_yes.clone();
            let agree = move || {
                open.set(false);
                on_yes.now();
            };
            pieces![
                el("p").child(follows.clone()),
                acts()
                    .child(act("Leave it", move || open.set(false)))
                    .child(act(yes.clone(), agree).kind(kind))
            ]
        })
    }
}
