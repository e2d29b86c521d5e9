//! How much seed of a cover crop, or of each in a mix, an area takes.
//!
//! `seed = rate × area × share`. Alone a crop has the whole rate. In a mix of two each has about 60 % (UMD), or the share that
//! the table names; in a mix of k each has 1.2 / k, which carries that rule on. Rates for gardens run at or above the top of those
//! for fields, since a hand spreads unevenly.
//!
//! ```
//! use selion_core::quantities::{Area, Units};
//! use selion_core::season::cover::{CoverBook, seed::{Part, SeedCase, Sown, seed}};
//!
//! let book = CoverBook::with(&[])?;
//! let [rye, vetch] = [book.find("cereal rye")?, book.find("hairy vetch")?].map(|cover| Part { cover: cover.clone(), share: None });
//! let parts = vec![rye, vetch];
//! let answer = seed(&SeedCase { parts, area: Area::parse("1000 sq ft")?, sown: Sown::Garden, units: Units::UsCustomary })?;
//! assert_eq!(answer.result.to_string(), "cereal rye 1.2 lb to 2.4 lb, hairy vetch 9.6 oz to 14.4 oz");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::CoverCrop;
use crate::quantities::{Area, BadInput, Mass, Percent, Rate, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::season::known::{Known, Span};

/// All shares of a mix together, in hundredths of a percent: two crops of 60 %.
const MIX: i64 = 12_000;
/// The most crops of one mix.
const MOST_PARTS: usize = 12;

/// How it is sown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sown {
    /// By hand on beds.
    Garden,
    /// Broadcast on a field.
    Broadcast,
    /// Drilled on a field.
    Drilled,
}

impl Sown {
    fn words(self) -> &'static str {
        match self {
            Self::Garden => "by hand, rates for gardens",
            Self::Broadcast => "broadcast, rates for fields",
            Self::Drilled => "drilled, rates for fields",
        }
    }
}

/// One crop of a mix, or the only one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The cover crop.
    pub cover: CoverCrop,
    /// Its share of the full rate, where the garden has its own.
    pub share: Option<Percent>,
}

/// An area to be sown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeedCase {
    /// What is sown together.
    pub parts: Vec<Part>,
    /// How much ground.
    pub area: Area,
    /// How it is sown.
    pub sown: Sown,
    /// The garden's units.
    pub units: Units,
}

/// The seed of each crop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CoverSeed {
    /// Crop by crop.
    pub parts: Vec<PartSeed>,
    /// The garden's units.
    pub units: Units,
}

/// The seed of one crop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PartSeed {
    /// Which.
    pub name: String,
    /// How much on how much ground, as sown.
    pub rate: Span<Rate>,
    /// How much.
    pub seed: Span<Mass>,
}

impl fmt::Display for CoverSeed {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = self.parts.iter().map(|part| {
            let seed = part.seed.show(|mass| mass.show(self.units));
            format!("{} {seed}", part.name)
        });
        out.write_str(&shown.collect::<Vec<_>>().join(", "))
    }
}

/// How much seed an area takes.
pub fn seed(case: &SeedCase) -> Result<Reckoning<CoverSeed>, Refusal> {
    if !(1..=MOST_PARTS).contains(&case.parts.len()) {
        let came = format!("{} crops", case.parts.len());
        return Err(Refusal::bad(
            "mix",
            format!("1 to {MOST_PARTS} cover crops"),
            came,
        ));
    }
    if !case.area.is_positive() {
        return Err(Refusal::bad(
            "area",
            "more than nothing",
            case.area.show(case.units),
        ));
    }
    let source = Source::published(
        "Rates: see each crop; shares of a mix: University of Maryland Extension, about 60 % of each full rate in a mix of two [UMD].",
    );
    let mut parts = Vec::new();
    let mut steps = vec![Step::new("Area", case.area.show(case.units))];
    for part in &case.parts {
        parts.push(part_of(part, case, &mut steps)?);
    }
    let result = CoverSeed {
        parts,
        units: case.units,
    };
    let mut answer = Reckoning::new(result, source)
        .on(format!("Sown {}.", case.sown.words()))
        .rounded("To the nearest gram.");
    answer.steps = steps;
    for part in &case.parts {
        let rate = rate_of(part, case.sown)?;
        let line = format!("Rate of {}: {}.", part.cover.name, rate.origin.words());
        answer = answer.on(line);
    }
    if case.parts.len() > 1
        && case
            .parts
            .iter()
            .any(|part| part.cover.name == "cereal rye")
    {
        answer = answer.on("Wisconsin Extension cuts rye by a third in a mix [UWR].");
    }
    Ok(answer)
}

