//! Whole numbers as keys of a record's maps.

use std::fmt;
use std::num::ParseIntError;
use std::str::FromStr;

/// A whole number that is the key of a map, kept as text like every key: `1`, `12`.
///
/// A bare `u32` would be read back from JSON, but not from within an edit, whose tag makes serde look at the fields twice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Number(u32);

impl Number {
    /// As a number.
    pub const fn get(self) -> u32 {
        self.0
    }

    /// The one after it.
    #[must_use]
    pub const fn next(self) -> Self {
        Self(self.0.saturating_add(1))
    }
}

impl From<u32> for Number {
    fn from(number: u32) -> Self {
        Self(number)
    }
}

impl fmt::Display for Number {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(out)
    }
}

impl FromStr for Number {
    type Err = ParseIntError;

    fn from_str(text: &str) -> Result<Self, ParseIntError> {
        text.parse().map(Self)
    }
}
