//! This week: what is mine, what still needs people, what I was told, what was set aside, my loads and hours.

use leptos::prelude::*;
use selion_core::document::Role;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TurnId;
use selion_core::document::records::Standing;
use selion_core::policy::Action;
use selion_core::reckoning::Caution;
use selion_core::sync::ToldRow;

use super::claims::use_claims;
use super::set_aside::set_aside;
use super::task_lines::{NEEDS_PEOPLE, RowKind, task_row};
use crate::browser::page;
use crate::later::{Later, later_beside};
use crate::parts::{
    NoteKind, TagKind, act, act_link, empty, heading, line, lines, note, page_head, tag,
};
use crate::piece::{Piece, derived, each, el, memo, pieces, row, when};
use crate::plain::turns::TurnLine;
use crate::plain::week;
use crate::plain::wording::{capital, counted, day_words, notice_words, place_href, stand_by};
use crate::state::use_book;

/// The screen.
pub fn week_page() -> Piece {
    let book = use_book();
    let label = derived(move || {
        let week = book.today.get().week().number();
        format!("{} · week {week}", book.garden_name())
    });
    pieces![
        page_head(label, "This week"),
        set_aside(),
        told_lines(),
        later_beside(Later::Waits),
        el("div")
            .class("split")
            .child(el("div").child(mine()).child(needs_people()))
            .child(el("div").child(later_beside(Later::LoadsAndHours)))
    ]
}

