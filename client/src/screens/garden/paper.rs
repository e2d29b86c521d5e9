//! What is printed for the shed door.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::policy::Action;

use crate::address::{NavigateOptions, use_navigate};
use crate::browser::{page, timer};
use crate::parts::{act, act_link, acts, heading};
use crate::piece::{Piece, memo, pieces};
use crate::plain::share_lists;
use crate::screens::looker::printing;
use crate::state::use_book;

/// How long a screen may take to be drawn before it is printed.
const DRAWN_MILLIS: i32 = 700;

/// The ways to what is printed.
pub fn paper() -> Piece {
    let book = use_book();
    // The share sheet is that of the latest load.
    let load = memo(move || {
        let sees_ledger = book.may(Action::SeeLedger, false);
        share_lists::latest_load(&book.garden.read()).filter(|_| sees_ledger)
    });
    let share_sheet = move || {
        load.get().map(|order| {
            let href = printing(&format!("/order/{order}"));
            act_link(href, "Share sheet")
        })
    };
    pieces![
        heading("Print for the shed door"),
        acts()
            .child(act_link(printing("/ground"), "Bed map"))
            .child(act_link(printing("/season"), "Yearly plan"))
            .child(print_week("/week/sheet", "Week sheet"))
            .child(print_week("/picking", "Picking sheet"))
            .child(share_sheet)
    ]
}

// Goes to a screen that is the same for everybody, and prints it.
fn print_week(at: &'static str, words: &'static str) -> Piece {
    let navigate = use_navigate();
    let print = move || {
        navigate(at, NavigateOptions::default());
        spawn_local(async {
            timer::sleep(DRAWN_MILLIS).await;
            page::note_trouble(page::print());
        });
    };
    act(words, print).into()
}
