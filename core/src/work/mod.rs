//! Work on shared ground.
//!
//! Everything here is a pure function that answers with its working or refuses by name. Figures that could not be confirmed
//! in print stay out; guesses of the trade are marked as such and give way to a garden's own numbers.

pub mod fence;
