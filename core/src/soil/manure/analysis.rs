//! Printed nutrients of fresh manure, and the garden rates of two extension services.
//!
//! The rates conflict because they count different nitrogen: one table is set on all nitrogen in fresh manure (0.2 lb on 100 sq ft)
//! and gives 35 lb of dairy manure (S67); the other is set on what becomes available and gives 75 lb (S10). So an answer always says
//! which nitrogen it counts, and nothing is averaged.
//!
//! ```
//! use selion_core::quantities::{Area, Units};
//! use selion_core::soil::manure::analysis::{self, Appetite};
//!
//! let bed = Area::parse("100 sq ft")?;
//! let dairy = analysis::fresh_rate("dairy", Appetite::Moderate, bed, Units::UsCustomary)?;
//! assert!(dairy.to_string().starts_with("35.0 lb on 100 sq ft (350.0 lb/1000 sq ft)\n"));
//! let other = analysis::wisconsin_rate("cow without bedding", bed, Units::UsCustomary)?;
//! assert!(other.to_string().starts_with("75.0 lb on 100 sq ft (750.0 lb/1000 sq ft)\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::super::compost::{check_area, show_nutrient};
use crate::quantities::{Area, Mass, Percent, Rate, RateUnit, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// Nutrients of a manure or compost, of the weight as is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Nutrients {
    /// Nitrogen.
    pub nitrogen: Percent,
    /// Phosphate, P2O5.
    pub phosphate: Option<Percent>,
    /// Potash, K2O.
    pub potash: Option<Percent>,
}

/// Fresh manure as a table prints it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FreshManure {
    /// Whose.
    pub animal: &'static str,
    /// Nitrogen, phosphate and potash as is, in hundredths of a percent.
    nutrients: [i64; 3],
    /// The garden rate for a crop of moderate appetite, lb on 100 sq ft.
    pounds_per_100_sq_ft: i64,
}

const fn fresh(animal: &'static str, nutrients: [i64; 3], pounds: i64) -> FreshManure {
    FreshManure {
        animal,
        nutrients,
        pounds_per_100_sq_ft: pounds,
    }
}

/// Fresh manure by animal (S67); the row of hogs is left out, since their manure belongs on no garden bed (S57).
pub const FRESH: [FreshManure; 6] = [
    fresh("beef", [70, 50, 60], 30),
    fresh("dairy", [60, 30, 60], 35),
    fresh("horse", [60, 30, 50], 35),
    fresh("sheep", [100, 40, 100], 20),
    fresh("laying hen", [100, 130, 50], 20),
    fresh("broiler litter", [300, 280, 190], 7),
];

/// Wisconsin garden rates, lb on 100 sq ft (S10).
const WISCONSIN: [(&str, i64); 9] = [
    ("cow without bedding", 75),
    ("cow with bedding", 95),
    ("cow, composted", 200),
    ("sheep without bedding", 40),
    ("sheep with bedding", 50),
    ("poultry without bedding", 20),
    ("poultry with bedding", 30),
    ("poultry, composted", 70),
    ("horse with bedding", 65),
];

/// How much a crop wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Appetite {
    /// Peas, beans: half.
    Light,
    /// Most crops.
    Moderate,
    /// Onions, corn, potatoes: double.
    Heavy,
}

impl FreshManure {
    /// The fresh manure of this animal.
    pub fn of(animal: &str) -> Result<&'static Self, Refusal> {
        FRESH
            .iter()
            .find(|row| row.animal == animal.trim())
            .ok_or_else(|| {
                let animals: Vec<&str> = FRESH.iter().map(|row| row.animal).collect();
                Refusal::bad("animal", format!("one of {}", animals.join(", ")), animal)
            })
    }

    /// What it holds.
    pub fn nutrients(&self) -> Nutrients {
        let [nitrogen, phosphate, potash] = self.nutrients.map(Percent::from_hundredths);
        Nutrients {
            nitrogen,
            phosphate: Some(phosphate),
            potash: Some(potash),
        }
    }
}

/// How much manure goes on a bed, and what it brings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ManureRate {
    /// How much on how much ground, as is.
    pub rate: Rate,
    /// The bed.
    pub area: Area,
    /// How much on the bed.
    pub mass: Mass,
    /// All nitrogen that it brings, available or not.
    pub nitrogen: Option<Rate>,
    /// The phosphate that it brings.
    pub phosphate: Option<Rate>,
    /// The potash that it brings.
    pub potash: Option<Rate>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for ManureRate {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (mass, area) = (self.mass.show(self.units), self.area.show(self.units));
        write!(out, "{mass} on {area} ({})", self.rate.show(self.units))
    }
}

impl ManureRate {
    /// This rate on a bed, with what these nutrients bring.
    pub(super) fn on_bed(
        rate: Rate,
        area: Area,
        nutrients: Option<Nutrients>,
        units: Units,
    ) -> Result<Self, Refusal> {
        check_area(area, units)?;
        let brings = |content: Option<Percent>| {
            rate.scaled(content?.hundredths(), Percent::HUNDRED.hundredths())
        };
        Ok(Self {
            rate,
            area,
            mass: rate.over(area),
            nitrogen: brings(nutrients.map(|nutrients| nutrients.nitrogen)),
            phosphate: brings(nutrients.and_then(|nutrients| nutrients.phosphate)),
            potash: brings(nutrients.and_then(|nutrients| nutrients.potash)),
            units,
        })
    }

