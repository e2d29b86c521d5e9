//! What stands where nothing stands yet: says why, and what to do about it.

use super::{act_link, page_head};
use crate::piece::{El, Piece, Words, el, pieces};

/// An empty place: what is not there, such as "Nothing waits for hands this week". What to do about it stands in it.
#[inline(never)]
pub fn empty(lead: impl Into<Words>) -> El {
    el("div")
        .class("empty")
        .child(el("p").class("lead").child(lead.into()))
}

/// A screen of something that this phone does not have: the old link to a task, a bed that has not come yet. The place
/// is where things of its kind are listed, as an address and a name.
#[inline(never)]
pub fn not_here(thing: &str, place: (&'static str, &'static str)) -> Piece {
    let (address, name) = place;
    pieces![
        page_head(name, format!("No such {thing}")).back(address, name),
        empty(format!("This {thing} is not on this phone"))
            .child(el("p").child(
                "It may have been made elsewhere and not have come yet, or the link is old."
            ))
            .child(act_link(address, format!("To {name}")))
    ]
}
