//! Everything about one task: its places, its note, its fields, who put it up.

pub mod fields;
pub mod note;

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::edit::{Claimable, TaskField};
use selion_core::document::ids::TaskId;
use selion_core::document::records::Task;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::Minutes;

use self::fields::{FIELDS, TaskDraft, task_fields};
use self::note::task_note;
use super::claims::claim_desk;
use super::form::{Wrong, wrong_whole};
use crate::later::{Later, later_sheet};
use crate::parts::{
    ActKind, NoteKind, TagKind, act, acts, confirm, form, heading, line, lines, not_here, note,
    page_head, send_button, sheet, tag, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, watch, when};
use crate::plain::wording::{capital, day_words, plan_words};
use crate::state::use_book;

/// The screen at `/task/:id`.
pub fn task_page(id: &str) -> Piece {
    let book = use_book();
    let id = id.parse::<TaskId>().ok();
    let is_here = memo(move || id.filter(|task| book.garden.read().task(*task).is_some()));
    live(move || match is_here.get() {
        Some(task) => one_task(task),
        None => not_here("task", ("/work", "Work")),
    })
}

/// A task as its screen reads it.
#[derive(Clone, Copy, Debug)]
pub struct OpenTask {
    task: TaskId,
    record: Memo<Option<(i16, Arc<Task>)>>,
}

impl OpenTask {
    fn with<T>(self, read: impl FnOnce(&Task) -> T) -> Option<T> {
        self.record
            .with(|found| found.as_ref().map(|(_, task)| read(task)))
    }

    fn document(self) -> Option<DocumentName> {
        self.record
            .with_untracked(|found| found.as_ref().map(|(year, _)| DocumentName::Season(*year)))
    }
}

fn one_task(task: TaskId) -> Piece {
    let book = use_book();
    let record = memo(move || {
        let garden = book.garden.read();
        garden
            .task(task)
            .map(|(year, task)| (year, Arc::clone(task)))
    });
    let open = OpenTask { task, record };
    let title = derived(move || open.with(|task| task.title.clone()).unwrap_or_default());
    let label = derived(move || {
        let bed = open.with(|task| task.bed).flatten();
        let garden = book.garden.read();
        bed.map_or_else(
            || "Whole garden".to_owned(),
            |bed| format!("Bed {}", garden.label_of(Some(bed))),
        )
    });
    pieces![
        page_head(label, title).back("/work", "Work"),
        when(
            move || book.waits(&task),
            move || el("p")
                .child(tag("waiting", TagKind::Wait))
                .child(" Something about this task is saved on this phone and not sent yet.")
        ),
        when(
            move || open.with(|task| task.ended_on.is_some()).unwrap_or(false),
            move || called_off(open)
        ),
        plan_now(open),
        facts(open),
        claim_desk(Claimable::Task(task)),
        task_note(task),
        changes(open)
    ]
}

// When, how long, for which job, and who put it up.
fn facts(open: OpenTask) -> Piece {
    let book = use_book();
    let today = move || book.today.get();
    let day = derived(move || {
        let day = open.with(|task| task.day).flatten();
        day.map_or_else(
            || "Any day".to_owned(),
            |day| capital(&day_words(day, today())),
        )
    });
    let minutes = move || {
        open.with(|task| task.minutes)
            .filter(|minutes| minutes.is_positive())
    };
    let for_one = derived(move || minutes().map(Minutes::show).unwrap_or_default());
    let made_by = derived(move || {
        let garden = book.garden.read();
        open.with(|task| {
            if book.is_me(task.made_by) {
                "You".to_owned()
            } else {
                garden.name_of(task.made_by).to_owned()
            }
        })
        .unwrap_or_default()
    });
    let bed = move || open.with(|task| task.bed).flatten();
    let job = move || {
        let job = open.with(|task| task.job).flatten()?;
        let title = book
            .garden
            .read()
            .job(job)
            .map(|(_, job)| job.title.clone())?;
        Some((job, title))
    };
    pieces![
        el("dl")
            .class("titleblock")
            .child(
                el("div")
                    .child(el("dt").child("When"))
                    .child(el("dd").child(day))
            )
            .child(when(
                move || minutes().is_some(),
                move || el("div")
                    .child(el("dt").child("For one"))
                    .child(el("dd").child(for_one))
            ))
            .child(
                el("div")
                    .child(el("dt").child("Put up by"))
                    .child(el("dd").child(made_by))
            ),
        when(
            move || bed().is_some() || job().is_some(),
            move || lines()
                .child(move || bed().map(|bed| {
                    let label = book.garden.read().label_of(Some(bed)).to_owned();
                    line("Look at the bed")
                        .bed(label)
                        .href(format!("/bed/{bed}"))
                }))
                .child(move || job().map(|(job, title)| {
                    let words = format!("Its time counts for: {title}");
                    line(words).bed("job").href(format!("/job/{job}"))
                }))
        )
    ]
}

