//! Pieces on the page: built, changed in place, taken away. The one place that leptos' renderer is called from.

use std::borrow::Cow;

use leptos::prelude::*;
use leptos::reactive::effect::RenderEffect;
use leptos::tachys::renderer::types::{Element, Node, Placeholder, Text};
use leptos::tachys::renderer::{RemoveEventHandler, Rndr};
use leptos::wasm_bindgen::JsValue;

use super::element::{El, Kind, Parts};
use super::{Piece, Row, Rows, Words};

/// A piece that is on the page.
pub struct Mounted(State);

enum State {
    Nothing(Placeholder),
    Text(Text, Cow<'static, str>),
    Element(Box<MountedElement>),
    Several(Vec<Mounted>, Placeholder),
    Live(RenderEffect<Mounted>),
    Rows(Vec<MountedRow>, Placeholder),
    /// Taken apart; only while it is dropped.
    Gone,
}

struct MountedElement {
    tag: &'static str,
    element: Element,
    settings: Vec<Setting>,
    // Dropping one ends the listening.
    listeners: Vec<RemoveEventHandler<Element>>,
    children: Vec<Mounted>,
}

/// Something set on an element, with what it was last set to.
struct Setting {
    kind: Kind,
    name: &'static str,
    last: Last,
}

enum Last {
    Fixed(Option<String>),
    Live(RenderEffect<Option<String>>),
}

// `piece` is dropped before its owner, so that what it holds ends first.
struct MountedRow {
    key: String,
    piece: Mounted,
    _owner: Owner,
}

impl Render for Piece {
    type State = Mounted;

    fn build(self) -> Mounted {
        Mounted(match self {
            Self::Nothing => State::Nothing(Rndr::create_placeholder()),
            Self::Text(words) => State::Text(Rndr::create_text_node(&words), words),
            Self::Element(element) => State::Element(Box::new(MountedElement::build(element))),
            Self::Several(pieces) => State::Several(
                pieces.into_iter().map(Self::build).collect(),
                Rndr::create_placeholder(),
            ),
            Self::Live(piece) => State::Live(RenderEffect::new(move |before| {
                let piece = piece.draw();
                match before {
                    Some(mut mounted) => {
                        piece.rebuild(&mut mounted);
                        mounted
                    }
                    None => piece.build(),
                }
            })),
            Self::Rows(Rows { rows, owner }) => State::Rows(
                rows.into_iter().map(|row| build_row(row, &owner)).collect(),
                Rndr::create_placeholder(),
            ),
        })
    }

    fn rebuild(self, mounted: &mut Mounted) {
        match (&mut mounted.0, self) {
            (State::Nothing(_), Self::Nothing) => {}
            (State::Text(node, before), Self::Text(words)) => {
                if *before != words {
                    Rndr::set_text(node, &words);
                    *before = words;
                }
            }
            (State::Element(before), Self::Element(element)) if before.is_like(&element) => {
                before.rebuild(element);
            }
            (State::Several(before, end), Self::Several(pieces)) => {
                rebuild_children(before, pieces, |child| {
                    Rndr::mount_before(child, end);
                });
            }
            (State::Rows(before, end), Self::Rows(rows)) => rebuild_rows(before, rows, end),
            (_, piece) => {
                let mut fresh = piece.build();
                mounted.insert_before_this(&mut fresh);
                mounted.unmount();
                *mounted = fresh;
            }
        }
    }
}

/// What goes, goes at once. An effect's value is held by its task too, which ends only when it is next polled; until then
/// whatever stands in a live piece would go on following signals that belong to what is gone already.
impl Drop for Mounted {
    fn drop(&mut self) {
        if let State::Live(effect) = std::mem::replace(&mut self.0, State::Gone) {
            drop(effect.take_value());
        }
    }
}

impl Mountable for Mounted {
    fn unmount(&mut self) {
        match &mut self.0 {
            State::Nothing(node) => node.unmount(),
            State::Text(node, _) => node.unmount(),
            State::Element(element) => element.element.unmount(),
            State::Several(pieces, end) => {
                pieces.iter_mut().for_each(Self::unmount);
                end.unmount();
            }
            State::Live(effect) => effect.unmount(),
            State::Rows(rows, end) => {
                for row in rows {
                    row.piece.unmount();
                }
                end.unmount();
            }
            State::Gone => {}
        }
    }

