//! What happens when the program stops in the middle: it is noted, and the page is loaded anew. What was written is in
//! the vault by then. A program that stops again at once says so instead of turning in circles.

use std::panic::PanicHookInfo;

use super::{clock, mirror, page};

const LAST: &str = "selion.panic";
/// Two stops within this time are a circle.
const CIRCLE_MILLIS: i64 = 60_000;

/// From now on a panic is noted and the page loaded anew.
pub fn set_hook() {
    std::panic::set_hook(Box::new(stopped));
}

/// Where and why the program last stopped, once; it is forgotten then.
pub fn take_last() -> Option<String> {
    let storage = mirror::storage().ok()?;
    let noted = storage.get_item(LAST).ok()??;
    // If it stays, it is told once more; no harm.
    let _ = storage.remove_item(LAST);
    noted.split_once(' ').map(|(_, words)| words.to_owned())
}

fn stopped(info: &PanicHookInfo<'_>) {
    web_sys::console::error_1(&info.to_string().into());
    let now = clock::now().millis();
    let storage = mirror::storage().ok();
    let before = storage
        .as_ref()
        .and_then(|storage| storage.get_item(LAST).ok()?)
        .and_then(|noted| noted.split_once(' ')?.0.parse::<i64>().ok());
    let noted =
        storage.is_some_and(|storage| storage.set_item(LAST, &format!("{now} {info}")).is_ok());
    if noted && before.is_none_or(|before| now - before > CIRCLE_MILLIS) {
        page::reload();
    } else {
        page::show_plainly(
            "Selion stopped because of a mistake in the program. What you saved on this phone is still here. \
             Load the page again; if this comes back, tell the person who looks after the server.",
        );
    }
}
