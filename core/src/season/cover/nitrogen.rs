//! The nitrogen of a cover crop, from a cut and dried sample.
//!
//! `dry matter = dry weight / area cut`, `nitrogen = dry matter × N %`, and of that this season gets a half where it is turned
//! in; left on top a half in warm and a quarter in cool climates (UCSC). Others say 0.50 and 0.40 (North Carolina, Minnesota) or
//! a third and a fifth (North Dakota): the figure is a rough one.
//!
//! ```
//! use selion_core::quantities::{Area, Percent, SmallMass, Units};
//! use selion_core::season::cover::nitrogen::{NitrogenCase, Used, nitrogen};
//! use selion_core::season::known::Span;
//!
//! let answer = nitrogen(&NitrogenCase {
//!     dry: SmallMass::parse("1.2 lb")?,
//!     cut: Area::parse("8 sq ft")?,
//!     share: Span::one(Percent::parse("4 %")?),
//!     used: Used::TurnedIn,
//!     units: Units::UsCustomary,
//! })?;
//! assert_eq!(answer.result.to_string(), "3.0 lb/1000 sq ft of nitrogen this season");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::{Area, Percent, Rate, RateUnit, SmallMass, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::season::known::Span;

/// What a plant holds at most, of its dry weight.
const MOST_NITROGEN: Percent = Percent::from_hundredths(800);

/// What becomes of the crop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Used {
    /// Turned into the soil.
    TurnedIn,
    /// Left on top where it is warm.
    OnTopWarm,
    /// Left on top where it is cool.
    OnTopCool,
}

impl Used {
    fn divisor(self) -> i64 {
        match self {
            Self::TurnedIn | Self::OnTopWarm => 2,
            Self::OnTopCool => 4,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::TurnedIn => "Turned in: a half",
            Self::OnTopWarm => "Left on top, warm climate: a half",
            Self::OnTopCool => "Left on top, cool climate: a quarter",
        }
    }
}

/// What kind of plant was cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Plant {
    /// Vetch, pea, cowpea, crimson clover.
    AnnualLegume,
    /// Red and white clover.
    PerennialLegume,
    /// Rye, oats, mustard.
    GrassOrBrassica,
}

/// The nitrogen in the dry weight of a plant, before or at flowering [UCSC, after SARE].
pub fn usual_share(plant: Plant, flowering: bool) -> Span<Percent> {
    let (least, most) = match (plant, flowering) {
        (Plant::AnnualLegume, false) => (350, 400),
        (Plant::AnnualLegume, true) => (300, 350),
        (Plant::PerennialLegume, false) => (250, 300),
        (Plant::PerennialLegume, true) => (200, 250),
        (Plant::GrassOrBrassica, false) => (200, 300),
        (Plant::GrassOrBrassica, true) => (150, 250),
    };
    Span {
        least: Percent::from_hundredths(least),
        most: Percent::from_hundredths(most),
    }
}

/// A cut sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct NitrogenCase {
    /// Its weight when dry.
    pub dry: SmallMass,
    /// The ground that it was cut from.
    pub cut: Area,
    /// The nitrogen in its dry weight.
    pub share: Span<Percent>,
    /// What becomes of the crop.
    pub used: Used,
    /// The garden's units.
    pub units: Units,
}

/// What a stand holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StandNitrogen {
    /// Its dry matter.
    pub dry_matter: Rate,
    /// All its nitrogen.
    pub nitrogen: Span<Rate>,
    /// What this season gets of it.
    pub available: Span<Rate>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for StandNitrogen {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let available = self.available.show(|rate| fine(rate, self.units));
        write!(out, "{available} of nitrogen this season")
    }
}

