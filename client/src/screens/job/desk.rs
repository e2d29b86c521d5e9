//! What a coordinator does with a shared job: close the hours due, change it, call it off.

use leptos::prelude::*;
use selion_core::document::edit::JobField;
use selion_core::document::{Edit, shared_out};
use selion_core::policy::Action;

use super::Shown;
use super::new::{Draft, job_fields, job_preview};
use crate::parts::{ActKind, act, acts, confirm, form, heading, send_button, sheet, use_toasts};
use crate::piece::{Piece, derived, memo, pieces, signal_of, when};
use crate::plain::hours_rows::JobTyped;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The buttons of a job.
pub fn desk(shown: Shown) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let changing = signal_of(false);
    let refused = derived(move || book.why_not(Action::KeepJobs, false));
    let ended = move |day| Edit::ChangeJob {
        job: shown.job,
        set: vec![JobField::EndedOn(day)],
    };
    let call_off = move || {
        let today = book.today.get_untracked();
        pen.write_with_undo(
            shown.document(),
            ended(Some(today)),
            "The job is called off.",
            ended(None),
        );
    };
    let take_up = move || {
        pen.write(shown.document(), ended(None), "The job is put up again.");
    };
    pieces![
        when(
            move || !shown.is_closed(),
            move || pieces![
                heading("Change"),
                when(
                    move || shown.is_ended(),
                    move || acts().child(act("Put it up again", take_up).refused(refused))
                )
                .otherwise(move || pieces![
                    closing(shown),
                    when(
                        move || refused.read().is_none(),
                        move || acts()
                            .child(act("Change it", move || changing.set(true)))
                            .child(act("Call it off", call_off).kind(ActKind::Grave))
                    )
                ])
            ]
        ),
        change_sheet(shown, changing)
    ]
}

// The mark of the hours is taken when the question is asked, so that nobody agrees to figures they did not see.
fn closing(shown: Shown) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let asking = signal_of(false);
    let seen = signal_of(String::new());
    let follows = signal_of(String::new());
    let refused = derived(move || {
        book.why_not(Action::KeepJobs, false).or_else(|| {
            shown.standing.with(|standing| match standing {
                Some(Err(refusal)) => Some(refusal.to_string()),
                Some(Ok(_)) | None => None,
            })
        })
    });
    let ask = move || {
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
    let close = move || {
        let edit = Edit::CloseJob {
            job: shown.job,
            on: book.today.get_untracked(),
            seen: seen.get_untracked(),
        };
        pen.write(shown.document(), edit, "The hours due are closed.");
    };
    pieces![
        act("Close the hours due", ask)
            .kind(ActKind::Main)
            .wide()
            .refused(refused),
        confirm(asking, "Close the hours due?")
            .follows(follows)
            .yes("Freeze them", close)
    ]
}

fn change_sheet(shown: Shown, changing: RwSignal<bool>) -> Piece {
    sheet(changing, "Change the job", move || {
        change_form(shown, changing)
    })
}

fn change_form(shown: Shown, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&[]);
    let before = untrack(|| shown.with(JobTyped::of)).unwrap_or_default();
    let draft = Draft::new(before.clone());
    let before = StoredValue::new(before);
    let preview = memo(move || draft.typed().read().ok());
    let send = move || {
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
    pieces![
        form(send)
            .child(job_fields(draft))
            .child(wrong_whole(wrong))
            .child(send_button("Keep the changes")),
        job_preview(preview)
    ]
}
