//! The ground from elsewhere and back: GeoJSON as drawing and mapping programs write it, and a plain table of beds. And a
//! year's ledger for the treasurer, a year's harvest, and the plan as a drawing.
//!
//! Everything read here is a stranger's text: bounded before it is looked at, and refused in one sentence that names the line
//! or feature. What was found is not yet part of a garden; whoever imports it looks it over first.

pub mod bed_table;
pub mod bring_in;
pub mod geojson;
pub mod ghcn;
pub mod harvest_sheet;
pub mod ledger_sheet;
pub mod seed_list;
pub mod svg;

mod found;
mod projection;

pub use found::{FoundBed, FoundFence, FoundGround, FoundKind};

/// The longest file that is read, in bytes.
pub const LARGEST_FILE: usize = 2 * 1024 * 1024;
/// The most features or lines that are read.
pub const MOST_FEATURES: usize = 2_000;