/// What a stand holds, by a cut and dried sample.
pub fn nitrogen(case: &NitrogenCase) -> Result<Reckoning<StandNitrogen>, Refusal> {
    let bad = |field: &str, expected: &str, came: String| Refusal::bad(field, expected, came);
    if !case.dry.is_positive() {
        return Err(bad(
            "dry weight",
            "more than nothing",
            case.dry.show(case.units),
        ));
    }
    if !case.cut.is_positive() {
        return Err(bad(
            "area cut",
            "more than nothing",
            case.cut.show(case.units),
        ));
    }
    if case.share.least < Percent::ZERO || case.share.most > MOST_NITROGEN {
        let bounds = "what plants hold, 0 to 8 %".to_owned();
        return Err(Refusal::OutsideTheRule {
            field: "nitrogen".to_owned(),
            bounds,
            came: case.share.most.to_string(),
        });
    }
    let too_much = || {
        bad(
            "dry weight",
            "a stand that can grow",
            case.dry.show(case.units),
        )
    };
    let dry_matter = case.dry.from_area(case.cut).ok_or_else(too_much)?;
    let part = |percent: Percent, divisor: i64| {
        let whole = Percent::HUNDRED.hundredths() * divisor;
        dry_matter
            .scaled(percent.hundredths(), whole)
            .ok_or_else(too_much)
    };
    let span = |divisor: i64| {
        Ok::<_, Refusal>(Span {
            least: part(case.share.least, divisor)?,
            most: part(case.share.most, divisor)?,
        })
    };
    let result = StandNitrogen {
        dry_matter,
        nitrogen: span(1)?,
        available: span(case.used.divisor())?,
        units: case.units,
    };
    let field = |rate: Rate| on_a_field(rate, case.units);
    let source =
        Source::published("UC Santa Cruz, Teaching Organic Farming & Gardening, unit 1.6 [UCSC].");
    Ok(Reckoning::new(result, source)
        .step(Step::new("Dry sample", case.dry.show(case.units)))
        .step(Step::new("Cut from", case.cut.show(case.units)))
        .step(Step::new("Dry matter", field(dry_matter)))
        .step(Step::new(
            "Nitrogen in it",
            case.share.show(|share| share.to_string()),
        ))
        .step(Step::new("All its nitrogen", result.nitrogen.show(field)))
        .step(Step::new(case.used.words(), result.available.show(field)))
        .step(Step::sum(
            "This season",
            result.available.show(|rate| fine(rate, case.units)),
        ))
        .on("Dried until it loses no more weight; several squares cut together are one sample.")
        .on("Others reckon 40 % for a crop left on top, or a third turned in and a fifth on top."))
}

/// As fields are reckoned.
fn on_a_field(rate: Rate, units: Units) -> String {
    let unit = match units {
        Units::Metric => RateUnit::KilogramsPerHectare,
        Units::UsCustomary => RateUnit::PoundsPerAcre,
    };
    rate.shown_in(unit, 0).to_string()
}

/// As beds are, with a tenth.
fn fine(rate: Rate, units: Units) -> String {
    let unit = match units {
        Units::Metric => RateUnit::GramsPerM2,
        Units::UsCustomary => RateUnit::PoundsPer1000SqFt,
    };
    rate.shown_in(unit, 1).to_string()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn case(milligrams: i64, mm2: i64) -> NitrogenCase {
        NitrogenCase {
            dry: SmallMass::from_milligrams(milligrams),
            cut: Area::from_mm2(mm2),
            share: usual_share(Plant::AnnualLegume, true),
            used: Used::OnTopCool,
            units: Units::Metric,
        }
    }

    #[test]
    fn no_sample_no_ground_and_no_such_plant_are_refused() {
        assert_eq!(
            nitrogen(&case(0, 1_000_000)).unwrap_err().code(),
            "bad_input"
        );
        assert_eq!(nitrogen(&case(1_000, 0)).unwrap_err().code(), "bad_input");
        assert_eq!(
            nitrogen(&case(i64::MAX, 1)).unwrap_err().code(),
            "bad_input"
        );
        let rich = NitrogenCase {
            share: Span::one(Percent::from_hundredths(801)),
            ..case(1_000, 1_000_000)
        };
        assert_eq!(nitrogen(&rich).unwrap_err().code(), "outside_the_rule");
    }

    #[test]
    fn a_quarter_where_it_lies_on_cool_ground() {
        // 500 g dry from a square metre, 3 to 3.5 %: 15 to 17.5 g, of which a quarter.
        let answer = nitrogen(&case(500_000, 1_000_000)).unwrap();
        assert_eq!(
            answer.result.to_string(),
            "3.8 g/m² to 4.4 g/m² of nitrogen this season"
        );
    }

    proptest! {
        #[test]
        fn twice_the_sample_from_twice_the_ground_is_the_same(grams in 1_i64..2_000, mm2 in 100_000_i64..4_000_000) {
            let one = nitrogen(&case(grams * 1_000, mm2)).unwrap().result;
            let two = nitrogen(&case(grams * 2_000, mm2 * 2)).unwrap().result;
            prop_assert_eq!(one, two);
            prop_assert!(one.available.most <= one.nitrogen.most && one.nitrogen.most <= one.dry_matter);
        }
    }
}
