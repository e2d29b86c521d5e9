//! A field with a list that a few letters narrow down, by touch or by key: a combo box as screen readers know it.

use leptos::ev::{Event, KeyboardEvent};
use leptos::prelude::*;

use super::fresh_id;
use crate::browser::view;
use crate::piece::{El, Given, Piece, Words, derived, el};

/// What can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pick {
    /// What then stands in the field.
    pub name: String,
    /// A second, smaller line.
    pub small: String,
}

/// A field of text with what it could become. What is typed stays as it is until something is chosen.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct PickField {
    label: Words,
    help: Words,
    error: Words,
    value: RwSignal<String>,
    picks: Given<Vec<Pick>>,
}

/// A field: its label, what is typed into it, and what that could become, the likeliest first.
#[inline(never)]
pub fn pick_field(
    label: impl Into<Words>,
    value: RwSignal<String>,
    picks: impl Into<Given<Vec<Pick>>>,
) -> PickField {
    PickField {
        label: label.into(),
        help: Words::None,
        error: Words::None,
        value,
        picks: picks.into(),
    }
}

impl PickField {
    /// A sentence of help.
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
}

/// The list while the field is used.
#[derive(Clone, Copy)]
struct List {
    open: RwSignal<bool>,
    /// Which line the arrow keys stand on.
    at: RwSignal<Option<usize>>,
    value: RwSignal<String>,
    picks: Signal<Vec<Pick>>,
    id: StoredValue<String>,
}

impl List {
    fn line_id(self, at: usize) -> String {
        self.id.with_value(|id| format!("{id}-{at}"))
    }

    fn close(self) {
        self.open.set(false);
        self.at.set(None);
    }

    fn choose(self, pick: &Pick) {
        self.value.set(pick.name.clone());
        self.close();
    }

    fn step(self, forward: bool) {
        let count = self.picks.with_untracked(Vec::len);
        if count == 0 {
            return;
        }
        self.open.set(true);
        let last = count - 1;
        let next = match (self.at.get_untracked(), forward) {
            (None, true) => 0,
            (Some(at), true) => (at + 1).min(last),
            (None, false) => last,
            (Some(at), false) => at.saturating_sub(1),
        };
        self.at.set(Some(next));
        view::into_view(&self.line_id(next));
    }

    fn key(self, event: &KeyboardEvent) {
        let chosen = || {
            let at = self
                .at
                .get_untracked()
                .filter(|_| self.open.get_untracked())?;
            self.picks.with_untracked(|picks| picks.get(at).cloned())
        };
        match event.key().as_str() {
            "ArrowDown" => self.step(true),
            "ArrowUp" => self.step(false),
            "Escape" if self.open.get_untracked() => self.close(),
            "Enter" => match chosen() {
                Some(pick) => self.choose(&pick),
                // The form is sent as from every field.
                None => return,
            },
            _other => return,
        }
        event.prevent_default();
    }
}

impl From<PickField> for Piece {
    fn from(field: PickField) -> Self {
        let PickField {
            label,
            help,
            error,
            value,
            picks,
        } = field;
        let id = fresh_id("field");
        let (help_id, error_id) = (format!("{id}-help"), format!("{id}-error"));
        let list_id = format!("{id}-list");
        let list = List {
            open: RwSignal::new(false),
            at: RwSignal::new(None),
            value,
            picks: derived(move || picks.get()),
            id: StoredValue::new(list_id.clone()),
        };
        let input = input_of(list, &id, &list_id, error.clone());
        let told = move || {
            let words = error.some()?;
            let line = el("p").class("error").id(error_id.clone());
            Some(line.attr("role", "alert").child(words))
        };
        let lines = el("ul")
            .class("picks")
            .id(list_id)
            .attr("role", "listbox")
            .attr("aria-label", label.clone())
            .attr("hidden", move || {
                !list.open.get() || list.picks.read().is_empty()
            })
            .child(move || lines_of(list));
        el("div")
            .class("field")
            .child(el("label").attr("for", id).child(label))
            .child(el("p").class("help").id(help_id).child(help))
            .child(input)
            .child(lines)
            .child(told)
            .into()
    }
}

/// The field itself, tied to its list, its help and what is wrong with it.
fn input_of(list: List, id: &str, list_id: &str, error: Words) -> El {
    let (help_id, error_id) = (format!("{id}-help"), format!("{id}-error"));
    let wrong = error.clone();
    let described = move || {
        if error.is_some() {
            format!("{help_id} {error_id}")
        } else {
            help_id.clone()
        }
    };
    let pointed = move || list.at.get().map(|at| list.line_id(at));
    el("input")
        .id(id.to_owned())
        .attr("type", "text")
        .attr("autocomplete", "off")
        .attr("role", "combobox")
        .attr("aria-autocomplete", "list")
        .attr("aria-expanded", move || list.open.get().to_string())
        .attr("aria-controls", list_id.to_owned())
        .attr("aria-activedescendant", pointed)
        .attr("aria-describedby", described)
        .attr("aria-invalid", move || wrong.is_some().then_some("true"))
        .bind_value(list.value)
        .on("input", move || {
            list.open.set(true);
            list.at.set(None);
        })
        .on("click", move || list.open.set(true))
        .on("blur", move || list.close())
        .on_event("keydown", move |event: KeyboardEvent| list.key(&event))
}

/// What the list shows while it is open.
fn lines_of(list: List) -> Piece {
    if !list.open.get() {
        return Piece::Nothing;
    }
    let one = |(at, pick): (usize, Pick)| {
        let Pick { name, small } = pick.clone();
        el("li")
            .id(list.line_id(at))
            .attr("role", "option")
            .attr("aria-selected", move || {
                (list.at.get() == Some(at)).to_string()
            })
            // The field keeps the focus, so that the list is still there when the finger is lifted.
            .on_event("pointerdown", |event: Event| event.prevent_default())
            .on_event("mousedown", |event: Event| event.prevent_default())
            .on("click", move || list.choose(&pick))
            .child(el("span").child(name))
            .child(el("small").child(small))
    };
    list.picks.get().into_iter().enumerate().map(one).collect()
}
