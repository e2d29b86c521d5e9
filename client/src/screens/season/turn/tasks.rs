//! Unfinished tasks: asked about one by one, or all at once.

use leptos::prelude::*;
use selion_core::document::ids::TaskId;
use selion_core::document::season_turn::Fate;

use super::{Turning, step, write_all};
use crate::parts::{ActKind, act, act_link, acts, confirm, line, lines, sheet, use_toasts};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::turn_of_year::{Next, OpenTask, Written, answer, open_tasks};
use crate::plain::wording::counted;

/// What is answered for a task; the new task of one that is carried is made when it is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Answer {
    Carry,
    Drop,
    Done,
}

/// The step about unfinished tasks.
pub(super) fn tasks(turning: Turning) -> Piece {
    let Turning {
        book,
        year,
        end,
        next,
    } = turning;
    let rows = memo(move || open_tasks(&book.garden.read(), year, book.today.get()));
    let (asked, up) = (signal_of(None::<TaskId>), signal_of(false));
    let (carrying, dropping) = (signal_of(false), signal_of(false));
    let write = writer(turning);
    let all = move |what: Answer| {
        let tasks = rows.get_untracked();
        write(tasks.into_iter().map(|row| row.task).collect(), what);
    };
    let one = move |row: OpenTask| {
        let open = move || {
            asked.set(Some(row.task));
            up.set(true);
        };
        Piece::from(line(row.title).bed(row.bed).small(row.small).on_press(open))
    };
    let count = move || counted(rows.read().len(), "task", "tasks");
    let not_yet = derived(move || {
        let words = format!("{} is not there to carry it into yet: step 1.", year + 1);
        (next.get() != Next::Here).then_some(words)
    });
    pieces![
        step(2, "Unfinished tasks", move || end.with(|end| end.tasks.len())),
        when(
            move || !rows.read().is_empty(),
            move || pieces![
                el("p").child("A touch on one asks what becomes of it."),
                lines().child(move || rows.get().into_iter().map(one).collect::<Piece>()),
                acts()
                    .child(
                        act(format!("Carry all into {}", year + 1), move || carrying.set(true))
                            .refused(not_yet)
                    )
                    .child(act("Drop all", move || dropping.set(true)))
            ]
        )
        .otherwise(|| el("p").child("Every task is done or called off.")),
        sheet(
            up,
            derived(move || asked_of(rows, asked).map(|row| row.title).unwrap_or_default()),
            move || live(move || {
                asked_of(rows, asked).map(|row| one_task(turning, row, up, not_yet))
            })
        ),
        confirm(carrying, move || format!("Carry {} into {}?", count(), year + 1))
            .follows(
                "Each becomes a new task of the next year, for any day, with its places, time and note. Those who held a place are free of it; the old task stays as called off."
            )
            .yes("Carry them", move || all(Answer::Carry)),
        confirm(dropping, move || format!("Drop {}?", count()))
            .follows("They are called off and stay in the records. Those who held a place are free of it.")
            .yes("Drop them", move || all(Answer::Drop))
            .grave()
    ]
}

fn asked_of(rows: Memo<Vec<OpenTask>>, asked: RwSignal<Option<TaskId>>) -> Option<OpenTask> {
    let task = asked.get()?;
    rows.with(|rows| rows.iter().find(|row| row.task == task).cloned())
}

fn one_task(
    turning: Turning,
    row: OpenTask,
    up: RwSignal<bool>,
    not_yet: Signal<Option<String>>,
) -> Piece {
    let write = writer(turning);
    let task = row.task;
    let answered = move |what: Answer| {
        up.set(false);
        write(vec![task], what);
    };
    let by_whom = row.holders.join(", ");
    let done =
        if row.holders.is_empty() {
            pieces![
            el("p").class("help").child(
                "If it was done, say on its own sheet who did it and how long it took; hours count."
            ),
            acts().child(act_link(format!("/task/{task}"), "It is done: to its sheet"))
        ]
        } else {
            let took = if row.minutes.is_empty() {
                "No hours are written down with it.".to_owned()
            } else {
                format!(
                    "Each is taken to have needed {}; other hours are said on its sheet.",
                    row.minutes
                )
            };
            pieces![
                el("p").class("help").child(took),
                acts()
                    .child(act(format!("Done by {by_whom}"), move || answered(
                        Answer::Done
                    )))
                    .child(act_link(format!("/task/{task}"), "To its sheet"))
            ]
        };
    pieces![
        el("p").child(row.small),
        acts()
            .child(
                act(format!("Carry it into {}", turning.year + 1), move || {
                    answered(Answer::Carry);
                })
                .kind(ActKind::Main)
                .refused(not_yet)
            )
            .child(act("Drop it", move || answered(Answer::Drop))),
        done
    ]
}

/// Writes an answer for some tasks, and offers to take all of it back.
fn writer(turning: Turning) -> impl Fn(Vec<TaskId>, Answer) + Copy + Send + Sync + 'static {
    let toasts = use_toasts();
    let Turning { book, year, .. } = turning;
    move |tasks: Vec<TaskId>, what: Answer| {
        let on = book.today.get_untracked();
        let garden = book.garden.get_untracked();
        let mut edits: Vec<Written> = Vec::new();
        let mut back: Vec<Written> = Vec::new();
        for task in &tasks {
            let fate = match what {
                Answer::Carry => Fate::Carried(book.fresh(TaskId::fresh)),
                Answer::Drop => Fate::CalledOff,
                Answer::Done => Fate::Done,
            };
            let (mut there, mut undone) = answer(&garden, year, (*task, fate), on);
            edits.append(&mut there);
            back.append(&mut undone);
        }
        let count = counted(tasks.len(), "task", "tasks");
        let done = match what {
            Answer::Carry => format!("{count} carried into {}.", year + 1),
            Answer::Drop => format!("{count} dropped."),
            Answer::Done => format!("{count} done."),
        };
        let said = write_all(book, edits).words(done);
        toasts.say_with_undo(said, move || {
            toasts.say(write_all(book, back.clone()).words("As it was before."));
        });
    }
}
