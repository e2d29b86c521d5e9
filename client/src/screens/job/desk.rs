//! What a coordinator does with a shared job: close the hours due, change it, call it off.

use leptos::prelude::*;
use selion_core::document::edit::JobField;
use selion_core::document::{Edit, shared_out};
use selion_core::policy::Action;

use super::Shown;
use super::new::{Draft, JobFields, JobPreview};
use crate::parts::{Act, ActKind, Acts, Confirm, Form, Heading, SendButton, Sheet, use_toasts};
use crate::plain::hours_rows::JobTyped;
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The buttons of a job.
#[component]
pub fn Desk(
    /// Of which job.
    shown: Shown,
) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let changing = RwSignal::new(false);
    let refused = Signal::derive(move || book.why_not(Action::KeepJobs, false));
    let ended = move |day| Edit::ChangeJob {
        job: shown.job,
        set: vec![JobField::EndedOn(day)],
    };
    let call_off = move |()| {
        let today = book.today.get_untracked();
        pen.write_with_undo(
            shown.document(),
            ended(Some(today)),
            "The job is called off.",
            ended(None),
        );
    };
    let take_up = move |()| {
        pen.write(shown.document(), ended(None), "The job is put up again.");
    };
    view! {
        <Show when=move || !shown.is_closed()>
            <Heading text="Change" />
            <Show
                when=move || shown.is_ended()
                fallback=move || view! {
                    <Closing shown=shown />
                    <Show when=move || refused.read().is_none()>
                        <Acts>
                            <Act words="Change it" on_press=move |()| changing.set(true) />
                            <Act words="Call it off" kind=ActKind::Grave on_press=call_off />
                        </Acts>
                    </Show>
                }
            >
                <Acts><Act words="Put it up again" on_press=take_up refused=refused /></Acts>
            </Show>
        </Show>
        <ChangeSheet shown=shown changing=changing />
    }
}

// The mark of the hours is taken when the question is asked, so that nobody agrees to figures they did not see.
#[component]
fn Closing(shown: Shown) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let asking = RwSignal::new(false);
    let seen = RwSignal::new(String::new());
    let follows = RwSignal::new(String::new());
    let refused = Signal::derive(move || {
        book.why_not(Action::KeepJobs, false).or_else(|| {
            shown.standing.with(|standing| match standing {
                Some(Err(refusal)) => Some(refusal.to_string()),
                Some(Ok(_)) | None => None,
            })
        })
    });
    let ask = move |()| {
        let garden = book.garden.get_untracked();
        let due = untrack(|| shown.with(|job| shared_out::job(&garden, job)));
        let Some(Ok(answer)) = due else {
            return;
        };
        seen.set(shared_out::mark_of_hours(&answer.result));
        follows.set(format!(
            "The hours due are frozen as they stand, {} in all. What the ground does afterwards changes nothing here. Hours can still be done and written down.",
            answer.result.due.show()
        ));
        asking.set(true);
    };
    let close = move |()| {
        let edit = Edit::CloseJob {
            job: shown.job,
            on: book.today.get_untracked(),
            seen: seen.get_untracked(),
        };
        pen.write(shown.document(), edit, "The hours due are closed.");
    };
    view! {
        <Act words="Close the hours due" kind=ActKind::Main wide=true on_press=ask refused=refused />
        <Confirm open=asking question="Close the hours due?" follows=follows yes="Freeze them" on_yes=close />
    }
}

#[component]
fn ChangeSheet(shown: Shown, changing: RwSignal<bool>) -> impl IntoView {
    view! {
        <Sheet open=changing title="Change the job">
            <ChangeForm shown=shown changing=changing />
        </Sheet>
    }
}

#[component]
fn ChangeForm(shown: Shown, changing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&[]);
    let before = untrack(|| shown.with(JobTyped::of)).unwrap_or_default();
    let draft = Draft::new(before.clone());
    let before = StoredValue::new(before);
    let preview = Memo::new(move |_| draft.typed().read().ok());
    let send = move |()| {
        wrong.clear();
        let (Some(after), Ok(before)) = (draft.sent(), before.get_value().read()) else {
            return;
        };
        let set: Vec<JobField> = [
            (after.title != before.title).then_some(JobField::Title(after.title)),
            (after.total != before.total).then_some(JobField::Total(after.total)),
            (after.beds_left_out != before.beds_left_out)
                .then_some(JobField::BedsLeftOut(after.beds_left_out)),
        ]
        .into_iter()
        .flatten()
        .collect();
        let is_new = !set.is_empty();
        let edit = Edit::ChangeJob {
            job: shown.job,
            set,
        };
        if !is_new || wrong.write(book, shown.document(), edit) {
            if is_new {
                toasts.say("The job is changed.");
            }
            changing.set(false);
        }
    };
    view! {
        <Form on_send=send>
            <JobFields draft=draft />
            <WrongWhole wrong=wrong />
            <SendButton words="Keep the changes" />
        </Form>
        <JobPreview job=preview />
    }
}
