//! Ids of what the service itself keeps, and fresh ids of a garden's records.

use std::fmt;
use std::str::FromStr;

use selion_core::quantities::Moment;
use serde::{Deserialize, Serialize};
use uuid::{Builder, Uuid};

use crate::chance;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(Uuid);

        impl $name {
            /// A new id: the time it was made and chance.
            pub fn fresh(now: Moment) -> Self {
                let millis = u64::try_from(now.millis()).unwrap_or(0);
                Self(Builder::from_unix_timestamp_millis(millis, &chance::bytes()).into_uuid())
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = uuid::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Uuid::parse_str(text).map(Self)
            }
        }
    )*};
}

ids! {
    /// Somebody who uses the service.
    PersonId
    /// A phone or computer that acts for a person.
    DeviceId
    /// An invite; says nothing about its secret.
    InviteId
}
