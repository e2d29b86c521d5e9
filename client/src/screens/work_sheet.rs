//! The week sheet: this week or the next, as it is printed for the shed door.

use leptos::prelude::*;

use crate::browser::page;
use crate::parts::{ActKind, Filter, act, acts, empty, filters, page_head};
use crate::piece::{El, Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::week_sheet::{SheetDay, SheetLine, sheet};
use crate::plain::wording::day_words;
use crate::state::use_book;

const THIS: &str = "this";
const NEXT: &str = "next";

/// The screen at `/week/sheet`.
pub fn week_sheet() -> Piece {
    let book = use_book();
    let chosen = signal_of(THIS);
    let found = memo(move || {
        let today = book.today.get();
        let week = today.week();
        let week = if chosen.get() == NEXT {
            week.next()
        } else {
            week
        };
        sheet(&book.garden.read(), week, today)
    });
    let label = derived(move || book.garden_name());
    let title = derived(move || found.with(|found| found.title.clone()));
    let choices = vec![
        Filter::new(THIS, "This week"),
        Filter::new(NEXT, "Next week"),
    ];
    let days = move || {
        let days = found.with(|found| found.days.clone());
        days.into_iter().map(day_table).collect::<Piece>()
    };
    let cautions = move || {
        let words = found.with(|found| found.cautions.clone());
        let one = |words: String| el("li").child(words);
        (!words.is_empty()).then(|| {
            el("ul")
                .class("note wait")
                .attr("role", "list")
                .attr("aria-label", "Be careful")
                .child(words.into_iter().map(one).collect::<Piece>())
        })
    };
    let printed_on = derived(move || {
        let today = book.today.get();
        // Any other day than today makes the words name the day itself.
        let day = day_words(today, today.plus_days(-3));
        format!(
            "As it stood on {day}. Sign in a square to take a place; somebody with a phone puts it in."
        )
    });
    pieces![
        page_head(label, title).back("/work", "Work"),
        filters("Which week", choices, chosen),
        acts().child(
            act("Print", move || page::note_trouble(page::print()))
                .spoken("Print the week sheet")
                .kind(ActKind::Main)
        ),
        when(
            move || found.with(|found| !found.days.is_empty()),
            move || el("div")
                .class("week-sheet")
                .child(days)
                .child(cautions)
                .child(el("p").class("help").child(printed_on))
        )
        .otherwise(|| empty("Nothing is to be done in this week")
            .child(el("p").child("Tasks and picking turns that are put up for it show here.")))
    ]
}

fn day_table(day: SheetDay) -> El {
    let SheetDay { heading, lines } = day;
    let head = |words: &'static str| el("th").attr("scope", "col").child(words);
    el("table")
        .child(el("caption").child(heading))
        .child(
            el("thead").class("visually-hidden").child(
                el("tr")
                    .child(head("Bed"))
                    .child(head("What"))
                    .child(head("Who")),
            ),
        )
        .child(el("tbody").child(lines.into_iter().map(line_row).collect::<Piece>()))
}

fn line_row(line: SheetLine) -> El {
    let SheetLine {
        bed,
        what,
        small,
        names,
        squares,
        more,
    } = line;
    let name = |name: String| el("span").class("signed").child(name);
    let spoken = (squares + more > 0).then(|| {
        el("span")
            .class("visually-hidden")
            .child(format!("{} open", squares + more))
    });
    let square = |_| el("span").class("to-sign").attr("aria-hidden", "true");
    let more = (more > 0).then(|| el("span").class("signed").child(format!("and {more} more")));
    el("tr")
        .child(el("th").attr("scope", "row").child(bed))
        .child(
            el("td")
                .child(what)
                .child((!small.is_empty()).then(|| el("small").child(small))),
        )
        .child(
            el("td")
                .child(names.into_iter().map(name).collect::<Piece>())
                .child((0..squares).map(square).collect::<Piece>())
                .child(more)
                .child(spoken),
        )
}
