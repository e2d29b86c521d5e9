//! The table of addresses and the frame around the screens.

use leptos::mount::mount_to_body;
use leptos::prelude::*;
use leptos_router::components::{FlatRoutes, Redirect, Route, Router};
use leptos_router::hooks::use_location;
use leptos_router::path;

use crate::browser::{page, panic};
use crate::parts::{
    Act, ActKind, ActLink, Acts, Empty, Frame, Note, NoteKind, PageHead, use_toasts,
};
#[cfg(any(debug_assertions, feature = "parts"))]
use crate::parts_page::PartsPage;
use crate::screens::bed::BedScreen;
use crate::screens::garden::GardenScreen;
use crate::screens::ground::GroundScreen;
use crate::screens::job::JobScreen;
use crate::screens::join::JoinPage;
use crate::screens::order::OrderScreen;
use crate::screens::picking::PickingPage;
use crate::screens::shares::SharesScreen;
use crate::screens::start::StartPage;
use crate::screens::task::TaskPage;
use crate::screens::week::WeekPage;
use crate::screens::work::WorkPage;
use crate::state::{Book, Phase, use_book};
#[cfg(not(any(debug_assertions, feature = "parts")))]
use NotFound as PartsPage;

/// Starts the program in the page.
pub fn start() {
    panic::set_hook();
    if let Some(words) = panic::take_last() {
        page::note(&format!("Selion stopped the last time: {words}"));
    }
    mount_to_body(App);
}

#[component]
fn App() -> impl IntoView {
    let book = Book::open();
    provide_context(book);
    provide_context(book.truth);
    let has_garden =
        Signal::derive(move || matches!(*book.phase.read(), Phase::Open | Phase::Ended(_)));
    view! {
        <Router>
            <Frame truth=book.truth has_garden=has_garden>
                <UpdateWaits />
                <SignedOut />
                <Shown has_garden=has_garden />
            </Frame>
        </Router>
    }
}

/// What can be shown now: the screens once a garden is open, and what needs none at any time.
#[component]
fn Shown(has_garden: Signal<bool>) -> impl IntoView {
    let book = use_book();
    let path = use_location().pathname;
    let needs_none = move || matches!(path.read().as_str(), "/join" | "/parts");
    let shows_screens = Memo::new(move |_| has_garden.get() || needs_none());
    let is_opening = Memo::new(move |_| *book.phase.read() == Phase::Opening);
    move || {
        if shows_screens.get() {
            view! { <Screens /> }.into_any()
        } else if is_opening.get() {
            view! { <p class="opening" role="status">"Opening the field book."</p> }.into_any()
        } else {
            view! { <StartPage /> }.into_any()
        }
    }
}

#[component]
fn Screens() -> impl IntoView {
    view! {
        <FlatRoutes fallback=NotFound>
            <Route path=path!("/") view=|| view! { <Redirect path="/week" /> } />
            <Route path=path!("/week") view=WeekPage />
            <Route path=path!("/work") view=WorkPage />
            <Route path=path!("/task/:id") view=TaskPage />
            <Route path=path!("/picking") view=PickingPage />
            <Route path=path!("/ground") view=GroundScreen />
            <Route path=path!("/bed/:id") view=BedScreen />
            <Route path=path!("/shares") view=SharesScreen />
            <Route path=path!("/order/:id") view=OrderScreen />
            <Route path=path!("/job/:id") view=JobScreen />
            <Route path=path!("/garden") view=GardenScreen />
            <Route path=path!("/join") view=JoinPage />
            <Route path=path!("/parts") view=PartsPage />
        </FlatRoutes>
    }
}

/// A newer build is ready; it takes over when the person says so, never in the middle of something.
#[component]
fn UpdateWaits() -> impl IntoView {
    let book = use_book();
    view! {
        <Show when=move || book.update_waits.get()>
            <Note>"A newer Selion is ready. Taking it over loads the page again; what you wrote stays."</Note>
            <Acts><Act words="Take it over" on_press=move |()| book.take_update() /></Acts>
        </Show>
    }
}

/// The service signed this phone out: what it holds can still be read, and what waits can be carried away.
#[component]
fn SignedOut() -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let message = move || match &*book.phase.read() {
        Phase::Ended(message) => Some(message.clone()),
        Phase::Opening | Phase::NoGarden | Phase::Open => None,
    };
    let has_waiting = move || !book.waiting.read().is_empty() || !book.set_aside.read().is_empty();
    let save = move |()| {
        if let Err(trouble) = page::save_as_file("selion-waiting.json", &book.export_waiting()) {
            toasts.say(trouble.to_string());
        }
    };
    let copy = move |()| {
        leptos::task::spawn_local(async move {
            let copied = page::copy(&book.export_waiting()).await;
            toasts.say(copied.map_or_else(
                |trouble| trouble.to_string(),
                |()| "Copied. Paste it into a message to a coordinator.".to_owned(),
            ));
        });
    };
    view! {
        {move || message().map(|message| view! {
            <Note kind=NoteKind::Stop lead="This phone was signed out.">{message}</Note>
            <p>"What is on it can still be read. To go on, ask a coordinator for a new invite."</p>
        })}
        <Show when=move || message().is_some() && has_waiting()>
            <p>"Something you wrote was never sent. Carry it away before this phone is used anew:"</p>
            <Acts>
                <Act words="Save what waits to a file" on_press=save />
                <Act words="Copy it" on_press=copy />
            </Acts>
        </Show>
    }
}

#[component]
fn NotFound() -> impl IntoView {
    view! {
        <PageHead label="Selion" title="No such page" />
        <Empty lead="Nothing stands at this address.">
            <p>"The link may be old, or a letter was lost on the way."</p>
            <ActLink href="/week" words="To this week" kind=ActKind::Main />
        </Empty>
    }
}
