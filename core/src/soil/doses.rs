//! A rate in doses: how much at once, when, and what has to keep its distance.
//!
//! The caps are the cautious pair of what is published: 50 lb on 1000 sq ft on the surface or around plants (VT-719), 100 lb dug
//! in (PSU-HG); 55 lb on sandy beds even when dug in (IUNG). Dug in, the doses are equal (halves, thirds); on the surface full
//! doses and a last smaller one. Six months lie between two doses.
//!
//! Lime and manure or nitrogen fertiliser keep apart, since lime drives ammonia out: manure first and lime ten days later, or
//! lime first and manure three months later (IFM). A dose that falls too close is moved behind the manure, and said. A soil test
//! within three months of lime shows neither the old soil nor the new one (RHS-LIME).
//!
//! ```
//! use selion_core::quantities::{Area, Day, Rate, Units};
//! use selion_core::soil::doses::{DoseCase, Placement, plan};
//!
//! let answer = plan(&DoseCase {
//!     rate: Rate::parse("24 lb/100 sq ft")?,
//!     area: Area::parse("400 sq ft")?,
//!     placement: Placement::DugIn,
//!     is_sandy: false,
//!     first_on: Day::parse("2026-10-01")?,
//!     manure_on: vec![],
//!     crop_on: None,
//!     test_on: None,
//!     units: Units::UsCustomary,
//! })?;
//! let doses: Vec<String> = answer.result.doses.iter().map(|dose| format!("{} {}", dose.on, dose.mass.show(Units::UsCustomary))).collect();
//! assert_eq!(doses, ["2026-10-01 32.0 lb", "2027-04-01 32.0 lb", "2027-10-01 32.0 lb"]);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::{Area, Day, Mass, Rate, RateUnit, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};
use crate::shares::apportion::apportion;

/// Months from one dose to the next.
pub const MONTHS_BETWEEN: i32 = 6;
/// Days from manure to lime.
const DAYS_AFTER_MANURE: i64 = 10;
/// Months from lime to manure.
const MONTHS_BEFORE_MANURE: i32 = 3;
/// Months from lime to a soil test.
pub(super) const MONTHS_BEFORE_TEST: i32 = 3;
/// Months from lime to the crop that it is meant for.
const MONTHS_BEFORE_CROP: i32 = 3;
/// Tons an acre, in thousandths, where a soil is at risk of too much lime in all (OSU-760).
const OVERLIMING: i64 = 15_000;

/// Where the lime goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Placement {
    /// Mixed into the bed before planting.
    DugIn,
    /// On the surface, or around plants that stand there.
    OnTheSurface,
}

/// A rate that is to be spread.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DoseCase {
    /// How much of the product on how much ground, in all.
    pub rate: Rate,
    /// The bed.
    pub area: Area,
    /// Where it goes.
    pub placement: Placement,
    /// Whether the bed is sand or loamy sand.
    pub is_sandy: bool,
    /// When the first dose may go on.
    pub first_on: Day,
    /// When manure, urea or another nitrogen fertiliser goes on.
    pub manure_on: Vec<Day>,
    /// When the crop that it is meant for is sown or planted.
    pub crop_on: Option<Day>,
    /// When the next soil test is planned.
    pub test_on: Option<Day>,
    /// The garden's units.
    pub units: Units,
}

/// A rate in doses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DosePlan {
    /// The doses in order; their rates sum to the rate, their weights to the weight.
    pub doses: Vec<Dose>,
    /// The most that goes on at once.
    pub cap: Rate,
    /// From when a soil test means something again.
    pub test_from: Option<Day>,
    /// What does not fit the days that were given.
    pub warnings: Vec<String>,
    /// The garden's units.
    pub units: Units,
}

/// One dose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Dose {
    /// The first day that it may go on.
    pub on: Day,
    /// How much on how much ground.
    pub rate: Rate,
    /// How much on the bed.
    pub mass: Mass,
}

/// The most lime that goes on at once.
pub fn cap(placement: Placement, is_sandy: bool) -> Rate {
    let pounds = |whole: i64| Rate::of(whole * 1_000, RateUnit::PoundsPer1000SqFt);
    match (placement, is_sandy) {
        (Placement::OnTheSurface, _) => pounds(50),
        (Placement::DugIn, true) => pounds(55),
        (Placement::DugIn, false) => pounds(100),
    }
}

