//! Manure: when it is safe, whether it carries herbicide, and how much nitrogen it brings.
//!
//! - [`days`]: earliest picking and latest digging in, for a bed with several crops.
//! - [`contact`]: which crops touch the soil.
//! - [`herbicide`]: the pot test for what animals leave of a pasture spray.
//! - [`analysis`]: printed nutrients of fresh manure, and garden rates.
//! - [`nitrogen`]: how much for a wanted amount of nitrogen, what earlier years still give, what is lost as ammonia.

pub mod analysis;
pub mod contact;
pub mod days;
pub mod herbicide;
pub mod nitrogen;
