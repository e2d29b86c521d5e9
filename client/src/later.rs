//! What comes in a later file of the program.
//!
//! A phone shows its first screen once the main file of the program is there. What the first screens do not need is kept
//! out of that file: `cargo xtask` finds everything that is reached by way of the one function below alone, and puts it
//! into a file of its own. The service worker stores that file as soon as the program runs, so that it is there without
//! signal too; the program loads it when something in it is opened first.
//!
//! One function and not one for each screen: all share one file, and each further function costs code and a file of what
//! it shares with the others.
//!
//! A sheet of a first screen may come later too: [`later_sheet`] stands in its place until it is first opened.

#![expect(
    clippy::unnecessary_wraps,
    reason = "what goes wrong on the way into the later file is added where that is marked"
)]

use std::pin::pin;
use std::sync::Arc;
use std::task::{Context, Poll, Waker};

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::DocumentName;
use selion_core::document::edit::{Claimable, NoteOf};
use selion_core::policy::Judges;
use selion_core::quantities::Week;
use wasm_split_helpers::{SplitLoaderError, wasm_split};

use crate::browser::page;
use crate::parts::{ActKind, NoteKind, act, acts, note, page_head};
#[cfg(any(debug_assertions, feature = "parts"))]
use crate::parts_page::parts_page;
use crate::piece::{Memo, Piece, el, live, pieces, signal_of, watch, when};
use crate::plain::claims::Desk;
use crate::screens::account::account_screen;
use crate::screens::account::settle::settle_screen;
use crate::screens::bed::bed_screen;
use crate::screens::claims;
use crate::screens::claims::sheets::{done_sheet, hand_over_sheet, others_sheet};
use crate::screens::fence::fence_screen;
use crate::screens::garden::garden_screen;
use crate::screens::ground::draw::draw_screen;
use crate::screens::ground::ground_screen;
use crate::screens::harvest::harvest_screen;
use crate::screens::job::job_screen;
use crate::screens::join::begin_garden;
use crate::screens::note::writing;
use crate::screens::order::order_screen;
use crate::screens::picking;
use crate::screens::picking::gaps::rota_gaps;
use crate::screens::picking::log::log_sheet;
use crate::screens::picking::picked::picked;
use crate::screens::picking::put_up::{PutUp, put_up};
use crate::screens::picking::turn_sheet::turn_sheet;
use crate::screens::planting::planting_screen;
use crate::screens::proposals::{proposals_screen, way_to_proposals};
use crate::screens::season::season_screen;
use crate::screens::season::then::then_screen;
use crate::screens::season::turn::turn_screen;
use crate::screens::set_aside::one_aside;
use crate::screens::shares::shares_screen;
use crate::screens::soil::plan::soil_of_bed;
use crate::screens::soil::soil_screen;
use crate::screens::task::{OpenTask, change_sheet};
use crate::screens::waits::what_waits;
use crate::screens::weather::weather_screen;
use crate::screens::week::loads_and_hours;
use crate::screens::work::new_task;
use crate::screens::work_sheet::week_sheet;
use crate::state::{AsideRow, bring_judges};

