//! What stands where nothing stands yet: says why, and what to do about it.

use crate::piece::{El, Words, el};

/// An empty place: what is not there, such as "Nothing waits for hands this week". What to do about it stands in it.
#[inline(never)]
pub fn empty(lead: impl Into<Words>) -> El {
    el("div")
        .class("empty")
        .child(el("p").class("lead").child(lead.into()))
}
