//! Dividing one thing among several people so that the parts add up to the whole, exactly.

mod accounts;
pub mod apportion;
pub mod hours;
pub mod load;
pub mod packs;

pub use accounts::{Account, LoadBed};
