//! Whole numbers with their unit in the type; what a person types and reads.
//!
//! Inside there are only whole numbers of one small unit each ([`Length`] in millimetres, [`Mass`] in grams, [`Money`] in
//! the smallest coin), so that shares can add up exactly. Outside there are the [`Units`] that a garden has chosen.

mod bad_input;
mod calendar;
mod measure;
mod money;
mod rate;
mod units;

pub use bad_input::BadInput;
pub use calendar::{Day, Moment, Week, Weekday};
pub use measure::{Area, Length, Mass, Minutes, Volume};
pub use money::{Currency, Money};
pub use rate::Rate;
pub use units::Units;
