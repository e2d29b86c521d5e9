//! Seed to buy: for plants at stations, and for a row that is sown thick and thinned.
//!
//! At stations: `seeds = stations × seeds at each / (germination × field factor)`, and `ounces = seeds / seeds in an ounce`.
//! Germination is the packet's, else the legal minimum of the table (FSA); the field factor of 80 to 90 % is common practice.
//! For a row: the table's amount on 100 ft by the length of the row. The two differ by much: carrots are sown fifteen times as
//! thick as they stand in the end.
//!
//! ```
//! use selion_core::quantities::{Percent, Units};
//! use selion_core::season::seed::{StationsCase, for_stations};
//!
//! let answer = for_stations(&StationsCase {
//!     stations: 100,
//!     seeds_each: 3,
//!     germination: Percent::HUNDRED,
//!     field_factor: Percent::HUNDRED,
//!     past_keeping: false,
//!     seeds_per_oz: Some(175),
//!     units: Units::UsCustomary,
//! })?;
//! assert_eq!(answer.result.to_string(), "300 seeds, 1.71 oz");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::crops::Counted;
use super::known::{Known, Origin, Span};
use crate::quantities::exact::{nearest, up};
use crate::quantities::{Percent, SmallMass, Spacing, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The field factor where nobody says another: the cautious end of common practice.
pub const USUAL_FIELD_FACTOR: Percent = Percent::from_hundredths(8_000);
/// A hundred feet, in micrometres.
const HUNDRED_FEET: i128 = 30_480_000;
/// Counts beyond this are no garden's.
const MOST: i64 = 1_000_000_000;

/// Plants that each get their own place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StationsCase {
    /// How many places.
    pub stations: i64,
    /// How many seeds go into each.
    pub seeds_each: i64,
    /// The share that comes up in a test: the packet's, or the legal minimum.
    pub germination: Percent,
    /// The share of those that come up in a bed.
    pub field_factor: Percent,
    /// Whether the packet is past its keeping life: its germination is halved.
    pub past_keeping: bool,
    /// Seeds in an ounce, where it is known.
    pub seeds_per_oz: Option<i64>,
    /// The garden's units.
    pub units: Units,
}

/// What to buy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SeedToBuy {
    /// How many seeds, where they are counted.
    pub seeds: Option<i64>,
    /// What they weigh, where it is known.
    pub weight: Option<SmallMass>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for SeedToBuy {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let weight = self.weight.map(|weight| weight.show(self.units));
        match (self.seeds, weight) {
            (Some(seeds), Some(weight)) => write!(out, "{seeds} seeds, {weight}"),
            (Some(seeds), None) => write!(out, "{seeds} seeds"),
            (None, weight) => out.write_str(&weight.unwrap_or_default()),
        }
    }
}

/// The seed for plants that each get their own place.
pub fn for_stations(case: &StationsCase) -> Result<Reckoning<SeedToBuy>, Refusal> {
    check(case)?;
    let whole = i128::from(Percent::HUNDRED.hundredths());
    let halved = if case.past_keeping { 2 } else { 1 };
    let wanted = i128::from(case.stations) * i128::from(case.seeds_each);
    let shares =
        i128::from(case.germination.hundredths()) * i128::from(case.field_factor.hundredths());
    let too_many = || Refusal::bad("stations", "seeds that can be counted", wanted.to_string());
    let seeds = up(wanted * whole * whole * halved, shares).ok_or_else(too_many)?;
    let weight = case
        .seeds_per_oz
        .and_then(|each| SmallMass::of_ounces(seeds, each));
    let result = SeedToBuy {
        seeds: Some(seeds),
        weight,
        units: case.units,
    };
    let source = Source::published(
        "Stations × seeds / (germination × field factor); legal minimum of germination: 7 CFR 201.31 [FSA]; field factor of 80 to \
         90 %: common practice.",
    );
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Stations", case.stations.to_string()))
        .step(Step::new("Seeds at each", case.seeds_each.to_string()))
        .step(Step::new("Germination", case.germination.to_string()));
    if case.past_keeping {
        answer = answer.step(Step::new(
            "Past its keeping life (common practice)",
            "halved",
        ));
    }
    answer = answer
        .step(Step::new("Field factor", case.field_factor.to_string()))
        .step(Step::sum("Seeds to buy", seeds.to_string()))
        .rounded("Up to whole seeds.");
    if let (Some(each), Some(weight)) = (case.seeds_per_oz, weight) {
        answer = answer
            .step(Step::new("Seeds in 1 oz", each.to_string()))
            .step(Step::new("Weight", weight.show(case.units)));
    }
    Ok(answer)
}

