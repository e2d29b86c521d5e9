//! Which kinds of proposals become tasks by rule: the garden's setting, in its one place.

use leptos::prelude::*;
use selion_core::document::proposals::Kind;
use selion_core::policy::Action;

use super::Decides;
use crate::parts::{TagKind, act, heading, line, lines, note, tag};
use crate::piece::{Piece, derived, el, pieces, when};
use crate::plain::proposal_rows::{self, by_rule};

pub(super) fn rule_lines(decides: Decides) -> Piece {
    let book = decides.book;
    let refused = derived(move || book.why_not(Action::KeepGarden, false));
    let one = move |(_, kind): (&'static str, Kind)| {
        let agreed = derived(move || by_rule(&book.garden.read(), kind));
        let name = proposal_rows::heading(kind);
        let state = move || {
            let (word, kind) = if agreed.get() {
                ("by rule", TagKind::Mine)
            } else {
                ("one by one", TagKind::Plain)
            };
            tag(word, kind)
        };
        let words = derived(move || {
            let words = if agreed.get() {
                "Ask each time"
            } else {
                "By rule"
            };
            words.to_owned()
        });
        let spoken = derived(move || format!("{}: {name}", words.get()));
        line(name).child(state).child(when(
            move || refused.read().is_none(),
            move || {
                act(words, move || {
                    let agreed = agreed.get_untracked();
                    decides.rule(kind, !agreed);
                })
                .spoken(spoken)
            },
        ))
    };
    pieces![
        heading("Accepted by rule"),
        note().child(
            "What goes by rule becomes a task without being asked for, as soon as the phone of somebody who may accept \
             looks at the week, the work or this page. It is set here for the whole garden."
        ),
        el("details")
            .class("more")
            .child(el("summary").child("Every kind, by rule or one by one"))
            .child(lines().child(Kind::ALL.into_iter().map(one).collect::<Piece>()))
    ]
}
