//! The table of addresses and the frame around the screens.

use leptos::mount::mount_to_renderer;
use leptos::prelude::*;
use leptos::tachys::dom::body;

use crate::address::{self, NavigateOptions, use_location, use_navigate};
use crate::browser::{page, panic};
use crate::later::{Later, later, opening};
use crate::parts::{
    ActKind, NoteKind, act, act_link, acts, empty, frame, note, page_head, use_toasts,
};
use crate::piece::{Piece, derived, el, live, memo, pieces, watch, when};
use crate::screens::join::join_page;
use crate::screens::picking::picking_page;
use crate::screens::start::start_page;
use crate::screens::task::task_page;
use crate::screens::week::week_page;
use crate::screens::work::work_page;
use crate::state::{Book, Phase, use_book};

/// Starts the program in the page.
pub fn start() {
    panic::set_hook();
    if let Some(words) = panic::take_last() {
        page::note(&format!("Selion stopped the last time: {words}"));
    }
    mount_to_renderer(&body(), app).forget();
}

fn app() -> Piece {
    let book = Book::open();
    provide_context(book.truth);
    let has_garden = derived(move || matches!(*book.phase.read(), Phase::Open | Phase::Ended(_)));
    address::follow();
    frame(book.truth, has_garden, move || {
        pieces![update_waits(), signed_out(), shown(has_garden)]
    })
}

/// What can be shown now: the screens once a garden is open, and what needs none at any time.
fn shown(has_garden: Signal<bool>) -> Piece {
    let book = use_book();
    let path = use_location().pathname;
    let needs_none = move || matches!(path.read().as_str(), "/join" | "/parts");
    let shows_screens = memo(move || has_garden.get() || needs_none());
    let is_opening = memo(move || *book.phase.read() == Phase::Opening);
    live(move || {
        if shows_screens.get() {
            screens()
        } else if is_opening.get() {
            opening()
        } else {
            start_page()
        }
    })
}

fn screens() -> Piece {
    let path = use_location().pathname;
    live(move || screen_at(&path.read()))
}

/// The screen at an address. Those that phones need first are in the main file, the others come later.
fn screen_at(path: &str) -> Piece {
    let mut steps = path.trim_matches('/').splitn(2, '/');
    let (place, id) = (steps.next().unwrap_or_default(), steps.next());
    match (place, id) {
        ("", None) => to_this_week(),
        ("week", None) => week_page(),
        ("work", None) => work_page(),
        ("week", Some("sheet")) => later(Later::WeekSheet),
        ("task", Some(id)) => task_page(id),
        ("picking", None) => picking_page(),
        ("proposals", None) => later(Later::Proposals),
        ("weather", None) => later(Later::Weather),
        ("harvest", None) => later(Later::Harvest),
        ("ground", None) => later(Later::Ground),
        ("fence", Some(id)) => later(Later::Fence(id.to_owned())),
        ("ground", Some("draw")) => later(Later::Draw),
        ("bed", Some(id)) => later(Later::Bed(id.to_owned())),
        ("planting", Some(id)) => later(Later::Planting(id.to_owned())),
        ("soil", None) => later(Later::Soil),
        ("soil", Some(id)) => later(Later::SoilOf(id.to_owned())),
        ("season", None) => later(Later::Season),
        ("season", Some(further)) => season(further),
        ("shares", None) => later(Later::Shares),
        ("account", whose) => later(Later::Account(whose.map(ToOwned::to_owned))),
        ("settle", None) => later(Later::Settle),
        ("order", Some(id)) => later(Later::Order(id.to_owned())),
        ("job", Some(id)) => later(Later::Job(id.to_owned())),
        ("garden", None) => later(Later::Garden),
        ("join", None) => join_page(),
        #[cfg(any(debug_assertions, feature = "parts"))]
        ("parts", None) => later(Later::Parts),
        _ => not_found(),
    }
}

/// What lies further into the season: the turn of the year, the garden on an earlier day.
fn season(further: &str) -> Piece {
    let mut steps = further.splitn(2, '/');
    match (steps.next(), steps.next()) {
        (Some("turn"), None) => later(Later::Turning),
        (Some("then"), day) => later(Later::Then(day.map(ToOwned::to_owned))),
        _ => not_found(),
    }
}

fn to_this_week() -> Piece {
    let navigate = use_navigate();
    watch(move || navigate("/week", NavigateOptions { replace: true }));
    Piece::Nothing
}

/// A newer build is ready; it takes over when the person says so, never in the middle of something.
fn update_waits() -> Piece {
    let book = use_book();
    when(
        move || book.update_waits.get(),
        move || {
            pieces![
                note().child(
                    "A newer Selion is ready. Taking it over loads the page again; what \
                     you wrote stays."
                ),
                acts().child(act("Take it over", move || book.take_update()))
            ]
        },
    )
    .into()
}

/// The service signed this phone out: what it holds can still be read, and what waits can be carried away.
fn signed_out() -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let message = move || match &*book.phase.read() {
        Phase::Ended(message) => Some(message.clone()),
        Phase::Opening | Phase::NoGarden | Phase::Open => None,
    };
    let has_waiting = move || !book.waiting.read().is_empty() || !book.set_aside.read().is_empty();
    let save = move || {
        if let Err(trouble) = page::save_as_file("selion-waiting.json", &book.export_waiting()) {
            toasts.say(trouble.to_string());
        }
    };
    let copy = move || {
        leptos::task::spawn_local(async move {
            let copied = page::copy(&book.export_waiting()).await;
            toasts.say(copied.map_or_else(
                |trouble| trouble.to_string(),
                |()| "Copied. Paste it into a message to a coordinator.".to_owned(),
            ));
        });
    };
    pieces![
        move || message().map(|message| pieces![
            note()
                .kind(NoteKind::Stop)
                .lead("This phone was signed out.")
                .child(message),
            el("p").child(
                "What is on it can still be read. To go on, ask a coordinator for a \
                 new invite."
            )
        ]),
        when(
            move || message().is_some() && has_waiting(),
            move || pieces![
                el("p").child(
                    "Something you wrote was never sent. Carry it away before this \
                     phone is used anew:"
                ),
                acts()
                    .child(act("Save what waits to a file", save))
                    .child(act("Copy it", copy))
            ]
        )
    ]
}

fn not_found() -> Piece {
    pieces![
        page_head("Selion", "No such page"),
        empty("Nothing stands at this address.")
            .child(el("p").child("The link may be old, or a letter was lost on the way."))
            .child(act_link("/week", "To this week").kind(ActKind::Main))
    ]
}
