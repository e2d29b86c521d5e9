//! One heap shared out by bed area, to the last millilitre.

use std::fmt;

use serde::Serialize;

use super::check_area;
use crate::quantities::{Area, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::shares::apportion::{HAMILTON_IN_WORDS, apportion};

/// What one bed gets of a heap.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct VolumeShare {
    /// What the bed is called.
    pub label: String,
    /// Its area.
    pub area: Area,
    /// Its part of the heap.
    pub volume: Volume,
}

/// A heap shared by bed area.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct VolumeShares {
    /// The whole heap.
    pub total: Volume,
    /// Bed by bed, in the order in which they came.
    pub shares: Vec<VolumeShare>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for VolumeShares {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for share in &self.shares {
            writeln!(
                out,
                "{}: {}",
                share.label,
                share.volume.show_bulk(self.units)
            )?;
        }
        Ok(())
    }
}

/// Shares a heap over beds by their area: heap × area of the bed / area of all.
///
/// ```
/// use selion_core::quantities::{Area, Units, Volume};
/// use selion_core::soil::compost::share;
///
/// let beds = [("A".to_owned(), Area::parse("80 sq ft")?), ("B".to_owned(), Area::parse("120 sq ft")?)];
/// let shares = share(Volume::parse("2 cu yd")?, &beds, Units::UsCustomary)?;
/// assert!(shares.to_string().starts_with("A: 0.80 cu yd\nB: 1.20 cu yd\n"));
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn share(
    total: Volume,
    beds: &[(String, Area)],
    units: Units,
) -> Result<Reckoning<VolumeShares>, Refusal> {
    let mut areas = Vec::with_capacity(beds.len());
    for (label, area) in beds {
        check_area(*area, units).map_err(|refusal| named(refusal, label))?;
        areas.push(area.mm2());
    }
    let parts = apportion(total.ml(), &areas)?;
    let shares: Vec<VolumeShare> = beds
        .iter()
        .zip(parts)
        .map(|((label, area), ml)| VolumeShare {
            label: label.clone(),
            area: *area,
            volume: Volume::from_ml(ml),
        })
        .collect();
    let source = Source::arithmetic("Shared by bed area.");
    let mut steps: Vec<Step> = shares
        .iter()
        .map(|share| {
            let label = format!("{}, {}", share.label, share.area.show(units));
            Step::new(label, share.volume.show_bulk(units))
        })
        .collect();
    steps.push(Step::sum("Together", total.show_bulk(units)));
    let result = VolumeShares {
        total,
        shares,
        units,
    };
    let mut answer = Reckoning::new(result, source).rounded(format!(
        "Whole millilitres by {HAMILTON_IN_WORDS}; they sum to the heap exactly."
    ));
    answer.steps = steps;
    Ok(answer)
}

/// A refused area with the bed that it belongs to.
fn named(refusal: Refusal, label: &str) -> Refusal {
    match refusal {
        Refusal::BadInput(refused) => {
            let field = format!("{} of bed {label}", refused.field);
            Refusal::BadInput(refused.named(field))
        }
        Refusal::Missing { .. } | Refusal::OutsideTheRule { .. } | Refusal::CannotBeMet { .. } => {
            refusal
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_heap_for_nobody_is_refused() {
        let cubic_metre = Volume::from_ml(1_000_000);
        assert!(share(cubic_metre, &[], Units::Metric).is_err());
        assert!(
            share(
                Volume::from_ml(-1),
                &[("A".into(), Area::from_mm2(1))],
                Units::Metric
            )
            .is_err()
        );
        let refusal = share(cubic_metre, &[("B7".into(), Area::ZERO)], Units::Metric).unwrap_err();
        assert!(
            refusal.to_string().starts_with("area of bed B7"),
            "{refusal}"
        );
    }

    proptest! {
        #[test]
        fn the_shares_sum_to_the_heap(ml in 0_i64..100_000_000, areas in prop::collection::vec(1_i64..1_000_000_000_000, 1..20)) {
            let beds: Vec<(String, Area)> = areas.iter().map(|mm2| ("bed".to_owned(), Area::from_mm2(*mm2))).collect();
            let shares = share(Volume::from_ml(ml), &beds, Units::Metric).unwrap().result;
            prop_assert_eq!(shares.shares.iter().map(|share| share.volume.ml()).sum::<i64>(), ml);
        }
    }
}
