//! Published figures, each beside its source, and outside judges for what has no printed figure.

mod apportionment;
mod areas;
mod packs;
mod rfc7946;
mod units;
