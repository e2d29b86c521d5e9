//! What loose materials weigh by volume, as they lie there with their moisture.
//!
//! bulk density = net weight of a full vessel / its volume. A table of printed densities stands beside it, each as the range
//! that its sources span; weighing one full bucket of the heap at hand is better than any of them.
//!
//! Source keys, here and in the neighbouring files about compost, manure, piles and mulch, are those of the compost chapter of
//! the handbook. Densities that are only remembered from a handbook that could not be opened are left out.
//!
//! ```
//! use selion_core::quantities::{Mass, Units, Volume};
//! use selion_core::soil::bulk;
//!
//! let found = bulk::of_vessel(Mass::parse("25 lb")?, Volume::parse("5 gal")?, Units::UsCustomary)?;
//! assert_eq!(found.result.to_string(), "1,010 lb/cu yd");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::{Density, Mass, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// A loose material with the range that its printed densities span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LooseMaterial {
    /// What it is called.
    pub name: &'static str,
    /// The lightest and the heaviest printed value, lb/cu yd as is.
    pounds_per_cubic_yard: (i64, i64),
    /// Who printed it, and what to know about it.
    pub source: &'static str,
}

impl LooseMaterial {
    /// The lightest and the heaviest printed value.
    pub fn density(&self) -> (Density, Density) {
        let (low, high) = self.pounds_per_cubic_yard;
        let of = Density::from_pounds_per_cubic_yard;
        (of(low), of(high))
    }
}

const fn loose(name: &'static str, low: i64, high: i64, source: &'static str) -> LooseMaterial {
    LooseMaterial {
        name,
        pounds_per_cubic_yard: (low, high),
        source,
    }
}

/// Every material with a printed density.
pub const LOOSE: [LooseMaterial; 16] = [
    loose(
        "finished compost",
        1_000,
        1_600,
        "National Recycling Coalition, quoted in S3; one laboratory sheet 1,018 at 35 % moisture, S4",
    ),
    loose(
        "unfinished compost",
        1_500,
        1_500,
        "Massachusetts figures as reposted, S5",
    ),
    loose("solid cattle manure", 1_197, 1_197, "S6, at 79 % moisture"),
    loose(
        "horse manure with bedding",
        1_222,
        1_618,
        "S6, at 59 to 79 % moisture",
    ),
    loose(
        "layer manure with litter",
        792,
        792,
        "S6, broiler-breeder layer house at 46 % moisture",
    ),
    loose(
        "broiler litter",
        556,
        1_350,
        "S6 at 25 % moisture, and one sample of S7",
    ),
    loose("wheat straw, loose", 228, 228, "S6, at 10 % moisture"),
    loose("oat straw, loose", 219, 324, "S6, at 14 % moisture"),
    loose("leaves, loose", 101, 135, "S6, at 38 % moisture"),
    loose("leaves, packed", 250, 500, "S8; S5 says 400"),
    loose(
        "grass clippings",
        667,
        1_500,
        "S5 and S8: depends on packing",
    ),
    loose("sawdust", 349, 450, "S6, at 19 to 65 % moisture"),
    loose(
        "wood chips",
        243,
        620,
        "S6 445 to 620; S8 green 473, dry 243; S9 300 dry",
    ),
    loose("cardboard", 260, 260, "S6, at 8 % moisture"),
    loose("earth, loose", 2_100, 2_100, "S9"),
    loose("earth, wet", 3_000, 3_000, "S9"),
];

/// The material of this name.
pub fn material(name: &str) -> Result<&'static LooseMaterial, Refusal> {
    LOOSE
        .iter()
        .find(|material| material.name == name.trim())
        .ok_or_else(|| {
            let names: Vec<&str> = LOOSE.iter().map(|material| material.name).collect();
            Refusal::bad("material", format!("one of {}", names.join("; ")), name)
        })
}

/// A bulk density, or the range that printed values span.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct BulkDensity {
    /// The lightest that it may honestly be.
    pub low: Density,
    /// The heaviest; the same as the lightest where it was weighed.
    pub high: Density,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for BulkDensity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.low == self.high {
            return out.write_str(&self.low.show(self.units));
        }
        let (low, high) = (self.low.show(self.units), self.high.show(self.units));
        write!(out, "{low} to {high}")
    }
}

/// What the heap at hand weighs by volume, from one full vessel of it.
pub fn of_vessel(
    net_weight: Mass,
    vessel: Volume,
    units: Units,
) -> Result<Reckoning<BulkDensity>, Refusal> {
    let heaviest = Density::from_grams_per_m3(HEAVIEST);
    let refused = || {
        let came = format!("{} in {}", net_weight.show(units), vessel.show(units));
        let expected = format!(
            "a full vessel whose contents weigh up to {}",
            heaviest.show(units)
        );
        Refusal::bad("net weight", expected, came)
    };
    let density = Density::of(net_weight, vessel)
        .filter(|density| density.is_positive() && *density <= heaviest)
        .ok_or_else(refused)?;
    let result = BulkDensity {
        low: density,
        high: density,
        units,
    };
    let source = Source::arithmetic("Net weight over volume; a cubic yard is 202 US gallons.");
    Ok(Reckoning::new(result, source)
        .step(Step::new("Net weight", net_weight.show(units)))
        .step(Step::new("Vessel", vessel.show(units)))
        .step(Step::sum("Weight by volume", density.show(units)))
        .on("The vessel full to the rim, dropped or tapped once or twice so that the contents settle."))
}

/// What is printed about a material; a range where the sources differ.
pub fn printed(name: &str, units: Units) -> Result<Reckoning<BulkDensity>, Refusal> {
    let material = material(name)?;
    let (low, high) = material.density();
    let result = BulkDensity { low, high, units };
    Ok(Reckoning::new(
        result,
        Source::estimate(format!("Printed densities: {}.", material.source)),
    )
    .step(Step::new("Material", material.name))
    .step(Step::new("Lightest printed", low.show(units)))
    .step(Step::new("Heaviest printed", high.show(units)))
    .on("As is, with its moisture. A full bucket on a scale says more; the supplier may know."))
}

/// No heap in a garden is heavier than stone: 4 t on a cubic metre, in grams.
const HEAVIEST: i64 = 4_000_000;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_bucket_says_nothing() {
        let gallon = Volume::parse("1 gal").unwrap();
        for mass in [Mass::ZERO, Mass::from_grams(-5), Mass::from_grams(i64::MAX)] {
            let refusal = of_vessel(mass, gallon, Units::Metric).unwrap_err();
            assert!(refusal.to_string().starts_with("net weight"), "{refusal}");
        }
        assert!(of_vessel(Mass::from_grams(1), Volume::ZERO, Units::Metric).is_err());
    }

    #[test]
    fn printed_values_are_ranges_and_marked_as_estimates() {
        let sawdust = printed("sawdust", Units::UsCustomary).unwrap();
        assert_eq!(sawdust.result.to_string(), "349 lb/cu yd to 450 lb/cu yd");
        assert!(sawdust.to_string().contains("(estimate)"));
        let refusal = printed("gold", Units::Metric).unwrap_err();
        assert!(
            refusal
                .to_string()
                .contains("finished compost; unfinished compost")
        );
    }
}
