//! The season of a garden: what stands where, from when to when, and how much of it.
//!
//! Everything here is a pure function that answers with its working or refuses by name. Values come from two printed tables
//! ([`crops`], [`cover`]); a garden's own crops and own values come before them and are shown as its own. Values that could not
//! be confirmed in print stay out.

pub mod bushels;
pub mod cover;
pub mod crops;
pub mod frost;
pub mod giving;
pub mod heat;
pub mod known;
pub mod picking;
pub mod rotation;
pub mod rows;
pub mod scouting;
pub mod seed;
pub mod source;
pub mod sowing;
pub mod succession;
mod table;
