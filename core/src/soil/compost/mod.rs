//! Compost on a bed: depth, volume and weight of a layer, and one heap shared by bed area.
//!
//! volume = area × depth; weight = volume × bulk density, as is. In the units of the trade cu yd = sq ft × in / 324 (S1, S2); printed
//! coverage tables round and slip (for 3 inches one says 100 sq ft a yard, one 120; it is 108), so nothing is taken from them.
//! How much a bed may get in a year is asked in [`ceiling`].
//!
//! ```
//! use selion_core::quantities::{Area, Density, Mass, Units};
//! use selion_core::soil::compost::{self, Given};
//!
//! // A ton of compost on 1000 sq ft is no thick blanket.
//! let given = Given::Weight(Mass::parse("1 ton")?);
//! let density = Some(Density::parse("1000 lb/cu yd")?);
//! let layer = compost::cover(Area::parse("1000 sq ft")?, given, density, Units::UsCustomary)?;
//! assert!(layer.to_string().starts_with("0.65 in on 1,000 sq ft: 2.00 cu yd, 2,000.0 lb\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

pub mod ceiling;
mod shares;

use std::fmt;

use serde::Serialize;

use super::exact::part;
use crate::quantities::{Area, Density, Depth, Mass, Percent, Rate, RateUnit, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

pub use shares::{VolumeShare, VolumeShares, share};

/// The thickest layer that is reckoned with: a metre.
const THICKEST: Depth = Depth::from_micrometres(1_000_000);
/// The largest area: 100 ha.
const LARGEST: Area = Area::from_mm2(1_000_000_000_000);

/// What is known about a layer, besides its area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Given {
    /// How thick it lies.
    Depth(Depth),
    /// How much there is by volume.
    Volume(Volume),
    /// How much there is by weight; its bulk density must be known.
    Weight(Mass),
}

/// A layer of a loose material on a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Layer {
    /// The ground under it.
    pub area: Area,
    /// How thick it lies.
    pub depth: Depth,
    /// How much there is by volume.
    pub volume: Volume,
    /// How much there is by weight, where the bulk density is known.
    pub weight: Option<Mass>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Layer {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (depth, area) = (self.depth.show(self.units), self.area.show(self.units));
        write!(
            out,
            "{depth} on {area}: {}",
            self.volume.show_bulk(self.units)
        )?;
        match self.weight {
            Some(weight) => write!(out, ", {}", weight.show(self.units)),
            None => Ok(()),
        }
    }
}

/// Depth, volume and, with a bulk density, weight of a layer, from any one of them.
pub fn cover(
    area: Area,
    given: Given,
    density: Option<Density>,
    units: Units,
) -> Result<Reckoning<Layer>, Refusal> {
    check_area(area, units)?;
    let (volume, depth) = match given {
        Given::Depth(depth) => (depth.over(area), Some(depth)),
        Given::Volume(volume) => (volume, Depth::of(volume, area)),
        Given::Weight(weight) => {
            let density = density.ok_or_else(|| Refusal::Missing {
                what: "The bulk density".to_owned(),
                why: "a weight says how thick it lies only with it; weigh one full bucket"
                    .to_owned(),
            })?;
            let volume = density.room(weight).unwrap_or_default();
            (volume, Depth::of(volume, area))
        }
    };
    let depth = depth
        .filter(|depth| depth.is_positive() && *depth <= THICKEST)
        .ok_or_else(|| {
            let expected = format!("a layer of up to {} on this area", THICKEST.show(units));
            let came = match given {
                Given::Depth(depth) => depth.show(units),
                Given::Volume(volume) => volume.show_bulk(units),
                Given::Weight(weight) => weight.show(units),
            };
            Refusal::bad("amount", expected, came)
        })?;
    let weight = match given {
        Given::Weight(weight) => Some(weight),
        Given::Depth(_) | Given::Volume(_) => density.map(|density| density.weigh(volume)),
    };
    let layer = Layer {
        area,
        depth,
        volume,
        weight,
        units,
    };
    let source = Source::arithmetic(
        "Volume is area × depth: a cubic yard lies 1 inch deep on 324 sq ft [compost S1, S2].",
    );
    let mut answer = Reckoning::new(layer, source)
        .step(Step::new("Area", area.show(units)))
        .step(Step::new("Depth", depth.show(units)))
        .step(Step::sum("Volume", volume.show_bulk(units)));
    if let (Some(density), Some(weight)) = (density, weight) {
        answer = answer
            .step(Step::new("Weight by volume", density.show(units)))
            .step(Step::sum("Weight", weight.show(units)))
            .on("Weight as is, with the moisture that the bulk density was measured at.");
    }
    Ok(answer.rounded("Volumes to the millilitre, weights to the gram, halves up."))
}

/// Organic matter in a heap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct OrganicMatter {
    /// What is left of the heap without its water.
    pub dry: Mass,
    /// How much of that is organic.
    pub organic: Mass,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for OrganicMatter {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} of organic matter", self.organic.show(self.units))
    }
}

