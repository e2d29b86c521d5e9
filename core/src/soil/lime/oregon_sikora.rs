//! Sikora buffer, Oregon: a printed table [OSU-9585, Table 1], tons an acre of 100-score lime mixed in 6 inches deep.
//!
//! The rates are minimum rates. The table has no row for the soil's own pH, so the guard decides whether it is looked up at all.
//! Its slope changes between the buffer readings 5.8 and 5.7: between two rows on one side the amount lies on the straight
//! line, between those two there is none. Only the columns that are printed are targets.

use super::super::liming_material::Scheme;
use super::super::table::{Between, between_rows};
use super::{LimeBasis, LimeMethod, LimeNeed, answer, guard, no_such_target};
use crate::quantities::{Depth, Percent, Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The printed targets, in hundredths.
pub(super) const TARGETS: [i64; 5] = [560, 600, 640, 680, 720];

/// Rows of the buffer reading in hundredths; tenths of a ton an acre for each target.
type Rows = [(i64, [i64; 5])];

const LIGHT: &Rows = &[
    (690, [0, 0, 5, 8, 10]),
    (680, [0, 4, 8, 12, 16]),
    (670, [2, 7, 11, 16, 22]),
    (660, [4, 9, 15, 21, 27]),
    (650, [7, 12, 18, 25, 33]),
    (640, [9, 15, 21, 29, 38]),
    (630, [11, 17, 25, 33, 44]),
    (620, [13, 20, 28, 37, 49]),
    (610, [15, 23, 31, 42, 55]),
    (600, [17, 25, 35, 46, 60]),
    (590, [19, 28, 38, 50, 66]),
    (580, [22, 31, 41, 54, 71]),
];

const HEAVY: &Rows = &[
    (570, [27, 40, 55, 72, 99]),
    (560, [31, 45, 62, 83, 114]),
    (540, [38, 56, 77, 103, 143]),
    (500, [53, 78, 107, 140, 202]),
];

/// 6 inches.
const DEPTH: Depth = Depth::from_micrometres(152_400);

/// The lime need by the Sikora buffer.
///
/// ```
/// use selion_core::quantities::{Ph, Units};
/// use selion_core::soil::lime::oregon_sikora;
///
/// let need = oregon_sikora(Ph::parse("6.2")?, Ph::parse("5.6")?, Ph::parse("6.4")?, Units::UsCustomary)?;
/// assert_eq!(need.result.rate.show(Units::UsCustomary), "128.6 lb/1000 sq ft");
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn oregon_sikora(
    buffer: Ph,
    ph: Ph,
    target: Ph,
    units: Units,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    let basis = LimeBasis::Effective {
        scheme: Scheme::OregonLimeScore,
        value: Percent::HUNDRED,
    };
    if let Some(nothing) = guard(ph, target, basis, units) {
        return Ok(nothing);
    }
    let column = TARGETS
        .iter()
        .position(|goal| *goal == target.hundredths())
        .ok_or_else(|| no_such_target(target, "5.6, 6.0, 6.4, 6.8 and 7.2"))?;
    let found = look_up(LIGHT, column, buffer)
        .or_else(|| look_up(HEAVY, column, buffer))
        .ok_or_else(|| Refusal::OutsideTheRule {
            field: "Sikora buffer pH".to_owned(),
            bounds: "the printed rows from 6.9 to 5.8 and from 5.7 to 5.0".to_owned(),
            came: buffer.to_string(),
        })?;
    let rate = Rate::of(found.value, RateUnit::TonsPerAcre);
    let need = LimeNeed {
        method: LimeMethod::OregonSikora,
        rate,
        range: None,
        basis,
        depth: Some(DEPTH),
        units,
    };
    let source =
        Source::published("Oregon State University EM 9585, October 2025, Table 1 [OSU-9585].");
    let row = found.rows.map_or_else(
        || format!("Row {buffer}, target {target}"),
        |(low, high)| {
            let (low, high) = (Ph::from_hundredths(low), Ph::from_hundredths(high));
            format!("Between the rows {low} and {high}, target {target}")
        },
    );
    Ok(answer(need, ph, target, source)
        .step(Step::new("Sikora buffer pH", buffer.to_string()))
        .step(Step::new(
            row,
            rate.shown_in(RateUnit::TonsPerAcre, 2).to_string(),
        ))
        .step(Step::sum("Lime", rate.show(units)))
        .on(
            "100-score lime mixed in 6 inches deep; the publication calls its rates minimum rates.",
        ))
}

/// In thousandths of a ton an acre.
fn look_up(rows: &Rows, column: usize, buffer: Ph) -> Option<Between> {
    let rows: Vec<(i64, i64)> = rows
        .iter()
        .filter_map(|(key, goals)| Some((*key, goals.get(column)? * 100)))
        .collect();
    between_rows(&rows, buffer.hundredths())
}
