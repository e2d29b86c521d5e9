//! The built program in real browsers: two phones, a server that goes away and comes back, every screen looked at.
//!
//! Only with the feature `browser`, since it needs Chromium, its driver and the built program; `cargo xtask check` brings
//! them. `SELION_PROGRAM` is the path of the program, `SELION_AXE` that of axe-core's script. Screenshots are kept in `target/pictures/`.

mod axe;
mod every_screen;
mod money;
mod order;
mod phone;
mod service;
mod two_phones;
