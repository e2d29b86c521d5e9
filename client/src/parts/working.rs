//! How a number was reached, written as on squared paper.

use leptos::prelude::*;
use selion_core::reckoning::{Reckoning, Standing, Step};

/// What the panel shows; made from a reckoning, whatever its result is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkingText {
    /// The lines, in order.
    pub steps: Vec<Step>,
    /// What the answer rests on.
    pub basis: Vec<String>,
    /// Where something was rounded, and how.
    pub rounding: Option<String>,
    /// Where the rule comes from.
    pub source: String,
    /// Whether it is a stated fallback, shown as a range.
    pub is_estimate: bool,
    /// What to be careful about.
    pub cautions: Vec<&'static str>,
}

impl<T> From<&Reckoning<T>> for WorkingText {
    fn from(answer: &Reckoning<T>) -> Self {
        Self {
            steps: answer.steps.clone(),
            basis: answer.basis.clone(),
            rounding: answer.rounding.clone(),
            source: answer.source.to_string(),
            is_estimate: answer.source.standing == Standing::Estimate,
            cautions: answer
                .cautions
                .iter()
                .map(|caution| caution.wording())
                .collect(),
        }
    }
}

/// The working of one number. Cautions ride with the result, so they are seen even while the panel is closed.
#[component]
pub fn Working(
    /// Whose working it is, such as "Working for C4".
    #[prop(into)]
    title: Signal<String>,
    /// The working.
    #[prop(into)]
    of: Signal<WorkingText>,
    /// Open from the start.
    #[prop(optional)]
    open: bool,
) -> impl IntoView {
    let lines = move || of.get().steps.into_iter().map(line).collect_view();
    let basis = move || {
        of.get()
            .basis
            .into_iter()
            .map(|words| view! { <p>{words}</p> })
            .collect_view()
    };
    let cautions = move || {
        of.get()
            .cautions
            .into_iter()
            .map(|words| view! { <li>{words}</li> })
            .collect_view()
    };
    view! {
        <details class="working" open=open>
            <summary>{move || title.get()}</summary>
            <Show when=move || of.read().is_estimate>
                <p class="estimate">"An estimate, not a measured figure."</p>
            </Show>
            <dl>{lines}</dl>
            {basis}
            {move || of.get().rounding.map(|how| view! { <p>{how}</p> })}
            <p>{move || of.get().source}</p>
        </details>
        <Show when=move || !of.read().cautions.is_empty()>
            <ul class="note wait" aria-label="Be careful" role="list">
                {cautions}
            </ul>
        </Show>
    }
}

fn line(step: Step) -> impl IntoView {
    view! {
        <dt class:sum=step.is_sum>{step.label}</dt>
        <dd class:sum=step.is_sum>{step.value}</dd>
    }
}
