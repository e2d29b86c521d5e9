//! Two or three leaves of one screen.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;

use crate::browser::page;

/// The tabs. Arrow keys, Home and End move among them, as everywhere.
#[component]
pub fn Tabs(
    /// A short word that no other tabs of the page have; it ties the tabs to their panels.
    id: &'static str,
    /// What they choose among, for a screen reader.
    #[prop(into)]
    label: String,
    /// Each leaf's key and name.
    leaves: Vec<(&'static str, &'static str)>,
    /// The key of the leaf that shows.
    chosen: RwSignal<&'static str>,
) -> impl IntoView {
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
    let tabs = leaves.into_iter().map(|(key, name)| {
        let is_chosen = move || chosen.get() == key;
        view! {
            <button
                type="button" role="tab" class="tab" id=tab_id(id, key) aria-controls=panel_id(id, key)
                aria-selected=move || is_chosen().to_string() tabindex=move || if is_chosen() { "0" } else { "-1" }
                on:click=move |_| chosen.set(key)
            >
                {name}
            </button>
        }
    });
    view! { <div class="tabs" role="tablist" aria-label=label on:keydown=turn>{tabs.collect_view()}</div> }
}

/// The leaf that belongs to a tab; hidden while another shows.
#[component]
pub fn TabPanel(
    /// The `id` of the tabs.
    tabs: &'static str,
    /// The key of this leaf.
    leaf: &'static str,
    /// The key of the leaf that shows.
    chosen: RwSignal<&'static str>,
    /// What stands on it.
    children: Children,
) -> impl IntoView {
    view! {
        <div
            role="tabpanel" id=panel_id(tabs, leaf) aria-labelledby=tab_id(tabs, leaf)
            hidden=move || chosen.get() != leaf
        >
            {children()}
        </div>
    }
}

fn tab_id(tabs: &str, leaf: &str) -> String {
    format!("tab-{tabs}-{leaf}")
}

fn panel_id(tabs: &str, leaf: &str) -> String {
    format!("panel-{tabs}-{leaf}")
}
