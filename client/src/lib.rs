//! Selion on a phone: screens over the same core.
//!
//! - [`plain`]: what the screens and the browser need worked out, without either; tested natively.
//! - `browser`: the clock, chance, storage, socket and page. The only folder that names `web_sys` and `js_sys`.
//!
//! All but `plain` exist for the browser only.

pub mod plain;

#[cfg(target_arch = "wasm32")]
pub mod browser;

/// Starts the program.
#[cfg(target_arch = "wasm32")]
pub fn start() {
    browser::panic::set_hook();
}
