//! Work on shared ground: fences, water, heat, lifting, dry enough or not.
//!
//! Everything here is a pure function that answers with its working or refuses by name. Figures that could not be confirmed
//! in print stay out; guesses of the trade are marked as such and give way to a garden's own numbers.

pub mod fence;
pub mod heat_index;
pub mod lifting;
pub mod shade;
pub mod water;
pub mod workable;

/// Where most rules of water come from.
const FAO_56: &str = "FAO-56: Allen, Pereira, Raes, Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56";
