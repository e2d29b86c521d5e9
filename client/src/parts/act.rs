//! What can be pressed to do something.

use leptos::prelude::*;

use super::{Press, fresh_id};
use crate::piece::{El, Piece, Words, el, pieces};

/// How much weight a button has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ActKind {
    /// One of several.
    #[default]
    Plain,
    /// What most people came for; one a screen.
    Main,
    /// Takes something away or cannot be undone.
    Grave,
    /// Words alone, for what is seldom wanted.
    Bare,
}

impl ActKind {
    const fn class(self) -> &'static str {
        match self {
            Self::Plain => "act",
            Self::Main => "act main",
            Self::Grave => "act stop",
            Self::Bare => "act bare",
        }
    }
}

/// A button. Where it may not be pressed, `refused` says why: it then greys out, stays reachable, and shows the reason.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Act {
    words: Words,
    on_press: Press,
    kind: ActKind,
    wide: bool,
    refused: Words,
    spoken: Words,
}

/// A button that says this, a verb first, and does that.
pub fn act(words: impl Into<Words>, on_press: impl Fn() + 'static) -> Act {
    Act::new(words.into(), Press::new(on_press))
}

impl Act {
    #[inline(never)]
    fn new(words: Words, on_press: Press) -> Self {
        Self {
            words,
            on_press,
            kind: ActKind::Plain,
            wide: false,
            refused: Words::None,
            spoken: Words::None,
        }
    }

    /// Its weight.
    #[inline(never)]
    pub fn kind(self, kind: ActKind) -> Self {
        Self { kind, ..self }
    }

    /// Over the whole width, below the lines.
    #[inline(never)]
    pub fn wide(self) -> Self {
        Self { wide: true, ..self }
    }

    /// Why it may not be pressed now, if so.
    #[inline(never)]
    pub fn refused(self, why: impl Into<Words>) -> Self {
        Self {
            refused: why.into(),
            ..self
        }
    }

    /// What a screen reader says instead, where the words alone are too short.
    #[inline(never)]
    pub fn spoken(self, words: impl Into<Words>) -> Self {
        Self {
            spoken: words.into(),
            ..self
        }
    }
}

impl From<Act> for Piece {
    fn from(act: Act) -> Self {
        let Act {
            words,
            on_press,
            kind,
            wide,
            refused,
            spoken,
        } = act;
        let button = el("button")
            .attr("type", "button")
            .class(kind.class())
            .class_if("wide", wide)
            .attr("aria-label", spoken)
            .child(words);
        if !refused.are_given() {
            return button.on("click", move || on_press.now()).into();
        }
        let reason_id = fresh_id("reason");
        let [is_refused, described, shown] = std::array::from_fn(|_| refused.clone());
        let described_by = reason_id.clone();
        let reason = move || {
            let reason = shown.now()?;
            Some(el("p").class("note").id(reason_id.clone()).child(reason))
        };
        pieces![
            button
                .attr("aria-disabled", move || is_refused
                    .is_some()
                    .then_some("true"))
                .attr("aria-describedby", move || {
                    described.is_some().then(|| described_by.clone())
                })
                .on("click", move || {
                    if !untrack(|| refused.is_some()) {
                        on_press.now();
                    }
                }),
            reason
        ]
    }
}

/// A link that looks like a button, for going somewhere to do something.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct ActLink {
    link: El,
    kind: ActKind,
    wide: bool,
}

/// A link that leads there and says this.
#[inline(never)]
pub fn act_link(href: impl Into<Words>, words: impl Into<Words>) -> ActLink {
    ActLink {
        link: el("a").attr("href", href).child(words.into()),
        kind: ActKind::Plain,
        wide: false,
    }
}

impl ActLink {
    /// Its weight.
    #[inline(never)]
    pub fn kind(self, kind: ActKind) -> Self {
        Self { kind, ..self }
    }

    /// Over the whole width, below the lines.
    #[inline(never)]
    pub fn wide(self) -> Self {
        Self { wide: true, ..self }
    }
}

impl From<ActLink> for Piece {
    fn from(ActLink { link, kind, wide }: ActLink) -> Self {
        link.class(kind.class()).class_if("wide", wide).into()
    }
}

/// Buttons side by side, as many as fit.
pub fn acts() -> El {
    el("div").class("acts")
}
