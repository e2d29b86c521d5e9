//! The compost pile: what goes in, how it heats, when it is ready, and how much is left of it.
//!
//! - [`feedstocks`]: printed values of common materials, as ranges.
//! - [`mix`]: moisture and carbon to nitrogen of a mix.
//! - [`recipe`]: how much of one or two materials brings a pile to its goals.
//! - [`log`]: whether the heat of a pile makes its manure safe, day by day.
//! - [`finish`]: curing, and what shrinks away.
//!
//! Ratios of carbon to nitrogen are never averaged. Each material brings carbon and nitrogen by its dry weight, and the mix
//! has the ratio of the sums. (A page that averages ratios says 0.22 lb of straw to a pound of litter; it is 1.92.)

pub mod feedstocks;
pub mod finish;
pub mod log;
mod material;
pub mod mix;
pub mod recipe;

pub use material::{Makeup, Material, Portion};
