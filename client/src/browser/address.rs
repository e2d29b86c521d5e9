//! The address of the page, its history, and the links on it.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Element, Event, MouseEvent};

use super::{Listener, Trouble, document, page, thrown, window};
use crate::plain::address::Address;

/// The address as it stands.
pub fn current() -> Address {
    let location = window().map(|window| window.location());
    let part = |read: fn(&web_sys::Location) -> Result<String, JsValue>| {
        let location = location.as_ref().ok();
        location
            .and_then(|location| read(location).ok())
            .unwrap_or_default()
    };
    Address {
        path: part(web_sys::Location::pathname),
        query: part(web_sys::Location::search)
            .trim_start_matches('?')
            .to_owned(),
        hash: part(web_sys::Location::hash),
    }
}

/// Puts another address into the bar without loading it: as a further step of the history, or in place of the last one.
pub fn put(address: &Address, replace: bool) -> Result<(), Trouble> {
    let history = window()?.history().map_err(thrown)?;
    let whole = address.whole();
    if replace {
        history.replace_state_with_url(&JsValue::NULL, "", Some(&whole))
    } else {
        history.push_state_with_url(&JsValue::NULL, "", Some(&whole))
    }
    .map_err(thrown)
}

/// Tells whenever the person went back or forth in the history.
pub fn on_step(mut tell: impl FnMut() + 'static) -> Result<Listener, Trouble> {
    let window = window()?;
    Listener::on(&window, "popstate", move |_: Event| tell())
}

/// Tells of each plain press on a link inside the program, which the browser then leaves to us. Links to elsewhere, and
/// those that a person opens in another tab, are the browser's.
pub fn on_link(mut tell: impl FnMut(&str) + 'static) -> Result<Listener, Trouble> {
    let window = window()?;
    Listener::on(&window, "click", move |event: MouseEvent| {
        let plain = event.button() == 0
            && !(event.meta_key() || event.alt_key() || event.ctrl_key() || event.shift_key());
        if !plain || event.default_prevented() {
            return;
        }
        if let Some(href) = inside(&event) {
            event.prevent_default();
            tell(&href);
        }
    })
}

/// Where a press leads to, if it is on a link to a screen.
fn inside(event: &MouseEvent) -> Option<String> {
    let pressed: Element = event.target()?.dyn_into().ok()?;
    let link = pressed.closest("a[href]").ok()??;
    if link.has_attribute("target") || link.has_attribute("download") {
        return None;
    }
    let href = link.get_attribute("href")?;
    let is_screen = href.starts_with('/') && !href.starts_with("//") && !href.starts_with("/api/");
    is_screen.then_some(href)
}

/// Scrolls to the place that a hash names, or to the top.
pub fn show(hash: &str) {
    let place = hash.strip_prefix('#').filter(|id| !id.is_empty());
    let element = place.and_then(|id| document().ok()?.get_element_by_id(id));
    match element {
        Some(element) => element.scroll_into_view(),
        None => page::to_top(),
    }
}
