//! A new shared job, and the fields that it and a changed one have in common.

use std::collections::BTreeSet;

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;
use selion_core::document::ids::{BedId, JobId};
use selion_core::document::records::Job;
use selion_core::document::{Edit, shared_out};
use selion_core::policy::Action;

use crate::parts::{
    AmountField, Empty, Form, Note, NoteKind, PageHead, SendButton, TextField, Working,
    WorkingText, use_toasts,
};
use crate::plain::hours_rows::{self, JobBox, JobTyped};
use crate::screens::account_table::AccountTable;
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::left_out::BedsTakingPart;
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
            title: RwSignal::new(typed.title),
            total: RwSignal::new(typed.total),
            left_out: RwSignal::new(typed.left_out),
            tried: RwSignal::new(false),
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
        Signal::derive(move || {
            let tried = self.tried.get();
            let wrong = self.typed().read().err()?;
            wrong.get(&of).filter(|_| tried).cloned()
        })
    }
}

/// The fields.
#[component]
pub fn JobFields(
    /// The form.
    draft: Draft,
) -> impl IntoView {
    view! {
        <TextField label="What is to be done" value=draft.title error=draft.at(JobBox::Title) help="Such as Deer fence." />
        <AmountField
            label="Hours in all" value=draft.total unit="h" error=draft.at(JobBox::Total)
            help="Of everybody together. They are rounded up to a quarter hour and shared by bed area."
        />
        <BedsTakingPart left_out=draft.left_out />
    }
}

/// The shares of a job as they would be.
#[component]
pub fn JobPreview(
    /// The job.
    #[prop(into)]
    job: Signal<Option<Job>>,
) -> impl IntoView {
    let book = use_book();
    let shares = Memo::new(move |_| {
        let garden = book.garden.read();
        job.with(|job| job.as_ref().map(|job| shared_out::job(&garden, job)))
    });
    let shown = move || match shares.get()? {
        Ok(answer) => {
            let garden = book.garden.read();
            let table = hours_rows::table(&garden, &answer.result, book.me.get());
            let text = WorkingText::from(&answer);
            let view = view! {
                <AccountTable caption="Hours by bed area, in quarter hours" table=table />
                <Working title="Working for the whole" of=text />
            };
            Some(view.into_any())
        }
        Err(refusal) => {
            let words = refusal.to_string();
            Some(view! { <Note kind=NoteKind::Stop>{words}</Note> }.into_any())
        }
    };
    view! {
        <Show
            when=move || job.read().is_some()
            fallback=|| view! {
                <Empty lead="The hours show here while you type"><p>"As soon as the job has a name and its hours."</p></Empty>
            }
        >
            {shown}
        </Show>
    }
}

/// The screen at `/job/new`.
#[component]
pub fn NewJob() -> impl IntoView {
    let book = use_book();
    let refused = Memo::new(move |_| book.why_not(Action::KeepJobs, false));
    view! {
        <PageHead label="Shared job · new" title="New shared job" back=("/shares", "Shares") />
        <Show
            when=move || refused.read().is_none()
            fallback=move || view! { <Note>{move || refused.get()}</Note> }
        >
            <NewJobForm />
        </Show>
    }
}

#[component]
fn NewJobForm() -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let draft = Draft::new(JobTyped::default());
    let wrong = Wrong::new(&[]);
    let typed = Memo::new(move |_| draft.typed().read().ok());
    let send = move |()| {
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
            toasts.say("The job is put up: everybody sees their hours.");
            navigate(&format!("/job/{id}"), NavigateOptions::default());
        }
    };
    view! {
        <div class="split">
            <Form on_send=send>
                <JobFields draft=draft />
                <WrongWhole wrong=wrong />
                <SendButton words="Put it up" />
            </Form>
            <section aria-label="The hours as they would be"><JobPreview job=typed /></section>
        </div>
    }
}
