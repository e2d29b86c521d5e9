//! Work: what is to be done, by day and by bed.

use leptos::prelude::*;
use leptos_router::hooks::{use_navigate, use_query_map};
use selion_core::document::Edit;
use selion_core::document::ids::TaskId;
use selion_core::policy::Action;

use super::form::{Wrong, WrongWhole};
use super::task::fields::{FIELDS, TaskDraft, TaskFields};
use super::task_lines::{RowKind, TaskRow};
use crate::browser::page;
use crate::parts::{
    Act, Acts, Empty, Filter, Filters, Form, Heading, Lines, PageHead, SendButton, Sheet,
    use_toasts,
};
use crate::plain::tasks::{Group, Show as Which, by_bed, by_day, by_day_done, listed};
use crate::state::{Book, use_book};

const TO_DO: &str = "todo";
const OPEN: &str = "open";
const MINE: &str = "mine";
const BY_BED: &str = "bed";
const DONE: &str = "done";

/// The screen.
#[component]
pub fn WorkPage() -> impl IntoView {
    let book = use_book();
    let asked = use_query_map().read_untracked().get("show");
    let known = [TO_DO, OPEN, MINE, BY_BED, DONE];
    let chosen = RwSignal::new(
        known
            .into_iter()
            .find(|key| Some(*key) == asked.as_deref())
            .unwrap_or(TO_DO),
    );
    let groups = Memo::new(move |_| groups(book, chosen.get()));
    let new_task = RwSignal::new(false);
    let label = Signal::derive(move || {
        let week = book.today.get().week().number();
        format!("{} · week {week}", book.garden_name())
    });
    view! {
        <PageHead label=label title="Work">
            <Show when=move || book.may(Action::AddTask, false)>
                <Act words="New task" on_press=move |()| new_task.set(true) />
            </Show>
        </PageHead>
        <Filters label="Which tasks" filters=Signal::derive(move || filters(book)) chosen=chosen />
        <For each=move || groups.get() key=|group| (group.heading.clone(), group.is_one_day) let:group>
            <TaskGroup group=group groups=groups />
        </For>
        <Show when=move || groups.read().is_empty()>
            {move || view! { <Nothing chosen=chosen.get() /> }}
        </Show>
        <Acts>
            <Show when=move || !book.may(Action::AddTask, false)>
                <Act words="New task" on_press=|()| () refused=Signal::derive(move || book.why_not(Action::AddTask, false)) />
            </Show>
            <Act words="Print" on_press=move |()| page::note_trouble(page::print()) />
        </Acts>
        <NewTask open=new_task />
    }
}

fn filters(book: Book) -> Vec<Filter> {
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
#[component]
fn TaskGroup(group: Group, groups: Memo<Vec<Group>>) -> impl IntoView {
    let Group {
        heading,
        is_one_day,
        ..
    } = group;
    let kind = if is_one_day {
        RowKind::UnderItsDay
    } else {
        RowKind::Whole
    };
    let of = heading.clone();
    let tasks = move || -> Vec<TaskId> {
        groups.with(|groups| {
            let group = groups.iter().find(|group| group.heading == of);
            group.map(|group| group.tasks.clone()).unwrap_or_default()
        })
    };
    view! {
        <Heading text=heading />
        <Lines>
            <For each=tasks key=|task| *task let:task>
                <TaskRow task=task kind=kind />
            </For>
        </Lines>
    }
}

#[component]
fn Nothing(chosen: &'static str) -> impl IntoView {
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
    view! { <Empty lead=lead><p>{more}</p></Empty> }
}

#[component]
fn NewTask(open: RwSignal<bool>) -> impl IntoView {
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
            navigate(
                &format!("/task/{task}"),
                leptos_router::NavigateOptions::default(),
            );
        }
    });
    view! {
        <Sheet open=open title="New task">
            <Form on_send=move |()| send.with_value(|send| send())>
                <TaskFields draft=draft wrong=wrong with_note=true />
                <WrongWhole wrong=wrong />
                <SendButton words="Put it up" />
            </Form>
        </Sheet>
    }
}
