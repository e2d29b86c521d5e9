//! The frame around every screen, and the head each screen begins with.

use leptos::prelude::*;
use leptos_router::hooks::use_location;

use super::{ToastShelf, Toasts, TruthLine};
use crate::browser::page;
use crate::plain::truth::Truth;

/// A place in the navigation, with the beginnings of the addresses that belong to it.
struct Place {
    name: &'static str,
    href: &'static str,
    deeper: &'static [&'static str],
}

const PLACES: [Place; 5] = [
    Place {
        name: "Week",
        href: "/week",
        deeper: &[],
    },
    Place {
        name: "Ground",
        href: "/ground",
        deeper: &["/bed/"],
    },
    Place {
        name: "Work",
        href: "/work",
        deeper: &["/task/"],
    },
    Place {
        name: "Picking",
        href: "/picking",
        deeper: &[],
    },
    Place {
        name: "Shares",
        href: "/shares",
        deeper: &["/order/", "/job/"],
    },
];

impl Place {
    fn holds(&self, path: &str) -> bool {
        path.starts_with(self.href) || self.deeper.iter().any(|deeper| path.starts_with(deeper))
    }
}

/// Whether a screen has been opened before in this tab: the first one does not take the focus.
#[derive(Clone, Copy)]
struct Opened(StoredValue<bool>);

/// Whether there is a garden to go about in; without one there is nothing to navigate to.
#[derive(Clone, Copy)]
struct HasGarden(Signal<bool>);

/// Truth line, the screen, the navigation of five, and the toasts.
#[component]
pub fn Frame(
    /// How things stand between this phone and the garden.
    #[prop(into)]
    truth: Signal<Truth>,
    /// Whether there is a garden to navigate in.
    #[prop(into, default = Signal::stored(true))]
    has_garden: Signal<bool>,
    /// The screen.
    children: Children,
) -> impl IntoView {
    provide_context(HasGarden(has_garden));
    provide_context(Opened(StoredValue::new(false)));
    provide_context(Toasts::default());
    let path = use_location().pathname;
    let links = PLACES.into_iter().map(move |place| {
        let (name, href) = (place.name, place.href);
        let current = move || place.holds(&path.read()).then_some("page");
        view! { <a href=href aria-current=current>{name}</a> }
    });
    let skip = move |event: leptos::ev::MouseEvent| {
        // A plain jump would change the address, which belongs to the router.
        event.prevent_default();
        page::focus("main");
    };
    view! {
        <a class="skip" href="#main" on:click=skip>"To the page"</a>
        <div class="book">
            <Show when=move || has_garden.get()><TruthLine truth=truth /></Show>
            <main id="main" tabindex="-1">{children()}</main>
            <ToastShelf />
            <nav class="foot" aria-label="Screens" hidden=move || !has_garden.get()>{links.collect_view()}</nav>
        </div>
    }
}

/// The head of a screen, like the head of a survey sheet: small capitals, then the thing itself. It names the window,
/// and takes the focus when the screen is opened, so that a screen reader begins here.
#[component]
pub fn PageHead(
    /// The line above, such as the garden and the week.
    #[prop(into)]
    label: Signal<String>,
    /// The thing itself.
    #[prop(into)]
    title: Signal<String>,
    /// Where this screen belongs, as address and name: a way back above the label.
    #[prop(optional)]
    back: Option<(&'static str, &'static str)>,
    /// What stands beside the title, such as a button; the way to the garden comes after it.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    let path = use_location().pathname;
    let has_garden = use_context::<HasGarden>().map_or(Signal::stored(true), |has| has.0);
    let leads_to_garden = move || has_garden.get() && !path.read().starts_with("/garden");
    Effect::new(move |_| page::set_title(&format!("{} · Selion", title.read())));
    if let Some(Opened(opened)) = use_context::<Opened>() {
        Effect::new(move |_| {
            if opened.get_value() {
                page::focus("page-title");
            }
            opened.set_value(true);
        });
    }
    view! {
        <header class="head">
            <div class="named">
                {back.map(|(href, name)| view! { <a class="back" href=href>{format!("‹ {name}")}</a> })}
                <p class="label">{move || label.get()}</p>
                <h1 id="page-title" tabindex="-1">{move || title.get()}</h1>
            </div>
            <div class="beside">
                {children.map(|children| children())}
                <Show when=leads_to_garden>
                    <a class="to-garden" href="/garden">"Garden"</a>
                </Show>
            </div>
        </header>
    }
}
