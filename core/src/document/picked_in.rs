//! The units that people pick in, which of them a crop is offered in, and what is stored of them.
//!
//! Weights are stored in grams and counts in hundredths. A bushel is stored as what it weighs, and only for crops whose bushel
//! is printed ([`bushels`]): parts of one picking are turned into weight so that they add up to the gram.

use super::Garden;
use super::records::{HarvestUnit, of_hundredths};
use super::season_plan::Books;
use crate::ordered;
use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Mass, Percent, Units};
use crate::reckoning::{Reckoning, Refusal};
use crate::season::bushels;
use crate::season::known::Span;

/// A unit that people pick in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PickedIn {
    /// By weight, in metric units.
    #[default]
    Kilograms,
    /// By weight, in US customary units.
    Pounds,
    /// By the bushel, which is a weight by crop.
    Bushels,
    /// By the bunch.
    Bunches,
    /// By the head.
    Heads,
    /// By the piece: ears, fruits.
    Pieces,
}

impl PickedIn {
    /// Every unit.
    pub const ALL: [Self; 6] = [
        Self::Kilograms,
        Self::Pounds,
        Self::Bushels,
        Self::Bunches,
        Self::Heads,
        Self::Pieces,
    ];

    /// The word behind a number in a field.
    pub fn word(self) -> &'static str {
        match self {
            Self::Kilograms => "kg",
            Self::Pounds => "lb",
            Self::Bushels => "bushels",
            Self::Bunches => "bunches",
            Self::Heads => "heads",
            Self::Pieces => "pieces",
        }
    }

    /// The unit of this word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.word() == word)
    }

    /// The weight that a garden's units know.
    pub fn weight(units: Units) -> Self {
        match units {
            Units::Metric => Self::Kilograms,
            Units::UsCustomary => Self::Pounds,
        }
    }

    /// What it is stored in.
    pub fn stored_in(self) -> HarvestUnit {
        match self {
            Self::Kilograms | Self::Pounds | Self::Bushels => HarvestUnit::Grams,
            Self::Bunches => HarvestUnit::Bunches,
            Self::Heads => HarvestUnit::Heads,
            Self::Pieces => HarvestUnit::Pieces,
        }
    }

    /// Reads an amount: grams of a weight, hundredths of all else. A weight may have another unit of weight behind it.
    pub fn read(self, typed: &str) -> Result<i64, BadInput> {
        let typed = typed.trim();
        if matches!(self, Self::Kilograms | Self::Pounds) {
            let bare = typed
                .chars()
                .all(|letter| letter.is_numeric() || matches!(letter, '.' | ',' | '/' | ' '));
            let whole = if bare && !typed.is_empty() {
                format!("{typed} {}", self.word())
            } else {
                typed.to_owned()
            };
            return Mass::parse(&whole).map(Mass::grams);
        }
        let number = typed.trim_end_matches(self.word()).trim_end();
        let read = (!number.contains('%')).then(|| Percent::parse(number).ok());
        read.flatten().map(Percent::hundredths).ok_or_else(|| {
            let expected = format!(
                "{} up to 1000 with at most two digits behind the point, such as 12 or 2.5",
                self.word()
            );
            BadInput::new("amount", expected, typed)
        })
    }

    /// An amount as it was read, in words: `3.5 lb`, `1.5 bushels`.
    pub fn show(self, count: i64) -> String {
        match self {
            Self::Kilograms => Mass::from_grams(count).show(Units::Metric),
            Self::Pounds => Mass::from_grams(count).show(Units::UsCustomary),
            Self::Bushels if count == 100 => "1 bushel".to_owned(),
            Self::Bushels => format!("{} bushels", of_hundredths(count)),
            Self::Bunches | Self::Heads | Self::Pieces => {
                self.stored_in().show(count, Units::Metric)
            }
        }
    }

    /// Amounts of one crop as they are stored. Bushels become weights that add up to the weight of their sum.
    pub fn stored(self, crop: &str, counts: &[i64]) -> Result<Vec<i64>, Refusal> {
        if self != Self::Bushels {
            return Ok(counts.to_vec());
        }
        let (mut bushels, mut grams) = (0_i64, 0_i64);
        let mut stored = Vec::new();
        for count in counts {
            bushels = bushels.saturating_add(*count);
            let upto = middle(bushel_weight(crop, bushels)?.result).grams();
            stored.push(upto - grams);
            grams = upto;
        }
        Ok(stored)
    }
}

/// What so many hundredths of a bushel of a crop weigh, from the least to the most that is printed.
pub fn bushel_weight(crop: &str, hundredths: i64) -> Result<Reckoning<Span<Mass>>, Refusal> {
    Ok(bushels::weight(crop, hundredths)?
        .on("Where two weights of a bushel are printed, the one between them is written down."))
}

/// The weight between the least and the most.
pub fn middle(span: Span<Mass>) -> Mass {
    let both = i128::from(span.least.grams()) + i128::from(span.most.grams());
    Mass::from_grams(nearest(both, 2).unwrap_or(0))
}

