//! Whole numbers with their unit in the type; what a person types and reads.
//!
//! Inside there are only whole numbers of one small unit each ([`Length`] in millimetres, [`Mass`] in grams, [`Money`] in
//! the smallest coin), so that shares can add up exactly. Outside there are the [`Units`] that a garden has chosen. Nothing
//! else in the program formats or reads an amount.
//!
//! ```
//! use selion_core::quantities::{Area, Length, Rate, Units};
//!
//! let (long, wide) = (Length::parse("30 ft")?, Length::parse("12 ft")?);
//! let bed = long.checked_mul(wide).unwrap_or(Area::ZERO);
//! let lime = Rate::parse("75 lb/1000 sq ft")?.over(bed);
//! assert_eq!(bed.show(Units::UsCustomary), "360 sq ft");
//! assert_eq!(lime.show(Units::UsCustomary), "27.0 lb");
//! assert_eq!(lime.show(Units::Metric), "12.2 kg");
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

mod amount;
mod bad_input;
mod calendar;
mod decimals;
mod density;
mod depth;
pub(crate) mod exact;
mod fraction;
mod measure;
mod money;
mod rate;
mod rate_unit;
mod shown;
mod small_mass;
mod spacing;
mod temperature;
mod typed;
mod unit_table;
mod units;
mod weather;

#[cfg(test)]
mod text_tests;

pub use amount::{Amount, CountedIn, Spread};
pub use bad_input::BadInput;
pub use calendar::{Day, Moment, Week, Weekday};
pub use decimals::{Acidity, CarbonToNitrogen, PartsPerMillion, Percent, Ph};
pub use density::Density;
pub use depth::Depth;
pub use measure::{Area, Length, Mass, Minutes, Volume};
pub use money::{Currency, Money};
pub use rate::Rate;
pub use rate_unit::RateUnit;
pub use shown::Shown;
pub use small_mass::SmallMass;
pub use spacing::Spacing;
pub use temperature::Temperature;
pub use units::Units;
pub use weather::{Latitude, Pressure, Radiation, WindSpeed};
