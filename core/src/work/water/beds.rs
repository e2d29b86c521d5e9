//! Water for a bed by the plain rule: about an inch a week, rain and watering together.
//!
//! `need = (inch a week − rain since the last count) · area`, never below nothing. An inch on 100 sq ft is 62.34 gal, a millimetre
//! on a square metre a litre. Of one storm no more counts than the soil could take up, where that is known.
//!
//! ```
//! use selion_core::quantities::{Area, Depth, Units};
//! use selion_core::work::water::beds::{WeekCase, need};
//!
//! let case = WeekCase { area: Area::parse("100 sq ft")?, a_week: None, rains: vec![], holds: None, units: Units::UsCustomary };
//! assert_eq!(need(&case)?.result.to_string(), "62.3 gal for this week");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::{Area, Depth, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// An inch.
pub const USUAL: Depth = Depth::from_micrometres(25_400);
/// A metre of water, and a square kilometre.
const MOST_WATER: Depth = Depth::from_micrometres(1_000_000);
const MOST_GROUND: Area = Area::from_mm2(1_000_000_000_000);

/// A bed and its week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeekCase {
    /// The bed.
    pub area: Area,
    /// What it should get; an inch where nothing is said.
    pub a_week: Option<Depth>,
    /// Rains since the last count, as the gauge showed them.
    pub rains: Vec<Depth>,
    /// What the soil can take up at once.
    pub holds: Option<Depth>,
    /// The garden's units.
    pub units: Units,
}

/// Water to bring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Need {
    /// On the bed.
    pub depth: Depth,
    /// In all.
    pub water: Volume,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Need {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.water.is_positive() {
            write!(out, "{} for this week", self.water.show_apart(self.units))
        } else {
            out.write_str("No water this week")
        }
    }
}

/// What a bed wants this week.
pub fn need(case: &WeekCase) -> Result<Reckoning<Need>, Refusal> {
    let units = case.units;
    if !case.area.is_positive() || case.area > MOST_GROUND {
        return Err(Refusal::bad(
            "area",
            "more than nothing and at most a square kilometre",
            case.area.show(units),
        ));
    }
    let a_week = case.a_week.unwrap_or(USUAL);
    for (field, depth) in [
        ("a_week", a_week),
        ("holds", case.holds.unwrap_or_default()),
    ] {
        check(field, depth, units)?;
    }
    let mut counted = Depth::ZERO;
    let mut steps = vec![Step::new("Wanted in a week", a_week.show_water(units))];
    for (number, rain) in (1..).zip(&case.rains) {
        check(&format!("rains number {number}"), *rain, units)?;
        let counts = case.holds.map_or(*rain, |holds| holds.min(*rain));
        counted = [counted, counts].into_iter().sum();
        steps.push(Step::new(
            format!("Rain {number}, {}, counts as", rain.show_water(units)),
            counts.show_water(units),
        ));
    }
    let depth = Depth::from_micrometres((a_week.micrometres() - counted.micrometres()).max(0));
    let result = Need {
        depth,
        water: depth.over(case.area),
        units,
    };
    steps.push(Step::sum("To bring", depth.show_water(units)));
    steps.push(Step::new("Area", case.area.show(units)));
    steps.push(Step::sum(
        "Water",
        result.water.show_apart(units).to_string(),
    ));
    let source = Source::published(
        "About an inch a week: University of Minnesota Extension, Watering the vegetable garden, reviewed 2018; a gallon is 231 cubic inches.",
    );
    let mut answer = Reckoning::new(result, source)
        .on("Once a week on clay or loam rich in humus, twice on sand, less under mulch; up to 2 in (51 mm) for tomatoes in hot dry places (garden.org).")
        .on("An inch wets about 12 in (30 cm) of sandy soil, 7 in (18 cm) of loam, 4 to 5 in (10 to 13 cm) of clay.")
        .rounded("To the millilitre, halves up.");
    if let Some(holds) = case.holds {
        answer = answer.on(format!(
            "Of one rain at most {} counts, which the soil could take up.",
            holds.show_water(units)
        ));
    }
    answer.steps = steps;
    Ok(answer)
}

fn check(field: &str, depth: Depth, units: Units) -> Result<(), Refusal> {
    if (Depth::ZERO..=MOST_WATER).contains(&depth) {
        return Ok(());
    }
    Err(Refusal::bad(
        field,
        "from nothing to a metre",
        depth.show_water(units),
    ))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(mm2: i64, rains: &[i64], holds: Option<i64>) -> WeekCase {
        WeekCase {
            area: Area::from_mm2(mm2),
            a_week: None,
            rains: rains
                .iter()
                .map(|um| Depth::from_micrometres(*um))
                .collect(),
            holds: holds.map(Depth::from_micrometres),
            units: Units::Metric,
        }
    }

    #[test]
    fn a_storm_counts_for_what_the_soil_takes_up() {
        let bed = |rains: &[i64], holds| {
            need(&case(10_000_000, rains, holds))
                .unwrap()
                .result
                .to_string()
        };
        assert_eq!(bed(&[], None), "254.0 l for this week");
        assert_eq!(bed(&[40_000], None), "No water this week");
        assert_eq!(bed(&[40_000], Some(15_400)), "100.0 l for this week");
    }

    #[test]
    fn senseless_beds_and_rains_are_refused_by_name() {
        let refused = |case: WeekCase| need(&case).unwrap_err().to_string();
        assert!(refused(case(0, &[], None)).starts_with("area:"));
        assert!(refused(case(1, &[-1], None)).starts_with("rains number 1:"));
        assert!(refused(case(1, &[], Some(2_000_000))).starts_with("holds:"));
    }

    proptest! {
        #[test]
        fn twice_the_bed_is_twice_the_water(mm2 in 1_000_000_i64..100_000_000_000, rain in 0_i64..30_000) {
            let water = |mm2: i64| need(&case(mm2, &[rain], None)).unwrap().result.water.ml();
            prop_assert!((water(2 * mm2) - 2 * water(mm2)).abs() <= 1);
        }
    }
}