/// The units that a crop is offered in: the one that it is usually picked in first, then the others.
///
/// What was picked last of this crop tells; where nothing was, what the crop table counts its yield in; else weight.
pub fn offered(garden: &Garden, books: &Books, crop: &str, units: Units) -> Vec<PickedIn> {
    let weight = PickedIn::weight(units);
    let mut all = vec![weight];
    if bushels::weight(crop, 100).is_ok() {
        all.push(PickedIn::Bushels);
    }
    all.extend([PickedIn::Bunches, PickedIn::Heads, PickedIn::Pieces]);
    all.extend(
        PickedIn::ALL
            .into_iter()
            .take(2)
            .filter(|unit| *unit != weight),
    );
    let usual = picked_last(garden, crop, weight)
        .or_else(|| of_the_table(books, crop))
        .unwrap_or(weight);
    ordered::sort_by_key(&mut all, |unit| *unit != usual);
    all
}

fn picked_last(garden: &Garden, crop: &str, weight: PickedIn) -> Option<PickedIn> {
    let name = crop.trim().to_lowercase();
    let mut last = None;
    for season in garden.seasons.values() {
        for (id, picking) in &season.pickings {
            let same = picking.ended_on.is_none() && picking.crop.trim().to_lowercase() == name;
            if same && last.is_none_or(|(day, known, _)| (day, known) < (picking.day, *id)) {
                last = Some((picking.day, *id, picking.harvest().unit));
            }
        }
    }
    Some(match last?.2 {
        HarvestUnit::Grams => weight,
        HarvestUnit::Bunches => PickedIn::Bunches,
        HarvestUnit::Heads => PickedIn::Heads,
        HarvestUnit::Pieces => PickedIn::Pieces,
    })
}

fn of_the_table(books: &Books, crop: &str) -> Option<PickedIn> {
    let found = books.crops.find(crop).ok()?;
    let counted = found
        .yields
        .as_ref()
        .map(|yields| yields.value.unit.as_str());
    match counted {
        Some("bunches") => Some(PickedIn::Bunches),
        Some("fruits" | "ears") => Some(PickedIn::Pieces),
        _ if found.name.contains("head") => Some(PickedIn::Heads),
        _weight => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(crop: &str) -> PickedIn {
        let garden = Garden::default();
        let books = Books::of(&garden).unwrap();
        offered(&garden, &books, crop, Units::UsCustomary)[0]
    }

    #[test]
    fn the_table_says_what_a_crop_is_counted_in() {
        // crops.csv: 100 bunches of radish, 120 ears of sweet corn, 100 fruits of muskmelon on 100 ft.
        assert_eq!(first("radish"), PickedIn::Bunches);
        assert_eq!(first("corn, sweet"), PickedIn::Pieces);
        assert_eq!(first("muskmelon (cantaloupe)"), PickedIn::Pieces);
        assert_eq!(first("lettuce, head"), PickedIn::Heads);
        assert_eq!(first("tomato"), PickedIn::Pounds);
        assert_eq!(first("something else"), PickedIn::Pounds);
    }

    #[test]
    fn bushels_are_offered_only_where_their_weight_is_printed() {
        let garden = Garden::default();
        let books = Books::of(&garden).unwrap();
        let has = |crop: &str| {
            let offered = offered(&garden, &books, crop, Units::Metric);
            assert_eq!(
                offered.len(),
                if offered.contains(&PickedIn::Bushels) {
                    6
                } else {
                    5
                }
            );
            offered.contains(&PickedIn::Bushels)
        };
        assert!(has("potato"));
        assert!(!has("kale"));
        assert_eq!(
            PickedIn::Bushels.stored("kale", &[100]).unwrap_err().code(),
            "missing"
        );
    }

    #[test]
    fn parts_of_bushels_weigh_what_all_of_them_weigh() {
        // Mississippi State: a bushel of cucumber is 47 to 55 lb, 51 between them; 1.5 bushels are 76.5 lb, 34,700 g
        // (453.59237 g to the pound).
        let parts = PickedIn::Bushels
            .stored("cucumber", &[33, 33, 33, 51])
            .unwrap();
        assert_eq!(parts.iter().sum::<i64>(), 34_700);
        assert!(parts.iter().all(|part| *part > 0));
        assert_eq!(PickedIn::Bunches.stored("cucumber", &[150]).unwrap(), [150]);
    }

    #[test]
    fn amounts_are_read_in_their_unit_and_shown_again() {
        assert_eq!(PickedIn::Pounds.read("1"), Ok(454));
        assert_eq!(PickedIn::Pounds.read("2 kg"), Ok(2_000));
        assert_eq!(PickedIn::Bunches.read("12"), Ok(1_200));
        assert_eq!(PickedIn::Bushels.read("1.5 bushels"), Ok(150));
        for wrong in ["", "a few", "5 %", "-1", "1.234"] {
            let refused = PickedIn::Heads.read(wrong).unwrap_err();
            assert!(refused.to_string().contains("heads"), "{refused}");
        }
        assert!(PickedIn::Kilograms.read("").is_err());
        assert_eq!(PickedIn::Heads.show(100), "1 head");
        assert_eq!(PickedIn::Bushels.show(150), "1.5 bushels");
    }
}
