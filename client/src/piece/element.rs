//! One element of the page, put together step by step.

use leptos::ev::Event;
use leptos::prelude::*;
use leptos::tachys::renderer::types::Element;
use leptos::wasm_bindgen::{JsCast, JsValue};

use super::{Given, Piece, Words};

/// An element before it is on the page: its tag, what is set on it, and what stands in it.
#[must_use = "an element is on the page only once it stands in another"]
pub struct El(Box<Parts>);

pub(super) struct Parts {
    pub(super) tag: &'static str,
    pub(super) namespace: Option<&'static str>,
    pub(super) classes: Vec<(Words, Option<Given<bool>>)>,
    pub(super) settings: Vec<(Kind, &'static str, Words)>,
    pub(super) listeners: Vec<(&'static str, Listener)>,
    pub(super) once_there: Vec<OnceThere>,
    pub(super) children: Vec<Piece>,
}

/// What a setting sets.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// An attribute.
    Attribute,
    /// A property of the style.
    Style,
    /// What a field holds.
    Value,
    /// Whether a box is ticked.
    Checked,
}

/// What is done with the element once it is made.
pub(super) type OnceThere = Box<dyn FnOnce(&Element)>;

/// What hears an event.
pub(super) type Listener = Box<dyn FnMut(JsValue)>;

/// An element of this tag.
#[inline(never)]
pub fn el(tag: &'static str) -> El {
    El::new(tag, None)
}

/// An element of a drawing.
#[inline(never)]
pub fn svg(tag: &'static str) -> El {
    El::new(tag, Some("http://www.w3.org/2000/svg"))
}

impl El {
    fn new(tag: &'static str, namespace: Option<&'static str>) -> Self {
        Self(Box::new(Parts {
            tag,
            namespace,
            classes: Vec::new(),
            settings: Vec::new(),
            listeners: Vec::new(),
            once_there: Vec::new(),
            children: Vec::new(),
        }))
    }

    /// Its class; several add up.
    #[inline(never)]
    pub fn class(self, class: impl Into<Words>) -> Self {
        self.with_class(class.into(), None)
    }

    /// A class that it has while something is so.
    #[inline(never)]
    pub fn class_if(self, class: &'static str, is_so: impl Into<Given<bool>>) -> Self {
        self.with_class(class.into(), Some(is_so.into()))
    }

    /// Its id.
    #[inline(never)]
    pub fn id(self, id: impl Into<Words>) -> Self {
        self.set(Kind::Attribute, "id", id.into())
    }

    /// An attribute; left away while it has no words.
    #[inline(never)]
    pub fn attr(self, name: &'static str, words: impl Into<Words>) -> Self {
        self.set(Kind::Attribute, name, words.into())
    }

    /// A property of its style.
    pub fn style(self, name: &'static str, words: impl Into<Words>) -> Self {
        self.set(Kind::Style, name, words.into())
    }

    /// Does something at an event, such as `click`.
    pub fn on(self, event: &'static str, mut act: impl FnMut() + 'static) -> Self {
        self.listen(event, Box::new(move |_| act()))
    }

    /// The same, looking at the event.
    pub fn on_event<E: JsCast>(
        self,
        event: &'static str,
        mut act: impl FnMut(E) + 'static,
    ) -> Self {
        self.listen(event, Box::new(move |event| act(event.unchecked_into())))
    }

    /// Ties what a field holds to a signal, both ways.
    pub fn bind_value(self, value: RwSignal<String>) -> Self {
        self.set(Kind::Value, "value", value.into()).listen(
            "input",
            Box::new(move |event| {
                value.set(event_target_value(event.unchecked_ref::<Event>()));
            }),
        )
    }

    /// Ties whether a box is ticked to a signal, both ways.
    pub fn bind_checked(self, checked: RwSignal<bool>) -> Self {
        self.set(Kind::Checked, "checked", checked.into()).listen(
            "change",
            Box::new(move |event| {
                checked.set(event_target_checked(event.unchecked_ref::<Event>()));
            }),
        )
    }

    /// Does something with the element itself, once, when it is made.
    pub fn once_there(mut self, act: impl FnOnce(&Element) + 'static) -> Self {
        self.0.once_there.push(Box::new(act));
        self
    }

    /// What stands in it; several stand one after the other.
    #[inline(never)]
    pub fn child(self, child: impl Into<Piece>) -> Self {
        self.with_child(child.into())
    }

    pub(super) fn tag(&self) -> &'static str {
        self.0.tag
    }

    pub(super) fn into_parts(self) -> Parts {
        *self.0
    }

    // One code path for all kinds of arguments: what is generic above does no more than hand over.

    #[inline(never)]
    fn with_class(mut self, class: Words, is_so: Option<Given<bool>>) -> Self {
        self.0.classes.push((class, is_so));
        self
    }

    #[inline(never)]
    fn set(mut self, kind: Kind, name: &'static str, words: Words) -> Self {
        self.0.settings.push((kind, name, words));
        self
    }

    #[inline(never)]
    fn listen(mut self, event: &'static str, act: Listener) -> Self {
        self.0.listeners.push((event, act));
        self
    }

    #[inline(never)]
    fn with_child(mut self, child: Piece) -> Self {
        self.0.children.push(child);
        self
    }
}

impl std::fmt::Debug for El {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("El")
            .field("tag", &self.0.tag)
            .finish_non_exhaustive()
    }
}

impl Parts {
    /// The whole class attribute: fixed when all of it is.
    pub(super) fn class(&mut self) -> Words {
        let classes = std::mem::take(&mut self.classes);
        let is_fixed = |(class, is_so): &(Words, Option<Given<bool>>)| {
            !matches!(class, Words::Live(_)) && !matches!(is_so, Some(Given::Live(_)))
        };
        let all_fixed = classes.iter().all(is_fixed);
        let joined = move || {
            let mut joined = String::new();
            for (class, is_so) in &classes {
                if is_so.as_ref().is_none_or(Given::get)
                    && let Some(class) = class.now()
                {
                    if !joined.is_empty() {
                        joined.push(' ');
                    }
                    joined.push_str(&class);
                }
            }
            (!joined.is_empty()).then_some(joined)
        };
        if all_fixed {
            joined().into()
        } else {
            joined.into()
        }
    }
}
