//! What became of what was picked, and who was given some of it.

use super::season::{Picked, Picking};
use crate::document::ids::RecipientId;
use crate::json::{record, words};
use crate::ordered::Map;
use crate::quantities::{Day, Mass, Percent, Shown, Units};

/// What became of a picking, part by part. What was picked is their sum, so the parts always add up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Harvest {
    /// What the parts are counted in.
    pub unit: HarvestUnit,
    /// Kept by the picker.
    pub kept: i64,
    /// Shared among the people of the garden.
    pub shared: i64,
    /// Given away, by who had it.
    pub given: Map<RecipientId, i64>,
    /// Given away to somebody who is not on the list.
    pub given_otherwise: i64,
    /// Spoiled, eaten by slugs, on the compost.
    pub lost: i64,
}

record!(Harvest {
    unit = default,
    kept = default,
    shared = default,
    given = default,
    given_otherwise = default,
    lost = default,
});

impl Harvest {
    /// All that was picked.
    pub fn picked(&self) -> i64 {
        [self.kept, self.shared, self.given_away(), self.lost]
            .into_iter()
            .fold(0, i64::saturating_add)
    }

    /// All that was given away.
    pub fn given_away(&self) -> i64 {
        self.given
            .values()
            .fold(self.given_otherwise, |sum, part| sum.saturating_add(*part))
    }
}

/// What a harvest is counted in. A bushel is entered as what it weighs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HarvestUnit {
    /// By weight, in grams.
    #[default]
    Grams,
    /// By bunches.
    Bunches,
    /// By heads.
    Heads,
    /// By pieces: ears, fruits.
    Pieces,
}

words!(HarvestUnit {
    "grams" => Grams,
    "bunches" => Bunches,
    "heads" => Heads,
    "pieces" => Pieces,
});

impl HarvestUnit {
    /// Every unit.
    pub const ALL: [Self; 4] = [Self::Grams, Self::Bunches, Self::Heads, Self::Pieces];

    /// For a sentence: `3.5 lb`, `1 bunch`, `2.5 heads`.
    pub fn show(self, count: i64, units: Units) -> String {
        match self {
            Self::Grams => Mass::from_grams(count).show(units),
            Self::Bunches | Self::Heads | Self::Pieces => {
                format!("{} {}", of_hundredths(count), self.word(count))
            }
        }
    }

    /// For a column: number and unit.
    pub fn show_apart(self, count: i64, units: Units) -> Shown {
        match self {
            Self::Grams => Mass::from_grams(count).show_apart(units),
            Self::Bunches | Self::Heads | Self::Pieces => Shown {
                number: of_hundredths(count),
                unit: self.word(0),
            },
        }
    }

    fn word(self, count: i64) -> &'static str {
        let one = count == 100;
        match self {
            Self::Grams => "g",
            Self::Bunches if one => "bunch",
            Self::Bunches => "bunches",
            Self::Heads if one => "head",
            Self::Heads => "heads",
            Self::Pieces if one => "piece",
            Self::Pieces => "pieces",
        }
    }
}

/// Hundredths as a number: `12`, `2.5`.
pub(crate) fn of_hundredths(count: i64) -> String {
    let shown = Percent::from_hundredths(count).to_string();
    shown.trim_end_matches(" %").to_owned()
}

impl Picking {
    /// What became of it, whichever way it was written down.
    pub fn harvest(&self) -> Harvest {
        if let Some(harvest) = &self.parts {
            return harvest.clone();
        }
        let all = self.mass.grams();
        let (kept, given_otherwise) = match self.picked {
            Picked::Kept => (all, 0),
            Picked::GivenAway => (0, all),
        };
        Harvest {
            kept,
            given_otherwise,
            ..Harvest::default()
        }
    }

    /// The weight of a harvest; nothing of one that is counted.
    pub(crate) fn mass_of(harvest: &Harvest) -> Mass {
        match harvest.unit {
            HarvestUnit::Grams => Mass::from_grams(harvest.picked()),
            HarvestUnit::Bunches | HarvestUnit::Heads | HarvestUnit::Pieces => Mass::ZERO,
        }
    }
}

/// Somebody outside who is given of the harvest.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Recipient {
    /// What people call them.
    pub name: String,
    /// What they are.
    pub kind: RecipientKind,
    /// When and where to bring it.
    pub word: String,
    /// The day they were taken off the list, if they were.
    pub ended_on: Option<Day>,
}

record!(Recipient { name, kind = default, word = default, ended_on });

/// What a recipient is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RecipientKind {
    /// A pantry, a kitchen: a nonprofit that hands food on.
    #[default]
    Nonprofit,
    /// A neighbour, a friend.
    Neighbour,
}

words!(RecipientKind { "nonprofit" => Nonprofit, "neighbour" => Neighbour });
