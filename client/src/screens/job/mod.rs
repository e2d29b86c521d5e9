//! A shared job: hours due by bed area, hours done, and the lines they come from.

pub mod desk;
pub mod hours;
pub mod new;

use std::sync::Arc;

use leptos::prelude::*;
use leptos_router::hooks::use_params_map;
use selion_core::document::ids::{JobId, MemberId};
use selion_core::document::records::{Job, Payer, Place};
use selion_core::document::shared_out::payer_name;
use selion_core::document::{DocumentName, hours_done};
use selion_core::reckoning::{Reckoning, Refusal};
use selion_core::shares::hours::HoursShares;

use self::desk::Desk;
use self::hours::{HoursLines, LogHours};
use self::new::NewJob;
use crate::parts::{
    ActLink, Empty, Heading, Line, Lines, Note, NoteKind, PageHead, Tag, TagKind, TitleBlock,
    Working, WorkingText,
};
use crate::plain::hours_rows;
use crate::plain::wording::{day_words, in_a_sentence, taken_of};
use crate::screens::account_table::{AccountTable, AccountWorking, AccountWorkings};
use crate::state::use_book;

/// Which job the address names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    New,
    Known(JobId),
    NotHere,
}

/// The screen at `/job/:id` and `/job/new`.
#[component]
pub fn JobScreen() -> impl IntoView {
    let book = use_book();
    let params = use_params_map();
    let named = Memo::new(move |_| {
        let id = params.read().get("id").unwrap_or_default();
        if id == "new" {
            return Named::New;
        }
        let job = id.parse::<JobId>().ok();
        job.filter(|job| book.garden.read().job(*job).is_some())
            .map_or(Named::NotHere, Named::Known)
    });
    move || match named.get() {
        Named::New => view! { <NewJob /> }.into_any(),
        Named::Known(job) => view! { <OneJob job=job /> }.into_any(),
        Named::NotHere => view! { <NotHere /> }.into_any(),
    }
}

#[component]
fn NotHere() -> impl IntoView {
    view! {
        <PageHead label="Shares" title="No such job" back=("/shares", "Shares") />
        <Empty lead="This job is not on this phone">
            <p>"It may have been put up elsewhere and not have come yet, or the link is old."</p>
            <ActLink href="/shares" words="To the shares" />
        </Empty>
    }
}

type Standing = Result<Reckoning<HoursShares<MemberId>>, Refusal>;

/// A job as its screen reads it.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    job: JobId,
    record: Memo<Option<(i16, Arc<Job>)>>,
    standing: Memo<Option<Standing>>,
}

impl Shown {
    fn with<T>(self, read: impl FnOnce(&Job) -> T) -> Option<T> {
        self.record
            .with(|found| found.as_ref().map(|(_, job)| read(job)))
    }

    fn document(self) -> DocumentName {
        let year = self
            .record
            .with_untracked(|found| found.as_ref().map(|(year, _)| *year));
        year.map_or_else(|| use_book().season(), DocumentName::Season)
    }

    fn is_ended(self) -> bool {
        self.with(|job| job.ended_on.is_some()) == Some(true)
    }

    fn is_closed(self) -> bool {
        self.with(|job| job.closed.is_some()) == Some(true)
    }
}

#[component]
fn OneJob(job: JobId) -> impl IntoView {
    let book = use_book();
    let record = Memo::new(move |_| {
        let garden = book.garden.read();
        garden.job(job).map(|(year, job)| (year, Arc::clone(job)))
    });
    let standing = Memo::new(move |_| {
        let garden = book.garden.read();
        record.with(|found| {
            found
                .as_ref()
                .map(|(_, record)| hours_done::standing(&garden, job, record))
        })
    });
    let shown = Shown {
        job,
        record,
        standing,
    };
    let label = Signal::derive(move || {
        let state = shown.with(|job| match (&job.closed, job.ended_on) {
            (_, Some(_)) => "called off".to_owned(),
            (Some(closed), None) => format!("closed {}", day_words(closed.on, book.today.get())),
            (None, None) => "hours not closed".to_owned(),
        });
        format!("Shared job · {}", state.unwrap_or_default())
    });
    let title = Signal::derive(move || shown.with(|job| job.title.clone()).unwrap_or_default());
    view! {
        <PageHead label=label title=title back=("/shares", "Shares") />
        <Show when=move || book.waits(&job)>
            <p><Tag word="waiting" kind=TagKind::Wait />" Something about this job is saved on this phone and not sent yet."</p>
        </Show>
        <CalledOff shown=shown />
        <Standings shown=shown />
        <LogHours shown=shown />
        <HoursLines shown=shown />
        <Tasks job=job />
        <Desk shown=shown />
        <Workings shown=shown />
    }
}

