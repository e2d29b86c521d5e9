//! Hearing when an element changes its size, and looking along one that is wider than the page.

use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{Element, ResizeObserver};

use super::{Trouble, thrown};

/// Watches until it is dropped.
#[must_use = "the watching ends when this is dropped"]
pub struct SizeWatch {
    observer: ResizeObserver,
    _seen: Closure<dyn FnMut()>,
}

impl SizeWatch {
    /// Calls `tell` with width and height in CSS pixels: now, and whenever they change.
    pub fn over(element: &Element, tell: impl Fn(f64, f64) + 'static) -> Result<Self, Trouble> {
        let watched = element.clone();
        let seen = Closure::<dyn FnMut()>::new(move || {
            let size = watched.get_bounding_client_rect();
            tell(size.width(), size.height());
        });
        let observer = ResizeObserver::new(seen.as_ref().unchecked_ref()).map_err(thrown)?;
        observer.observe(element);
        Ok(Self {
            observer,
            _seen: seen,
        })
    }
}

/// Looks at a wide element from a place in it on, in hundredths of a percent of its width.
pub fn scroll_sideways(element: &Element, place: i64) {
    let width = i64::from(element.scroll_width());
    let left = i32::try_from(width * place / 10_000).unwrap_or(0);
    element.set_scroll_left(left);
}

impl Drop for SizeWatch {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}

impl std::fmt::Debug for SizeWatch {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("SizeWatch").finish_non_exhaustive()
    }
}
