//! Seed and plants to buy, crop by crop: for the chosen beds, or all of them together.

use leptos::prelude::*;
use selion_core::document::season_plan::plants::BoughtOfCrop;
use selion_core::exchange::seed_list;
use selion_core::ordered::Map;

use super::{Asked, Tables};
use crate::browser::page;
use crate::parts::{
    NoteKind, WorkingText, act, acts, empty, heading, line, lines, note, sheet, use_toasts, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::year_rows::buy::{self, BuyRow};

/// The list with its workings.
pub fn to_buy(asked: Asked, tables: Memo<Tables>) -> Piece {
    let book = asked.book;
    let bought = memo(move || {
        let books = tables.get().ok()?;
        let garden = book.garden.read();
        Some(buy::bought(&garden, &books, asked.year(), &asked.choice()))
    });
    let rows = memo(move || {
        bought.with(|bought| {
            let bought = bought.as_ref();
            bought
                .map(|bought| buy::rows(bought, asked.units()))
                .unwrap_or_default()
        })
    });
    let (crop, up) = (signal_of(String::new()), signal_of(false));
    let title = derived(move || buy::crop_name(&crop.read()));
    let row = move |row: BuyRow| {
        let named = row.crop.clone();
        let open = move || {
            crop.set(named.clone());
            up.set(true);
        };
        Piece::from(
            line(buy::crop_name(&row.crop))
                .small(row.small)
                .on_press(open)
                .child(row.figure),
        )
    };
    pieces![
        heading("Seed and plants to buy"),
        when(
            move || rows.read().is_empty(),
            || empty("Nothing is to be bought").child(el("p").child(
                "Everything that is planned in these beds is sown, or nothing is planned yet."
            ))
        )
        .otherwise(move || pieces![
            lines().child(move || rows.get().into_iter().map(row).collect::<Piece>()),
            el("p").class("help").child(
                "For what is planned and not sown yet. A touch on a crop shows the working, bed by bed."
            ),
            save(asked, bought)
        ]),
        sheet(up, title, move || live(move || how(asked, tables, &crop.read())))
    ]
}

/// Crop by crop, where the tables can be read.
type Bought = Option<Map<String, BoughtOfCrop>>;

fn save(asked: Asked, bought: Memo<Bought>) -> Piece {
    let toasts = use_toasts();
    let save = move || {
        let Some(list) = bought.get_untracked() else {
            return;
        };
        let units = untrack(|| asked.units());
        let name = format!("to-buy-{}.csv", untrack(|| asked.year()));
        let said = match seed_list::to_csv(&list, units) {
            Ok(text) => match page::save_as_file(&name, &text) {
                Ok(()) => format!("Saved as {name}."),
                Err(trouble) => trouble.to_string(),
            },
            Err(bad) => bad.to_string(),
        };
        toasts.say(said);
    };
    acts().child(act("Save as a table (CSV)", save)).into()
}

/// How the figure of a crop comes about, planting by planting.
fn how(asked: Asked, tables: Memo<Tables>, crop: &str) -> Piece {
    let Ok(books) = tables.get() else {
        return Piece::Nothing;
    };
    let garden = asked.book.garden.read();
    let choice = asked.choice();
    let parts = buy::workings(&garden, &books, asked.year(), (&choice, crop));
    let shown = parts.into_iter().map(|(title, answer)| match answer {
        Ok(answer) => {
            let words = buy::words(&answer.result, asked.units());
            pieces![
                heading(title.clone()),
                el("p").class("answer").child(words),
                working(format!("Working: {title}"), WorkingText::from(&answer))
            ]
        }
        Err(refusal) => pieces![
            heading(title),
            note()
                .kind(NoteKind::Mind)
                .lead("Cannot say, because:")
                .child(refusal.to_string())
        ],
    });
    shown.collect()
}
