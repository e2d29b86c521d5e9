//! Fields to fill in: label above, help below it, the error beside what is wrong, all tied together for screen readers.

use leptos::ev::Event;
use leptos::prelude::*;

use super::{Press, fresh_id};
use crate::piece::{El, Given, Piece, Words, el};

/// What a select field offers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What is stored.
    pub key: String,
    /// What is read.
    pub name: String,
}

impl Choice {
    /// A choice.
    #[inline(never)]
    pub fn new(key: impl Into<String>, name: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            name: name.into(),
        }
    }
}

/// Fields below one another and, last, a [`send_button`]. Enter and that button both send it.
pub fn form(on_send: impl Fn() + 'static) -> El {
    form_of(Press::new(on_send))
}

fn form_of(on_send: Press) -> El {
    el("form")
        .class("form")
        .attr("novalidate", true)
        .on_event("submit", move |event: Event| {
            event.prevent_default();
            on_send.now();
        })
}

/// The button that sends a form; it says a verb first.
#[inline(never)]
pub fn send_button(words: impl Into<Words>) -> El {
    el("button")
        .attr("type", "submit")
        .class("act main")
        .child(words.into())
}

/// A field: its label, its help, the input itself and what is wrong with it, in the order they are read.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Field {
    label: Words,
    help: Words,
    error: Words,
    input: El,
    kind: &'static str,
    autocomplete: &'static str,
    unit: Option<Words>,
}

/// A line of text.
#[inline(never)]
pub fn text_field(label: impl Into<Words>, value: RwSignal<String>) -> Field {
    Field::new(label.into(), el("input").bind_value(value)).kind("text")
}

/// An amount with the unit that is meant when none is typed. The person may type another; reading it is core's.
#[inline(never)]
pub fn amount_field(
    label: impl Into<Words>,
    value: RwSignal<String>,
    unit: impl Into<Words>,
) -> Field {
    let input = el("input").attr("inputmode", "decimal").bind_value(value);
    Field {
        unit: Some(unit.into()),
        ..Field::new(label.into(), input).kind("text")
    }
}

/// A day, as `2026-03-14`; the browser shows it as the phone is used to.
#[inline(never)]
pub fn date_field(label: impl Into<Words>, value: RwSignal<String>) -> Field {
    Field::new(label.into(), el("input").bind_value(value)).kind("date")
}

/// One of several, by key.
#[inline(never)]
pub fn select_field(
    label: impl Into<Words>,
    value: RwSignal<String>,
    choices: impl Into<Given<Vec<Choice>>>,
) -> Field {
    Field::new(label.into(), select(value, choices.into()))
}

fn select(value: RwSignal<String>, choices: Given<Vec<Choice>>) -> El {
    let options = move || {
        let chosen = value.get();
        let option = |Choice { key, name }| {
            let is_chosen = chosen == key;
            el("option")
                .attr("value", key)
                .attr("selected", is_chosen)
                .child(name)
        };
        choices.get().into_iter().map(option).collect::<Piece>()
    };
    el("select")
        .on_event("change", move |event: Event| {
            value.set(event_target_value(&event));
        })
        .child(options)
}

/// Free words, several lines.
#[inline(never)]
pub fn note_field(label: impl Into<Words>, value: RwSignal<String>) -> Field {
    let input = el("textarea").attr("rows", "3").bind_value(value);
    Field::new(label.into(), input)
}

/// Yes or no.
#[inline(never)]
pub fn check_field(label: impl Into<Words>, value: RwSignal<bool>) -> Field {
    Field::new(label.into(), el("input").bind_checked(value)).kind(CHECKBOX)
}

const CHECKBOX: &str = "checkbox";

impl Field {
    fn new(label: Words, input: El) -> Self {
        Self {
            label,
            help: Words::None,
            error: Words::None,
            input,
            kind: "",
            autocomplete: "",
            unit: None,
        }
    }

    /// A sentence of help, such as "12 ft 6 in is fine".
    #[inline(never)]
    pub fn help(self, help: impl Into<Words>) -> Self {
        Self {
            help: help.into(),
            ..self
        }
    }

    /// What is wrong with it, in a sentence.
    #[inline(never)]
    pub fn error(self, error: impl Into<Words>) -> Self {
        Self {
            error: error.into(),
            ..self
        }
    }

    /// `text`, `password`, `search` or `url`.
    #[inline(never)]
    pub fn kind(self, kind: &'static str) -> Self {
        let autocomplete = if kind == CHECKBOX || kind == "date" {
            ""
        } else {
            "off"
        };
        Self {
            kind,
            autocomplete,
            ..self
        }
    }

    /// What the browser may fill in, such as `name` or `username`; nothing unless it is said.
    #[inline(never)]
    pub fn autocomplete(self, autocomplete: &'static str) -> Self {
        Self {
            autocomplete,
            ..self
        }
    }

    /// The input, tied to its help and error for screen readers.
    fn tied(input: El, id: &str, help: Words, error: Words) -> El {
        let (help_id, error_id) = (format!("{id}-help"), format!("{id}-error"));
        let wrong = error.clone();
        let described_by = move || {
            let help = help.is_some().then_some(help_id.as_str());
            let error = error.is_some().then_some(error_id.as_str());
            match (help, error) {
                (Some(help), Some(error)) => Some(format!("{help} {error}")),
                (help, error) => help.or(error).map(ToOwned::to_owned),
            }
        };
        input
            .id(id.to_owned())
            .attr("aria-describedby", described_by)
            .attr("aria-invalid", move || wrong.is_some().then_some("true"))
    }
}

impl From<Field> for Piece {
    fn from(field: Field) -> Self {
        let Field {
            label,
            help,
            error,
            input,
            kind,
            autocomplete,
            unit,
        } = field;
        let id = fresh_id("field");
        let (help_id, error_id) = (format!("{id}-help"), format!("{id}-error"));
        let given = |words: &'static str| (!words.is_empty()).then_some(words);
        let input = Field::tied(input, &id, help.clone(), error.clone())
            .attr("type", given(kind))
            .attr("autocomplete", given(autocomplete));
        let named = el("label").attr("for", id).child(label.clone());
        let helped = move || {
            let words = help.some()?;
            Some(el("p").class("help").id(help_id.clone()).child(words))
        };
        let told = move || {
            let words = error.some()?;
            let line = el("p").class("error").id(error_id.clone());
            Some(line.attr("role", "alert").child(words))
        };
        if kind == CHECKBOX {
            let field = el("div").class("field check").child(input).child(named);
            return field.child(helped).child(told).into();
        }
        let input = match unit {
            None => input,
            Some(unit) => with_unit(input, label, unit),
        };
        let field = el("div").class("field").child(named).child(helped);
        field.child(input).child(told).into()
    }
}

fn with_unit(input: El, label: Words, unit: Words) -> El {
    let shown = unit.clone();
    let spoken = move || format!("{}, in {}", label.get(), unit.get());
    el("div")
        .class("with-unit")
        .child(input.attr("aria-label", spoken))
        .child(
            el("span")
                .class("unit")
                .attr("aria-hidden", "true")
                .child(shown),
        )
}
