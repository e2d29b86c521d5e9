//! What is printed for the shed door.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;

use crate::browser::{page, timer};
use crate::parts::{Act, Acts, Heading};

/// How long a screen may take to be drawn before it is printed.
const DRAWN_MILLIS: i32 = 700;

/// The buttons; each goes to its screen and prints it.
#[component]
pub fn Paper() -> impl IntoView {
    let navigate = use_navigate();
    let print = move |at: &'static str| {
        let navigate = navigate.clone();
        move |()| {
            navigate(at, NavigateOptions::default());
            spawn_local(async {
                timer::sleep(DRAWN_MILLIS).await;
                page::note_trouble(page::print());
            });
        }
    };
    view! {
        <Heading text="Print for the shed door" />
        <Acts>
            <Act words="Bed map" on_press=print("/ground") />
            <Act words="Week sheet" on_press=print("/week") />
            <Act words="Share sheet" on_press=print("/shares") />
        </Acts>
    }
}
