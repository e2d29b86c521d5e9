//! Which documents a garden has. They are split by how long they live, since a document's history is never trimmed.

use std::fmt;
use std::str::FromStr;

use crate::json::{form, serde_form};
use crate::quantities::BadInput;

/// One of a garden's documents, written `ground`, `season-2027`, `ledger-2027`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DocumentName {
    /// What stays: profile, people, beds, structures, fence lines.
    Ground,
    /// A year's tasks, turns, pickings and shared work.
    Season(i16),
    /// A year's orders and money. Helpers do not get it.
    Ledger(i16),
}

impl DocumentName {
    /// The year of a season or ledger.
    pub fn year(self) -> Option<i16> {
        match self {
            Self::Ground => None,
            Self::Season(year) | Self::Ledger(year) => Some(year),
        }
    }

    /// Whether this is a ledger, which helpers do not see.
    pub fn is_ledger(self) -> bool {
        matches!(self, Self::Ledger(_))
    }
}

impl fmt::Display for DocumentName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ground => f.write_str("ground"),
            Self::Season(year) => write!(f, "season-{year:04}"),
            Self::Ledger(year) => write!(f, "ledger-{year:04}"),
        }
    }
}

impl FromStr for DocumentName {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        let bad = || BadInput::new("document", "ground, season-YYYY or ledger-YYYY", text);
        if text == "ground" {
            return Ok(Self::Ground);
        }
        let (kind, year) = text.split_once('-').ok_or_else(bad)?;
        let year: i16 = year
            .parse()
            .ok()
            .filter(|year| (1900..=9999).contains(year))
            .ok_or_else(bad)?;
        match kind {
            "season" => Ok(Self::Season(year)),
            "ledger" => Ok(Self::Ledger(year)),
            _ => Err(bad()),
        }
    }
}

form!(DocumentName: text);
serde_form!(DocumentName);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_read_back() {
        for name in [
            DocumentName::Ground,
            DocumentName::Season(2027),
            DocumentName::Ledger(2031),
        ] {
            assert_eq!(name.to_string().parse::<DocumentName>().unwrap(), name);
        }
        assert!("season-12".parse::<DocumentName>().is_err());
        assert!("shed".parse::<DocumentName>().is_err());
    }
}
