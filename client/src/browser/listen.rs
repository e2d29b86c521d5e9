//! Listening to an event for as long as somebody wants to hear it.

use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::EventTarget;

use super::{Trouble, thrown};

/// Listens until it is dropped.
#[must_use = "the listening ends when this is dropped"]
pub struct Listener {
    target: EventTarget,
    event: &'static str,
    heard: Closure<dyn FnMut(JsValue)>,
}

impl Listener {
    /// Calls `hear` with each event of this name.
    pub(super) fn on<E: JsCast>(
        target: &EventTarget,
        event: &'static str,
        mut hear: impl FnMut(E) + 'static,
    ) -> Result<Self, Trouble> {
        let heard =
            Closure::<dyn FnMut(JsValue)>::new(move |raw: JsValue| hear(raw.unchecked_into()));
        target
            .add_event_listener_with_callback(event, heard.as_ref().unchecked_ref())
            .map_err(thrown)?;
        Ok(Self {
            target: target.clone(),
            event,
            heard,
        })
    }

    /// The same for an event whose default may have to be prevented, such as a wheel's.
    pub(super) fn on_active<E: JsCast>(
        target: &EventTarget,
        event: &'static str,
        mut hear: impl FnMut(E) + 'static,
    ) -> Result<Self, Trouble> {
        let heard =
            Closure::<dyn FnMut(JsValue)>::new(move |raw: JsValue| hear(raw.unchecked_into()));
        let options = web_sys::AddEventListenerOptions::new();
        options.set_passive(false);
        target
            .add_event_listener_with_callback_and_add_event_listener_options(
                event,
                heard.as_ref().unchecked_ref(),
                &options,
            )
            .map_err(thrown)?;
        Ok(Self {
            target: target.clone(),
            event,
            heard,
        })
    }
}

impl Drop for Listener {
    fn drop(&mut self) {
        // A target that has gone has no listeners left to take away.
        let _ = self
            .target
            .remove_event_listener_with_callback(self.event, self.heard.as_ref().unchecked_ref());
    }
}

impl std::fmt::Debug for Listener {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Listener")
            .field("event", &self.event)
            .finish_non_exhaustive()
    }
}
