//! Waiting.

use js_sys::{Function, Promise};
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::{Trouble, thrown, window};

/// Something that happens later; dropping it calls it off.
#[must_use = "dropping the timer calls it off"]
pub struct Timer {
    id: i32,
    repeats: bool,
    _ring: Closure<dyn FnMut()>,
}

/// Once, after so many milliseconds.
pub fn after(millis: i32, ring: impl FnOnce() + 'static) -> Result<Timer, Trouble> {
    let mut ring = Some(ring);
    let ring = Closure::<dyn FnMut()>::new(move || {
        if let Some(ring) = ring.take() {
            ring();
        }
    });
    let id = window()?
        .set_timeout_with_callback_and_timeout_and_arguments_0(
            ring.as_ref().unchecked_ref(),
            millis,
        )
        .map_err(thrown)?;
    Ok(Timer {
        id,
        repeats: false,
        _ring: ring,
    })
}

/// Again and again, every so many milliseconds.
pub fn every(millis: i32, ring: impl FnMut() + 'static) -> Result<Timer, Trouble> {
    let ring = Closure::<dyn FnMut()>::new(ring);
    let id = window()?
        .set_interval_with_callback_and_timeout_and_arguments_0(
            ring.as_ref().unchecked_ref(),
            millis,
        )
        .map_err(thrown)?;
    Ok(Timer {
        id,
        repeats: true,
        _ring: ring,
    })
}

/// Waits for so many milliseconds.
pub async fn sleep(millis: i32) {
    let rung = Promise::new(&mut |resolve: Function, _| {
        let waits = window().and_then(|window| {
            window
                .set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, millis)
                .map_err(thrown)
        });
        if waits.is_err() {
            // Without a timer there is nothing to wait for.
            let _ = resolve.call0(&JsValue::UNDEFINED);
        }
    });
    // The promise above is never rejected.
    let _ = JsFuture::from(rung).await;
}

impl Drop for Timer {
    fn drop(&mut self) {
        if let Ok(window) = window() {
            if self.repeats {
                window.clear_interval_with_handle(self.id);
            } else {
                window.clear_timeout_with_handle(self.id);
            }
        }
    }
}

impl std::fmt::Debug for Timer {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Timer")
            .field("repeats", &self.repeats)
            .finish_non_exhaustive()
    }
}
