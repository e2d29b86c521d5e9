//! Mulch in bales: small square ones and round ones.
//!
//! round bale = π × (D/2)² × W; bales = area × depth / (bale × f), f being how much looser it lies than in the bale: 2 to 3 for
//! shaken flakes, 1.0 to 1.3 for whole flakes or unrolled layers (common practice; three 5 × 5 ft rounds on 700 sq ft at 6 inches, as
//! one grower reports (S86), are 1.19). Without a loosening the number is a range.

use std::fmt;

use serde::Serialize;

use super::super::compost::check_area;
use super::super::exact::{count_to_reach, nearest};
use super::super::loads::level_box;
use crate::quantities::{Area, Depth, Length, Mass, Percent, Units, Volume};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// One bale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Bale {
    /// A square one by its sides.
    Square(Length, Length, Length),
    /// A round one by its diameter and width.
    Round(Length, Length),
}

/// How loosely a bale is spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Loosening {
    /// Flakes shaken out: 2 to 3 times the bale.
    Shaken,
    /// Whole flakes or unrolled layers: 1.0 to 1.3 times.
    Layers,
    /// As measured here, the bale being a hundred percent.
    Measured(Percent),
}

impl Loosening {
    fn range(self) -> (Percent, Percent) {
        match self {
            Self::Shaken => (
                Percent::from_hundredths(20_000),
                Percent::from_hundredths(30_000),
            ),
            Self::Layers => (
                Percent::from_hundredths(10_000),
                Percent::from_hundredths(13_000),
            ),
            Self::Measured(own) => (own, own),
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Shaken => "shaken out",
            Self::Layers => "in layers",
            Self::Measured(_) => "as measured",
        }
    }
}

impl Bale {
    /// What it holds, to the millilitre.
    pub fn volume(self) -> Result<Volume, Refusal> {
        match self {
            Self::Square(length, width, height) => level_box(length, width, height),
            Self::Round(diameter, width) => {
                // The square box around it, and of that π/4.
                let around = level_box(diameter, diameter, width)?;
                let part = nearest(i128::from(around.ml()) * PI, 4 * PI_SCALE).unwrap_or_default();
                Ok(Volume::from_ml(part))
            }
        }
    }
}

/// π in parts of 10¹⁰: more digits than a bale has.
const PI: i128 = 31_415_926_536;
const PI_SCALE: i128 = 10_000_000_000;

/// Bales for a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Bales {
    /// The least, spread most loosely.
    pub least: i64,
    /// The most, spread least loosely.
    pub most: i64,
    /// What one holds.
    pub bale: Volume,
    /// What is needed, as it lies.
    pub needed: Volume,
}

impl fmt::Display for Bales {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.least, self.most) {
            (1, 1) => out.write_str("1 bale"),
            (least, most) if least == most => write!(out, "{least} bales"),
            (least, most) => write!(out, "{least} to {most} bales"),
        }
    }
}

/// How many bales cover a bed.
///
/// ```
/// use selion_core::quantities::{Area, Depth, Length, Units};
/// use selion_core::soil::mulch::{self, Bale, Loosening};
///
/// let inches = |count: i64| Length::from_mm(count * 254 / 10);
/// let small = Bale::Square(inches(14), inches(18), inches(36));
/// let answer = mulch::bales(small, Loosening::Shaken, Depth::parse("4 in")?, Area::parse("1000 sq ft")?, Units::UsCustomary)?;
/// assert!(answer.to_string().starts_with("22 to 32 bales\n"));
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn bales(
    bale: Bale,
    loosening: Loosening,
    depth: Depth,
    area: Area,
    units: Units,
) -> Result<Reckoning<Bales>, Refusal> {
    check_area(area, units)?;
    if !depth.is_positive() || depth > super::THICKEST {
        let expected = format!(
            "more than nothing and at most {}",
            super::THICKEST.show(units)
        );
        return Err(Refusal::bad("depth", expected, depth.show(units)));
    }
    let volume = bale.volume()?;
    let needed = depth.over(area);
    let (tight, loose) = loosening.range();
    let count = |loosening: Percent| {
        let spread = i128::from(volume.ml()) * i128::from(loosening.hundredths());
        let whole = i128::from(needed.ml()) * i128::from(Percent::HUNDRED.hundredths());
        count_to_reach(whole, spread)
            .filter(|_| LOOSENINGS.contains(&loosening.hundredths()))
            .ok_or_else(|| {
                Refusal::bad(
                    "loosening",
                    "100 % (as in the bale) to 1000 %",
                    loosening.to_string(),
                )
            })
    };
    let result = Bales {
        least: count(loose)?,
        most: count(tight)?,
        bale: volume,
        needed,
    };
    let (needed, volume) = (needed.show_bulk(units), volume.show_bulk(units));
    let source = match loosening {
        Loosening::Measured(_) => {
            Source::arithmetic("Volume as it lies over the volume of a loosened bale.")
        }
        Loosening::Shaken | Loosening::Layers => Source::common_practice(
            "Bales loosened when spread: shaken out 2 to 3 times, in layers 1.0 to 1.3 times",
        ),
    };
    Ok(Reckoning::new(result, source)
        .step(Step::new(
            format!("{} on {}", depth.show(units), area.show(units)),
            needed,
        ))
        .step(Step::new("A bale", volume))
        .step(Step::new(
            "Looser than in the bale",
            format!("{tight} to {loose}, {}", loosening.words()),
        ))
        .step(Step::sum("Bales", result.to_string()))
        .rounded("Bales up to the whole number.")
        .caution(Caution::Lifting))
}

