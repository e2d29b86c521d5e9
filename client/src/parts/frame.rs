//! The frame around every screen, and the head each screen begins with.

use leptos::ev::Event;
use leptos::prelude::*;

use super::{Toasts, toast_shelf, truth_line};
use crate::address::use_location;
use crate::browser::page;
use crate::piece::{El, Piece, Words, el, pieces, watch, when};
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
        deeper: &["/bed/", "/planting/", "/season", "/soil", "/weather"],
    },
    Place {
        name: "Work",
        href: "/work",
        deeper: &["/task/", "/proposals"],
    },
    Place {
        name: "Picking",
        href: "/picking",
        deeper: &[],
    },
    Place {
        name: "Shares",
        href: "/shares",
        deeper: &["/order/", "/job/", "/account", "/settle"],
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

/// Truth line, the screen, the navigation of five, and the toasts: around what the screens show, which is made inside.
pub fn frame<P: Into<Piece>>(
    truth: RwSignal<Truth>,
    has_garden: Signal<bool>,
    screen: impl FnOnce() -> P,
) -> Piece {
    provide_context(HasGarden(has_garden));
    provide_context(Opened(StoredValue::new(false)));
    provide_context(Toasts::default());
    let path = use_location().pathname;
    let link = move |place: Place| {
        let (name, href) = (place.name, place.href);
        let current = move || place.holds(&path.read()).then_some("page");
        el("a")
            .attr("href", href)
            .attr("aria-current", current)
            .child(name)
    };
    let skip = move |event: Event| {
        // A plain jump would change the address, which belongs to the router.
        event.prevent_default();
        page::focus("main");
    };
    pieces![
        el("a")
            .class("skip")
            .attr("href", "#main")
            .on_event("click", skip)
            .child("To the page"),
        el("div")
            .class("book")
            .child(when(move || has_garden.get(), move || truth_line(truth)))
            .child(
                el("main")
                    .id("main")
                    .attr("tabindex", "-1")
                    .child(screen().into()),
            )
            .child(toast_shelf())
            .child(
                el("nav")
                    .class("foot")
                    .attr("aria-label", "Screens")
                    .attr("hidden", move || !has_garden.get())
                    .child(PLACES.into_iter().map(link).collect::<Piece>()),
            ),
    ]
}

/// The head of a screen, like the head of a survey sheet: small capitals, then the thing itself. It names the window,
/// and takes the focus when the screen is opened, so that a screen reader begins here.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct PageHead {
    label: Words,
    title: Words,
    back: Option<(Words, Words)>,
    beside: El,
}

/// The head with the line above, such as the garden and the week, and the thing itself.
#[inline(never)]
pub fn page_head(label: impl Into<Words>, title: impl Into<Words>) -> PageHead {
    PageHead {
        label: label.into(),
        title: title.into(),
        back: None,
        beside: el("div").class("beside"),
    }
}

impl PageHead {
    /// Where this screen belongs, as address and name: a way back above the label.
    #[inline(never)]
    pub fn back(self, href: impl Into<Words>, name: impl Into<Words>) -> Self {
        Self {
            back: Some((href.into(), name.into())),
            ..self
        }
    }

    /// What stands beside the title, such as a button; the way to the garden comes after it.
    #[inline(never)]
    pub fn child(self, child: impl Into<Piece>) -> Self {
        Self {
            beside: self.beside.child(child),
            ..self
        }
    }
}

impl From<PageHead> for Piece {
    fn from(head: PageHead) -> Self {
        let PageHead {
            label,
            title,
            back,
            beside,
        } = head;
        name_the_window(title.clone());
        let path = use_location().pathname;
        let has_garden = use_context::<HasGarden>().map(|has| has.0);
        let leads_to_garden =
            move || has_garden.is_none_or(|has| has.get()) && !path.read().starts_with("/garden");
        let way_back = back.map(|(href, name)| {
            let words = move || format!("‹ {}", name.get());
            el("a").class("back").attr("href", href).child(words)
        });
        el("header")
            .class("head")
            .child(
                el("div")
                    .class("named")
                    .child(way_back)
                    .child(el("p").class("label").child(label))
                    .child(
                        el("h1")
                            .id("page-title")
                            .attr("tabindex", "-1")
                            .child(title),
                    ),
            )
            .child(beside.child(when(leads_to_garden, || {
                el("a")
                    .class("to-garden")
                    .attr("href", "/garden")
                    .child("Garden")
            })))
            .into()
    }
}

fn name_the_window(title: Words) {
    watch(move || page::set_title(&format!("{} · Selion", title.get())));
    if let Some(Opened(opened)) = use_context::<Opened>() {
        watch(move || {
            if opened.get_value() {
                page::focus("page-title");
            }
            opened.set_value(true);
        });
    }
}
