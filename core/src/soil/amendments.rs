//! The table of liming and mineral amendments: what each is, what it neutralises, what to be careful about.
//!
//! One entry each; screens, orders and advice walk the same list. Compost, manure and mulch have tables of their own, since
//! they are reckoned by volume.
//!
//! ```
//! use selion_core::soil::amendments;
//!
//! let ash = amendments::find("wood-ash")?;
//! assert!(ash.may_be_ordered);
//! assert!(amendments::find("moon-dust").is_err());
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use crate::quantities::Percent;
use crate::reckoning::{Caution, Refusal};

/// Something that is spread for what it does to the soil's chemistry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amendment {
    /// Its key in orders and records.
    pub key: &'static str,
    /// Its name for people.
    pub name: &'static str,
    /// What it is spread for.
    pub purpose: Purpose,
    /// What it neutralises, from the least to the most that is found, in % of pure limestone.
    pub cce: Option<(Percent, Percent)>,
    /// Whether several people may order and spread it together.
    pub may_be_ordered: bool,
    /// What to be careful about when spreading it.
    pub cautions: &'static [Caution],
    /// What else to know, in a sentence.
    pub note: &'static str,
    /// Who says so.
    pub source: &'static str,
}

/// What an amendment is spread for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// To make soil less acid.
    Lime,
    /// To make soil more acid.
    Acidify,
    /// To bring calcium without changing the pH.
    Calcium,
}

/// Every amendment of this kind, in alphabetical order of the keys.
pub const AMENDMENTS: &[Amendment] = &[
    Amendment {
        key: "dolomitic-limestone",
        name: "Dolomitic limestone, ground",
        purpose: Purpose::Lime,
        cce: Some(percents(80, 109)),
        may_be_ordered: true,
        cautions: &[Caution::LimeDust],
        note: "At least 6 % magnesium on the label; where the soil is low in it.",
        source: "North Carolina liming tips, 2005; RNV rules of Kentucky, CCE minimum 80 [NCDA-05, UKY-106]",
    },
    Amendment {
        key: "elemental-sulfur",
        name: "Elemental sulfur",
        purpose: Purpose::Acidify,
        cce: None,
        may_be_ordered: true,
        cautions: &[],
        note: "Small doses months apart, never on soil that fizzes under vinegar.",
        source: "TerraLink, Michigan State table; Clemson [TERRA, CLEM-ACID]",
    },
    Amendment {
        key: "ground-limestone",
        name: "Ground limestone",
        purpose: Purpose::Lime,
        cce: Some(percents(80, 100)),
        may_be_ordered: true,
        cautions: &[Caution::LimeDust],
        note: "The usual choice; its label's value divides the rate.",
        source: "University of Kentucky AGR-106, CCE minimum 80; Nebraska, Table 4.4 [UKY-106, UNL]",
    },
    Amendment {
        key: "gypsum",
        name: "Gypsum",
        purpose: Purpose::Calcium,
        cce: None,
        may_be_ordered: true,
        cautions: &[],
        note: "Where a test shows little calcium at a pH that is fine; it does not change the pH.",
        source: "Kansas State horticulture newsletter [KSU-BER]",
    },
    Amendment {
        key: "hydrated-lime",
        name: "Hydrated lime",
        purpose: Purpose::Lime,
        cce: Some(percents(135, 135)),
        may_be_ordered: false,
        cautions: &[Caution::LimeDust],
        note: "Burns skin and lungs: not for vegetable beds or lawns.",
        source: "Oregon State, applying hydrated lime; Nebraska, Table 4.4 [OSU-HYD, UNL]",
    },
    Amendment {
        key: "pelletized-lime",
        name: "Pelletized lime",
        purpose: Purpose::Lime,
        cce: Some(percents(80, 100)),
        may_be_ordered: true,
        cautions: &[Caution::LimeDust],
        note: "The same stone, finely ground, with a binder: no less of it is needed than its label says.",
        source: "Ohio Rev. Code 905.51; Iowa State, 2022 [ORC-905.51, ISU22]",
    },
    Amendment {
        key: "quicklime",
        name: "Quicklime",
        purpose: Purpose::Lime,
        cce: Some(percents(178, 178)),
        may_be_ordered: false,
        cautions: &[Caution::LimeDust],
        note: "Boils with water and burns eyes: not kept in a shared garden.",
        source: "NIOSH pocket guide, calcium oxide; Nebraska, Table 4.4 [NIOSH-CaO, UNL]",
    },
    Amendment {
        key: "wood-ash",
        name: "Wood ash",
        purpose: Purpose::Lime,
        cce: Some(percents(8, 90)),
        may_be_ordered: true,
        cautions: &[Caution::WoodAsh],
        note: "At most 20 lb on 1000 sq ft a year, none from pH 7.0, none for potatoes and blueberries; no coal ash.",
        source: "Wood ashes, May 1991; Oregon State, 2011; Georgia P2 [WA91, OSU-ASH, AGP2]",
    },
];

/// The amendment with this key.
pub fn find(key: &str) -> Result<&'static Amendment, Refusal> {
    AMENDMENTS
        .iter()
        .find(|amendment| amendment.key == key)
        .ok_or_else(|| {
            let keys: Vec<&str> = AMENDMENTS.iter().map(|amendment| amendment.key).collect();
            Refusal::bad("amendment", format!("one of {}", keys.join(", ")), key)
        })
}

const fn percents(least: i64, most: i64) -> (Percent, Percent) {
    (
        Percent::from_hundredths(least * 100),
        Percent::from_hundredths(most * 100),
    )
}

#[cfg(test)]
mod tests {
    use super::super::liming_material::ProductKind;
    use super::*;

    #[test]
    fn every_entry_is_unique_in_order_within_bounds_and_sourced() {
        assert!(AMENDMENTS.windows(2).all(|pair| pair[0].key < pair[1].key));
        for amendment in AMENDMENTS {
            let plain = |letter: char| letter.is_ascii_lowercase() || letter == '-';
            assert!(amendment.key.chars().all(plain), "{}", amendment.key);
            assert!(amendment.source.ends_with(']'), "{}", amendment.key);
            assert!(amendment.note.ends_with('.'), "{}", amendment.key);
            if let Some((least, most)) = amendment.cce {
                assert!(
                    least <= most && most <= percents(250, 250).0,
                    "{}",
                    amendment.key
                );
            }
            let limes = amendment.purpose == Purpose::Lime;
            assert_eq!(limes, amendment.cce.is_some(), "{}", amendment.key);
            assert!(
                !limes || !amendment.cautions.is_empty(),
                "{}: lime without a caution",
                amendment.key
            );
        }
    }

    #[test]
    fn what_may_be_ordered_together_agrees_with_the_kinds_of_product() {
        let kinds = [
            ("ground-limestone", ProductKind::Ground),
            ("pelletized-lime", ProductKind::Pelletized),
            ("hydrated-lime", ProductKind::Hydrated),
            ("quicklime", ProductKind::Quicklime),
        ];
        for (key, kind) in kinds {
            assert_eq!(
                find(key).unwrap().may_be_ordered,
                kind.check_for_shared_order().is_ok(),
                "{key}"
            );
        }
        assert_eq!(find("moon-dust").unwrap_err().code(), "bad_input");
    }
}
