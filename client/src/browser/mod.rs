//! What the browser gives: time, chance, storage, network and the page. The only folder that names `web_sys` and
//! `js_sys`; it knows nothing of gardens. What can fail says so with a [`Trouble`].
//!
//! Most things that go on by themselves come as a value that must be kept: a [`Listener`], a [`timer::Timer`], a
//! [`socket::Socket`]. Dropping it ends it.

pub mod address;
pub mod chance;
pub mod channel;
pub mod clock;
pub mod drafts;
pub mod grip;
pub mod http;
mod listen;
pub mod locks;
pub mod mirror;
pub mod page;
pub mod panic;
pub mod paper;
pub mod picked;
pub mod picture;
pub mod pointer;
mod sizes;
pub mod socket;
pub mod timer;
pub mod vault;
pub mod view;
pub mod worker;

use wasm_bindgen::{JsCast, JsValue};

pub use crate::plain::trouble::Trouble;
pub use listen::Listener;
pub use sizes::{SizeWatch, scroll_sideways};

fn window() -> Result<web_sys::Window, Trouble> {
    web_sys::window().ok_or(Trouble::Missing("a window"))
}

fn document() -> Result<web_sys::Document, Trouble> {
    window()?.document().ok_or(Trouble::Missing("a page"))
}

/// The words of a thrown value.
fn words_of(thrown: &JsValue) -> String {
    if let Some(error) = thrown.dyn_ref::<js_sys::Error>() {
        return String::from(error.message());
    }
    let words = thrown.as_string().or_else(|| {
        let words = thrown.dyn_ref::<js_sys::Object>()?.to_string();
        Some(String::from(words))
    });
    words.unwrap_or_else(|| "something without words was thrown".to_owned())
}

/// The name of a thrown error, such as `AbortError`.
fn name_of(thrown: &JsValue) -> String {
    thrown
        .dyn_ref::<js_sys::Error>()
        .map(|error| String::from(error.name()))
        .unwrap_or_default()
}

// Used with `map_err`, which hands its error over.
#[expect(
    clippy::needless_pass_by_value,
    reason = "the shape that map_err asks for"
)]
fn thrown(value: JsValue) -> Trouble {
    Trouble::Browser(words_of(&value))
}

/// A float of JavaScript as a whole number; beyond 64 bits the nearest there is.
#[expect(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "there is no other way from float to whole number, and this one saturates"
)]
fn whole(float: f64) -> i64 {
    float as i64
}

/// A whole number as a float of JavaScript; exact up to 2^53, which as milliseconds is 285,000 years.
#[expect(
    clippy::as_conversions,
    clippy::cast_precision_loss,
    reason = "there is no other way to a float"
)]
fn float(whole: i64) -> f64 {
    whole as f64
}
