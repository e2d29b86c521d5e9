//! Everything about a shared garden that is true without a screen, a socket or a disk.
//!
//! Read it from the bottom up; each layer may use only those before it:
//!
//! 0. [`ordered`] and, over it, [`json`]: things put in order, and the names that fields have outside.
//! 1. [`quantities`]: whole numbers with their unit in the type; what a person types and reads.
//! 2. [`geometry`]: outlines and lines of the ground.
//! 3. [`reckoning`], [`shares`], [`soil`], [`season`] and [`work`]: the trade's arithmetic, pure functions that show their working.
//!    [`topics`] opens all of it to a JSON case, without a screen.
//! 4. [`document`]: the records of a garden, how they stand in Automerge, and `Edit`, the only way to change them.
//! 5. [`exchange`]: the ground from other programs and back.
//! 6. [`policy`]: who may make which edit, and whether it still holds.
//! 7. [`sync`]: one connection as a machine: events in, effects out.
//!
//! This crate reads no clock, no random source, no file and no environment: times and ids are handed in.

pub mod document;
pub mod exchange;
pub mod geometry;
pub mod json;
pub mod ordered;
pub mod policy;
pub mod quantities;
pub mod reckoning;
pub mod season;
pub mod shares;
pub mod soil;
pub mod sync;
pub mod topics;
pub mod work;