/// Spreads a rate over doses and days.
pub fn plan(case: &DoseCase) -> Result<Reckoning<DosePlan>, Refusal> {
    check(case)?;
    let cap = cap(case.placement, case.is_sandy);
    let rates = match case.placement {
        Placement::DugIn => equal_parts(case.rate, cap)?,
        Placement::OnTheSurface => full_parts(case.rate, cap),
    };
    let weights: Vec<i64> = rates.iter().map(|rate| rate.micrograms_per_m2()).collect();
    let masses = if rates.is_empty() {
        Vec::new()
    } else {
        apportion(case.rate.over(case.area).grams(), &weights)?
    };
    let mut moved = Vec::new();
    let mut doses: Vec<Dose> = Vec::new();
    for (rate, grams) in rates.into_iter().zip(masses) {
        let earliest = doses.last().map_or(case.first_on, |before| {
            before.on.plus_months(MONTHS_BETWEEN)
        });
        let on = clear_of_manure(earliest, &case.manure_on);
        if on != earliest {
            moved.push(format!(
                "The dose of {earliest} is moved to {on}: lime and manure would lie too close, and ammonia would be lost."
            ));
        }
        doses.push(Dose {
            on,
            rate,
            mass: Mass::from_grams(grams),
        });
    }
    let test_from = doses
        .last()
        .map(|dose| dose.on.plus_months(MONTHS_BEFORE_TEST));
    let mut warnings = moved;
    warnings.extend(bad_days(case, &doses));
    let plan = DosePlan {
        doses,
        cap,
        test_from,
        warnings,
        units: case.units,
    };
    Ok(with_working(plan, case))
}

/// Equal doses, as few as the cap allows; they sum to the rate.
pub(super) fn equal_parts(rate: Rate, cap: Rate) -> Result<Vec<Rate>, Refusal> {
    let count = count_of_doses(rate, cap);
    if count == 0 {
        return Ok(Vec::new());
    }
    let parts = apportion(rate.micrograms_per_m2(), &vec![1; count])?;
    Ok(parts
        .into_iter()
        .map(Rate::from_micrograms_per_m2)
        .collect())
}

/// Doses as large as the cap allows, and what is left last; they sum to the rate.
fn full_parts(rate: Rate, cap: Rate) -> Vec<Rate> {
    let mut left = rate;
    let mut parts = Vec::new();
    while left.is_positive() {
        let part = left.min(cap);
        parts.push(part);
        left = left.less(part);
    }
    parts
}

/// How many doses a rate needs. A pound on a thousand square feet is rounded to the microgram, and so are its sums: what is
/// above the cap only by that counts as the cap.
fn count_of_doses(rate: Rate, cap: Rate) -> usize {
    let (rate, cap) = (rate.micrograms_per_m2(), cap.micrograms_per_m2().max(1));
    let count =
        (rate - ROUNDING).max(0) / cap + i64::from(rate > 0 && (rate - ROUNDING).max(0) % cap > 0);
    usize::try_from(count.max(i64::from(rate > 0))).unwrap_or(0)
}

/// A hundred micrograms a square metre.
const ROUNDING: i64 = 100;

/// The first day from this one on that lies far enough from all manure.
fn clear_of_manure(from: Day, manure_on: &[Day]) -> Day {
    let mut on = from;
    // Each move goes behind one more day of manure.
    for _ in 0..=manure_on.len() {
        let too_close = manure_on.iter().filter(|manure| {
            let just_before = **manure <= on && on < manure.plus_days(DAYS_AFTER_MANURE);
            let soon_after = on < **manure && **manure < on.plus_months(MONTHS_BEFORE_MANURE);
            just_before || soon_after
        });
        match too_close.max() {
            Some(manure) => on = manure.plus_days(DAYS_AFTER_MANURE),
            None => return on,
        }
    }
    on
}

/// What does not fit the days that were given.
fn bad_days(case: &DoseCase, doses: &[Dose]) -> Vec<String> {
    let mut warnings = Vec::new();
    if let (Some(crop), Some(first)) = (case.crop_on, doses.first()) {
        let ready = first.on.plus_months(MONTHS_BEFORE_CROP);
        if crop < ready {
            warnings.push(format!(
                "The crop of {crop} comes before the lime has worked: it begins to work in 3 to 6 months, so from {ready}."
            ));
        }
    }
    if let Some(test) = case.test_on {
        let spoils =
            |dose: &&Dose| dose.on <= test && test < dose.on.plus_months(MONTHS_BEFORE_TEST);
        if let Some(dose) = doses.iter().rev().find(spoils) {
            warnings.push(format!(
                "The soil test of {test} lies within three months of the dose of {}: test before it, or from {}.",
                dose.on,
                dose.on.plus_months(MONTHS_BEFORE_TEST)
            ));
        }
    }
    warnings
}

