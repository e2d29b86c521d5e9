//! The lines of hours of a job: where each comes from, and writing down hours done without a task.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::hours_done::HoursFrom;
use selion_core::document::ids::HoursId;
use selion_core::policy::Action;
use selion_core::quantities::{Day, Minutes};

use super::Shown;
use crate::parts::{
    ActKind, act, amount_field, date_field, empty, form, heading, line, lines, send_button, sheet,
    text_field, use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::hours_rows::{self, HoursRow};
use crate::plain::typed::with_unit;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The button that writes down hours, and its sheet.
pub fn log_hours(shown: Shown) -> Piece {
    let book = use_book();
    let open = signal_of(false);
    let refused = derived(move || book.why_not(Action::LogHours, true));
    pieces![
        when(
            move || !shown.is_ended(),
            move || act("Write down my hours", move || open.set(true))
                .kind(ActKind::Main)
                .wide()
                .refused(refused)
        ),
        log_sheet(shown, open)
    ]
}

fn log_sheet(shown: Shown, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let [minutes, day, word] = std::array::from_fn(|_| signal_of(String::new()));
    let wrong = Wrong::new(&["minutes", "day", "word"]);
    watch(move || {
        if open.get() {
            wrong.clear();
            day.set(book.today.get_untracked().to_string());
        }
    });
    let send = move || {
        wrong.clear();
        let typed = with_unit(&minutes.get_untracked(), "h");
        let read = wrong.take("minutes", Minutes::parse(&typed));
        let (Some(read), Some(on)) = (read, wrong.take("day", Day::parse(&day.get_untracked())))
        else {
            return;
        };
        let hours = book.fresh(HoursId::fresh);
        let edit = Edit::LogHours {
            hours,
            job: shown.job,
            minutes: read,
            day: on,
            word: word.get_untracked().trim().to_owned(),
        };
        let document = shown.document();
        if wrong.write(book, document, edit) {
            minutes.set(String::new());
            word.set(String::new());
            open.set(false);
            let strike = Edit::StrikeHours {
                hours,
                on: book.today.get_untracked(),
            };
            toasts.say_with_undo(format!("{} written down.", read.show()), move || {
                if let Err(refused) = book.write(document, strike.clone()) {
                    toasts.say(refused.message);
                }
            });
        }
    };
    sheet(open, "Write down my hours", move || {
        form(send)
            .child(
                el("div")
                    .class("pair")
                    .child(
                        amount_field("How long", minutes, "h")
                            .error(wrong.at("minutes"))
                            .help("2 or 90 min"),
                    )
                    .child(date_field("Day", day).error(wrong.at("day"))),
            )
            .child(
                text_field("What", word)
                    .error(wrong.at("word"))
                    .help("A few words, if you like."),
            )
            .child(wrong_whole(wrong))
            .child(send_button("Write it down"))
    })
}

/// Every line of hours, the latest first.
pub fn hours_lines(shown: Shown) -> Piece {
    let book = use_book();
    let rows = memo(move || {
        let (me, today) = (book.me.get(), book.today.get());
        hours_rows::lines(&book.garden.read(), shown.job, me, today)
    });
    let one = move |row: HoursRow| one_line(shown, row);
    pieces![
        heading("Hours done"),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows.get().into_iter().map(one).collect::<Piece>())
        )
        .otherwise(|| empty("Nothing is done yet")
            .child(el("p").child("Done tasks of this job and hours written down stand here.")))
    ]
}

fn one_line(shown: Shown, row: HoursRow) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let HoursRow {
        who,
        small,
        minutes,
        from,
        mine,
    } = row;
    let hours = match from {
        HoursFrom::Task(task, _) => {
            let href = format!("/task/{task}");
            return Piece::from(
                line(who)
                    .bed("task")
                    .small(small)
                    .mine(mine)
                    .href(href)
                    .child(minutes),
            );
        }
        HoursFrom::Log(hours) => hours,
    };
    let spoken = format!("Strike out {minutes} of {who}");
    let strike = move || {
        let on = book.today.get_untracked();
        pen.write(
            shown.document(),
            Edit::StrikeHours { hours, on },
            "Struck out.",
        );
    };
    Piece::from(
        line(who)
            .bed("log")
            .small(small)
            .mine(mine)
            .child(minutes)
            .child(when(
                move || book.may(Action::StrikeHours, mine),
                move || {
                    act("Strike out", strike)
                        .spoken(spoken.clone())
                        .kind(ActKind::Bare)
                },
            )),
    )
}