/// Between as in the bale and ten times as loose, in hundredths of a percent.
const LOOSENINGS: std::ops::RangeInclusive<i64> = 10_000..=100_000;

/// A round bale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct RoundBale {
    /// What it holds.
    pub volume: Volume,
    /// Its dry matter, loose.
    pub dry_loose: Mass,
    /// Its dry matter, packed hard.
    pub dry_hard: Mass,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for RoundBale {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (loose, hard) = (
            self.dry_loose.show(self.units),
            self.dry_hard.show(self.units),
        );
        write!(
            out,
            "{} with {loose} to {hard} of dry matter",
            self.volume.show_bulk(self.units)
        )
    }
}

/// Volume and dry matter of a round bale: 9 lb of dry matter in a cubic foot where loose, 12 where hard (S83, S84).
pub fn round_bale(
    diameter: Length,
    width: Length,
    units: Units,
) -> Result<Reckoning<RoundBale>, Refusal> {
    let volume = Bale::Round(diameter, width).volume()?;
    let weigh = |pounds: i64| {
        // 27 cubic feet are a cubic yard.
        crate::quantities::Density::from_pounds_per_cubic_yard(27 * pounds).weigh(volume)
    };
    let result = RoundBale {
        volume,
        dry_loose: weigh(9),
        dry_hard: weigh(12),
        units,
    };
    let source = Source::published(
        "Kallenbach and Hancock [compost S83]; C. Sims, Texas A&M AgriLife [compost S84].",
    );
    Ok(Reckoning::new(result, source)
        .step(Step::new(
            "Diameter and width",
            format!("{} × {}", diameter.show(units), width.show(units)),
        ))
        .step(Step::sum("π × (D/2)² × W", volume.show_bulk(units)))
        .step(Step::new(
            "Dry matter, loose: 9 lb/cu ft",
            result.dry_loose.show(units),
        ))
        .step(Step::new(
            "Dry matter, hard: 12 lb/cu ft",
            result.dry_hard.show(units),
        ))
        .caution(Caution::Lifting))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const SMALL: Bale = Bale::Square(
        Length::from_mm(356),
        Length::from_mm(457),
        Length::from_mm(914),
    );

    #[test]
    fn what_is_no_bale_is_refused_by_name() {
        let (area, depth) = (
            Area::parse("10 m2").unwrap(),
            Depth::parse("10 cm").unwrap(),
        );
        let flat = Bale::Round(Length::ZERO, Length::from_mm(1_200));
        assert!(bales(flat, Loosening::Layers, depth, area, Units::Metric).is_err());
        for own in [0, -1, 9_999, 100_001] {
            let own = Loosening::Measured(Percent::from_hundredths(own));
            let refusal = bales(SMALL, own, depth, area, Units::Metric)
                .unwrap_err()
                .to_string();
            assert!(refusal.starts_with("loosening"), "{refusal}");
        }
        assert!(bales(SMALL, Loosening::Shaken, Depth::ZERO, area, Units::Metric).is_err());
        assert!(round_bale(Length::from_mm(-5), Length::from_mm(5), Units::Metric).is_err());
    }

    proptest! {
        #[test]
        fn thicker_never_takes_fewer_bales(micrometres in 1_000_i64..200_000, more in 0_i64..200_000, mm2 in 1_000_000_i64..1_000_000_000) {
            let count = |micrometres| {
                let depth = Depth::from_micrometres(micrometres);
                bales(SMALL, Loosening::Shaken, depth, Area::from_mm2(mm2), Units::Metric).unwrap().result
            };
            let (thin, thick) = (count(micrometres), count(micrometres + more));
            prop_assert!(thin.least <= thick.least && thin.most <= thick.most && thin.least <= thin.most);
        }
    }
}
