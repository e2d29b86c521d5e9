//! The sentences of the screens: days, counts, what an edit does, what a person is told, why a button is grey.
//!
//! Words only. What is counted and who may do what is worked out elsewhere and handed in.

pub mod counts;
pub mod days;
pub mod edits;
pub mod notices;
pub mod permissions;
mod plan;
mod soil;

pub use counts::{capital, counted, stand_by, taken_of};
pub use days::{day_words, in_a_sentence, margin_day, short_day, week_of, weekday};
pub use edits::{edit_words, place_words, plan_words};
pub use notices::{Told, notice_words, place_href, stay_words};
pub use permissions::forbidden;

#[cfg(test)]
mod tests;
