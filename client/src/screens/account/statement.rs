//! The statement of one account: a line for each charge and entry with what was owed after it. On paper it is a table.

use leptos::prelude::*;
use selion_core::document::balance::{self, LineFrom};
use selion_core::document::records::Payer;

use super::line::line_sheet;
use super::record::record_money;
use crate::parts::{
    Choice, FigureRow, TagKind, WorkingText, act, act_link, acts, empty, figures, heading, line,
    lines, page_head, select_field, tag, title_block, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::statement::{LineState, Statement, StatementLine, paper_words, statement, years};
use crate::screens::looker::use_looker;
use crate::state::use_book;

/// The statement of an account that whoever looks may see.
pub fn statement_screen(payer: Payer) -> Piece {
    let book = use_book();
    let looker = use_looker();
    let years_there = memo(move || years(&book.garden.read()));
    let this_year = untrack(|| book.today.get().year());
    let first = untrack(|| {
        let years = years_there.get();
        years
            .iter()
            .find(|year| **year == this_year)
            .or(years.first())
            .copied()
    });
    let chosen = signal_of(first.unwrap_or(this_year).to_string());
    let shown = memo(move || {
        let year = chosen.get().parse().unwrap_or(this_year);
        let currency = book.currency()?;
        Some(statement(
            &book.garden.read(),
            payer,
            year,
            looker.me(),
            currency,
        ))
    });
    // On paper nobody in particular looks, so that the name stands there.
    let is_mine = memo(move || looker.me().is_some_and(|me| payer == Payer::Member(me)));
    let title = derived(move || {
        let name = shown.with(|shown| shown.as_ref().map(|shown| shown.name.clone()));
        if is_mine.get() {
            "My account".to_owned()
        } else {
            name.unwrap_or_default()
        }
    });
    let label = derived(move || format!("{} · {}", book.garden_name(), chosen.get()));
    pieces![
        page_head(label, title).back("/shares", "Shares"),
        el("p").class("paper-only").child(move || {
            let name = book.garden_name();
            shown.with(|shown| {
                shown
                    .as_ref()
                    .map(|shown| paper_words(shown, &name, book.today.get()))
            })
        }),
        balance_line(shown),
        title_block(derived(move || {
            shown.with(|shown| {
                shown
                    .as_ref()
                    .map(|shown| shown.block.clone())
                    .unwrap_or_default()
            })
        })),
        year_chooser(years_there, chosen),
        what_stands(payer, shown),
        on_paper(payer, shown),
        record_money(payer),
        acts()
            .child(act_link("/settle", "Settle up"))
            .child(act("Print the statement", move || looker.print()))
    ]
}

type Shown = Memo<Option<Statement>>;

fn balance_line(shown: Shown) -> Piece {
    let words = move || {
        shown.with(|shown| {
            let shown = shown.as_ref()?;
            let waiting = shown.waiting.clone();
            Some(pieces![
                el("p")
                    .class("balance")
                    .child(el("span").class("label").child(shown.owed_words))
                    .child(el("strong").child(shown.owed.clone())),
                waiting.map(|words| el("p").class("help").child(words))
            ])
        })
    };
    Piece::from(words)
}

fn year_chooser(years: Memo<Vec<i16>>, chosen: RwSignal<String>) -> Piece {
    let choices = derived(move || {
        let choice = |year: &i16| Choice::new(year.to_string(), year.to_string());
        years.read().iter().map(choice).collect::<Vec<_>>()
    });
    when(
        move || years.read().len() > 1,
        move || {
            el("div")
                .class("form screen-only")
                .child(select_field("Year", chosen, choices))
        },
    )
    .into()
}

fn what_stands(payer: Payer, shown: Shown) -> Piece {
    let looked_at = signal_of(None::<StatementLine>);
    let rows = memo(move || {
        shown.with(|shown| {
            shown
                .as_ref()
                .map(|shown| shown.lines.clone())
                .unwrap_or_default()
        })
    });
    let one = move |row: StatementLine| statement_row(row, looked_at);
    el("div")
        .class("screen-only")
        .child(heading("Line by line, with the balance after each"))
        .child(
            when(
                move || !rows.read().is_empty(),
                move || lines().child(move || rows.get().into_iter().map(one).collect::<Piece>()),
            )
            .otherwise(|| {
                empty("Nothing stands on this account this year").child(el("p").child(
                    "Shares of closed loads and payments stand here, each with its working.",
                ))
            }),
        )
        .child(line_sheet(payer, looked_at))
        .into()
}

fn statement_row(row: StatementLine, looked_at: RwSignal<Option<StatementLine>>) -> Piece {
    let mark = match row.state {
        LineState::Counts => None,
        LineState::Waits => Some(tag("not confirmed", TagKind::Wait)),
        LineState::LooksAlike => Some(tag("a double?", TagKind::Stop)),
        LineState::TakenBack => Some(tag("taken back", TagKind::Plain)),
    };
    let counts = matches!(row.state, LineState::Counts | LineState::TakenBack);
    let after = if counts {
        format!("= {}", row.balance)
    } else {
        "not counted".to_owned()
    };
    let pressed = row.clone();
    let shown = line(row.what)
        .bed(row.margin)
        .small(row.small)
        .child(row.amount)
        .child(el("small").child(after))
        .child(mark);
    if row.line.is_none() {
        return shown.into();
    }
    shown
        .on_press(move || looked_at.set(Some(pressed.clone())))
        .into()
}

fn on_paper(payer: Payer, shown: Shown) -> Piece {
    let heads = ["Day", "What", "Adds", "Owed after it"]
        .map(ToOwned::to_owned)
        .to_vec();
    let rows = derived(move || {
        let row = |line: &StatementLine| {
            let what = if line.small.is_empty() {
                line.what.clone()
            } else {
                format!("{} · {}", line.what, line.small)
            };
            FigureRow {
                cells: vec![
                    line.day.clone(),
                    what,
                    line.amount.clone(),
                    line.balance.clone(),
                ],
                mine: false,
            }
        };
        shown.with(|shown| {
            shown
                .iter()
                .flat_map(|shown| &shown.lines)
                .map(row)
                .collect::<Vec<_>>()
        })
    });
    let whole = derived(move || {
        shown.with(|shown| {
            let row = |shown: &Statement| FigureRow {
                cells: vec![
                    String::new(),
                    shown.owed_words.to_owned(),
                    String::new(),
                    shown.owed.clone(),
                ],
                mine: false,
            };
            shown.iter().map(row).collect::<Vec<_>>()
        })
    });
    el("div")
        .class("paper-only statement")
        .child(figures("Line by line", heads, rows).whole(whole))
        .child(el("p").child(
            "A line of the ledger is never changed; a mistake is taken back by a further line. A line that is not confirmed yet changes nothing.",
        ))
        .child(workings_on_paper(payer, shown))
        .into()
}

/// How each share and bill comes about; on the screen a touch on its line says so.
fn workings_on_paper(payer: Payer, shown: Shown) -> Piece {
    let book = use_book();
    let texts = memo(move || {
        let garden = book.garden.read();
        shown.with(|shown| {
            let lines = shown.iter().flat_map(|shown| &shown.lines);
            let charges = lines
                .filter_map(|line| line.line.as_ref())
                .filter(|line| matches!(line.from, LineFrom::Share(_) | LineFrom::Invoice(_)));
            let explained = charges.map(|line| {
                let text = WorkingText::from(&balance::explain(&garden, payer, line));
                (format!("{}, {}", line.words(), line.day), text)
            });
            explained.collect::<Vec<_>>()
        })
    });
    let one = |(title, text): (String, WorkingText)| Piece::from(working(title, text).open(true));
    live(move || texts.get().into_iter().map(one).collect::<Piece>())
}