/// The organic matter in a weight of compost: what is dry of it, and of that the organic part (S3).
pub fn organic_matter(
    weight: Mass,
    moisture: Percent,
    organic_of_dry: Percent,
    units: Units,
) -> Result<Reckoning<OrganicMatter>, Refusal> {
    let dry_part = dry_share("moisture", moisture)?;
    dry_share("organic matter", organic_of_dry)?;
    let refused = || Refusal::bad("weight", "nothing or more", weight.show(units));
    let dry = part(dry_part, weight)
        .filter(|_| weight >= Mass::ZERO)
        .ok_or_else(refused)?;
    let organic = part(organic_of_dry, dry).ok_or_else(refused)?;
    let result = OrganicMatter {
        dry,
        organic,
        units,
    };
    let source =
        Source::arithmetic("Dry part of the weight, and the organic part of that [compost S3].");
    Ok(Reckoning::new(result, source)
        .step(Step::new("Weight as is", weight.show(units)))
        .step(Step::new(
            format!("Dry at {moisture} moisture"),
            dry.show(units),
        ))
        .step(Step::sum(
            format!("{organic_of_dry} of the dry part"),
            organic.show(units),
        )))
}

/// What is left of a hundred, for a share that cannot be more than the whole.
pub(super) fn dry_share(field: &str, share: Percent) -> Result<Percent, Refusal> {
    if (Percent::ZERO..=Percent::HUNDRED).contains(&share) {
        let rest = Percent::HUNDRED.hundredths() - share.hundredths();
        return Ok(Percent::from_hundredths(rest));
    }
    Err(Refusal::bad(
        field,
        "a percentage from 0 to 100",
        share.to_string(),
    ))
}

/// A rate of a nutrient, of which there is little: a digit more than rates of whole loads are shown with.
pub(super) fn show_nutrient(rate: Rate, units: Units) -> String {
    let (unit, digits) = match units {
        Units::Metric => (RateUnit::GramsPerM2, 1),
        Units::UsCustomary => (RateUnit::PoundsPer1000SqFt, 2),
    };
    rate.shown_in(unit, digits).to_string()
}

/// Refuses an area that no garden has.
pub(super) fn check_area(area: Area, units: Units) -> Result<(), Refusal> {
    if area.is_positive() && area <= LARGEST {
        return Ok(());
    }
    Err(Refusal::bad(
        "area",
        "more than nothing and at most 100 ha",
        area.show(units),
    ))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const US: Units = Units::UsCustomary;

    #[test]
    fn what_makes_no_layer_is_refused_by_name() {
        let area = Area::parse("80 sq ft").unwrap();
        let ton = Given::Weight(Mass::parse("1 ton").unwrap());
        let refusal = cover(area, ton, None, US).unwrap_err();
        assert_eq!(refusal.code(), "missing");
        for depth in [0, -1, 1_000_001] {
            let given = Given::Depth(Depth::from_micrometres(depth));
            let refusal = cover(area, given, None, US).unwrap_err();
            assert!(refusal.to_string().starts_with("amount: "), "{refusal}");
        }
        let given = Given::Depth(Depth::from_micrometres(1));
        let refusal = cover(Area::ZERO, given, None, US).unwrap_err();
        assert!(refusal.to_string().starts_with("area: "), "{refusal}");
    }

    #[test]
    fn organic_matter_needs_shares_of_a_whole() {
        let (weight, much) = (Mass::from_grams(1_000), Percent::from_hundredths(10_001));
        assert!(organic_matter(weight, much, Percent::ZERO, US).is_err());
        assert!(organic_matter(weight, Percent::ZERO, much, US).is_err());
        assert!(organic_matter(Mass::from_grams(-1), Percent::ZERO, Percent::ZERO, US).is_err());
    }

    proptest! {
        #[test]
        fn depth_volume_and_weight_lead_back_to_each_other(
            mm2 in 1_000_000_i64..100_000_000_000,
            micrometres in 1_000_i64..500_000,
            grams in 50_000_i64..2_000_000,
        ) {
            let (area, depth) = (Area::from_mm2(mm2), Depth::from_micrometres(micrometres));
            let density = Some(Density::from_grams_per_m3(grams));
            let layer = cover(area, Given::Depth(depth), density, US).unwrap().result;
            let by_volume = cover(area, Given::Volume(layer.volume), density, Units::Metric).unwrap().result;
            prop_assert!((by_volume.depth.micrometres() - micrometres).abs() <= 1);
            prop_assert_eq!(by_volume.weight, layer.weight);
            let by_weight = cover(area, Given::Weight(layer.weight.unwrap()), density, US).unwrap().result;
            // Half a gram of the lightest material is 10 ml, on a square metre 10 µm.
            prop_assert!((by_weight.depth.micrometres() - micrometres).abs() <= 11);
        }

        #[test]
        fn twice_the_ground_takes_twice_the_compost(mm2 in 1_000_000_i64..100_000_000_000, micrometres in 1_000_i64..500_000) {
            let given = Given::Depth(Depth::from_micrometres(micrometres));
            let once = cover(Area::from_mm2(mm2), given, None, US).unwrap().result.volume.ml();
            let twice = cover(Area::from_mm2(2 * mm2), given, None, US).unwrap().result.volume.ml();
            prop_assert!((2 * once - twice).abs() <= 1);
        }
    }
}
