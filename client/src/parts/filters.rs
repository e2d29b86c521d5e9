//! Filters over a list: one is chosen.

use leptos::prelude::*;

use crate::piece::{Given, Piece, Words, el};

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

/// A row of filters: what is filtered, for a screen reader; the filters; the key of the chosen one.
pub fn filters(
    label: impl Into<Words>,
    choices: impl Into<Given<Vec<Filter>>>,
    chosen: RwSignal<&'static str>,
) -> Piece {
    filters_of(label.into(), choices.into(), chosen)
}

fn filters_of(label: Words, choices: Given<Vec<Filter>>, chosen: RwSignal<&'static str>) -> Piece {
    let chip = move |Filter { key, name, count }| {
        el("button")
            .attr("type", "button")
            .class("chip")
            .attr("aria-pressed", move || (chosen.get() == key).to_string())
            .on("click", move || chosen.set(key))
            .child(name)
            .child(count.map(|count| el("span").class("count").child(count.to_string())))
    };
    el("div")
        .class("filters")
        .attr("role", "group")
        .attr("aria-label", label)
        .child(move || choices.get().into_iter().map(chip).collect::<Piece>())
        .into()
}
