//! What comes in a later file of the program.
//!
//! A phone shows its first screen once the main file of the program is there. What the first screens do not need is kept
//! out of that file: `cargo xtask` finds everything that is reached by way of the one function below alone, and puts it
//! into a file of its own. The service worker stores that file as soon as the program runs, so that it is there without
//! signal too; the program loads it when something in it is opened first.
//!
//! One function and not one for each screen: all share one file, and each further function costs code and a file of what
//! it shares with the others.

#![expect(
    clippy::unnecessary_wraps,
    reason = "what goes wrong on the way into the later file is added where that is marked"
)]

use std::pin::pin;
use std::task::{Context, Poll, Waker};

use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_split_helpers::{SplitLoaderError, wasm_split};

use crate::browser::page;
use crate::parts::{ActKind, NoteKind, act, acts, note, page_head};
#[cfg(any(debug_assertions, feature = "parts"))]
use crate::parts_page::parts_page;
use crate::piece::{Piece, el, live, pieces, signal_of};
use crate::screens::account::account_screen;
use crate::screens::account::settle::settle_screen;
use crate::screens::bed::bed_screen;
use crate::screens::fence::fence_screen;
use crate::screens::garden::garden_screen;
use crate::screens::ground::ground_screen;
use crate::screens::job::job_screen;
use crate::screens::order::order_screen;
use crate::screens::shares::shares_screen;
use crate::screens::soil::plan::soil_of_bed;
use crate::screens::soil::soil_screen;
use crate::screens::waits::what_waits;

/// What the later file holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Later {
    /// The plan of the ground with all beds.
    Ground,
    /// One fence line of the ground, by its id.
    Fence(String),
    /// One bed, by its id.
    Bed(String),
    /// What the soil of all beds needs.
    Soil,
    /// What the soil of one bed needs, by the bed's id.
    SoilOf(String),
    /// Orders, jobs and who owes whom.
    Shares,
    /// The statement of an account, one's own where none is named.
    Account(Option<String>),
    /// Who pays whom so that nobody owes anything.
    Settle,
    /// What waits for somebody about money.
    Waits,
    /// One bulk order, by its id.
    Order(String),
    /// One shared job, by its id.
    Job(String),
    /// People, devices, and how the garden is set up.
    Garden,
    /// Every part in use.
    #[cfg(any(debug_assertions, feature = "parts"))]
    Parts,
}

/// The only way into the later file.
///
/// # Errors
/// The file is not on this phone and cannot be fetched.
#[wasm_split(later, fallible, preload(fetch))]
fn open(what: Later) -> Result<Piece, SplitLoaderError> {
    Ok(match what {
        Later::Ground => ground_screen(),
        Later::Fence(id) => fence_screen(&id),
        Later::Bed(id) => bed_screen(&id),
        Later::Soil => soil_screen(),
        Later::SoilOf(id) => soil_of_bed(&id),
        Later::Shares => shares_screen(),
        Later::Account(whose) => account_screen(whose.as_deref()),
        Later::Settle => settle_screen(),
        Later::Waits => what_waits(),
        Later::Order(id) => order_screen(&id),
        Later::Job(id) => job_screen(&id),
        Later::Garden => garden_screen(),
        #[cfg(any(debug_assertions, feature = "parts"))]
        Later::Parts => parts_page(),
    })
}

/// How it stands with the later file.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fetched {
    Asked,
    Here,
    Missing,
}

/// Something from the later file: at once when the file was used before, else as soon as it is there.
pub fn later(what: Later) -> Piece {
    shown(what, false)
}

/// The same beside what stands there already: nothing until the file is there, and nothing when it cannot be had.
pub fn later_beside(what: Later) -> Piece {
    shown(what, true)
}

fn shown(what: Later, beside: bool) -> Piece {
    let fetched = signal_of(match at_once(fetch()) {
        Some(Ok(())) => Fetched::Here,
        _ => Fetched::Asked,
    });
    let ask = move || {
        spawn_local(async move {
            let answer = fetch().await;
            fetched.set(answer.map_or(Fetched::Missing, |()| Fetched::Here));
        });
    };
    if fetched.get_untracked() == Fetched::Asked {
        ask();
    }
    live(move || match fetched.get() {
        Fetched::Asked | Fetched::Missing if beside => Piece::Nothing,
        Fetched::Asked => opening(),
        Fetched::Here => match at_once(open(what.clone())) {
            Some(Ok(piece)) => piece,
            _ => Piece::Nothing,
        },
        Fetched::Missing => missing(move || {
            fetched.set(Fetched::Asked);
            ask();
        }),
    })
}

/// Words while something is opened that is not there yet.
pub fn opening() -> Piece {
    el("p")
        .class("opening")
        .attr("role", "status")
        .child("Opening the field book.")
        .into()
}

fn missing(again: impl Fn() + 'static) -> Piece {
    let why = if page::is_online() {
        "This page could not be loaded from the garden\u{2019}s service."
    } else {
        "This page is not on the phone yet, and there is no signal to load it with."
    };
    pieces![
        page_head("Selion", "Not loaded yet"),
        note().kind(NoteKind::Stop).lead(why).child(
            "With signal it is loaded and kept, and opens without signal from then on. \
             What you wrote is on this phone all the same."
        ),
        acts().child(act("Try again", again).kind(ActKind::Main))
    ]
}

/// What a future gives if it need not be waited for.
fn at_once<T>(future: impl Future<Output = T>) -> Option<T> {
    match pin!(future).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(answer) => Some(answer),
        Poll::Pending => None,
    }
}
