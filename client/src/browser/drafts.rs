//! Forms that somebody is filling in, kept in `localStorage` until they are sent, so that a closed page costs nothing.

use super::{Trouble, mirror, thrown};

const PREFIX: &str = "selion.draft.";

/// What was kept of a form.
pub fn get(key: &str) -> Option<String> {
    let storage = mirror::storage().ok()?;
    storage.get_item(&format!("{PREFIX}{key}")).ok().flatten()
}

/// Keeps a form.
pub fn put(key: &str, text: &str) -> Result<(), Trouble> {
    mirror::storage()?
        .set_item(&format!("{PREFIX}{key}"), text)
        .map_err(thrown)
}

/// Forgets a form.
pub fn remove(key: &str) -> Result<(), Trouble> {
    mirror::storage()?
        .remove_item(&format!("{PREFIX}{key}"))
        .map_err(thrown)
}
