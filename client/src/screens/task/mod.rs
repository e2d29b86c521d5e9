//! Everything about one task: its places, its note, its fields, who put it up.

pub mod fields;
pub mod note;

use std::sync::Arc;

use leptos::prelude::*;
use leptos_router::hooks::use_params_map;
use selion_core::document::edit::{Claimable, TaskField};
use selion_core::document::ids::TaskId;
use selion_core::document::records::Task;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::Minutes;

use self::fields::{FIELDS, TaskDraft, TaskFields};
use self::note::TaskNote;
use super::claims::ClaimDesk;
use super::form::{Wrong, WrongWhole};
use crate::parts::{
    Act, ActKind, ActLink, Acts, Confirm, Empty, Form, Heading, Line, Lines, Note, NoteKind,
    PageHead, SendButton, Sheet, Tag, TagKind, use_toasts,
};
use crate::plain::wording::{capital, day_words};
use crate::state::use_book;

/// The screen at `/task/:id`.
#[component]
pub fn TaskPage() -> impl IntoView {
    let book = use_book();
    let params = use_params_map();
    let id = Memo::new(move |_| params.read().get("id")?.parse::<TaskId>().ok());
    let is_here = Memo::new(move |_| {
        id.get()
            .filter(|task| book.garden.read().task(*task).is_some())
    });
    move || match is_here.get() {
        Some(task) => view! { <OneTask task=task /> }.into_any(),
        None => view! { <NotHere /> }.into_any(),
    }
}

#[component]
fn NotHere() -> impl IntoView {
    view! {
        <PageHead label="Work" title="No such task" back=("/work", "Work") />
        <Empty lead="This task is not on this phone">
            <p>"It may have been put up elsewhere and not have come yet, or the link is old."</p>
            <ActLink href="/work" words="To the work" />
        </Empty>
    }
}

/// A task as its screen reads it.
#[derive(Clone, Copy)]
struct Open {
    task: TaskId,
    record: Memo<Option<(i16, Arc<Task>)>>,
}

impl Open {
    fn with<T>(self, read: impl FnOnce(&Task) -> T) -> Option<T> {
        self.record
            .with(|found| found.as_ref().map(|(_, task)| read(task)))
    }

    fn document(self) -> Option<DocumentName> {
        self.record
            .with_untracked(|found| found.as_ref().map(|(year, _)| DocumentName::Season(*year)))
    }
}

#[component]
fn OneTask(task: TaskId) -> impl IntoView {
    let book = use_book();
    let record = Memo::new(move |_| {
        let garden = book.garden.read();
        garden
            .task(task)
            .map(|(year, task)| (year, Arc::clone(task)))
    });
    let open = Open { task, record };
    let title = Signal::derive(move || open.with(|task| task.title.clone()).unwrap_or_default());
    let label = Signal::derive(move || {
        let bed = open.with(|task| task.bed).flatten();
        let garden = book.garden.read();
        bed.map_or_else(
            || "Whole garden".to_owned(),
            |bed| format!("Bed {}", garden.label_of(Some(bed))),
        )
    });
    view! {
        <PageHead label=label title=title back=("/work", "Work") />
        <Show when=move || book.waits(&task)>
            <p><Tag word="waiting" kind=TagKind::Wait />" Something about this task is saved on this phone and not sent yet."</p>
        </Show>
        <Show when=move || open.with(|task| task.ended_on.is_some()).unwrap_or(false)>
            <CalledOff open=open />
        </Show>
        <Facts open=open />
        <ClaimDesk of=Claimable::Task(task) />
        <TaskNote task=task />
        <Changes open=open />
    }
}

// When, how long, for which job, and who put it up.
#[component]
fn Facts(open: Open) -> impl IntoView {
    let book = use_book();
    let today = move || book.today.get();
    let day = Signal::derive(move || {
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
    let for_one = Signal::derive(move || minutes().map(Minutes::show).unwrap_or_default());
    let made_by = Signal::derive(move || {
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
    view! {
        <dl class="titleblock">
            <div><dt>"When"</dt><dd>{day}</dd></div>
            <Show when=move || minutes().is_some()>
                <div><dt>"For one"</dt><dd>{for_one}</dd></div>
            </Show>
            <div><dt>"Put up by"</dt><dd>{made_by}</dd></div>
        </dl>
        <Show when=move || bed().is_some() || job().is_some()>
            <Lines>
                {move || bed().map(|bed| {
                    let label = book.garden.read().label_of(Some(bed)).to_owned();
                    view! { <Line bed=label what="Look at the bed" href=format!("/bed/{bed}") /> }
                })}
                {move || job().map(|(job, title)| {
                    let words = format!("Its time counts for: {title}");
                    view! { <Line bed="job" what=words href=format!("/job/{job}") /> }
                })}
            </Lines>
        </Show>
    }
}

#[component]
fn CalledOff(open: Open) -> impl IntoView {
    let book = use_book();
    let on = move || {
        let day = open.with(|task| task.ended_on).flatten();
        day.map(|day| day_words(day, book.today.get()))
            .unwrap_or_default()
    };
    view! { <Note kind=NoteKind::Stop lead="Called off">{move || format!("{}.", on())}</Note> }
}

// Change the fields, call off, put up again.
#[component]
fn Changes(open: Open) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let (changing, asking) = (RwSignal::new(false), RwSignal::new(false));
    let refused = Signal::derive(move || {
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
    let call_off = move |()| {
        set(
            TaskField::EndedOn(Some(book.today.get_untracked())),
            "Called off; those who claimed it are told.",
        );
    };
    let put_up = move |()| set(TaskField::EndedOn(None), "Put up again.");
    view! {
        <Heading text="Change" />
        <Show
            when=is_called_off
            fallback=move || view! {
                <Acts>
                    <Act words="Change it" on_press=move |()| changing.set(true) refused=refused />
                    <Show when=move || refused.read().is_none()>
                        <Act words="Call it off" kind=ActKind::Grave on_press=move |()| asking.set(true) />
                    </Show>
                </Acts>
            }
        >
            <Acts><Act words="Put it up again" on_press=put_up refused=refused /></Acts>
        </Show>
        <ChangeSheet open=open changing=changing />
        <Confirm
            open=asking question="Call this task off?" yes="Call it off" on_yes=call_off grave=true
            follows="Whoever has claimed it is told. What was done and written stays, and it can be put up again."
        />
    }
}

#[component]
fn ChangeSheet(open: Open, changing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let draft = TaskDraft::empty();
    let wrong = Wrong::new(FIELDS);
    let was = StoredValue::new(None::<Arc<Task>>);
    Effect::new(move |_| {
        if changing.get() {
            let record = open.record.get_untracked().map(|(_, task)| task);
            if let Some(task) = &record {
                draft.fill(task);
            }
            wrong.clear();
            was.set_value(record);
        }
    });
    let send = move |()| {
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
    view! {
        <Sheet open=changing title="Change the task">
            <Form on_send=send>
                <TaskFields draft=draft wrong=wrong />
                <WrongWhole wrong=wrong />
                <SendButton words="Change it" />
            </Form>
        </Sheet>
    }
}
