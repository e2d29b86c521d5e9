//! Filters over a list: one is chosen.

use leptos::prelude::*;

/// One filter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filter {
    /// What it is known by.
    pub key: &'static str,
    /// What it says.
    pub name: String,
    /// How many lines it would show.
    pub count: Option<usize>,
}

impl Filter {
    /// A filter without a count.
    pub fn new(key: &'static str, name: impl Into<String>) -> Self {
        Self {
            key,
            name: name.into(),
            count: None,
        }
    }

    /// With how many lines it would show.
    #[must_use]
    pub fn counting(self, count: usize) -> Self {
        Self {
            count: Some(count),
            ..self
        }
    }
}

/// A row of filters.
#[component]
pub fn Filters(
    /// What is filtered, for a screen reader.
    #[prop(into)]
    label: String,
    /// The filters.
    #[prop(into)]
    filters: Signal<Vec<Filter>>,
    /// The key of the chosen one.
    chosen: RwSignal<&'static str>,
) -> impl IntoView {
    let chips = move || {
        filters
            .get()
            .into_iter()
            .map(|Filter { key, name, count }| {
                let pressed = move || (chosen.get() == key).to_string();
                view! {
                    <button type="button" class="chip" aria-pressed=pressed on:click=move |_| chosen.set(key)>
                        {name}
                        {count.map(|count| view! { <span class="count">{count}</span> })}
                    </button>
                }
            })
            .collect_view()
    };
    view! { <div class="filters" role="group" aria-label=label>{chips}</div> }
}