fn with_working(plan: DosePlan, case: &DoseCase) -> Reckoning<DosePlan> {
    let units = case.units;
    let source = Source::published(
        "Virginia Tech soil test note 19; Penn State home garden notes; IUNG Poland; Irish Farmers Monthly 2018; RHS \
         [VT-719, PSU-HG, IUNG, IFM, RHS-LIME].",
    );
    let placed = match (case.placement, case.is_sandy) {
        (Placement::OnTheSurface, _) => "Most at once, on the surface or around plants",
        (Placement::DugIn, true) => "Most at once, dug into sand",
        (Placement::DugIn, false) => "Most at once, dug in",
    };
    let steps = [
        Step::new("Rate in all", case.rate.show(units)),
        Step::new(placed, plan.cap.show(units)),
        Step::new("Doses", plan.doses.len().to_string()),
    ];
    let each = plan.doses.iter().enumerate().map(|(index, dose)| {
        let label = format!(
            "Dose {} from {}, {}",
            index + 1,
            dose.on,
            dose.rate.show(units)
        );
        Step::new(label, dose.mass.show_apart(units).to_string())
    });
    let each: Vec<Step> = each.collect();
    let total = case.rate.over(case.area).show_apart(units).to_string();
    let mut answer = Reckoning::new(plan, source);
    answer.steps.extend(steps);
    answer.steps.extend(each);
    answer
        .step(Step::sum(format!("On {}", case.area.show(units)), total))
        .on("Six months between doses; around plants sources allow one to six, the longer is taken. Rake into the top inch and wash leaves.")
        .on("Lime on moist soil; dry soil stops it. Autumn and winter are best.")
        .rounded("Doses add up to the rate, and grams to the whole, exactly.")
        .caution(Caution::LimeDust)
}

fn check(case: &DoseCase) -> Result<(), Refusal> {
    let most = Rate::of(OVERLIMING, RateUnit::TonsPerAcre);
    if case.rate < Rate::ZERO {
        let came = case.rate.show(case.units);
        return Err(Refusal::bad("rate", "nothing or more", came));
    }
    if case.rate > most {
        return Err(Refusal::OutsideTheRule {
            field: "rate".to_owned(),
            bounds: format!(
                "at most {}, above which soil is overlimed",
                most.show(case.units)
            ),
            came: case.rate.show(case.units),
        });
    }
    if !case.area.is_positive() {
        return Err(Refusal::bad(
            "area",
            "more than nothing",
            case.area.show(case.units),
        ));
    }
    Ok(())
}

