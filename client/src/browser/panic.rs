//! What happens when the program stops in the middle: it is noted, and the page is loaded anew. What was written is in
//! the vault by then. A program that stops again at once says so instead of turning in circles.

use std::panic::PanicHookInfo;

use super::{clock, mirror, page};
use crate::plain::stops::Stop;

const LAST: &str = "selion.panic";

/// From now on a panic is noted and the page loaded anew.
pub fn set_hook() {
    std::panic::set_hook(Box::new(stopped));
}

/// Where and why the program last stopped; told once.
pub fn take_last() -> Option<String> {
    let last = read()?;
    // If it cannot be written, it is told once more; no harm.
    write(&last.told());
    (!last.words.is_empty()).then_some(last.words)
}

fn stopped(info: &PanicHookInfo<'_>) {
    web_sys::console::error_1(&info.to_string().into());
    let now = clock::now().millis();
    let is_circle = read().is_some_and(|before| before.is_circle(now));
    let is_noted = write(&Stop {
        at: now,
        words: info.to_string(),
    });
    // Without a note the next stop would not know of this one, so the page stays.
    if is_noted && !is_circle {
        page::reload();
    } else {
        page::show_plainly(
            "Selion stopped because of a mistake in the program. What you saved on this phone is \
             still here. Load the page again; if this comes back, tell the person who looks after \
             the server.",
        );
    }
}

fn read() -> Option<Stop> {
    Stop::read(&mirror::storage().ok()?.get_item(LAST).ok()??)
}

fn write(stop: &Stop) -> bool {
    mirror::storage().is_ok_and(|storage| storage.set_item(LAST, &stop.note()).is_ok())
}
