//! The totals of a year, as bars and as tables that say the same.

use leptos::prelude::*;
use selion_core::document::harvest_totals::of_year;
use selion_core::document::records::HarvestUnit;
use selion_core::quantities::Mass;
use selion_core::season::picking::meals;

use crate::parts::{Bar, FigureRow, bar_key, bars, figures, heading, working};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, when};
use crate::plain::harvest_rows::{
    Group, HarvestRow, by_bed, by_crop, by_person, by_recipient, whole,
};
use crate::state::use_book;

/// The heads of a table of parts.
const HEADS: [&str; 6] = ["", "Picked", "Kept", "Shared", "Given", "Lost"];

/// All totals of a year.
pub fn totals(year: Memo<i16>) -> Piece {
    let book = use_book();
    let told = memo(move || of_year(&book.garden.read(), year.get()));
    let units = move || book.units();
    let crops = memo(move || by_crop(&told.read(), units()));
    let beds = memo(move || by_bed(&book.garden.read(), &told.read(), units()));
    let people = memo(move || by_person(&book.garden.read(), &told.read(), units()));
    let recipients = memo(move || by_recipient(&book.garden.read(), &told.read(), units()));
    let all = memo(move || whole(&told.read(), units()));
    let donated = memo(move || {
        let weights = told.with(|told| told.all.get(&HarvestUnit::Grams).copied());
        weights
            .map(|parts| Mass::from_grams(parts.given))
            .filter(|given| given.is_positive())
    });
    pieces![
        heading("The whole season"),
        bars(derived(move || all
            .read()
            .iter()
            .map(bar)
            .collect::<Vec<_>>())),
        bar_key(["kept", "shared", "given away", "lost"]),
        figures(
            "Weights and counts are never added up",
            heads("In"),
            derived(move || { all.read().iter().map(figure_row).collect::<Vec<_>>() })
        )
        .stacks(true),
        when(move || donated.get().is_some(), move || meals_of(donated)),
        el("div")
            .class("split even")
            .child(section("By crop", "Crop", crops))
            .child(section("By bed", "Bed", beds))
            .child(section("By who picked", "Person", people))
            .child(when(
                move || !recipients.read().is_empty(),
                move || given_to(recipients)
            ))
    ]
}

fn heads(first: &str) -> Vec<String> {
    let mut heads = HEADS.map(str::to_owned).to_vec();
    if let Some(name) = heads.first_mut() {
        first.clone_into(name);
    }
    heads
}

fn figure_row(row: &HarvestRow) -> FigureRow {
    let mut cells = vec![row.name.clone()];
    cells.extend(row.cells.iter().cloned());
    FigureRow { cells, mine: false }
}

fn bar(row: &HarvestRow) -> Bar {
    Bar {
        name: row.name.clone(),
        figure: row.figure.clone(),
        parts: row.bar,
    }
}

// Bars first; the figures behind them are opened, and stand on paper.
fn section(title: &'static str, head: &'static str, groups: Memo<Vec<Group>>) -> Piece {
    let table = move |group: &Group| {
        let rows: Vec<FigureRow> = group.rows.iter().map(figure_row).collect();
        figures(group.caption.clone(), heads(head), rows)
            .stacks(true)
            .into()
    };
    told(title, groups, table)
}

// To whom it went: one figure a row, since all of it was given away.
fn given_to(groups: Memo<Vec<Group>>) -> Piece {
    let table = |group: &Group| {
        let rows: Vec<FigureRow> = group
            .rows
            .iter()
            .map(|row| FigureRow::new([row.name.as_str(), row.figure.as_str()]))
            .collect();
        let heads = ["To", "Given away"].map(str::to_owned).to_vec();
        figures(group.caption.clone(), heads, rows).into()
    };
    told("To whom it was given", groups, table)
}

fn told(
    title: &'static str,
    groups: Memo<Vec<Group>>,
    table: impl Fn(&Group) -> Piece + Copy + 'static,
) -> Piece {
    let drawn = move || {
        let groups = groups.read();
        let each = groups
            .iter()
            .map(|group| bars(group.rows.iter().map(bar).collect::<Vec<_>>()));
        each.collect::<Piece>()
    };
    let written = move || groups.read().iter().map(table).collect::<Piece>();
    el("div")
        .child(heading(title))
        .child(drawn)
        .child(
            el("details")
                .class("more on-paper")
                .child(el("summary").child(format!("{title}, as a table")))
                .child(written),
        )
        .into()
}

fn meals_of(donated: Memo<Option<Mass>>) -> Piece {
    let book = use_book();
    let answer = memo(move || meals(donated.get()?, book.units()).ok());
    pieces![
        el("p").child(move || {
            let given = donated.get()?.show(book.units());
            Some(format!(
                "Given away by weight: {given}, about {}.",
                answer.get()?.result
            ))
        }),
        move || answer
            .get()
            .map(|answer| working("Working for the meals", (&answer).into()))
    ]
}