fn check(case: &StationsCase) -> Result<(), Refusal> {
    for (field, count) in [
        ("stations", case.stations),
        ("seeds at each station", case.seeds_each),
    ] {
        if !(0..=MOST).contains(&count) {
            let expected = format!("a count from 0 to {MOST}");
            return Err(Refusal::bad(field, expected, count.to_string()));
        }
    }
    for (field, share) in [
        ("germination", case.germination),
        ("field factor", case.field_factor),
    ] {
        if share <= Percent::ZERO || share > Percent::HUNDRED {
            return Err(Refusal::bad(
                field,
                "above 0 and at most 100 %",
                share.to_string(),
            ));
        }
    }
    if case.seeds_per_oz.is_some_and(|each| each < 1) {
        return Err(Refusal::bad("seeds in an ounce", "1 or more", "0"));
    }
    Ok(())
}

/// A row that is sown by weight and thinned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowSeedCase {
    /// All rows together.
    pub length: Spacing,
    /// What goes on 100 ft, with whose value it is.
    pub on_100_ft: Known<Counted>,
    /// Seeds in an ounce, where it is known.
    pub seeds_per_oz: Option<i64>,
    /// The garden's units.
    pub units: Units,
}

/// Seed, plants or sets for rows, by the table's amount on 100 ft.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RowSeed {
    /// How much, in hundredths of what the table counts.
    pub hundredths: i64,
    /// What the table counts: ounces, pounds, plants.
    pub unit: String,
    /// The weight, where the table counts ounces or pounds.
    pub weight: Option<SmallMass>,
    /// How many seeds fall on a metre of row, in hundredths, where it is known.
    pub seeds_per_m: Option<i64>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for RowSeed {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.weight {
            Some(weight) => write!(out, "{} of seed", weight.show(self.units)),
            None => write!(out, "{} {}", hundredths(self.hundredths), self.unit),
        }
    }
}

/// The seed, plants or sets for rows, by the table's amount on 100 ft.
pub fn for_rows(case: &RowSeedCase) -> Result<Reckoning<RowSeed>, Refusal> {
    let length = i128::from(case.length.micrometres());
    let Counted {
        hundredths: span,
        unit,
    } = &case.on_100_ft.value;
    let refused = || {
        Refusal::bad(
            "length",
            "a length of rows that can be sown",
            case.length.show(case.units),
        )
    };
    let amount = up(length * i128::from(span.most), HUNDRED_FEET)
        .filter(|amount| length >= 0 && *amount <= MOST)
        .ok_or_else(refused)?;
    let ounces = match unit.as_str() {
        "oz" => Some(1),
        "lb" => Some(16),
        _ => None,
    };
    // Plants and sets are bought whole.
    let amount = if ounces.is_none() {
        up(i128::from(amount), 100).unwrap_or(0) * 100
    } else {
        amount
    };
    let weight = ounces.and_then(|ounces| SmallMass::of_ounces(amount.checked_mul(ounces)?, 100));
    let seeds_per_m = case.seeds_per_oz.zip(ounces).and_then(|(each, ounces)| {
        // Hundredths of an ounce on 30.48 m, into hundredths of a seed on a metre.
        nearest(
            i128::from(span.most) * i128::from(each) * i128::from(ounces) * 100,
            3_048,
        )
    });
    let result = RowSeed {
        hundredths: amount,
        unit: unit.clone(),
        weight,
        seeds_per_m,
        units: case.units,
    };
    let source = match &case.on_100_ft.origin {
        Origin::Own => Source::arithmetic("An own value for 100 ft, by the length of the rows."),
        Origin::Table(keys) => super::source::cite(keys),
    };
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Rows together", case.length.show(case.units)))
        .step(Step::new("On 100 ft", case.on_100_ft.value.to_string()))
        .step(Step::sum(
            "To buy",
            format!("{} {unit}", hundredths(amount)),
        ))
        .rounded("Up to a hundredth of an ounce or pound, or to whole plants.");
    if let Some(seeds) = seeds_per_m {
        let density = match case.units {
            Units::Metric => format!("{} on a metre", hundredths(seeds)),
            Units::UsCustomary => {
                let on_an_inch = nearest(i128::from(seeds) * 254, 10_000).unwrap_or(0);
                format!("{} on an inch", hundredths(on_an_inch))
            }
        };
        answer = answer.step(Step::new("Seeds as sown", density));
        answer = answer.on("Sown thick and thinned: the sowing rate sets what is bought, not the stand in the end.");
    }
    Ok(answer)
}

