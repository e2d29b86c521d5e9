//! The screens. Each reads the [`Book`](crate::state::Book), draws with the parts, and writes edits; it holds no rule.
//!
//! The addresses that lead to them are in `app`.

pub mod account;
pub mod account_table;
pub mod bed;
pub mod claims;
pub mod fence;
pub mod form;
pub mod garden;
pub mod ground;
pub mod harvest;
pub mod job;
pub mod join;
pub mod left_out;
pub mod looker;
pub mod note;
pub mod order;
pub mod pen;
pub mod picking;
pub mod plant;
pub mod planting;
pub mod proposals;
pub mod season;
pub mod set_aside;
pub mod shares;
pub mod soil;
pub mod start;
pub mod task;
pub mod task_lines;
pub mod waits;
pub mod weather;
pub mod week;
pub mod work;
pub mod work_sheet;
