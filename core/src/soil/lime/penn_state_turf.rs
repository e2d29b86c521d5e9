//! Exchangeable acidity, Pennsylvania, lawns: a printed table [PSU-TURF, Table 1], in lb of 100 % CCE on 1000 sq ft.
//!
//! It does not agree with the field rule of the same laboratory (about a fifth lower at EA 5 to 7 for target 6.5), so a lawn
//! takes this one, everything else the other, and they are never mixed. The rows below are part of the table; between them the
//! amount lies on the straight line.

use super::super::table::between_rows;
use super::{LimeBasis, LimeMethod, LimeNeed, answer, guard, no_such_target};
use crate::quantities::{Acidity, Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Acidity in hundredths, and lb on 1000 sq ft for the goals 7.0, 6.5 and 6.0.
const TABLE: [(i64, [i64; 3]); 10] = [
    (200, [50, 50, 50]),
    (390, [90, 70, 50]),
    (520, [110, 90, 50]),
    (650, [160, 110, 70]),
    (780, [180, 140, 90]),
    (900, [210, 160, 110]),
    (1_030, [230, 180, 140]),
    (1_290, [300, 250, 180]),
    (1_610, [370, 320, 250]),
    (2_570, [600, 530, 410]),
];

/// The lime need of a lawn by exchangeable acidity.
pub fn penn_state_turf(
    acidity: Acidity,
    ph: Ph,
    target: Ph,
    units: Units,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    let basis = LimeBasis::CalciumCarbonateEquivalent;
    if let Some(nothing) = guard(ph, target, basis, units) {
        return Ok(nothing);
    }
    let column = match target.hundredths() {
        700 => |[goal, _, _]: [i64; 3]| goal,
        650 => |[_, goal, _]: [i64; 3]| goal,
        600 => |[_, _, goal]: [i64; 3]| goal,
        _ => return Err(no_such_target(target, "6.0, 6.5 and 7.0")),
    };
    // Thousandths of a pound, so that nothing is lost between the rows.
    let rows = TABLE.map(|(key, goals)| (key, column(goals) * 1_000));
    let found =
        between_rows(&rows, acidity.hundredths()).ok_or_else(|| Refusal::OutsideTheRule {
            field: "exchangeable acidity".to_owned(),
            bounds: "the printed rows from 2.0 to 25.7 meq/100 g".to_owned(),
            came: acidity.to_string(),
        })?;
    let rate = Rate::of(found.value, RateUnit::PoundsPer1000SqFt);
    let need = LimeNeed {
        method: LimeMethod::PennStateTurf,
        rate,
        range: None,
        basis,
        depth: None,
        units,
    };
    let source = Source::published("Penn State turf handbook, Table 1 [PSU-TURF].");
    let row = found.rows.map_or_else(
        || format!("Row {acidity} g, goal {target}"),
        |(low, high)| {
            let (low, high) = (
                Acidity::from_hundredths(low),
                Acidity::from_hundredths(high),
            );
            format!("Between the rows {low} and {high} g, goal {target}")
        },
    );
    let pounds = rate.shown_in(RateUnit::PoundsPer1000SqFt, 1).to_string();
    Ok(answer(need, ph, target, source)
        .step(Step::new(
            "Exchangeable acidity (EA)",
            format!("{acidity} g"),
        ))
        .step(Step::new(row, pounds))
        .step(Step::sum("Lime", rate.show(units)))
        .on("Lime of 100 % CCE on a lawn; not to be mixed with the rule for fields and gardens."))
}