#[component]
fn CalledOff(shown: Shown) -> impl IntoView {
    let book = use_book();
    let words = move || {
        let day = shown.with(|job| job.ended_on).flatten()?;
        Some(format!(
            "{}; what was done stays written.",
            in_a_sentence(day, book.today.get())
        ))
    };
    move || {
        words().map(|words| view! { <Note kind=NoteKind::Stop lead="Called off">{words}</Note> })
    }
}

#[component]
fn Standings(shown: Shown) -> impl IntoView {
    let book = use_book();
    let refused = Memo::new(move |_| {
        shown.standing.with(|standing| match standing {
            Some(Err(refusal)) => Some(refusal.to_string()),
            Some(Ok(_)) | None => None,
        })
    });
    let block = Signal::derive(move || {
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => hours_rows::block(&answer.result),
            Some(Err(_)) | None => Vec::new(),
        })
    });
    let beyond = Memo::new(move |_| {
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => hours_rows::beyond_words(&answer.result),
            Some(Err(_)) | None => None,
        })
    });
    let table = Signal::derive(move || {
        let (garden, me) = (book.garden.read(), book.me.get());
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => hours_rows::table(&garden, &answer.result, me),
            Some(Err(_)) | None => hours_rows::empty(),
        })
    });
    view! {
        {move || refused.get().map(|words| view! {
            <Note kind=NoteKind::Stop lead="It cannot be shared out like this.">{words}</Note>
        })}
        <TitleBlock entries=block />
        <AccountTable caption="Hours by bed area, in quarter hours" table=table />
        {move || beyond.get().map(|words| view! { <p class="help">{words}</p> })}
    }
}

#[component]
fn Workings(shown: Shown) -> impl IntoView {
    let book = use_book();
    let whole = Memo::new(move |_| {
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => Some(WorkingText::from(answer)),
            Some(Err(_)) | None => None,
        })
    });
    let each = Signal::derive(move || {
        let garden = book.garden.read();
        shown.standing.with(|standing| {
            let Some(Ok(answer)) = standing else {
                return Vec::new();
            };
            let one = |share: &selion_core::shares::hours::HoursShare<MemberId>| {
                let payer = Payer::from(share.account);
                AccountWorking {
                    payer,
                    name: payer_name(&garden, payer),
                    mine: book.me.get().is_some_and(|me| payer == Payer::Member(me)),
                    text: AccountWorking::text(share.steps.clone(), answer.source.to_string()),
                }
            };
            answer.result.accounts.iter().map(one).collect()
        })
    });
    view! {
        <Heading text="How the hours come about" />
        {move || whole.get().map(|text| view! { <Working title="Working for the whole" of=text /> })}
        <AccountWorkings workings=each />
    }
}

// The tasks whose time counts for this job.
#[component]
fn Tasks(job: JobId) -> impl IntoView {
    let book = use_book();
    let tasks = Memo::new(move |_| {
        let garden = book.garden.read();
        let today = book.today.get();
        let seasons = garden.seasons.values();
        let tasks = seasons.flat_map(|season| &season.tasks);
        tasks
            .filter(|(_, task)| task.job == Some(job) && task.ended_on.is_none())
            .map(|(id, task)| {
                let day = task.day.map(|day| day_words(day, today));
                let label = garden.label_of(task.bed).to_owned();
                let places = taken_of(task.taken(), task.places());
                (
                    *id,
                    label,
                    task.title.clone(),
                    day.unwrap_or_default(),
                    places,
                    task.is_done(),
                )
            })
            .collect::<Vec<_>>()
    });
    let line = |(id, label, title, day, places, done)| {
        view! {
            <Line bed=label what=title small=day done=done href=format!("/task/{id}")>
                {places}
                <small>"places"</small>
            </Line>
        }
    };
    view! {
        <Heading text="Its tasks" />
        <Show
            when=move || !tasks.read().is_empty()
            fallback=|| view! {
                <Empty lead="No task counts for this job yet">
                    <p>"A task put up for it adds its hours by itself when it is done."</p>
                    <ActLink href="/work" words="To the work" />
                </Empty>
            }
        >
            <Lines>{move || tasks.get().into_iter().map(line).collect_view()}</Lines>
        </Show>
    }
}