    fn mount(&mut self, parent: &Element, marker: Option<&Node>) {
        match &mut self.0 {
            State::Nothing(node) => node.mount(parent, marker),
            State::Text(node, _) => node.mount(parent, marker),
            State::Element(element) => element.element.mount(parent, marker),
            State::Several(pieces, end) => {
                for piece in pieces {
                    piece.mount(parent, marker);
                }
                end.mount(parent, marker);
            }
            State::Live(effect) => effect.mount(parent, marker),
            State::Rows(rows, end) => {
                for row in rows {
                    row.piece.mount(parent, marker);
                }
                end.mount(parent, marker);
            }
            State::Gone => {}
        }
    }

    fn insert_before_this(&self, child: &mut dyn Mountable) -> bool {
        match &self.0 {
            State::Nothing(node) => node.insert_before_this(child),
            State::Text(node, _) => node.insert_before_this(child),
            State::Element(element) => element.element.insert_before_this(child),
            State::Several(pieces, end) => match pieces.first() {
                Some(first) => first.insert_before_this(child),
                None => end.insert_before_this(child),
            },
            State::Live(effect) => effect.insert_before_this(child),
            State::Rows(rows, end) => match rows.first() {
                Some(first) => first.piece.insert_before_this(child),
                None => end.insert_before_this(child),
            },
            State::Gone => false,
        }
    }

    fn elements(&self) -> Vec<Element> {
        match &self.0 {
            State::Nothing(_) | State::Text(..) | State::Gone => Vec::new(),
            State::Element(element) => vec![element.element.clone()],
            State::Several(pieces, _) => pieces.iter().flat_map(Self::elements).collect(),
            State::Live(effect) => effect.elements(),
            State::Rows(rows, _) => rows.iter().flat_map(|row| row.piece.elements()).collect(),
        }
    }
}

impl std::fmt::Debug for Mounted {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Mounted").finish_non_exhaustive()
    }
}

impl MountedElement {
    fn build(element: El) -> Self {
        let mut parts = element.into_parts();
        let element = Rndr::create_element(parts.tag, parts.namespace);
        let class = parts.class();
        let settings = set_all(&element, class, &mut parts, Vec::new());
        let listeners = listen(&element, &mut parts);
        let children = parts
            .children
            .into_iter()
            .map(|child| {
                let mut child = child.build();
                child.mount(&element, None);
                child
            })
            .collect();
        for act in parts.once_there {
            act(&element);
        }
        Self {
            tag: parts.tag,
            element,
            settings,
            listeners,
            children,
        }
    }

    fn is_like(&self, element: &El) -> bool {
        self.tag == element.tag()
    }

    fn rebuild(&mut self, element: El) {
        let mut parts = element.into_parts();
        let class = parts.class();
        let before = std::mem::take(&mut self.settings);
        self.settings = set_all(&self.element, class, &mut parts, before);
        self.listeners = listen(&self.element, &mut parts);
        let element = &self.element;
        rebuild_children(&mut self.children, parts.children, |child| {
            child.mount(element, None);
        });
    }
}

fn rebuild_children(
    before: &mut Vec<Mounted>,
    pieces: Vec<Piece>,
    mount_last: impl Fn(&mut Mounted),
) {
    for mut surplus in before.drain(pieces.len().min(before.len())..) {
        surplus.unmount();
    }
    for (at, piece) in pieces.into_iter().enumerate() {
        if let Some(mounted) = before.get_mut(at) {
            piece.rebuild(mounted);
        } else {
            let mut fresh = piece.build();
            mount_last(&mut fresh);
            before.push(fresh);
        }
    }
}

