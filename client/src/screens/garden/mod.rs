//! The garden itself: its profile, its people, this person's devices, this phone, and what Selion is for.

pub mod about;
pub mod asking;
pub mod devices;
pub mod gardens;
pub mod invite;
pub mod paper;
pub mod passphrase;
pub mod people;
pub mod profile;
pub mod this_phone;

use leptos::prelude::*;

use self::about::About;
use self::devices::Devices;
use self::gardens::MyGardens;
use self::paper::Paper;
use self::passphrase::Passphrase;
use self::people::People;
use self::profile::GardenProfile;
use self::this_phone::ThisPhone;
use crate::parts::{PageHead, TabPanel, Tabs};
use crate::state::use_book;

/// What ties the tabs to their leaves.
const TABS: &str = "garden";
const LEAVES: [(&str, &str); 4] = [
    ("people", "People"),
    ("garden", "Garden"),
    ("me", "Me"),
    ("about", "About"),
];

/// The screen at `/garden`.
#[component]
pub fn GardenScreen() -> impl IntoView {
    let book = use_book();
    let chosen = RwSignal::new("people");
    let title = Signal::derive(move || book.garden_name());
    // Devices and invites are asked for when their leaf is looked at, not before.
    let looks_at = move |leaf: &'static str| Signal::derive(move || chosen.get() == leaf);
    view! {
        <PageHead label="Garden" title=title />
        <Tabs id=TABS label="Parts of the garden" leaves=LEAVES.to_vec() chosen=chosen />
        <TabPanel tabs=TABS leaf="people" chosen=chosen>
            <People looked_at=looks_at("people") />
        </TabPanel>
        <TabPanel tabs=TABS leaf="garden" chosen=chosen>
            <GardenProfile />
            <Paper />
        </TabPanel>
        <TabPanel tabs=TABS leaf="me" chosen=chosen>
            <ThisPhone />
            <MyGardens />
            <Devices looked_at=looks_at("me") />
            <Passphrase />
        </TabPanel>
        <TabPanel tabs=TABS leaf="about" chosen=chosen>
            <About />
        </TabPanel>
    }
}
