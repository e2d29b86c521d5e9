//! Which crops have their edible part on the soil or in its splash.
//!
//! Classes that somebody printed carry the source; the others are classed by analogy, and only where nothing hangs low. What is
//! not listed here is unknown, and unknown counts as touching.

use serde::Serialize;

/// Whether the part that is eaten touches the soil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Contact {
    /// It lies on the soil, grows in it, or is splashed by it.
    Touches,
    /// It hangs clear of the soil and its splash.
    Clear,
    /// Nobody has said; taken as touching.
    Unknown,
}

impl Contact {
    /// From this, whether the longer interval holds.
    pub fn counts_as_contact(self) -> bool {
        match self {
            Self::Touches | Self::Unknown => true,
            Self::Clear => false,
        }
    }

    /// As people say it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Touches => "touches the soil",
            Self::Clear => "clear of the soil",
            Self::Unknown => "contact unknown, counts as contact",
        }
    }
}

/// Crops that touch, and who says so.
const TOUCH: [(&str, &str); 20] = [
    ("lettuce", "S48"),
    ("strawberry", "S48"),
    ("melon", "S48"),
    ("watermelon", "S49"),
    ("carrot", "S50"),
    ("leafy greens", "S37, S50"),
    ("spinach", "S37, S50"),
    ("chard", "S37, S50"),
    ("pea", "S50"),
    ("bean", "S50"),
    ("potato", "by analogy"),
    ("beet", "by analogy"),
    ("radish", "by analogy"),
    ("onion", "by analogy"),
    ("garlic", "by analogy"),
    ("squash", "by analogy"),
    ("pumpkin", "by analogy"),
    ("ground cucumber", "by analogy"),
    ("unstaked tomato", "by analogy"),
    ("low herbs", "by analogy"),
];

/// Crops that stay clear, and who says so.
const CLEAR: [(&str, &str); 8] = [
    ("staked tomato", "S48"),
    ("staked pepper", "S48"),
    ("sweet corn", "S49, S50"),
    ("tree fruit", "S50"),
    ("trellised cucumber", "by analogy, if nothing hangs low"),
    (
        "pole bean high on a trellis",
        "by analogy, if nothing hangs low",
    ),
    ("okra", "by analogy, if nothing hangs low"),
    ("grape", "by analogy, if nothing hangs low"),
];

/// What is known about a crop by its name, and who says so.
///
/// ```
/// use selion_core::soil::manure::contact::{Contact, of_crop};
///
/// assert_eq!(of_crop("Staked tomato").0, Contact::Clear);
/// assert_eq!(of_crop("tomato").0, Contact::Unknown, "staked or not makes the difference");
/// ```
pub fn of_crop(name: &str) -> (Contact, &'static str) {
    let name = name.trim().to_lowercase();
    let known = |crops: &'static [(&'static str, &'static str)]| {
        crops
            .iter()
            .find(|(crop, _)| *crop == name)
            .map(|(_, source)| *source)
    };
    if let Some(source) = known(&TOUCH) {
        (Contact::Touches, source)
    } else if let Some(source) = known(&CLEAR) {
        (Contact::Clear, source)
    } else {
        (Contact::Unknown, "not listed")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_crop_stands_in_both_lists() {
        for (crop, _) in CLEAR {
            assert_eq!(of_crop(crop).0, Contact::Clear, "{crop}");
        }
        for (crop, _) in TOUCH {
            assert_eq!(of_crop(crop).0, Contact::Touches, "{crop}");
        }
    }
}
