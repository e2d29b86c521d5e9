//! Web Locks: of several tabs, one holds a name, as long as it lives.

use js_sys::{Function, Object, Promise, Reflect};
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};

use super::{Trouble, thrown, window};

/// Asks for a name that one tab alone can hold. `got` is called when it is ours, at once or when the tab that has it
/// closes; from then on this tab holds it until it closes.
pub fn hold(name: &str, got: impl FnOnce() + 'static) -> Result<(), Trouble> {
    let missing = Trouble::Missing("locks between tabs");
    let navigator = window()?.navigator();
    // Not among the stable bindings, so it is asked for by name.
    let locks = Reflect::get(&navigator, &"locks".into()).map_err(thrown)?;
    if locks.is_undefined() {
        return Err(missing);
    }
    let request: Function = Reflect::get(&locks, &"request".into())
        .map_err(thrown)?
        .dyn_into()
        .map_err(thrown)?;
    let granted = Closure::once_into_js(move |_lock: JsValue| -> JsValue {
        got();
        // The lock is held until this promise settles: never.
        Promise::new(&mut |_, _| {}).into()
    });
    request
        .call2(&locks, &name.into(), &granted)
        .map_err(thrown)?;
    Ok(())
}

/// Whether a tab, this one or another, holds the name now.
pub async fn is_held(name: &str) -> Result<bool, Trouble> {
    let navigator = window()?.navigator();
    let locks = Reflect::get(&navigator, &"locks".into()).map_err(thrown)?;
    if locks.is_undefined() {
        return Err(Trouble::Missing("locks between tabs"));
    }
    let query: Function = Reflect::get(&locks, &"query".into())
        .map_err(thrown)?
        .dyn_into()
        .map_err(thrown)?;
    let asked: Promise = query
        .call0(&locks)
        .map_err(thrown)?
        .dyn_into()
        .map_err(thrown)?;
    let state = wasm_bindgen_futures::JsFuture::from(asked)
        .await
        .map_err(thrown)?;
    let held = Reflect::get(&state, &"held".into()).map_err(thrown)?;
    Ok(js_sys::Array::from(&held).iter().any(|lock| {
        let lock: Object = lock.unchecked_into();
        Reflect::get(&lock, &"name".into())
            .ok()
            .and_then(|found| found.as_string())
            .as_deref()
            == Some(name)
    }))
}
