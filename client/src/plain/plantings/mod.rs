//! Plantings as the screens show them: the lines of a bed, their rows on the plan, one planting with its numbers, and the
//! address of the form for a new one.

pub mod address;
pub mod change;
pub mod drawn;
pub mod marks;
pub mod moves;
pub mod rows;

pub use address::plant_address;
