//! A word in a small frame, telling how a line stands.

use leptos::prelude::*;

/// What a tag tells, beside its word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TagKind {
    /// A plain fact.
    #[default]
    Plain,
    /// Yours.
    Mine,
    /// Not settled yet.
    Wait,
    /// Needs a decision, or is forbidden.
    Stop,
    /// Done.
    Done,
}

/// A tag.
#[component]
pub fn Tag(
    /// Its word.
    #[prop(into)]
    word: Signal<String>,
    /// What it tells.
    #[prop(into, optional)]
    kind: Signal<TagKind>,
) -> impl IntoView {
    let class = move || match kind.get() {
        TagKind::Plain => "tag",
        TagKind::Mine => "tag mine",
        TagKind::Wait => "tag wait",
        TagKind::Stop => "tag stop",
        TagKind::Done => "tag done",
    };
    view! { <span class=class>{move || word.get()}</span> }
}
