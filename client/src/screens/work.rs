//! Work: what is to be done, by day and by bed.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::ids::TaskId;
use selion_core::policy::Action;

use super::form::{Wrong, wrong_whole};
use super::task::fields::{FIELDS, TaskDraft, task_fields};
use super::task_lines::{RowKind, task_row};
use crate::address::{NavigateOptions, use_navigate, use_query};
use crate::later::{Later, later_beside, later_sheet};
use crate::parts::{
    Filter, act, act_link, acts, empty, filters, form, heading, lines, page_head, send_button,
    sheet, use_toasts,
};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::tasks::{Group, Show as Which, by_bed, by_day, by_day_done, listed};
use crate::state::{Book, use_book};

const TO_DO: &str = "todo";
const OPEN: &str = "open";
const MINE: &str = "mine";
const BY_BED: &str = "bed";
const DONE: &str = "done";

/// The screen.
pub fn work_page() -> Piece {
    let book = use_book();
    let asked = use_query().get_untracked("show");
    let known = [TO_DO, OPEN, MINE, BY_BED, DONE];
    let chosen = signal_of(
        known
            .into_iter()
            .find(|key| Some(*key) == asked.as_deref())
            .unwrap_or(TO_DO),
    );
    let groups = memo(move || groups(book, chosen.get()));
    let adding = signal_of(false);
    let label = derived(move || {
        let week = book.today.get().week().number();
        format!("{} · week {week}", book.garden_name())
    });
    pieces![
        page_head(label, "Work").child(when(
            move || book.may(Action::AddTask, false),
            move || act("New task", move || adding.set(true))
        )),
        later_beside(Later::WayToProposals),
        filters("Which tasks", move || filters_of(book), chosen),
        each(
            move || groups.get(),
            move |group| {
                let key = format!("{}{}", group.heading, group.is_one_day);
                row(key, move || task_group(group, groups))
            }
        ),
        when(
            move || groups.read().is_empty(),
            move || nothing(chosen.get())
        ),
        acts()
            .child(when(
                move || !book.may(Action::AddTask, false),
                move || act("New task", || ())
                    .refused(move || book.why_not(Action::AddTask, false))
            ))
            .child(act_link("/week/sheet", "Week sheet for the shed door")),
        later_sheet(adding, Later::NewTask(adding))
    ]
}

fn filters_of(book: Book) -> Vec<Filter> {
    let garden = book.garden.read();
    let count = |show| listed(&garden, show, book.me.get()).len();
    vec![
        Filter::new(TO_DO, "To do").counting(count(Which::ToDo)),
        Filter::new(OPEN, "Needs people").counting(count(Which::NeedsPeople)),
        Filter::new(MINE, "Mine").counting(count(Which::Mine)),
        Filter::new(BY_BED, "By bed"),
        Filter::new(DONE, "Done"),
    ]
}

fn groups(book: Book, chosen: &str) -> Vec<Group> {
    let garden = book.garden.read();
    let today = book.today.get();
    let tasks = |show| listed(&garden, show, book.me.get());
    match chosen {
        OPEN => by_day(&tasks(Which::NeedsPeople), today),
        MINE => by_day(&tasks(Which::Mine), today),
        BY_BED => by_bed(&garden, &tasks(Which::ToDo)),
        DONE => by_day_done(&tasks(Which::Done), today),
        _ => by_day(&tasks(Which::ToDo), today),
    }
}

// A group keeps its place and its lines while others change around it.
fn task_group(group: Group, groups: Memo<Vec<Group>>) -> Piece {
    let Group {
        heading: words,
        is_one_day,
        ..
    } = group;
    let kind = if is_one_day {
        RowKind::UnderItsDay
    } else {
        RowKind::Whole
    };
    let of = words.clone();
    let tasks = move || -> Vec<TaskId> {
        groups.with(|groups| {
            let group = groups.iter().find(|group| group.heading == of);
            group.map(|group| group.tasks.clone()).unwrap_or_default()
        })
    };
    pieces![
        heading(words),
        lines().child(each(tasks, move |task| row(task, move || task_row(
            task, kind
        ))))
    ]
}

fn nothing(chosen: &'static str) -> Piece {
    let (lead, more) = match chosen {
        OPEN => ("Every place is taken", "Nothing waits for hands just now."),
        MINE => (
            "You have claimed nothing",
            "Look under “Needs people” for what could use you.",
        ),
        DONE => (
            "Nothing is done yet",
            "What is done shows here, with the time it took.",
        ),
        _ => (
            "There is nothing to do",
            "Tasks that somebody puts up show here.",
        ),
    };
    empty(lead).child(el("p").child(more)).into()
}

/// The sheet for a new task.
pub fn new_task(open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let draft = TaskDraft::empty();
    let wrong = Wrong::new(FIELDS);
    let send = StoredValue::new(move || {
        wrong.clear();
        let Some(read) = draft.read(wrong) else {
            return;
        };
        let task = book.fresh(TaskId::fresh);
        let edit = Edit::AddTask {
            task,
            title: read.title.clone(),
            bed: read.bed,
            day: read.day,
            places: read.places,
            minutes: read.minutes,
            job: read.job,
            note: draft.note.get_untracked().trim().to_owned(),
        };
        if wrong.write(book, untrack(|| book.season()), edit) {
            open.set(false);
            draft.clear();
            toasts.say(format!("Put up: {}.", read.title));
            navigate(&format!("/task/{task}"), NavigateOptions::default());
        }
    });
    sheet(open, "New task", move || {
        form(move || send.with_value(|send| send()))
            .child(task_fields(draft, wrong, true))
            .child(wrong_whole(wrong))
            .child(send_button("Put it up"))
    })
}
