//! A second copy of what was not sent yet, in `localStorage`: small, written at once, and apart from IndexedDB, whose
//! connection some phones lose. Rows come back with [`all`] when the vault cannot be read.

use web_sys::Storage;

use selion_core::ordered;

use super::{Trouble, name_of, thrown, window, words_of};

const PREFIX: &str = "selion.mirror.";

/// Keeps a copy of a row.
pub fn put(key: &str, text: &str) -> Result<(), Trouble> {
    storage()?
        .set_item(&format!("{PREFIX}{key}"), text)
        .map_err(|thrown| {
            if name_of(&thrown) == "QuotaExceededError" {
                Trouble::Full
            } else {
                Trouble::Storage(words_of(&thrown))
            }
        })
}

/// Takes a copy away.
pub fn remove(key: &str) -> Result<(), Trouble> {
    storage()?
        .remove_item(&format!("{PREFIX}{key}"))
        .map_err(thrown)
}

/// All copies whose key begins so, in the order of their keys.
pub fn all(prefix: &str) -> Result<Vec<(String, String)>, Trouble> {
    let storage = storage()?;
    let count = storage.length().map_err(thrown)?;
    let mut rows: Vec<(String, String)> = (0..count)
        .filter_map(|index| {
            let name = storage.key(index).ok()??;
            let key = name
                .strip_prefix(PREFIX)
                .filter(|key| key.starts_with(prefix))?;
            Some((key.to_owned(), storage.get_item(&name).ok()??))
        })
        .collect();
    ordered::sort(&mut rows);
    Ok(rows)
}

/// `localStorage`, which some browsers withhold by throwing.
pub(super) fn storage() -> Result<Storage, Trouble> {
    window()?
        .local_storage()
        .ok()
        .flatten()
        .ok_or(Trouble::Missing("a store for small texts"))
}
