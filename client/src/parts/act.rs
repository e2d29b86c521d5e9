//! What can be pressed to do something.

use leptos::prelude::*;

use super::fresh_id;

/// How much weight a button has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ActKind {
    /// One of several.
    #[default]
    Plain,
    /// What most people came for; one a screen.
    Main,
    /// Takes something away or cannot be undone.
    Grave,
    /// Words alone, for what is seldom wanted.
    Bare,
}

impl ActKind {
    const fn class(self) -> &'static str {
        match self {
            Self::Plain => "act",
            Self::Main => "act main",
            Self::Grave => "act stop",
            Self::Bare => "act bare",
        }
    }
}

/// A button. Where it may not be pressed, `refused` says why: it then greys out, stays reachable, and shows the reason.
#[component]
pub fn Act(
    /// What it says, a verb first.
    #[prop(into)]
    words: Signal<String>,
    /// What happens.
    #[prop(into)]
    on_press: Callback<()>,
    /// Its weight.
    #[prop(optional)]
    kind: ActKind,
    /// Over the whole width, below the lines.
    #[prop(optional)]
    wide: bool,
    /// Why it may not be pressed now.
    #[prop(into, optional)]
    refused: Signal<Option<String>>,
    /// What a screen reader says instead, where the words alone are too short.
    #[prop(into, optional)]
    spoken: Option<String>,
) -> impl IntoView {
    let reason_id = fresh_id("reason");
    let described_by = {
        let id = reason_id.clone();
        move || refused.read().is_some().then(|| id.clone())
    };
    let press = move |_| {
        if refused.read_untracked().is_none() {
            on_press.run(());
        }
    };
    view! {
        <button
            type="button" class=kind.class() class:wide=wide aria-label=spoken
            aria-disabled=move || refused.read().is_some().then_some("true") aria-describedby=described_by on:click=press
        >
            {move || words.get()}
        </button>
        {move || refused.get().map(|reason| view! { <p class="note" id=reason_id.clone()>{reason}</p> })}
    }
}

/// A link that looks like a button, for going somewhere to do something.
#[component]
pub fn ActLink(
    /// Where it leads.
    #[prop(into)]
    href: String,
    /// What it says.
    #[prop(into)]
    words: Signal<String>,
    /// Its weight.
    #[prop(optional)]
    kind: ActKind,
    /// Over the whole width, below the lines.
    #[prop(optional)]
    wide: bool,
) -> impl IntoView {
    view! { <a class=kind.class() class:wide=wide href=href>{move || words.get()}</a> }
}

/// Buttons side by side, as many as fit.
#[component]
pub fn Acts(
    /// The buttons.
    children: Children,
) -> impl IntoView {
    view! { <div class="acts">{children()}</div> }
}
