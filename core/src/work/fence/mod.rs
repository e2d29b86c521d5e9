//! Fences: from a line on the plan to posts, mesh, wire and hours.
//!
//! [`layout`] cuts a line into straight pieces of fence at its corners and gates. [`posts`] counts what stands on them,
//! [`electric`] what a fence under current takes, [`hours`] how long it takes to build. Printed heights, depths and distances
//! are in [`kinds`]; a garden's own come before them.

pub mod electric;
pub mod hours;
pub mod kinds;
pub mod layout;
pub mod mesh;
pub mod posts;

pub use layout::{Gate, Layout};
