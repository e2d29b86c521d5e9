//! A shared job: hours due as the garden has agreed, hours done, and the lines they come from.

pub mod desk;
pub mod hours;
pub mod new;

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::{JobId, MemberId};
use selion_core::document::records::{Job, Payer, Place};
use selion_core::document::shared_out::payer_name;
use selion_core::document::{DocumentName, hours_done};
use selion_core::policy::Action;
use selion_core::reckoning::{Reckoning, Refusal};
use selion_core::shares::hours::HoursShares;

use self::desk::desk;
use self::hours::{hours_lines, log_hours};
use self::new::new_job;
use crate::parts::{
    NoteKind, TagKind, WorkingText, act_link, empty, heading, line, lines, not_here, note,
    page_head, tag, title_block, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, when};
use crate::plain::hours_rows;
use crate::plain::wording::{day_words, in_a_sentence, taken_of};
use crate::screens::account_table::{AccountWorking, account_table, each_working};
use crate::state::use_book;

/// Which job the address names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    New,
    Known(JobId),
    NotHere,
}

/// The screen at `/job/:id` and `/job/new`.
pub fn job_screen(id: &str) -> Piece {
    let book = use_book();
    let is_new = id == "new";
    let job = id.parse::<JobId>().ok();
    let named = memo(move || {
        if is_new {
            return Named::New;
        }
        job.filter(|job| book.garden.read().job(*job).is_some())
            .map_or(Named::NotHere, Named::Known)
    });
    live(move || match named.get() {
        Named::New => new_job(),
        Named::Known(job) => one_job(job),
        Named::NotHere => not_here("job", ("/shares", "Shares")),
    })
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

fn one_job(job: JobId) -> Piece {
    let book = use_book();
    let record = memo(move || {
        let garden = book.garden.read();
        garden.job(job).map(|(year, job)| (year, Arc::clone(job)))
    });
    let standing = memo(move || {
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
    let label = derived(move || {
        let state = shown.with(|job| match (&job.closed, job.ended_on) {
            (_, Some(_)) => "called off".to_owned(),
            (Some(closed), None) => format!("closed {}", day_words(closed.on, book.today.get())),
            (None, None) => "hours not closed".to_owned(),
        });
        format!("Shared job · {}", state.unwrap_or_default())
    });
    let title = derived(move || shown.with(|job| job.title.clone()).unwrap_or_default());
    pieces![
        page_head(label, title).back("/shares", "Shares"),
        when(
            move || book.waits(&job),
            move || el("p")
                .child(tag("waiting", TagKind::Wait))
                .child(" Something about this job is saved on this phone and not sent yet.")
        ),
        called_off(shown),
        standings(shown),
        log_hours(shown),
        hours_lines(shown),
        tasks(job),
        desk(shown),
        workings(shown)
    ]
}

fn called_off(shown: Shown) -> Piece {
    let book = use_book();
    let words = move || {
        let day = shown.with(|job| job.ended_on).flatten()?;
        Some(format!(
            "{}; what was done stays written.",
            in_a_sentence(day, book.today.get())
        ))
    };
    live(move || words().map(|words| note().kind(NoteKind::Stop).lead("Called off").child(words)))
}

fn standings(shown: Shown) -> Piece {
    let book = use_book();
    let refused = memo(move || {
        shown.standing.with(|standing| match standing {
            Some(Err(refusal)) => Some(refusal.to_string()),
            Some(Ok(_)) | None => None,
        })
    });
    let block = derived(move || {
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => hours_rows::block(&answer.result),
            Some(Err(_)) | None => Vec::new(),
        })
    });
    let beyond = memo(move || {
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => hours_rows::beyond_words(&answer.result),
            Some(Err(_)) | None => None,
        })
    });
    let table = derived(move || {
        let (garden, me) = (book.garden.read(), book.me.get());
        let sees_money = book.may(Action::SeeLedger, false);
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => hours_rows::table(&garden, &answer.result, me, sees_money),
            Some(Err(_)) | None => hours_rows::empty(),
        })
    });
    pieces![
        move || refused.get().map(|words| note()
            .kind(NoteKind::Stop)
            .lead("It cannot be shared out like this.")
            .child(words)),
        title_block(block),
        account_table(move || hours_rows::caption(&book.garden.read()), table, 4),
        in_lieu(),
        move || beyond.get().map(|words| el("p").class("help").child(words))
    ]
}

/// What hours that nobody does come to, for those who see money in a garden that sets them against it.
fn in_lieu() -> Piece {
    let book = use_book();
    let words = memo(move || {
        let profile = book
            .profile()
            .filter(|_| book.may(Action::SeeLedger, false))?;
        let hour = profile.rules.hour_in_lieu;
        hour.is_positive().then(|| {
            format!(
                "An hour stands for {}. Hours that are paid instead are written down on the account, by a coordinator.",
                hour.show(profile.currency)
            )
        })
    });
    live(move || words.get().map(|words| el("p").class("help").child(words)))
}

fn workings(shown: Shown) -> Piece {
    let book = use_book();
    let whole = memo(move || {
        shown.standing.with(|standing| match standing {
            Some(Ok(answer)) => Some(WorkingText::from(answer)),
            Some(Err(_)) | None => None,
        })
    });
    let each = derived(move || {
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
    pieces![
        heading("How the hours come about"),
        move || whole
            .get()
            .map(|text| working("Working for the whole", text)),
        each_working(each)
    ]
}

// The tasks whose time counts for this job.
fn tasks(job: JobId) -> Piece {
    let book = use_book();
    let tasks = memo(move || {
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
        line(title)
            .bed(label)
            .small(day)
            .done(done)
            .href(format!("/task/{id}"))
            .child(places)
            .child(el("small").child("places"))
    };
    pieces![
        heading("Its tasks"),
        when(
            move || !tasks.read().is_empty(),
            move || lines().child(move || tasks.get().into_iter().map(line).collect::<Piece>())
        )
        .otherwise(|| empty("No task counts for this job yet")
            .child(el("p").child("A task put up for it adds its hours by itself when it is done."))
            .child(act_link("/work", "To the work")))
    ]
}
