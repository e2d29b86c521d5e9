//! The plan of a season: from the plantings of a garden to the trade's arithmetic and back.
//!
//! - [`books`] and [`frost`]: the crop tables with the garden's own values above them, and its frost dates at its chosen chance.
//! - [`dates`]: when a planting is sown, picked and cleared. [`plants`]: how many plants stand there, and the seed to buy.
//! - [`neighbours`]: what speaks against a planting where it is. [`year_view`]: bars, frost and gaps, bed by bed.
//! - [`series`]: several sowings in one step.
//!
//! Nothing here is written down: all of it is worked out when somebody looks, so it follows every change of the plan.

pub mod books;
pub mod dates;
pub mod fits;
pub mod frost;
pub mod neighbours;
pub mod plants;
pub mod series;
pub mod year_view;

pub use books::Books;
