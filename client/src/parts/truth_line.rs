//! The line at the top that always tells the truth.

use leptos::prelude::*;

use crate::plain::truth::{Truth, TruthKind};

/// The truth line. The sentence is read out when it changes; the right end, which may be a clock, is not.
#[component]
pub fn TruthLine(
    /// How things stand.
    #[prop(into)]
    truth: Signal<Truth>,
) -> impl IntoView {
    let class = move || match truth.read().kind {
        TruthKind::InStep => "truth",
        TruthKind::Waiting => "truth waiting",
        TruthKind::Aside => "truth aside",
        TruthKind::NoSignal => "truth silent",
    };
    let sentence = Memo::new(move |_| truth.read().sentence.clone());
    let right = move || {
        let Truth { right, href, .. } = truth.get();
        match href {
            Some(href) => view! { <a href=href>{right}</a> }.into_any(),
            None => right.into_any(),
        }
    };
    view! {
        <div class=class>
            {move || mark(truth.read().kind)}
            <span role="status" aria-live="polite">{sentence}</span>
            <span class="right">{right}</span>
        </div>
    }
}

// Each kind has its own shape, so that nothing depends on colour.
fn mark(kind: TruthKind) -> impl IntoView {
    let (outlined, filled) = match kind {
        TruthKind::InStep => (None, "M1 1H13V13H1Z"),
        TruthKind::Waiting => (Some("M2 2H12V12H2Z"), "M1 13 13 1V13Z"),
        TruthKind::Aside => (None, "M7 1 13 13H1Z"),
        TruthKind::NoSignal => (Some("M2 2H12V12H2Z"), ""),
    };
    view! {
        <svg class="mark" viewBox="0 0 14 14" aria-hidden="true">
            <path d=outlined.unwrap_or_default() fill="none" stroke="currentColor" stroke-width="2" />
            <path d=filled fill="currentColor" />
        </svg>
    }
}
