//! Published figures, each beside its source, and outside judges for what has no printed figure.
//!
//! Each case carries its id in the trade notes and the key of its source. Where a source prints a rounded or a slipped figure,
//! the case says which, and what exact arithmetic gives. What the product does not cover is listed in each file with the reason.

mod apportionment;
mod areas;
mod compost;
mod evapotranspiration;
mod manure;
mod mulch;
mod packs;
mod pile;
mod planting;
mod plants_in_polygons;
mod rfc7946;
mod season;
mod shares;
mod soil;
mod units;
mod work_fence;
mod work_safety;
mod work_water;
