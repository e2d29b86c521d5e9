//! Water: what the sky takes, what a crop drinks, what the soil holds, and how much to bring.
//!
//! [`sun`] and [`evaporation`] go from the calendar and the weather to the water that a short green grass would lose in a day
//! (ET0); [`crops`] from there to a crop; [`root_zone`] and [`balance`] keep the account of the soil. [`beds`] is the plain
//! rule of an inch a week, in litres and gallons. Water is a [`Depth`](crate::quantities::Depth): a millimetre on a square metre
//! is a litre.

mod air;
pub mod balance;
pub mod beds;
pub mod crops;
pub mod evaporation;
pub mod root_zone;
pub mod sun;
