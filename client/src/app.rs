//! The table of addresses and the frame around the screens.

use leptos::mount::mount_to_body;
use leptos::prelude::*;
use leptos_router::components::{FlatRoutes, Route, Router};
use leptos_router::path;

use crate::browser::{page, panic};
use crate::parts::{ActKind, ActLink, Empty, Frame, PageHead};
#[cfg(any(debug_assertions, feature = "parts"))]
use crate::parts_page::PartsPage;
use crate::plain::truth::Truth;
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
    let truth = RwSignal::new(Truth::opening());
    provide_context(truth);
    view! {
        <Router>
            <Frame truth=truth>
                <FlatRoutes fallback=NotFound>
                    <Route path=path!("/parts") view=PartsPage />
                </FlatRoutes>
            </Frame>
        </Router>
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
