//! Something to know, set off from the lines.

use leptos::prelude::*;

/// How much a note weighs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NoteKind {
    /// Good to know.
    #[default]
    Plain,
    /// To be minded: dust, raw manure, a date to keep.
    Mind,
    /// Something is refused or dangerous.
    Stop,
    /// Something went well.
    Done,
}

/// A note.
#[component]
pub fn Note(
    /// Its weight.
    #[prop(optional)]
    kind: NoteKind,
    /// A few strong words before the sentence.
    #[prop(into, optional)]
    lead: Option<String>,
    /// The sentence.
    children: Children,
) -> impl IntoView {
    let class = match kind {
        NoteKind::Plain => "note",
        NoteKind::Mind => "note wait",
        NoteKind::Stop => "note stop",
        NoteKind::Done => "note done",
    };
    let role = (kind == NoteKind::Stop).then_some("alert");
    view! {
        <div class=class role=role>
            <p>{lead.map(|lead| view! { <span class="lead">{lead}</span>" " })}{children()}</p>
        </div>
    }
}