fn part_of(part: &Part, case: &SeedCase, steps: &mut Vec<Step>) -> Result<PartSeed, Refusal> {
    let (rate, share) = (rate_of(part, case.sown)?, share_of(part, case.parts.len())?);
    let scaled = |rate: Rate| {
        let share = rate.scaled(share.hundredths(), Percent::HUNDRED.hundredths());
        share.ok_or_else(|| {
            BadInput::new("rate", "a rate that can be stored", rate.show(case.units))
        })
    };
    let as_sown = Span {
        least: scaled(rate.value.least)?,
        most: scaled(rate.value.most)?,
    };
    let seed = Span {
        least: as_sown.least.over(case.area),
        most: as_sown.most.over(case.area),
    };
    let name = &part.cover.name;
    steps.push(Step::new(
        format!("{name}, full rate{}", rate.origin.mark()),
        rate.value.show(|rate| rate.show(case.units)),
    ));
    steps.push(Step::new(format!("{name}, share"), share.to_string()));
    steps.push(Step::new(
        format!("{name}, seed"),
        seed.show(|mass| mass.show(case.units)),
    ));
    Ok(PartSeed {
        name: name.clone(),
        rate: as_sown,
        seed,
    })
}

fn rate_of(part: &Part, sown: Sown) -> Result<&Known<Span<Rate>>, Refusal> {
    let rate = match sown {
        Sown::Garden => &part.cover.garden,
        Sown::Broadcast => &part.cover.broadcast,
        Sown::Drilled => &part.cover.drilled,
    };
    rate.as_ref().ok_or_else(|| Refusal::Missing {
        what: format!("The rate of {}, {}", part.cover.name, sown.words()),
        why: "the table has no confirmed one, so put in the seller's as an own value".to_owned(),
    })
}

fn share_of(part: &Part, parts: usize) -> Result<Percent, Refusal> {
    let count = i64::try_from(parts).unwrap_or(1).max(1);
    let usual = match parts {
        0 | 1 => Percent::HUNDRED,
        2 => part
            .cover
            .mix_share
            .as_ref()
            .map_or(Percent::from_hundredths(MIX / 2), |share| share.value),
        _ => Percent::from_hundredths(MIX / count),
    };
    let share = part.share.unwrap_or(usual);
    if share <= Percent::ZERO || share > Percent::HUNDRED {
        return Err(Refusal::bad(
            "share",
            "above 0 and at most 100 %",
            share.to_string(),
        ));
    }
    Ok(share)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::season::cover::CoverBook;

    fn case(names: &[&str], feet: i64) -> SeedCase {
        let book = CoverBook::with(&[]).unwrap();
        let part = |name: &&str| Part {
            cover: book.find(name).unwrap().clone(),
            share: None,
        };
        SeedCase {
            parts: names.iter().map(part).collect(),
            area: Area::parse(&format!("{feet} sq ft")).unwrap(),
            sown: Sown::Garden,
            units: Units::UsCustomary,
        }
    }

    #[test]
    fn shares_by_how_many_are_mixed() {
        let rates = |names: &[&str]| {
            let parts = seed(&case(names, 1_000)).unwrap().result.parts;
            parts
                .iter()
                .map(|part| part.rate.most.show(Units::UsCustomary))
                .collect::<Vec<_>>()
        };
        assert_eq!(rates(&["cereal rye"]), ["4.0 lb/1000 sq ft"]);
        assert_eq!(
            rates(&["cereal rye", "Austrian winter pea"]),
            ["2.4 lb/1000 sq ft", "2.5 lb/1000 sq ft"]
        );
        assert_eq!(
            rates(&["cereal rye", "oats", "winter wheat"])[0],
            "1.6 lb/1000 sq ft"
        );
    }

    #[test]
    fn a_rate_that_nobody_confirmed_is_missing() {
        let drilled = SeedCase {
            sown: Sown::Drilled,
            ..case(&["hairy vetch"], 100)
        };
        assert_eq!(seed(&drilled).unwrap_err().code(), "missing");
        assert_eq!(seed(&case(&[], 100)).unwrap_err().code(), "bad_input");
        assert_eq!(seed(&case(&["oats"], 0)).unwrap_err().code(), "bad_input");
        let mut too_much = case(&["oats"], 100);
        too_much.parts[0].share = Some(Percent::from_hundredths(10_001));
        assert_eq!(seed(&too_much).unwrap_err().code(), "bad_input");
    }

    proptest! {
        #[test]
        fn seed_grows_with_the_area(feet in 10_i64..5_000, times in 2_i64..9) {
            let grams = |feet: i64| seed(&case(&["oats"], feet)).unwrap().result.parts[0].seed.most.grams();
            prop_assert!((grams(feet * times) - times * grams(feet)).abs() <= times);
        }
    }
}
