//! Two or three leaves of one screen.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;

use crate::browser::page;
use crate::piece::{El, Piece, el};

/// The tabs. Arrow keys, Home and End move among them, as everywhere. `id` is a short word that no other tabs of the page
/// have and ties them to their panels; `label` says what they choose among; each leaf has a key and a name.
pub fn tabs(
    id: &'static str,
    label: &'static str,
    leaves: Vec<(&'static str, &'static str)>,
    chosen: RwSignal<&'static str>,
) -> Piece {
    let keys: Vec<&'static str> = leaves.iter().map(|(key, _)| *key).collect();
    let turn = move |event: KeyboardEvent| {
        let at = keys
            .iter()
            .position(|key| *key == chosen.get_untracked())
            .unwrap_or(0);
        let next = match event.key().as_str() {
            "ArrowRight" => (at + 1) % keys.len(),
            "ArrowLeft" => (at + keys.len() - 1) % keys.len(),
            "Home" => 0,
            "End" => keys.len() - 1,
            _ => return,
        };
        event.prevent_default();
        if let Some(key) = keys.get(next) {
            chosen.set(key);
            page::focus(&tab_id(id, key));
        }
    };
    let tab = |(key, name)| {
        let is_chosen = move || chosen.get() == key;
        el("button")
            .attr("type", "button")
            .attr("role", "tab")
            .class("tab")
            .id(tab_id(id, key))
            .attr("aria-controls", panel_id(id, key))
            .attr("aria-selected", move || is_chosen().to_string())
            .attr("tabindex", move || if is_chosen() { "0" } else { "-1" })
            .on("click", move || chosen.set(key))
            .child(name)
    };
    el("div")
        .class("tabs")
        .attr("role", "tablist")
        .attr("aria-label", label)
        .on_event("keydown", turn)
        .child(leaves.into_iter().map(tab).collect::<Piece>())
        .into()
}

/// The leaf that belongs to a tab; hidden while another shows.
pub fn tab_panel(tabs: &'static str, leaf: &'static str, chosen: RwSignal<&'static str>) -> El {
    el("div")
        .attr("role", "tabpanel")
        .id(panel_id(tabs, leaf))
        .attr("aria-labelledby", tab_id(tabs, leaf))
        .attr("hidden", move || chosen.get() != leaf)
}

fn tab_id(tabs: &str, leaf: &str) -> String {
    format!("tab-{tabs}-{leaf}")
}

fn panel_id(tabs: &str, leaf: &str) -> String {
    format!("panel-{tabs}-{leaf}")
}