// It was claimed when the plan was changed, and so stayed.
fn plan_now(open: OpenTask) -> Piece {
    let book = use_book();
    live(move || {
        let garden = book.garden.read();
        let words = open.with(|task| plan_words(&garden, task, book.today.get()))??;
        let stays = format!("{}; what was claimed stays as it is.", capital(&words));
        Some(note().kind(NoteKind::Mind).child(stays))
    })
}

fn called_off(open: OpenTask) -> Piece {
    let book = use_book();
    let on = move || {
        let day = open.with(|task| task.ended_on).flatten();
        day.map(|day| day_words(day, book.today.get()))
            .unwrap_or_default()
    };
    note()
        .kind(NoteKind::Stop)
        .lead("Called off")
        .child(move || format!("{}.", on()))
        .into()
}

// Change the fields, call off, put up again.
fn changes(open: OpenTask) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let (changing, asking) = (signal_of(false), signal_of(false));
    let refused = derived(move || {
        let own = open.with(|task| book.is_me(task.made_by)).unwrap_or(false);
        book.why_not(Action::ChangeTask, own)
    });
    let is_called_off = move || open.with(|task| task.ended_on.is_some()).unwrap_or(false);
    let set = move |field: TaskField, said: &'static str| {
        let Some(document) = open.document() else {
            return;
        };
        let edit = Edit::ChangeTask {
            task: open.task,
            set: vec![field],
        };
        match book.write(document, edit) {
            Ok(_) => toasts.say(said),
            Err(refused) => toasts.say(refused.message),
        }
    };
    let call_off = move || {
        set(
            TaskField::EndedOn(Some(book.today.get_untracked())),
            "Called off; those who claimed it are told.",
        );
    };
    let put_up = move || set(TaskField::EndedOn(None), "Put up again.");
    pieces![
        heading("Change"),
        when(is_called_off, move || acts()
            .child(act("Put it up again", put_up).refused(refused)))
        .otherwise(move || acts()
            .child(act("Change it", move || changing.set(true)).refused(refused))
            .child(when(
                move || refused.read().is_none(),
                move || act("Call it off", move || asking.set(true)).kind(ActKind::Grave)
            ))),
        later_sheet(changing, Later::ChangeTask(open, changing)),
        confirm(asking, "Call this task off?")
            .follows(
                "Whoever has claimed it is told. What was done and written stays, \
                 and it can be put up again."
            )
            .yes("Call it off", call_off)
            .grave()
    ]
}

/// The sheet that changes a task.
pub fn change_sheet(open: OpenTask, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let draft = TaskDraft::empty();
    let wrong = Wrong::new(FIELDS);
    let was = StoredValue::new(None::<Arc<Task>>);
    watch(move || {
        if changing.get() {
            let record = open.record.get_untracked().map(|(_, task)| task);
            if let Some(task) = &record {
                draft.fill(task);
            }
            wrong.clear();
            was.set_value(record);
        }
    });
    let send = move || {
        wrong.clear();
        let (Some(read), Some(document), Some(was)) =
            (draft.read(wrong), open.document(), was.get_value())
        else {
            return;
        };
        let set = read.changes(&was);
        if set.is_empty() {
            changing.set(false);
            return;
        }
        if wrong.write(
            book,
            document,
            Edit::ChangeTask {
                task: open.task,
                set,
            },
        ) {
            changing.set(false);
            toasts.say("Changed.");
        }
    };
    sheet(changing, "Change the task", move || {
        form(send)
            .child(task_fields(draft, wrong, false))
            .child(wrong_whole(wrong))
            .child(send_button("Change it"))
    })
}
