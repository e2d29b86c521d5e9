//! Ground and plan as they stood on a day: to be looked at, and nothing can be written meanwhile.

use leptos::prelude::*;
use selion_core::quantities::Day;

use super::{Asked, DRAWN, the_year};
use crate::address::{NavigateOptions, use_navigate};
use crate::browser::clock;
use crate::parts::{
    ActKind, NoteKind, act_link, date_field, empty, form, heading, line, lines, note, page_head,
    send_button,
};
use crate::piece::{Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::wording::{capital, in_a_sentence};
use crate::plain::year_rows::choose;
use crate::plain::{ground_rows, look_back};
use crate::screens::form::Wrong;
use crate::screens::ground::backdrop::use_under_plan;
use crate::screens::ground::marks::shade_hour;
use crate::screens::ground::plan::ground_plan;
use crate::screens::looker::use_looker;
use crate::state::{Book, LookedBack, use_book};

/// The screen at `/season/then` and `/season/then/:day`.
pub fn then_screen(day: Option<&str>) -> Piece {
    let book = use_book();
    let label = derived(move || format!("Season · {}", book.garden_name()));
    let today = untrack(|| book.today.get());
    let Some(typed) = day else {
        return pieces![
            page_head(label, "As it stood on a day").back("/season", "The year"),
            el("p").child(
                "Every change is kept with its day. Choose one: the ground and the plan are shown as they stood in its evening."
            ),
            choose_day(today.plus_months(-1))
        ];
    };
    let day = match look_back::read(typed, today) {
        Ok(day) => day,
        Err(bad) => {
            return pieces![
                page_head(label, "As it stood on a day").back("/season", "The year"),
                note().kind(NoteKind::Stop).child(capital(&bad.to_string())),
                choose_day(today)
            ];
        }
    };
    let title = capital(&format!("as it stood {}", in_a_sentence(day, today)));
    // Who looks is known once the documents are there, so that what is kept of them can be asked.
    pieces![
        page_head(label, title.clone()).back("/season", "The year"),
        banner(&title),
        when(
            move || book.me.get().is_some(),
            move || looked_back(book, day)
        )
        .otherwise(crate::later::opening),
        el("div")
            .class("screen-only")
            .child(heading("Another day"))
            .child(choose_day(day))
    ]
}

/// Always in sight, so that nobody takes the past for today.
fn banner(title: &str) -> Piece {
    el("div")
        .class("looking-back")
        .attr("role", "note")
        .child(
            el("p")
                .child(el("strong").child(format!("{title}.")))
                .child(" Nothing can be written here."),
        )
        .child(act_link("/season", "Back to today").kind(ActKind::Main))
        .into()
}

fn choose_day(begin: Day) -> Piece {
    let book = use_book();
    let navigate = use_navigate();
    let typed = signal_of(begin.to_string());
    let wrong = Wrong::new(&["day"]);
    let look = move || {
        wrong.clear();
        let today = book.today.get_untracked();
        if let Some(day) = wrong.take("day", look_back::read(&typed.get_untracked(), today)) {
            navigate(&format!("/season/then/{day}"), NavigateOptions::default());
        }
    };
    form(look)
        .child(date_field("Day", typed).error(wrong.at("day")))
        .child(send_button("Show how it stood"))
        .into()
}

/// The garden is asked for once, when the screen is opened: the past does not change.
fn looked_back(book: Book, day: Day) -> Piece {
    let zone = untrack(|| book.profile()).map(|profile| profile.time_zone.clone());
    let zone = zone.unwrap_or_else(|| "UTC".to_owned());
    let end = look_back::end_of(day, |moment| {
        clock::day_of(moment, &zone).unwrap_or_else(|_no_zone| moment.day_in_utc())
    });
    match untrack(|| book.as_of(end, day)) {
        Ok(past) => {
            provide_context(LookedBack(past));
            as_it_stood(past)
        }
        Err(trouble) => note().kind(NoteKind::Stop).child(trouble).into(),
    }
}

fn as_it_stood(past: Book) -> Piece {
    let was_there = untrack(|| past.profile()).is_some();
    if !was_there {
        return empty("The garden was not kept here yet on that day")
            .child(el("p").child("A later day shows what was written first."))
            .into();
    }
    let looker = use_looker();
    let year = untrack(|| past.today.get().year());
    let asked = Asked {
        book: past,
        looker,
        year: signal_of(year.to_string()),
        beds: signal_of(choose::ALL.to_owned()),
        crop: signal_of(choose::ALL.to_owned()),
        looks_back: true,
    };
    let (hour, under) = (shade_hour(), use_under_plan());
    let has_ground = memo(move || ground_rows::extent(&past.garden.read()).is_some());
    let rows =
        memo(move || ground_rows::rows(&past.garden.read(), None, past.today.get(), past.units()));
    let bed_line = |row: ground_rows::BedRow| {
        Piece::from(
            line(row.holders)
                .bed(row.label)
                .child(row.area)
                .child(el("small").child(row.unit)),
        )
    };
    pieces![
        heading("The ground"),
        when(
            move || has_ground.get(),
            move || el("div")
                .class("split")
                .child(ground_plan(looker, hour, under))
                .child(lines().child(live(move || {
                    rows.get().into_iter().map(bed_line).collect::<Piece>()
                })))
        )
        .otherwise(|| empty("Nothing was drawn yet")),
        heading("The plan"),
        the_year(asked, signal_of(DRAWN))
    ]
}