impl fmt::Display for DosePlan {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.doses.is_empty() {
            return out.write_str("Nothing to spread");
        }
        let doses: Vec<String> = self
            .doses
            .iter()
            .map(|dose| format!("{} from {}", dose.mass.show(self.units), dose.on))
            .collect();
        writeln!(out, "{}", doses.join(", then "))?;
        if let Some(test_from) = self.test_from {
            writeln!(out, "Next soil test from {test_from}.")?;
        }
        for warning in &self.warnings {
            writeln!(out, "Mind: {warning}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn case(rate: &str, placement: Placement) -> DoseCase {
        DoseCase {
            rate: Rate::parse(rate).unwrap(),
            area: Area::parse("100 sq ft").unwrap(),
            placement,
            is_sandy: false,
            first_on: day("2026-10-01"),
            manure_on: Vec::new(),
            crop_on: None,
            test_on: None,
            units: Units::UsCustomary,
        }
    }

    fn masses(case: &DoseCase) -> Vec<String> {
        let doses = plan(case).unwrap().result.doses;
        doses
            .iter()
            .map(|dose| dose.mass.show(Units::UsCustomary))
            .collect()
    }

    #[test]
    fn the_cap_itself_is_one_dose() {
        assert_eq!(
            masses(&case("10 lb/100 sq ft", Placement::DugIn)),
            ["10.0 lb"]
        );
        assert_eq!(masses(&case("20 lb/100 sq ft", Placement::DugIn)).len(), 2);
        assert_eq!(
            masses(&case("5 lb/100 sq ft", Placement::OnTheSurface)),
            ["5.0 lb"]
        );
        assert_eq!(masses(&case("0 lb/100 sq ft", Placement::DugIn)), [""; 0]);
        let sandy = DoseCase {
            is_sandy: true,
            ..case("10 lb/100 sq ft", Placement::DugIn)
        };
        assert_eq!(masses(&sandy), ["5.0 lb", "5.0 lb"]);
    }

    #[test]
    fn a_dose_too_close_to_manure_is_moved_behind_it_and_said() {
        let manured = |days: &[&str]| {
            let mut case = case("5 lb/100 sq ft", Placement::DugIn);
            case.manure_on = days.iter().map(|text| day(text)).collect();
            let plan = plan(&case).unwrap().result;
            (plan.doses[0].on.to_string(), plan.warnings.len())
        };
        assert_eq!(manured(&["2026-09-25"]), ("2026-10-05".to_owned(), 1));
        assert_eq!(manured(&["2026-09-21"]), ("2026-10-01".to_owned(), 0));
        assert_eq!(manured(&["2026-12-31"]), ("2027-01-10".to_owned(), 1));
        assert_eq!(manured(&["2027-01-01"]), ("2026-10-01".to_owned(), 0));
        assert_eq!(
            manured(&["2026-12-31", "2026-09-25", "2027-04-01"]),
            ("2027-04-11".to_owned(), 1)
        );
    }

    #[test]
    fn a_test_or_a_crop_too_soon_is_said() {
        let mut case = case("24 lb/100 sq ft", Placement::DugIn);
        case.test_on = Some(day("2027-06-30"));
        case.crop_on = Some(day("2026-12-31"));
        let answer = plan(&case).unwrap();
        assert_eq!(answer.result.warnings.len(), 2);
        assert!(answer.to_string().contains(
            "Mind: The soil test of 2027-06-30 lies within three months of the dose of 2027-04-01"
        ));
        case.test_on = Some(day("2027-07-01"));
        case.crop_on = Some(day("2027-01-01"));
        assert!(plan(&case).unwrap().result.warnings.is_empty());
        assert_eq!(answer.result.test_from, Some(day("2028-01-01")));
    }

    #[test]
    fn too_much_and_no_bed_are_refused() {
        let refusal = plan(&case("16 tons/acre", Placement::DugIn)).unwrap_err();
        assert!(
            refusal
                .to_string()
                .starts_with("rate: the rule holds for at most 688.7 lb/1000 sq ft"),
            "{refusal}"
        );
        let nowhere = DoseCase {
            area: Area::ZERO,
            ..case("1 lb/100 sq ft", Placement::DugIn)
        };
        assert_eq!(plan(&nowhere).unwrap_err().code(), "bad_input");
    }

    proptest! {
        #[test]
        fn doses_sum_to_the_rate_and_none_is_above_the_cap(
            thousandths in 0_i64..650_000, mm2 in 1_i64..1_000_000_000, dug in any::<bool>(), is_sandy in any::<bool>(),
        ) {
            let placement = if dug { Placement::DugIn } else { Placement::OnTheSurface };
            let rate = Rate::of(thousandths, RateUnit::PoundsPer1000SqFt);
            let area = Area::from_mm2(mm2);
            let plan = plan(&DoseCase { rate, area, is_sandy, ..case("0 g/m2", placement) }).unwrap().result;
            let sum: i64 = plan.doses.iter().map(|dose| dose.rate.micrograms_per_m2()).sum();
            prop_assert_eq!(sum, rate.micrograms_per_m2());
            let grams: Mass = plan.doses.iter().map(|dose| dose.mass).sum();
            prop_assert_eq!(grams, rate.over(area));
            let most = plan.cap.micrograms_per_m2() + ROUNDING;
            prop_assert!(plan.doses.iter().all(|dose| dose.rate.micrograms_per_m2() <= most));
            let apart = plan.doses.windows(2).all(|pair| pair[0].on.plus_months(6) <= pair[1].on);
            prop_assert!(apart);
        }

        #[test]
        fn no_dose_lies_too_close_to_manure(days in prop::collection::vec(0_i64..900, 0..6)) {
            let manure_on: Vec<Day> = days.iter().map(|days| day("2026-09-01").plus_days(*days)).collect();
            let plan = plan(&DoseCase { manure_on: manure_on.clone(), ..case("24 lb/100 sq ft", Placement::DugIn) }).unwrap().result;
            for (dose, manure) in plan.doses.iter().flat_map(|dose| manure_on.iter().map(move |manure| (dose.on, *manure))) {
                prop_assert!(manure.plus_days(10) <= dose || dose.plus_months(3) <= manure, "{dose} {manure}");
            }
        }
    }
}
