//! Selion on a phone: screens over the same core.
//!
//! - [`plain`]: what the screens and the browser need worked out, without either; tested natively.
//! - `browser`: the clock, chance, storage, socket and page. The only folder that names `web_sys` and `js_sys`.
//! - `piece`: what screens and parts are made of, all of one type, and how leptos draws it.
//! - `parts`: what every screen is made of. They draw and hold no rule; `parts_page` shows each in use.
//! - `state`: the one store behind all screens: the garden comes out, edits go in.
//! - `screens`: one file or folder a screen, over the parts and the store.
//! - `address`: where in the program the person is, as signals, and going elsewhere.
//! - `app`: the table of addresses and the frame around the screens.
//! - `later`: the screens that come in a later file of the program, and how they are loaded.
//!
//! All but `plain` exist for the browser only.

pub mod plain;

#[cfg(target_arch = "wasm32")]
pub mod address;
#[cfg(target_arch = "wasm32")]
pub mod app;
#[cfg(target_arch = "wasm32")]
pub mod browser;
#[cfg(target_arch = "wasm32")]
pub mod later;
#[cfg(target_arch = "wasm32")]
pub mod parts;
#[cfg(all(target_arch = "wasm32", any(debug_assertions, feature = "parts")))]
pub mod parts_page;
#[cfg(target_arch = "wasm32")]
pub mod piece;
#[cfg(target_arch = "wasm32")]
pub mod screens;
#[cfg(target_arch = "wasm32")]
pub mod state;

#[cfg(target_arch = "wasm32")]
pub use app::start;