/// Sets all that is to be set, and takes away what was set before and is no more.
fn set_all(
    element: &Element,
    class: Words,
    parts: &mut Parts,
    mut before: Vec<Setting>,
) -> Vec<Setting> {
    if class.are_given() {
        parts.settings.push((Kind::Attribute, "class", class));
    }
    let mut now = Vec::with_capacity(parts.settings.len());
    for (kind, name, words) in parts.settings.drain(..) {
        let at = before
            .iter()
            .position(|setting| setting.kind == kind && setting.name == name);
        let last = at.map(|at| before.swap_remove(at).last());
        now.push(set_one(element.clone(), kind, name, words, last.flatten()));
    }
    for gone in before {
        let (kind, name) = (gone.kind, gone.name);
        apply(element, kind, name, gone.last().as_deref(), None);
    }
    now
}

fn set_one(
    element: Element,
    kind: Kind,
    name: &'static str,
    words: Words,
    last: Option<String>,
) -> Setting {
    let last = match words {
        Words::Live(words) => Last::Live(RenderEffect::new_with_value(
            move |before: Option<Option<String>>| {
                apply(
                    &element,
                    kind,
                    name,
                    before.flatten().as_deref(),
                    words.speak(),
                )
            },
            Some(last),
        )),
        fixed @ (Words::None | Words::Fixed(_)) => {
            Last::Fixed(apply(&element, kind, name, last.as_deref(), fixed.now()))
        }
    };
    Setting { kind, name, last }
}

impl Setting {
    fn last(self) -> Option<String> {
        match self.last {
            Last::Fixed(words) => words,
            Last::Live(effect) => effect.take_value().flatten(),
        }
    }
}

/// Sets one thing on an element unless it was set to the same before.
fn apply(
    element: &Element,
    kind: Kind,
    name: &'static str,
    before: Option<&str>,
    now: Option<String>,
) -> Option<String> {
    match kind {
        // A person changes these too, so what was set last says nothing about what stands there.
        Kind::Value => {
            let words = now.clone().unwrap_or_default();
            Rndr::set_property(element, name, &JsValue::from_str(&words));
        }
        Kind::Checked => Rndr::set_property(element, name, &JsValue::from_bool(now.is_some())),
        Kind::Attribute | Kind::Style if before == now.as_deref() => {}
        Kind::Attribute => match &now {
            Some(words) => Rndr::set_attribute(element, name, words),
            None => Rndr::remove_attribute(element, name),
        },
        Kind::Style => {
            let words = now.as_deref().unwrap_or_default();
            Rndr::set_css_property(&Rndr::style(element), name, words);
        }
    }
    now
}

fn listen(element: &Element, parts: &mut Parts) -> Vec<RemoveEventHandler<Element>> {
    parts
        .listeners
        .drain(..)
        .map(|(event, act)| Rndr::add_event_listener(element, event, act))
        .collect()
}

fn build_row(row: Row, owner: &Owner) -> MountedRow {
    let Row { key, make } = row;
    let owner = owner.child();
    // A row follows its own signals; what it reads while it is made is not the list's business.
    let piece = owner.with(|| untrack(|| make().build()));
    MountedRow {
        key,
        piece,
        _owner: owner,
    }
}

// Rows that stay are not touched where they already follow each other: moving an element takes its focus away.
fn rebuild_rows(before: &mut Vec<MountedRow>, rows: Rows, end: &Placeholder) {
    let Rows { rows, owner } = rows;
    let stays = |key: &str| rows.iter().any(|row| row.key == key);
    let (mut staying, gone): (Vec<_>, Vec<_>) = std::mem::take(before)
        .into_iter()
        .partition(|row| stays(&row.key));
    for mut row in gone {
        row.piece.unmount();
    }
    let mut at_front = staying
        .drain(..)
        .map(Some)
        .collect::<std::collections::VecDeque<_>>();
    for row in rows {
        while at_front.front().is_some_and(Option::is_none) {
            at_front.pop_front();
        }
        let found = at_front
            .iter()
            .position(|old| old.as_ref().is_some_and(|old| old.key == row.key));
        let mut mounted = match found.and_then(|found| at_front.get_mut(found)?.take()) {
            Some(old) if found == Some(0) => {
                before.push(old);
                continue;
            }
            Some(old) => old,
            None => build_row(row, &owner),
        };
        match at_front.front() {
            Some(Some(next)) => {
                next.piece.insert_before_this(&mut mounted.piece);
            }
            Some(None) | None => Rndr::mount_before(&mut mounted.piece, end),
        }
        before.push(mounted);
    }
}
