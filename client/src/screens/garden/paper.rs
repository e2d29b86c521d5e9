//! What is printed for the shed door.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;
use selion_core::policy::Action;

use crate::browser::{page, timer};
use crate::parts::{Act, ActLink, Acts, Heading};
use crate::plain::share_lists;
use crate::screens::looker::printing;
use crate::state::use_book;

/// How long a screen may take to be drawn before it is printed.
const DRAWN_MILLIS: i32 = 700;

/// The ways to what is printed.
#[component]
pub fn Paper() -> impl IntoView {
    let book = use_book();
    // The share sheet is that of the latest load.
    let load = Memo::new(move |_| {
        let sees_ledger = book.may(Action::SeeLedger, false);
        share_lists::latest_load(&book.garden.read()).filter(|_| sees_ledger)
    });
    let share_sheet = move || {
        load.get().map(|order| {
            let href = printing(&format!("/order/{order}"));
            view! { <ActLink href=href words="Share sheet" /> }
        })
    };
    view! {
        <Heading text="Print for the shed door" />
        <Acts>
            <ActLink href=printing("/ground") words="Bed map" />
            <PrintWeek at="/work" words="Week sheet" />
            <PrintWeek at="/picking" words="Picking sheet" />
            {share_sheet}
        </Acts>
    }
}

// Goes to a screen that is the same for everybody, and prints it.
#[component]
fn PrintWeek(at: &'static str, words: &'static str) -> impl IntoView {
    let navigate = use_navigate();
    let print = move |()| {
        navigate(at, NavigateOptions::default());
        spawn_local(async {
            timer::sleep(DRAWN_MILLIS).await;
            page::note_trouble(page::print());
        });
    };
    view! { <Act words=words on_press=print /> }
}
