//! Dividing one thing among several people so that the parts add up to the whole, exactly.

mod accounts;
pub mod apportion;
pub mod buying;
pub mod delivery;
pub mod hours;
pub mod load;
pub mod nested;
pub mod order;
pub mod packs;
pub mod price_breaks;
pub mod settle;

pub use accounts::{Account, LoadBed};