fn hundredths(count: i64) -> String {
    Span::one(count).show(|count| {
        Percent::from_hundredths(count)
            .to_string()
            .trim_end_matches(" %")
            .to_owned()
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn stations(stations: i64, germination: i64) -> StationsCase {
        StationsCase {
            stations,
            seeds_each: 1,
            germination: Percent::from_hundredths(germination),
            field_factor: USUAL_FIELD_FACTOR,
            past_keeping: false,
            seeds_per_oz: None,
            units: Units::Metric,
        }
    }

    fn row(feet: i64, on_100_ft: &str) -> RowSeedCase {
        RowSeedCase {
            length: Spacing::from_micrometres(feet * 304_800),
            on_100_ft: Known {
                value: Counted::parse(on_100_ft).unwrap(),
                origin: Origin::Own,
            },
            seeds_per_oz: None,
            units: Units::UsCustomary,
        }
    }

    #[test]
    fn old_seed_counts_half() {
        let fresh = stations(100, 8_000);
        let old = StationsCase {
            past_keeping: true,
            ..fresh
        };
        assert_eq!(
            for_stations(&fresh).unwrap().result.seeds,
            Some(157),
            "156.25, up"
        );
        assert_eq!(
            for_stations(&old).unwrap().result.seeds,
            Some(313),
            "312.5, up"
        );
    }

    #[test]
    fn impossible_shares_and_counts_are_refused() {
        let bad = [
            stations(-1, 8_000),
            stations(1, 0),
            stations(1, 10_001),
            StationsCase {
                seeds_per_oz: Some(0),
                ..stations(1, 5_000)
            },
            StationsCase {
                field_factor: Percent::ZERO,
                ..stations(1, 5_000)
            },
        ];
        for case in bad {
            assert_eq!(
                for_stations(&case).unwrap_err().code(),
                "bad_input",
                "{case:?}"
            );
        }
        assert_eq!(for_rows(&row(-1, "1 oz")).unwrap_err().code(), "bad_input");
    }

    #[test]
    fn sets_are_bought_whole_and_potatoes_by_the_pound() {
        assert_eq!(
            for_rows(&row(30, "67 plants")).unwrap().result.to_string(),
            "21 plants"
        );
        assert_eq!(
            for_rows(&row(50, "20 lb")).unwrap().result.to_string(),
            "10 lb of seed"
        );
    }

    proptest! {
        #[test]
        fn what_is_bought_suffices_and_one_less_does_not(count in 1_i64..100_000, germination in 100_i64..=10_000) {
            let seeds = i128::from(for_stations(&stations(count, germination)).unwrap().result.seeds.unwrap());
            let up = |seeds: i128| seeds * i128::from(germination) * 8_000;
            let wanted = i128::from(count) * 100_000_000;
            prop_assert!(up(seeds) >= wanted && up(seeds - 1) < wanted);
        }

        #[test]
        fn seed_grows_with_the_row(feet in 1_i64..2_000, more in 1_i64..2_000) {
            let seed = |feet: i64| for_rows(&row(feet, "0.25 oz")).unwrap().result.hundredths;
            let together = seed(feet) + seed(more);
            prop_assert!((seed(feet + more)..=seed(feet + more) + 1).contains(&together));
        }
    }
}
