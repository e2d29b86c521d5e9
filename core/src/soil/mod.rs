//! The soil of garden beds: from a laboratory's report to what goes on a bed, when, and in how many doses.
//!
//! Everything here is a pure function that answers with its working or refuses by name. Nothing guesses: a reading is used
//! only with the table of the laboratory that it comes from, outside a table there is no number, and the one stated fallback
//! is marked an estimate and shown as a range. Values that could not be confirmed in print stay out.
//!
//! Beside the chemistry stands what is carried to a bed by the load: [`compost`], the [`pile`] that it comes from, [`manure`] and
//! [`mulch`], with [`bulk`] and [`loads`] for their weight and their way.

pub mod amendments;
pub mod ash;
pub mod blossom_end_rot;
pub mod bulk;
pub mod compost;
pub mod doses;
mod exact;
pub mod gypsum;
pub mod lime;
pub mod liming_material;
pub mod loads;
pub mod manure;
pub mod mulch;
pub mod pile;
pub mod sulfur;
mod table;
pub mod targets;
pub mod test_report;
