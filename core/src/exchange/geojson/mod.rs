//! GeoJSON (RFC 7946) with the ground of a garden: reads what other programs draw, writes what they can read.
//!
//! - A `Polygon` is a bed, or what its property `kind` says: `bed` or `structure`. Holes are kept.
//! - A `LineString` is a fence line (`kind`: `fence_line`).
//! - Properties that are read: `label` (or `name`), `holder` (`"Ines 2; Tomasz 1"`) or `holders`
//!   (`[{"name":"Ines","parts":2}]`), `kind`, `note`, and of a fence line `gates`
//!   (`[{"at":12.5,"width":3}]`, metres along the line and across the gate). Others are left alone.
//! - A `MultiPolygon` is refused by name: a bed is one outline, and whether two pieces are two beds is for people to say.
//! - A structure says what it is by `structure` (`path`, `water`, `compost`, `tree`, `building`, `slope`), where its shade or the
//!   ground falls by `facing` (degrees clockwise from the top of the plan), and by `reach` (metres), `fall` (percent) and `height` (metres, of a tree).
//! - Longitude and latitude become millimetres around the file's first point, see the sibling module `projection`. A
//!   collection with the member `"coordinate_system": "local_metres"` is in metres on the garden's own plane instead; RFC 7946
//!   allows such members (section 6.1; `coordinates` itself is no name for one, section 7.1), and other coordinates where
//!   both sides have agreed on them (section 4).
//!
//! What [`write()`] writes, [`read()`] reads back equal to the millimetre.
//!
//! ```
//! use selion_core::exchange::geojson;
//! use selion_core::quantities::Units;
//!
//! let found = geojson::read(r#"{"type":"FeatureCollection","coordinate_system":"local_metres","features":[
//!     {"type":"Feature","properties":{"label":"C4","holder":"Ines 2; Tomasz"},
//!      "geometry":{"type":"Polygon","coordinates":[[[0,0],[1.2,0],[1.2,6],[0,6],[0,0]]]}}]}"#)?;
//! let bed = &found.beds[0];
//! assert_eq!(bed.outline.area().show(Units::Metric), "7.2 m²");
//! assert_eq!(bed.holders, [("Ines".to_owned(), 2), ("Tomasz".to_owned(), 1)]);
//! assert_eq!(geojson::read(&geojson::write(&found))?, found);
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

mod read;
mod write;

#[cfg(test)]
mod tests;

pub use read::read;
pub use write::write;

/// The foreign member of a collection that says what its coordinates are.
const COORDINATE_SYSTEM: &str = "coordinate_system";
/// Its value for metres on the garden's own plane.
const LOCAL_METRES: &str = "local_metres";
