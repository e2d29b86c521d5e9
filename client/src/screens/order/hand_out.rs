//! On the day: who takes what home, ticked off by anybody, with or without a signal; and the same list on paper.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::policy::Action;

use super::Shown;
use super::preview::Answer;
use crate::parts::{ActKind, FigureRow, TagKind, act, acts, figures, heading, line, lines, tag};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::hand_out_rows::{self, HandOutRow};
use crate::screens::looker::Looker;
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The list. Its paper is printed alone: `only_list` says so to the screen around it.
pub(super) fn hand_out(
    shown: Shown,
    answer: Answer,
    looker: Looker,
    only_list: RwSignal<bool>,
) -> Piece {
    let rows = memo(move || {
        let me = looker.me();
        let rows = answer.with(|answer| {
            let standing = answer.as_ref()?;
            shown.with(|order| hand_out_rows::rows(order, standing, me))
        });
        rows.unwrap_or_default()
    });
    let count = derived(move || rows.with(|rows| hand_out_rows::taken_words(rows)));
    let open_only = signal_of(false);
    let listed = move || {
        let mut rows = rows.get();
        if open_only.get() {
            rows.retain(|row| !row.taken);
        }
        rows
    };
    let words = derived(move || {
        let words = if open_only.get() {
            "Show all"
        } else {
            "Only who is still to come"
        };
        words.to_owned()
    });
    let print = move || {
        only_list.set(true);
        looker.print();
    };
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                el("div")
                    .class("screen-only")
                    .child(heading("On the day"))
                    .child(el("p").class("note").child(count))
                    .child(lines().child(each(listed, move |one| {
                        row(one.key(), move || tick_line(shown, rows, one))
                    })))
                    .child(
                        acts()
                            .child(act(words, move || open_only.update(|on| *on = !*on)))
                            .child(act("Print this list", print).kind(ActKind::Bare))
                    ),
                paper(rows)
            ]
        },
    )
    .into()
}

fn tick_line(shown: Shown, rows: Memo<Vec<HandOutRow>>, row: HandOutRow) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let HandOutRow {
        line: of,
        payer,
        name,
        material,
        ..
    } = row;
    // The row stays while others are ticked off; what it says follows.
    let now = memo(move || {
        let rows = rows.read();
        let mut rows = rows.iter();
        rows.find(|row| row.line == of && row.payer == payer)
            .cloned()
    });
    let taken = memo(move || now.with(|row| row.as_ref().is_some_and(|row| row.taken)));
    let what = derived(move || {
        now.with(|row| row.as_ref().map(|row| row.what.clone()).unwrap_or_default())
    });
    let mine = move || now.with(|row| row.as_ref().is_some_and(|row| row.mine));
    let tick = move || {
        let was = taken.get_untracked();
        let edit = Edit::HandOut {
            order: shown.order,
            line: of,
            payer,
            on: book.today.get_untracked(),
            taken: !was,
        };
        let said = if was {
            "Not taken home after all."
        } else {
            "Ticked off."
        };
        pen.write(shown.document(), edit, said);
    };
    let words = derived(move || if taken.get() { "Take back" } else { "Tick off" }.to_owned());
    let spoken = {
        let named = format!("{name}, {material}");
        derived(move || {
            let verb = if taken.get() {
                "Take the tick back"
            } else {
                "Tick off"
            };
            format!("{verb}: {named}, {}", what.get())
        })
    };
    let small = derived(move || format!("{material}: {}", what.get()));
    let may_tick = move || book.may(Action::HandOut, false);
    Piece::from(
        line(name)
            .bed(derived(move || {
                if taken.get() { "has it" } else { "" }.to_owned()
            }))
            .small(small)
            .mine(mine)
            .done(move || taken.get())
            .child(when(move || taken.get(), || tag("taken", TagKind::Done)))
            .child(when(may_tick, move || {
                act(words, tick).spoken(spoken).kind(ActKind::Plain)
            })),
    )
}

// For the clip board: a box to tick by hand where nobody has yet.
fn paper(rows: Memo<Vec<HandOutRow>>) -> Piece {
    let heads = ["Name", "What", "How much", ""]
        .map(ToOwned::to_owned)
        .to_vec();
    let cells = derived(move || {
        let mut before = String::new();
        let mut listed = Vec::new();
        for row in rows.get() {
            // A name stands once, above everything that person takes.
            let name = if row.name == before {
                String::new()
            } else {
                row.name.clone()
            };
            before = row.name;
            let tick = if row.taken { "has it" } else { "☐" };
            listed.push(FigureRow {
                cells: vec![name, row.material, row.what, tick.to_owned()],
                mine: false,
            });
        }
        listed
    });
    el("div")
        .class("paper-only list-paper")
        .child(figures("Who takes what home", heads, cells))
        .into()
}