    /// The last lines of its working: the rate, what it brings, and the amount for the bed.
    pub(super) fn shown(answer: Reckoning<Self>) -> Reckoning<Self> {
        let result = answer.result;
        let mut answer = answer.step(Step::new("Rate", result.rate.show(result.units)));
        for (what, brought) in [
            ("Brings nitrogen, all of it", result.nitrogen),
            ("Brings phosphate (P2O5)", result.phosphate),
            ("Brings potash (K2O)", result.potash),
        ] {
            if let Some(brought) = brought {
                answer = answer.step(Step::new(what, show_nutrient(brought, result.units)));
            }
        }
        answer
            .step(Step::new("Bed", result.area.show(result.units)))
            .step(Step::sum("On the bed", result.mass.show(result.units)))
            .rounded("The rate to the microgram a square metre, the bed's weight to the gram, halves up.")
    }
}

/// The garden rate of fresh manure, set on all its nitrogen.
pub fn fresh_rate(
    animal: &str,
    appetite: Appetite,
    area: Area,
    units: Units,
) -> Result<Reckoning<ManureRate>, Refusal> {
    let row = FreshManure::of(animal)?;
    let (times, over, words) = match appetite {
        Appetite::Light => (1, 2, "light feeders such as peas and beans: half"),
        Appetite::Moderate => (1, 1, "moderate feeders"),
        Appetite::Heavy => (
            2,
            1,
            "heavy feeders such as onions, corn and potatoes: double",
        ),
    };
    let thousandths = row.pounds_per_100_sq_ft * 1_000 * times / over;
    let rate = Rate::of(thousandths, RateUnit::PoundsPer100SqFt);
    let result = ManureRate::on_bed(rate, area, Some(row.nutrients()), units)?;
    let source = Source::published("eXtension 34952, 2008: fresh manure as is [compost S67].");
    let answer = Reckoning::new(result, source)
        .step(Step::new("Fresh manure", row.animal))
        .step(Step::new("For", words))
        .on("Set on all nitrogen in fresh manure, not on what becomes available; Wisconsin's rates count the latter and are higher.")
        .caution(Caution::RawManure);
    Ok(ManureRate::shown(answer))
}

/// Wisconsin's garden rate, set on nitrogen that becomes available.
pub fn wisconsin_rate(
    manure: &str,
    area: Area,
    units: Units,
) -> Result<Reckoning<ManureRate>, Refusal> {
    let row = WISCONSIN.iter().find(|(name, _)| *name == manure.trim());
    let Some((name, pounds)) = row else {
        let names: Vec<&str> = WISCONSIN.iter().map(|(name, _)| *name).collect();
        return Err(Refusal::bad(
            "manure",
            format!("one of {}", names.join("; ")),
            manure,
        ));
    };
    let rate = Rate::of(pounds * 1_000, RateUnit::PoundsPer100SqFt);
    let result = ManureRate::on_bed(rate, area, None, units)?;
    let source =
        Source::published("Wisconsin Master Gardener rates, quoted in print 2018 [compost S10].");
    let answer = Reckoning::new(result, source)
        .step(Step::new("Manure", *name))
        .on("Set on nitrogen that becomes available; a rate set on all nitrogen is lower.");
    let composted = name.ends_with("composted");
    let answer = ManureRate::shown(answer);
    Ok(if composted {
        answer
    } else {
        answer.caution(Caution::RawManure)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn light_feeders_get_half_and_heavy_ones_double() {
        let bed = Area::parse("100 sq ft").unwrap();
        let pounds = |appetite| {
            let answer = fresh_rate("broiler litter", appetite, bed, Units::UsCustomary).unwrap();
            answer.result.mass.show(Units::UsCustomary)
        };
        assert_eq!(pounds(Appetite::Light), "3.5 lb");
        assert_eq!(pounds(Appetite::Moderate), "7.0 lb");
        assert_eq!(pounds(Appetite::Heavy), "14.0 lb");
    }

    #[test]
    fn unknown_manure_is_answered_with_the_list() {
        let bed = Area::parse("100 sq ft").unwrap();
        let refusal = fresh_rate("hog", Appetite::Light, bed, Units::Metric).unwrap_err();
        assert!(
            refusal.to_string().contains("beef, dairy, horse"),
            "{refusal}"
        );
        assert!(wisconsin_rate("hog", bed, Units::Metric).is_err());
        assert!(wisconsin_rate("horse with bedding", Area::ZERO, Units::Metric).is_err());
    }

    #[test]
    fn raw_manure_carries_its_caution_and_compost_does_not() {
        let bed = Area::parse("10 m2").unwrap();
        let cautions = |name| wisconsin_rate(name, bed, Units::Metric).unwrap().cautions;
        assert_eq!(cautions("cow with bedding"), [Caution::RawManure]);
        assert!(cautions("cow, composted").is_empty());
    }
}
