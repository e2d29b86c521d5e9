//! What a coordinator looks at first: open loads and who has not answered, who has not paid; and the year as files.

use leptos::prelude::*;
use selion_core::exchange::ledger_sheet;
use selion_core::quantities::BadInput;

use crate::browser::page;
use crate::parts::{
    Choice, TagKind, Toasts, act, acts, heading, line, lines, select_field, tag, use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::file_name::file_word;
use crate::plain::statement::years;
use crate::plain::waits::{OpenOrder, not_paid, open_orders};
use crate::state::{Book, use_book};

/// Open loads with who has not answered, and who has not paid.
pub fn desk() -> Piece {
    let book = use_book();
    let orders = memo(move || open_orders(&book.garden.read()));
    let unpaid = memo(move || not_paid(&book.garden.read(), book.currency()?));
    let order_line = |order: OpenOrder| {
        Piece::from(
            line(order.title)
                .bed("load")
                .small(order.words)
                .href(format!("/order/{}", order.order))
                .child(tag("open", TagKind::Wait)),
        )
    };
    let unpaid_line =
        |(words, names): (String, String)| line(words).bed("pay").small(names).href("/settle");
    when(
        move || !orders.read().is_empty() || unpaid.read().is_some(),
        move || {
            pieces![
                heading("Not settled yet"),
                lines()
                    .child(move || orders.get().into_iter().map(order_line).collect::<Piece>())
                    .child(move || unpaid.get().map(unpaid_line))
            ]
        },
    )
    .into()
}

/// The year's ledger as a table for a spreadsheet, or for other programs.
pub fn export() -> Piece {
    let book = use_book();
    // What a press needs is taken here: at the press nobody provides it any more.
    let desk = (book, use_toasts());
    let years_there = memo(move || years(&book.garden.read()));
    let first = untrack(|| years_there.read().first().copied());
    let year = signal_of(first.map(|year| year.to_string()).unwrap_or_default());
    let choices = derived(move || {
        let years = years_there.read();
        let choice = |year: &i16| Choice::new(year.to_string(), year.to_string());
        years.iter().map(choice).collect::<Vec<_>>()
    });
    when(
        move || !years_there.read().is_empty(),
        move || {
            pieces![
                heading("For the treasurer"),
                el("p").child(
                    "Every line of every account in a year. In a spreadsheet the amounts that count sum to nothing."
                ),
                el("div")
                    .class("form")
                    .child(select_field("Year", year, choices)),
                acts()
                    .child(act("Save as a table (CSV)", move || save(desk, year, Form::Table)))
                    .child(act("Save as JSON", move || save(desk, year, Form::Json)))
            ]
        },
    )
    .into()
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Table,
    Json,
}

fn save((book, toasts): (Book, Toasts), year: RwSignal<String>, form: Form) {
    let made = sheet_text(book, year, form);
    let ending = if form == Form::Table { "csv" } else { "json" };
    let name = format!(
        "{}-ledger-{}.{ending}",
        file_word(&untrack(|| book.garden_name())),
        year.get_untracked()
    );
    let said = match made {
        Ok(text) => match page::save_as_file(&name, &text) {
            Ok(()) => format!("Saved as {name}."),
            Err(trouble) => trouble.to_string(),
        },
        Err(bad) => bad.to_string(),
    };
    toasts.say(said);
}

fn sheet_text(book: Book, year: RwSignal<String>, form: Form) -> Result<String, BadInput> {
    let typed = year.get_untracked();
    let number = typed
        .parse()
        .map_err(|_no_number| BadInput::new("year", "a year", &typed))?;
    let sheet = ledger_sheet::of_year(&book.garden.read_untracked(), number)?;
    match form {
        Form::Table => sheet.to_csv(),
        Form::Json => sheet.to_json(),
    }
}
