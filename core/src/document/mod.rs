//! The records of a garden, how they stand in Automerge, and [`Edit`], the only way to change them.
//!
//! A garden is a handful of [documents](DocumentName), split by how long they live. Screens and rules read the plain
//! [`Garden`]; only [`stored`] knows that Automerge is behind it.

pub mod balance;
pub mod bed_soil;
pub mod calendar;
pub mod edit;
pub mod fence_change;
mod garden;
pub mod ground_change;
pub mod harvest_totals;
pub mod hours_done;
pub mod ids;
pub mod manure_days;
mod name;
pub mod picked_in;
pub mod proposals;
pub mod records;
pub mod season_plan;
pub mod season_turn;
pub mod shared_out;
pub mod signs;
pub mod soil_plan;
pub mod stored;
pub mod undo;
pub mod weather_days;
pub mod workings;

pub use edit::{Edit, Envelope};
pub use garden::{Garden, Ledger, Season, Shelf};
pub use name::DocumentName;
pub use records::Role;
