//! What a year gave: totals by crop, bed, person and recipient, every picking, and who is given of the harvest.

pub mod entry;
pub mod recipients;
pub mod totals;

use leptos::prelude::*;
use selion_core::exchange::harvest_sheet;

use self::entry::{entry_row, use_strike};
use self::recipients::recipients;
use self::totals::totals;
use crate::browser::page;
use crate::parts::{
    ActKind, Choice, act, act_link, acts, empty, heading, lines, page_head, select_field,
    use_toasts,
};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::file_name::file_word;
use crate::plain::harvest_rows::entries;
use crate::state::use_book;

/// So many lines show at first; a season has hundreds.
const FIRST_LINES: usize = 15;

/// The screen at `/harvest`.
pub fn harvest_screen() -> Piece {
    let book = use_book();
    let years = memo(move || {
        let garden = book.garden.read();
        let years: Vec<i16> = garden.seasons.keys().rev().copied().collect();
        years
    });
    let chosen = signal_of(book.today.get_untracked().year().to_string());
    let year = memo(move || {
        let asked = chosen.get().parse().ok();
        asked.unwrap_or_else(|| book.today.get().year())
    });
    let label = derived(move || format!("{} \u{b7} {}", book.garden_name(), year.get()));
    let choices = derived(move || {
        let choice = |year: &i16| Choice::new(year.to_string(), year.to_string());
        years.read().iter().map(choice).collect::<Vec<_>>()
    });
    let any = memo(move || !entries(&book.garden.read(), year.get()).is_empty());
    let print = || page::note_trouble(page::print());
    pieces![
        page_head(label, "Harvest")
            .back("/picking", "Picking")
            .child(when(
                move || any.get(),
                move || act("Print", print)
                    .spoken("Print the season's harvest")
                    .kind(ActKind::Bare)
            )),
        when(
            move || years.read().len() > 1,
            move || el("div")
                .class("form screen-only")
                .child(select_field("Year", chosen, choices))
        ),
        when(move || any.get(), move || given(year)).otherwise(nothing_yet),
        recipients()
    ]
}

fn nothing_yet() -> Piece {
    empty("Nothing was picked in this year yet")
        .child(el("p").child(
            "What is written down under Picking adds up here by crop, bed, person and recipient: kept, shared, given away and \
             lost always make up what was picked.",
        ))
        .child(act_link("/picking", "To Picking").kind(ActKind::Main))
        .into()
}

fn given(year: Memo<i16>) -> Piece {
    pieces![totals(year), lines_of(year), save(year)]
}

// Every picking of the year, latest first.
fn lines_of(year: Memo<i16>) -> Piece {
    let book = use_book();
    let all = memo(move || entries(&book.garden.read(), year.get()));
    let whole = signal_of(false);
    let shown = move || {
        let most = if whole.get() { usize::MAX } else { FIRST_LINES };
        all.get().into_iter().take(most).collect::<Vec<_>>()
    };
    let (strike, asks) = use_strike();
    pieces![
        el("div")
            .class("screen-only")
            .child(heading("Picking by picking"))
            .child(lines().child(each(shown, move |(id, picking)| {
                row(id, move || entry_row(id, picking, strike))
            })))
            .child(when(
                move || !whole.get() && all.read().len() > FIRST_LINES,
                move || acts().child(act("Show all", move || whole.set(true)))
            )),
        asks
    ]
}

fn save(year: Memo<i16>) -> Piece {
    // What a press needs is taken here: at the press nobody provides it any more.
    let (book, toasts) = (use_book(), use_toasts());
    let save = move || {
        let (year, units) = (year.get_untracked(), untrack(|| book.units()));
        let name = format!(
            "{}-harvest-{year}.csv",
            file_word(&untrack(|| book.garden_name()))
        );
        let made = harvest_sheet::of_year(&book.garden.read_untracked(), year, units);
        toasts.say(match made.map(|text| page::save_as_file(&name, &text)) {
            Ok(Ok(())) => format!("Saved as {name}."),
            Ok(Err(trouble)) => trouble.to_string(),
            Err(bad) => bad.to_string(),
        });
    };
    pieces![
        heading("For a spreadsheet"),
        el("p").class("screen-only").child(
            "Every picking of the year, with a column for each recipient. In each line the parts add up to what was picked."
        ),
        acts().child(act("Save as a table (CSV)", save))
    ]
}
