//! What the screens and the browser need worked out, without either: it runs anywhere and is tested natively.

pub mod claims;
pub mod drawing;
pub mod hours_done;
pub mod memory_rows;
pub mod pickings;
pub mod qr;
pub mod scale_bar;
pub mod stops;
pub mod subjects;
pub mod tasks;
pub mod trouble;
pub mod truth;
pub mod turns;
pub mod typed;
pub mod vault;
pub mod viewport;
pub mod week;
pub mod wording;

#[cfg(test)]
mod sample;
