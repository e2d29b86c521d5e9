//! The garden itself: its profile, its people, this person's devices, this phone, and what Selion is for.

pub mod about;
pub mod asking;
pub mod calendar;
pub mod devices;
pub mod frost;
pub mod gardens;
pub mod invite;
pub mod paper;
pub mod passphrase;
pub mod people;
pub mod profile;
pub mod rules;
pub mod this_phone;

use leptos::prelude::*;

use self::about::about;
use self::calendar::calendar;
use self::devices::devices;
use self::frost::frost_dates;
use self::gardens::my_gardens;
use self::paper::paper;
use self::passphrase::passphrase;
use self::people::people;
use self::profile::garden_profile;
use self::rules::money_rules;
use self::this_phone::this_phone;
use crate::address::use_query;
use crate::parts::{page_head, tab_panel, tabs};
use crate::piece::{Piece, derived, pieces, signal_of};
use crate::state::use_book;

/// What ties the tabs to their leaves.
const TABS: &str = "garden";
const LEAVES: [(&str, &str); 4] = [
    ("people", "People"),
    ("garden", "Garden"),
    ("me", "Me"),
    ("about", "About"),
];

/// The leaf that the address names, as in `/garden?leaf=garden`.
fn leaf_of_address() -> &'static str {
    let named = use_query().get_untracked("leaf");
    let found = LEAVES
        .iter()
        .find(|(leaf, _)| named.as_deref() == Some(*leaf));
    found.map_or("people", |(leaf, _)| leaf)
}

/// The screen at `/garden`.
pub fn garden_screen() -> Piece {
    let book = use_book();
    let chosen = signal_of(leaf_of_address());
    let title = derived(move || book.garden_name());
    // Devices and invites are asked for when their leaf is looked at, not before.
    let looks_at = move |leaf: &'static str| derived(move || chosen.get() == leaf);
    pieces![
        page_head("Garden", title),
        tabs(TABS, "Parts of the garden", LEAVES.to_vec(), chosen),
        tab_panel(TABS, "people", chosen).child(people(looks_at("people"))),
        tab_panel(TABS, "garden", chosen)
            .child(garden_profile())
            .child(frost_dates())
            .child(money_rules())
            .child(paper()),
        tab_panel(TABS, "me", chosen)
            .child(this_phone())
            .child(my_gardens())
            .child(calendar(looks_at("me")))
            .child(devices(looks_at("me")))
            .child(passphrase()),
        tab_panel(TABS, "about", chosen).child(about())
    ]
}
