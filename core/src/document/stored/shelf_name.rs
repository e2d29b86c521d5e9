//! The containers of each document, and what a change touched in them.

use std::collections::BTreeSet;

use crate::document::name::DocumentName;

macro_rules! shelves {
    ($($name:ident = $key:literal in $document:ident),* $(,)?) => {
        /// A container of records in a document.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[expect(missing_docs, reason = "each is described where its record is")]
        pub enum ShelfName {
            $($name),*
        }

        impl ShelfName {
            /// Every container there is.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// Its key at the root of its document.
            pub fn key(self) -> &'static str {
                match self {
                    $(Self::$name => $key),*
                }
            }

            /// Whether it belongs into this document.
            pub fn is_in(self, document: DocumentName) -> bool {
                match self {
                    $(Self::$name => matches!(document, DocumentName::$document { .. })),*
                }
            }

            /// The container with this key.
            pub fn from_key(key: &str) -> Option<Self> {
                match key {
                    $($key => Some(Self::$name),)*
                    _ => None,
                }
            }
        }
    };
}

shelves! {
    Profile = "profile" in Ground,
    Members = "members" in Ground,
    Beds = "beds" in Ground,
    Structures = "structures" in Ground,
    FenceLines = "fence_lines" in Ground,
    SoilTests = "soil_tests" in Ground,
    Crops = "crops" in Ground,
    Recipients = "recipients" in Ground,
    Tasks = "tasks" in Season,
    Turns = "turns" in Season,
    Pickings = "pickings" in Season,
    Jobs = "jobs" in Season,
    Hours = "hours" in Season,
    Amendments = "amendments" in Season,
    BedCrops = "bed_crops" in Season,
    Plantings = "plantings" in Season,
    Weather = "weather" in Season,
    Orders = "orders" in Ledger,
    Entries = "entries" in Ledger,
    Opening = "opening" in Ledger,
    Requests = "requests" in Ledger,
}

/// The records that a change touched: container and id.
pub type Touched = BTreeSet<(ShelfName, String)>;
