//! A new shared job, and the fields that it and a changed one have in common.

use std::collections::BTreeSet;

use leptos::prelude::*;
use selion_core::document::edit::JobField;
use selion_core::document::ids::{BedId, FenceId, JobId};
use selion_core::document::records::Job;
use selion_core::document::{Edit, shared_out};
use selion_core::policy::Action;

use crate::address::{NavigateOptions, use_navigate, use_query};
use crate::parts::{
    NoteKind, WorkingText, amount_field, empty, form, note, page_head, send_button, text_field,
    use_toasts, working,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::fence_order::{self, from_address, plan};
use crate::plain::hours_rows::{self, JobBox, JobTyped};
use crate::screens::account_table::account_table;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::left_out::beds_taking_part;
use crate::state::use_book;

/// The form as it is being typed, with what is wrong with it.
#[derive(Clone, Copy, Debug)]
pub struct Draft {
    title: RwSignal<String>,
    total: RwSignal<String>,
    left_out: RwSignal<BTreeSet<BedId>>,
    tried: RwSignal<bool>,
}

impl Draft {
    /// A form with this in it.
    pub(super) fn new(typed: JobTyped) -> Self {
        Self {
            title: signal_of(typed.title),
            total: signal_of(typed.total),
            left_out: signal_of(typed.left_out),
            tried: signal_of(false),
        }
    }

    /// What stands in it now; read inside a signal, it follows the typing.
    pub(super) fn typed(self) -> JobTyped {
        JobTyped {
            title: self.title.get(),
            total: self.total.get(),
            left_out: self.left_out.get(),
        }
    }

    /// The job that was typed; from a first try on, each wrong field says why until it is right.
    pub(super) fn sent(self) -> Option<Job> {
        self.tried.set(true);
        untrack(|| self.typed()).read().ok()
    }

    fn at(self, of: JobBox) -> Signal<Option<String>> {
        derived(move || {
            let tried = self.tried.get();
            let wrong = self.typed().read().err()?;
            wrong.get(&of).filter(|_| tried).cloned()
        })
    }
}

/// The fields.
pub fn job_fields(draft: Draft) -> Piece {
    pieces![
        text_field("What is to be done", draft.title)
            .error(draft.at(JobBox::Title))
            .help("Such as Deer fence."),
        amount_field("Hours in all", draft.total, "h")
            .error(draft.at(JobBox::Total))
            .help(
                "Of everybody together. They are rounded up to a quarter hour and \
                 shared as the garden has agreed."
            ),
        beds_taking_part(draft.left_out)
    ]
}

/// The shares of a job as they would be.
pub fn job_preview(job: impl Into<Signal<Option<Job>>>) -> Piece {
    let job = job.into();
    let book = use_book();
    let shares = memo(move || {
        let garden = book.garden.read();
        job.with(|job| job.as_ref().map(|job| shared_out::job(&garden, job)))
    });
    let shown = move || match shares.get()? {
        Ok(answer) => {
            let garden = book.garden.read();
            let table = hours_rows::table(
                &garden,
                &answer.result,
                book.me.get(),
                book.may(Action::SeeLedger, false),
            );
            let caption = hours_rows::caption(&garden);
            let text = WorkingText::from(&answer);
            let view = pieces![
                account_table(caption, Signal::stored(table), 4),
                working("Working for the whole", text)
            ];
            Some(view)
        }
        Err(refusal) => {
            let words = refusal.to_string();
            Some(Piece::from(note().kind(NoteKind::Stop).child(words)))
        }
    };
    when(move || job.read().is_some(), move || shown)
        .otherwise(|| {
            empty("The hours show here while you type")
                .child(el("p").child("As soon as the job has a name and its hours."))
        })
        .into()
}

/// The screen at `/job/new`.
pub fn new_job() -> Piece {
    let book = use_book();
    let refused = memo(move || book.why_not(Action::KeepJobs, false));
    pieces![
        page_head("Shared job · new", "New shared job").back("/shares", "Shares"),
        when(move || refused.read().is_none(), new_job_form)
            .otherwise(move || note().child(move || refused.get()))
    ]
}

/// What the job begins with where it comes from a fence line of the ground.
fn begun() -> Option<JobTyped> {
    let book = use_book();
    untrack(|| {
        let query = use_query();
        let (fence, typed) = from_address(|name| query.get(name))?;
        let garden = book.garden.read();
        let plan = plan(fence_order::fence(&garden, fence)?, &typed, book.units()).ok()?;
        Some(JobTyped {
            title: plan.label.clone(),
            total: plan.job_hours(),
            ..JobTyped::default()
        })
    })
}

/// The fence line that the address names, if it is on the ground.
fn fence_of_address() -> Option<FenceId> {
    let book = use_book();
    untrack(|| {
        let query = use_query();
        let (fence, _) = from_address(|name| query.get(name))?;
        fence_order::fence(&book.garden.read(), fence).map(|_| fence)
    })
}

fn new_job_form() -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let draft = Draft::new(begun().unwrap_or_default());
    // The job keeps which fence it is for, so that a change of the line can name it.
    let fence = fence_of_address();
    let wrong = Wrong::new(&[]);
    let typed = memo(move || draft.typed().read().ok());
    let send = move || {
        wrong.clear();
        let Some(job) = draft.sent() else {
            return;
        };
        let id = book.fresh(JobId::fresh);
        let edit = Edit::AddJob {
            job: id,
            title: job.title,
            total: job.total,
            beds_left_out: job.beds_left_out,
        };
        if wrong.write(book, book.season(), edit) {
            if fence.is_some() {
                let set = vec![JobField::Fence(fence)];
                let _told = wrong.write(book, book.season(), Edit::ChangeJob { job: id, set });
            }
            toasts.say("The job is put up: everybody sees their hours.");
            navigate(&format!("/job/{id}"), NavigateOptions::default());
        }
    };
    el("div")
        .class("split")
        .child(
            form(send)
                .child(job_fields(draft))
                .child(wrong_whole(wrong))
                .child(send_button("Put it up")),
        )
        .child(
            el("section")
                .attr("aria-label", "The hours as they would be")
                .child(job_preview(typed)),
        )
        .into()
}
