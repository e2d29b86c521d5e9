//! Who may do what, and whether an edit holds against the garden as it is now.
//!
//! [`may`] is the one table of permissions: it greys out a button and refuses an edit at the service alike. [`judge()`]
//! takes an edit, the current picture and its author, and gives back what is to be written, or a [`Refused`] with a
//! sentence for the author. Both run on the phone first and at the service for good.

mod action;
mod judge;
mod refused;

mod sight;

pub use action::{ACTIONS, Action, Grant, grant, may};
pub use judge::{Judged, Judges, Told, judge, told_of};
pub use refused::{RefusalCode, Refused};
pub use sight::may_see_balance;
