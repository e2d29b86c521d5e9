//! Outlines and lines of the ground, in whole millimetres on a flat plane.
//!
//! The plane is local to one garden: x grows to the east, y to the north. Everything that decides (crosses, lies inside, is
//! so large) is worked out with whole numbers and so comes out the same on every device.
//!
//! ```
//! use selion_core::geometry::{Outline, Point};
//! use selion_core::quantities::{Area, Length};
//!
//! let bed = Outline::rectangle(Point::from_mm(0, 0), Length::from_mm(1_200), Length::from_mm(6_000))?;
//! assert_eq!(bed.area(), Area::from_mm2(7_200_000));
//! assert_eq!(bed.to_string(), "POLYGON((0 0,1200 0,1200 6000,0 6000,0 0))");
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

mod corners;
mod label_point;
mod line;
mod outline;
mod pieces;
mod point;
mod points;
mod ring;
mod rows;
mod shapes;
pub mod snap;
mod stretch;
mod text;

#[cfg(test)]
mod tests;

pub use line::{Line, Run};
pub use outline::Outline;
pub(crate) use pieces::rounding_of;
pub use pieces::{common_area, joined, split};
pub use point::{Bounds, FARTHEST, Point, Turn};
pub(crate) use point::{approximate, whole};
pub(crate) use rows::SLACK;
pub use rows::{Direction, Row, Rows};
pub use stretch::{length_along, stretch};

/// The most corners that one outline or line may have, holes included.
pub const MOST_CORNERS: usize = 500;
/// The longest text that is read as an outline or line, in bytes.
pub const LONGEST_TEXT: usize = 16 * 1024;