/// What the later file holds.
#[derive(Clone, Debug)]
pub enum Later {
    /// The plan of the ground with all beds.
    Ground,
    /// One fence line of the ground, by its id.
    Fence(String),
    /// The desk on which the ground is drawn.
    Draw,
    /// One bed, by its id, or the form for a new planting in it.
    Bed(String),
    /// One planting, by its id.
    Planting(String),
    /// What the soil of all beds needs.
    Soil,
    /// What the soil of one bed needs, by the bed's id.
    SoilOf(String),
    /// The year of all beds.
    Season,
    /// From one year to the next.
    Turning,
    /// Ground and plan as they stood on a day, to be chosen where none is named.
    Then(Option<String>),
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
    /// What the plan asks for.
    Proposals,
    /// The way to that from the work.
    WayToProposals,
    /// Rain and temperatures, and what follows from them.
    Weather,
    /// The week on paper.
    WeekSheet,
    /// People, devices, and how the garden is set up.
    Garden,
    /// Beginning a garden, with the secret of the invite to it.
    NewGarden(String),
    /// One's part of loads and one's hours, on This week.
    LoadsAndHours,
    /// An edit the garden refused, on This week.
    Aside(Arc<AsideRow>),
    /// The sheet for a new task.
    NewTask(RwSignal<bool>),
    /// A note while somebody writes in it.
    Note(NoteOf, DocumentName, Memo<String>, RwSignal<bool>),
    /// The sheet that changes a task.
    ChangeTask(OpenTask, RwSignal<bool>),
    /// The sheet of a coordinator over somebody else's claim.
    OthersClaim(Claimable, Memo<Option<Desk>>, claims::Sheets),
    /// The sheet that says that a claim is done.
    Done(Claimable, Memo<Option<Desk>>, claims::Sheets),
    /// The sheet that hands a claim over.
    HandOver(Claimable, Memo<Option<Desk>>, claims::Sheets),
    /// The sheet of one picking turn.
    Turn(picking::Sheets),
    /// The sheet that writes down what was picked.
    LogPicking(picking::Sheets),
    /// The sheet that puts up turns.
    PutUpTurns(PutUp),
    /// Where the rota leaves a crop too long, on Picking.
    RotaGaps(PutUp),
    /// What was picked in a week, on Picking.
    Picked(Memo<Week>),
    /// What a year gave.
    Harvest,
    /// What judges the edits that the first screens do not write; nothing to see.
    Judges,
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
    bring_judges(Judges::ALL);
    Ok(match what {
        Later::Ground => ground_screen(),
        Later::Fence(id) => fence_screen(&id),
        Later::Draw => draw_screen(),
        Later::Bed(id) => bed_screen(&id),
        Later::Planting(id) => planting_screen(&id),
        Later::Soil => soil_screen(),
        Later::SoilOf(id) => soil_of_bed(&id),
        Later::Season => season_screen(),
        Later::Turning => turn_screen(),
        Later::Then(day) => then_screen(day.as_deref()),
        Later::Shares => shares_screen(),
        Later::Account(whose) => account_screen(whose.as_deref()),
        Later::Settle => settle_screen(),
        Later::Waits => what_waits(),
        Later::Order(id) => order_screen(&id),
        Later::Job(id) => job_screen(&id),
        Later::Proposals => proposals_screen(),
        Later::WayToProposals => way_to_proposals(),
        Later::Weather => weather_screen(),
        Later::WeekSheet => week_sheet(),
        Later::Garden => garden_screen(),
        Later::NewGarden(secret) => begin_garden(secret),
        Later::LoadsAndHours => loads_and_hours(),
        Later::Aside(row) => one_aside(&row),
        Later::NewTask(up) => new_task(up),
        Later::Note(of, document, note, up) => writing(of, document, note, up),
        Later::ChangeTask(task, up) => change_sheet(task, up),
        Later::OthersClaim(of, desk, sheets) => others_sheet(of, desk, sheets),
        Later::Done(of, desk, sheets) => done_sheet(of, desk, sheets),
        Later::HandOver(of, desk, sheets) => hand_over_sheet(of, desk, sheets),
        Later::Turn(sheets) => turn_sheet(sheets),
        Later::LogPicking(sheets) => log_sheet(sheets),
        Later::PutUpTurns(sheet) => put_up(sheet),
        Later::RotaGaps(sheet) => rota_gaps(sheet),
        Later::Picked(week) => picked(week),
        Later::Harvest => harvest_screen(),
        Later::Judges => Piece::Nothing,
        #[cfg(any(debug_assertions, feature = "parts"))]
        Later::Parts => parts_page(),
    })
}

/// Loads what judges the edits that the first screens do not write, if it can be had.
pub async fn load_judges() {
    if fetch().await.is_ok() {
        let _nothing_to_see = open(Later::Judges).await;
    }
}

/// How it stands with the later file.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fetched {
    Asked,
    Here,
    Missing,
}

/// What something from the later file is in the page.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    Screen,
    Beside,
    Part,
}

/// A screen from the later file: at once when the file was used before, else as soon as it is there.
pub fn later(what: Later) -> Piece {
    later_at(what, Place::Screen)
}

/// The same beside what stands there already: nothing until the file is there, and nothing when it cannot be had.
pub fn later_beside(what: Later) -> Piece {
    later_at(what, Place::Beside)
}

/// A part of a first screen from the later file, in its place as soon as it is there.
pub fn later_part(what: Later) -> Piece {
    later_at(what, Place::Part)
}

/// A sheet from the later file: nothing until it is first opened.
pub fn later_sheet(up: RwSignal<bool>, what: Later) -> Piece {
    let wanted = signal_of(false);
    watch(move || {
        if up.get() {
            wanted.set(true);
        }
    });
    when(move || wanted.get(), move || later_part(what.clone())).into()
}

fn later_at(what: Later, place: Place) -> Piece {
    let fetched = signal_of(match at_once(fetch()) {
        Some(Ok(())) => Fetched::Here,
        _ => Fetched::Asked,
    });
    let ask = move || {
        spawn_local(async move {
            let answer = fetch().await;
            fetched.try_set(answer.map_or(Fetched::Missing, |()| Fetched::Here));
        });
    };
    if fetched.get_untracked() == Fetched::Asked {
        ask();
    }
    live(move || match fetched.get() {
        Fetched::Asked | Fetched::Missing if place == Place::Beside => Piece::Nothing,
        Fetched::Asked => opening(),
        Fetched::Here => match at_once(open(what.clone())) {
            Some(Ok(piece)) => piece,
            _ => Piece::Nothing,
        },
        Fetched::Missing => missing(place, move || {
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

fn missing(place: Place, again: impl Fn() + 'static) -> Piece {
    let why = if page::is_online() {
        "This part of Selion could not be loaded from the garden\u{2019}s service."
    } else {
        "This part of Selion is not on the phone yet, and there is no signal to load it with."
    };
    let head = (place == Place::Screen).then(|| page_head("Selion", "Not loaded yet"));
    pieces![
        head,
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
