//! What is on at a bed: this week's tasks and pickers, its part of each load, what was picked from it.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::policy::Action;

use crate::parts::{
    FigureRow, TagKind, WorkingText, empty, figures, heading, line, lines, tag, working,
};
use crate::piece::{Piece, derived, el, memo, pieces, when};
use crate::plain::bed_facts::{self, LoadOfBed};
use crate::plain::tasks::{Show as Which, TaskLine, listed};
use crate::plain::turns::{TurnLine, turns_between};
use crate::plain::wording::{capital, day_words, taken_of};
use crate::state::use_book;

/// The tasks that are not done, and who picks this week.
pub fn this_week(bed: BedId) -> Piece {
    let book = use_book();
    let tasks = memo(move || {
        let garden = book.garden.read();
        let (me, today) = (book.me.get(), book.today.get());
        listed(&garden, Which::ToDo, me)
            .into_iter()
            .filter(|(_, task)| task.bed == Some(bed))
            .filter_map(|(id, _)| TaskLine::of(&garden, id, me, today))
            .collect::<Vec<_>>()
    });
    let turns = memo(move || {
        let today = book.today.get();
        let monday = today.week().first_day();
        let mut turns = turns_between(
            &book.garden.read(),
            monday,
            monday.plus_days(6),
            book.me.get(),
            today,
        );
        turns.retain(|turn| turn.bed == bed);
        turns
    });
    let is_empty = move || tasks.read().is_empty() && turns.read().is_empty();
    pieces![
        heading("Work and picking"),
        when(
            move || !is_empty(),
            move || lines()
                .child(move || tasks.get().into_iter().map(task_line).collect::<Piece>())
                .child(move || {
                    let today = book.today.get();
                    turns
                        .get()
                        .into_iter()
                        .map(|turn| turn_line(&turn, today))
                        .collect::<Piece>()
                })
        )
        .otherwise(|| empty("Nothing is put up for this bed")
            .child(el("p").child("No task waits, and nobody is down to pick it this week.")))
    ]
}

fn task_line(task: TaskLine) -> Piece {
    let mine = task.mine.is_some();
    line(task.title)
        .bed("do")
        .small(task.small)
        .mine(mine)
        .href(format!("/task/{}", task.task))
        .child(taken_of(task.taken, task.places))
        .child(el("small").child("places"))
        .into()
}

fn turn_line(turn: &TurnLine, today: selion_core::quantities::Day) -> Piece {
    let who = if turn.is_mine() {
        "You pick".to_owned()
    } else if turn.picker.is_some() {
        format!("{} picks", turn.name)
    } else {
        "Nobody picks yet".to_owned()
    };
    let day = capital(&day_words(turn.day, today));
    line(who)
        .bed("pick")
        .small(day)
        .mine(turn.is_mine())
        .done(turn.done)
        .href(format!("/picking?turn={}", turn.turn))
        .into()
}

/// The bed's part of each load, with its working; not for helpers, who do not get the ledger.
pub fn loads_of_bed(bed: BedId) -> Piece {
    let book = use_book();
    let loads = memo(move || {
        if book.may(Action::SeeLedger, false) {
            bed_facts::loads(&book.garden.read(), bed, book.today.get(), book.units())
        } else {
            Vec::new()
        }
    });
    let panel = |load: LoadOfBed| {
        let LoadOfBed {
            order,
            material,
            mass,
            small,
            steps,
            is_closed,
        } = load;
        let text = WorkingText {
            steps,
            basis: Vec::new(),
            rounding: Some("Grams are shared by largest remainder over all beds.".to_owned()),
            source: "The rate of the order over the bed's area.".to_owned(),
            is_estimate: false,
            cautions: Vec::new(),
        };
        let title = format!("Working for {mass}");
        pieces![
            lines().child(
                line(material)
                    .bed("load")
                    .small(small)
                    .href(format!("/order/{order}"))
                    .child(mass)
                    .child(is_closed.then(|| tag("closed", TagKind::Done)))
            ),
            working(title, text)
        ]
    };
    when(
        move || !loads.read().is_empty(),
        move || {
            pieces![heading("Its part of the loads"), move || loads
                .get()
                .into_iter()
                .map(panel)
                .collect::<Piece>()]
        },
    )
    .into()
}

/// What was picked this season.
pub fn pickings(bed: BedId) -> Piece {
    let book = use_book();
    let rows = memo(move || {
        let units = book.units();
        bed_facts::picked(&book.garden.read(), bed, book.today.get().year())
            .iter()
            .map(|crop| FigureRow {
                cells: crop.cells(units),
                mine: false,
            })
            .collect::<Vec<_>>()
    });
    let heads = derived(move || bed_facts::picked_heads(book.units()));
    let caption = derived(move || format!("Season {}", book.today.get().year()));
    when(
        move || !rows.read().is_empty(),
        move || pieces![heading("Picked this season"), figures(caption, heads, rows)],
    )
    .into()
}