fn mine() -> Piece {
    let book = use_book();
    let tasks = memo(move || {
        let me = book.me.get();
        me.map(|me| week::my_tasks(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let turns = memo(move || {
        let me = book.me.get();
        me.map(|me| week::my_turns(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let later = memo(move || {
        let me = book.me.get();
        me.map_or(0, |me| {
            week::my_later_tasks(&book.garden.read(), me, book.today.get())
        })
    });
    let turn_ids = move || turns.get().into_iter().map(|turn| turn.turn);
    let is_empty = move || tasks.read().is_empty() && turns.read().is_empty();
    pieces![
        heading("Mine"),
        when(
            move || !is_empty(),
            move || lines()
                .child(each(turn_ids, move |turn| row(turn, move || turn_row(
                    turn
                ))))
                .child(each(
                    move || tasks.get(),
                    move |task| row(task, move || task_row(task, RowKind::Whole))
                ))
        )
        .otherwise(|| empty("You have claimed nothing this week")
            .child(el("p").child("Claim a task below, or look at all the work."))
            .child(act_link("/work?show=open", "What needs people"))),
        when(
            move || later.get() != 0,
            move || el("p").child(
                el("a")
                    .attr("href", "/work?show=mine")
                    .child(move || format!(
                        "And {} for later weeks",
                        counted(later.get(), "task", "tasks")
                    ))
            )
        )
    ]
}

/// One picking turn as a line of the week.
fn turn_row(turn: TurnId) -> Piece {
    let book = use_book();
    let claims = use_claims();
    let shown =
        memo(move || TurnLine::of(&book.garden.read(), turn, book.me.get(), book.today.get()));
    let bed = derived(move || shown.get().map(|shown| shown.label).unwrap_or_default());
    let what = derived(move || format!("Pick {}", bed.get()));
    let small = derived(move || {
        let shown = shown.get();
        shown
            .map(|shown| {
                let day = day_words(shown.day, book.today.get());
                if shown.late {
                    format!("was for {day}")
                } else {
                    capital(&day)
                }
            })
            .unwrap_or_default()
    });
    let mine = derived(move || shown.get().is_some_and(|shown| shown.mine.is_some()));
    let done = derived(move || shown.get().is_some_and(|shown| shown.done));
    let state = move || {
        let shown = shown.get()?;
        let (word, kind) = if book.waits(&turn) {
            ("waiting".to_owned(), TagKind::Wait)
        } else if shown.done {
            ("done".to_owned(), TagKind::Done)
        } else if let Some((_, Standing::StandsBy(steps))) = shown.mine {
            (stand_by(steps), TagKind::Wait)
        } else if shown.late {
            ("late".to_owned(), TagKind::Stop)
        } else {
            ("turn".to_owned(), TagKind::Plain)
        };
        Some(tag(word, kind))
    };
    let is_open = move || shown.get().is_some_and(|shown| shown.picker.is_none());
    let of = Claimable::Turn(turn);
    line(what)
        .bed(bed)
        .small(small)
        .href(place_href(of))
        .mine(mine)
        .done(done)
        .child(
            when(is_open, move || {
                act("Take", move || {
                    claims.claim(of);
                    page::focus_in_place(NEEDS_PEOPLE);
                })
                .spoken(format!("Take the turn: {}", what.get_untracked()))
                .refused(move || book.why_not(Action::Claim, false))
            })
            .otherwise(state),
        )
        .into()
}

fn needs_people() -> Piece {
    let book = use_book();
    let tasks = memo(move || {
        week::tasks_that_need_people(&book.garden.read(), book.me.get(), book.today.get())
    });
    let turns = memo(move || week::turns_that_need_people(&book.garden.read(), book.today.get()));
    let turn_ids = move || turns.get().into_iter().map(|turn| turn.turn);
    let is_empty = move || tasks.read().is_empty() && turns.read().is_empty();
    el("section")
        .id(NEEDS_PEOPLE)
        .attr("tabindex", "-1")
        .attr("aria-label", "Still needs people")
        .child(heading("Still needs people"))
        .child(
            when(
                move || !is_empty(),
                move || {
                    lines()
                        .child(each(turn_ids, move |turn| {
                            row(turn, move || turn_row(turn))
                        }))
                        .child(each(
                            move || tasks.get(),
                            move |task| row(task, move || task_row(task, RowKind::Claimable)),
                        ))
                },
            )
            .otherwise(|| {
                empty("Nothing waits for hands this week")
                    .child(el("p").child("Tasks and turns with a free place show here."))
            }),
        )
        .into()
}

// What the garden's service changed under this person; it stays until it is put away.
fn told_lines() -> Piece {
    let book = use_book();
    when(
        move || !book.told.read().is_empty(),
        move || {
            pieces![
                heading("You were told"),
                each(
                    move || book.told.get(),
                    |told| row(told.number, move || one_told(told))
                )
            ]
        },
    )
    .into()
}

fn one_told(row: ToldRow) -> Piece {
    let book = use_book();
    let ToldRow { number, notice, .. } = row;
    let told = memo(move || notice_words(&book.garden.read(), &notice, book.today.get()));
    let class = move || {
        if told.read().is_loss {
            "note wait"
        } else {
            "note"
        }
    };
    let look = move || {
        let href = told.get().href?;
        Some(act_link(href, "Look at it"))
    };
    el("div")
        .class(class)
        .child(el("p").child(move || told.get().words))
        .child(
            el("div")
                .class("acts-inline")
                .child(look)
                .child(act("Put away", move || book.put_away(number))),
        )
        .into()
}

/// This person's part of every load, and their hours: what the arithmetic of sharing out is needed for, so it comes with
/// the later file.
pub fn loads_and_hours() -> Piece {
    pieces![loads(), hours_lines()]
}

fn loads() -> Piece {
    let book = use_book();
    let loads = memo(move || {
        let may_see = book.may(Action::SeeLedger, true);
        let me = book.me.get().filter(|_| may_see);
        me.map(|me| week::my_loads(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let cautions = memo(move || {
        let mut cautions: Vec<Caution> = Vec::new();
        for caution in loads.get().into_iter().flat_map(|load| load.cautions) {
            if !cautions.contains(&caution) {
                cautions.push(caution);
            }
        }
        cautions
    });
    let shown = move || {
        let load_line = |load: week::LoadLine| {
            let to_pay = if load.is_closed {
                "your share"
            } else {
                "as it stands"
            };
            line(load.material)
                .bed("load")
                .small(format!("{} · {}", load.what, load.small))
                .href(format!("/order/{}", load.order))
                .child(load.pays)
                .child(el("small").child(to_pay))
        };
        loads.get().into_iter().map(load_line).collect::<Piece>()
    };
    when(
        move || !loads.read().is_empty(),
        move || {
            pieces![heading("Loads"), lines().child(shown), move || cautions
                .get()
                .into_iter()
                .map(|caution| note().kind(NoteKind::Mind).child(caution.wording()))
                .collect::<Piece>()]
        },
    )
    .into()
}

fn hours_lines() -> Piece {
    let book = use_book();
    let hours = memo(move || {
        let me = book.me.get();
        me.map(|me| week::my_hours(&book.garden.read(), me))
            .unwrap_or_default()
    });
    let is_helper = move || book.role() == Some(Role::Helper);
    let shown = move || {
        let hours_line = |hours: week::HoursLine| {
            let (due, small) = if hours.due.is_positive() {
                (
                    format!("of {} due", hours.due.show()),
                    "Your hours of a shared job",
                )
            } else {
                ("done".to_owned(), "")
            };
            line(hours.title)
                .bed("job")
                .small(small)
                .href(format!("/job/{}", hours.job))
                .child(hours.done.show())
                .child(el("small").child(due))
        };
        hours.get().into_iter().map(hours_line).collect::<Piece>()
    };
    when(
        move || !hours.read().is_empty(),
        move || {
            pieces![
                heading(move || {
                    if is_helper() {
                        "Hours you gave"
                    } else {
                        "Hours"
                    }
                }),
                lines().child(shown)
            ]
        },
    )
    .into()
}
