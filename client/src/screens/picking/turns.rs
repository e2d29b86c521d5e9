//! The turns of one week: lines on a phone, a grid on a wide screen, bed by bed.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TurnId;
use selion_core::document::manure_days::too_early;
use selion_core::document::records::Standing;
use selion_core::policy::Action;
use selion_core::quantities::Week;

use super::Sheets;
use crate::parts::{TagKind, act, empty, line, lines, tag};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, when};
use crate::plain::turns::{BedWeek, TurnLine, days_of, grid, turns_between};
use crate::plain::wording::{capital, day_words, short_day, stand_by};
use crate::screens::claims::use_claims;
use crate::state::use_book;

/// Who picks when in a week.
pub fn week_turns(week: Memo<Week>, sheets: Sheets) -> Piece {
    let book = use_book();
    let turns = memo(move || {
        let first = week.get().first_day();
        turns_between(
            &book.garden.read(),
            first,
            first.plus_days(6),
            book.me.get(),
            book.today.get(),
        )
    });
    let ids = move || turns.get().into_iter().map(|turn| turn.turn);
    when(
        move || !turns.read().is_empty(),
        move || {
            pieces![
                el("div").class("narrow-only").child(
                    lines().child(each(ids, move |turn| row(turn, move || turn_row(
                        turn, sheets
                    ))))
                ),
                el("div")
                    .class("wide-only")
                    .child(turn_grid(week, turns, sheets))
            ]
        },
    )
    .otherwise(no_turns)
    .into()
}

fn no_turns() -> Piece {
    empty("No picking turns in this week")
        .child(el("p").child(
            "A coordinator puts up turns. What is picked can be written down \
             without one.",
        ))
        .into()
}

/// A turn as it is now, for the pieces below.
fn line_of(turn: TurnId) -> Memo<Option<TurnLine>> {
    let book = use_book();
    memo(move || TurnLine::of(&book.garden.read(), turn, book.me.get(), book.today.get()))
}

fn who(line: &TurnLine) -> String {
    if line.is_mine() {
        "You".to_owned()
    } else if line.picker.is_none() {
        "Nobody yet".to_owned()
    } else {
        line.name.clone()
    }
}

fn turn_row(turn: TurnId, sheets: Sheets) -> Piece {
    let book = use_book();
    let claims = use_claims();
    let shown = line_of(turn);
    let bed = derived(move || shown.get().map(|shown| shown.label).unwrap_or_default());
    let what = derived(move || shown.get().map(|shown| who(&shown)).unwrap_or_default());
    let small = derived(move || {
        let shown = shown.get();
        shown
            .map(|shown| {
                let day = capital(&day_words(shown.day, book.today.get()));
                // Whoever takes the turn from its line does not see its sheet, where the days are told.
                if too_early(&book.garden.read(), shown.bed, shown.day).is_some() {
                    format!("{day} · raw manure: mind the days")
                } else {
                    day
                }
            })
            .unwrap_or_default()
    });
    let mine = derived(move || shown.get().is_some_and(|shown| shown.is_mine()));
    let is_open = move || shown.get().is_some_and(|shown| shown.picker.is_none());
    let state = move || {
        let (word, kind) = tag_of(&shown.get()?, book.waits(&turn))?;
        Some(tag(word, kind))
    };
    let spoken = shown
        .get_untracked()
        .map(|shown| {
            let day = day_words(shown.day, book.today.get_untracked());
            format!("Take the turn: {} {day}", shown.label)
        })
        .unwrap_or_default();
    let open = move || sheets.open_turn(turn);
    line(what)
        .bed(bed)
        .small(small)
        .mine(mine)
        .on_press(open)
        .child(
            when(is_open, move || {
                act("Take", move || claims.claim(Claimable::Turn(turn)))
                    .spoken(spoken.clone())
                    .refused(move || book.why_not(Action::Claim, false))
            })
            .otherwise(state),
        )
        .into()
}

fn tag_of(line: &TurnLine, waits: bool) -> Option<(String, TagKind)> {
    if waits {
        Some(("waiting".to_owned(), TagKind::Wait))
    } else if line.done {
        Some(("picked".to_owned(), TagKind::Done))
    } else if let Some((_, Standing::StandsBy(steps))) = line.mine {
        Some((format!("you: {}", stand_by(steps)), TagKind::Wait))
    } else if line.late {
        Some(("late".to_owned(), TagKind::Stop))
    } else {
        None
    }
}

fn turn_grid(week: Memo<Week>, turns: Memo<Vec<TurnLine>>, sheets: Sheets) -> Piece {
    let book = use_book();
    let rows = memo(move || grid(&turns.read(), week.get()));
    let heads = move || {
        let head = |day| {
            let today = book.today.get();
            let current = (day == today).then_some("date");
            el("th")
                .attr("scope", "col")
                .attr("aria-current", current)
                .child(short_day(day))
        };
        days_of(week.get()).into_iter().map(head).collect::<Piece>()
    };
    let bed_row = move |BedWeek { label, days, .. }: BedWeek| {
        let cells = days.into_iter().map(|turns| {
            let cell = |turn| cell(turn, sheets);
            el("td").child(turns.into_iter().map(cell).collect::<Piece>())
        });
        el("tr")
            .child(el("th").attr("scope", "row").child(label))
            .child(cells.collect::<Piece>())
    };
    el("div")
        .class("table-wrap")
        .child(
            el("table")
                .class("turns")
                .child(
                    el("caption")
                        .class("visually-hidden")
                        .child("Who picks which bed on which day"),
                )
                .child(
                    el("thead").child(
                        el("tr")
                            .child(el("th").attr("scope", "col").child("Bed"))
                            .child(heads),
                    ),
                )
                .child(
                    el("tbody")
                        .child(move || rows.get().into_iter().map(bed_row).collect::<Piece>()),
                ),
        )
        .into()
}

// One turn in the grid; pressing it brings up its sheet, where it is taken or given back.
fn cell(turn: TurnId, sheets: Sheets) -> Piece {
    let book = use_book();
    let shown = line_of(turn);
    let is =
        move |read: fn(&TurnLine) -> bool| shown.with(|shown| shown.as_ref().is_some_and(read));
    let words = move || shown.get().map(|shown| who(&shown)).unwrap_or_default();
    let tag = move || {
        let (word, _) = tag_of(&shown.get()?, book.waits(&turn))?;
        Some(el("small").child(word))
    };
    el("button")
        .attr("type", "button")
        .class("turn")
        .class_if("mine", move || is(TurnLine::is_mine))
        .class_if("open", move || is(|shown| shown.picker.is_none()))
        .class_if("done", move || is(|shown| shown.done))
        .on("click", move || sheets.open_turn(turn))
        .child(words)
        .child(tag)
        .into()
}
