//! Texture and pH where nothing better is known: an estimate, shown as a range [VCALC, a secondary source].
//!
//! A public table of pounds of ground limestone on 1000 sq ft to reach pH 6.5. Its original publication was not found; a second
//! table agrees with it, others differ by up to two fifths, and that is the range shown. Between the printed half steps the
//! amount lies on the straight line, ending in nothing at 6.5. Never below pH 4.0, never for another target, never for peat or
//! for a bed filled with compost.

use super::super::table::between_rows;
use super::super::test_report::{Ground, TestReport, Texture};
use super::{LimeBasis, LimeMethod, LimeNeed, answer, guard, no_such_target};
use crate::quantities::{Ph, Rate, RateUnit, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

pub(super) const TARGET: Ph = Ph::from_hundredths(650);

/// The current pH in hundredths, and lb on 1000 sq ft for sand, loam and clay.
const TABLE: [(i64, [i64; 3]); 6] = [
    (400, [100, 175, 230]),
    (450, [80, 150, 200]),
    (500, [65, 110, 150]),
    (550, [45, 75, 100]),
    (600, [20, 35, 50]),
    (650, [0, 0, 0]),
];

pub(super) fn by_texture(
    report: &TestReport,
    ph: Ph,
    target: Ph,
    units: Units,
) -> Result<Reckoning<LimeNeed>, Refusal> {
    let basis = LimeBasis::ProductAsSold;
    if let Some(nothing) = guard(ph, target, basis, units) {
        return Ok(nothing);
    }
    let texture = suitable_texture(report)?;
    if target != TARGET {
        return Err(no_such_target(
            target,
            "6.5 alone, without a laboratory's reading",
        ));
    }
    let column = match texture {
        Texture::Sand => |[sand, _, _]: [i64; 3]| sand,
        Texture::Loam => |[_, loam, _]: [i64; 3]| loam,
        Texture::Clay => |[_, _, clay]: [i64; 3]| clay,
    };
    let rows = TABLE.map(|(key, textures)| (key, column(textures) * 1_000));
    let found = between_rows(&rows, ph.hundredths()).ok_or_else(|| Refusal::OutsideTheRule {
        field: "pH".to_owned(),
        bounds: "a pH from 4.0 to 6.5".to_owned(),
        came: ph.to_string(),
    })?;
    let rate = Rate::of(found.value, RateUnit::PoundsPer1000SqFt);
    let part = |percent| rate.scaled(percent, 100).unwrap_or(rate);
    let range = (part(60), part(140));
    let need = LimeNeed {
        method: LimeMethod::TextureEstimate,
        rate,
        range: Some(range),
        basis,
        depth: None,
        units,
    };
    let source = Source::estimate(
        "Public data table of 2013 by texture and pH, original not found [VCALC].",
    );
    Ok(answer(need, ph, target, source)
        .step(Step::new("Texture", texture.words()))
        .step(Step::new("Table, ground limestone", rate.show(units)))
        .step(Step::new("Two fifths less", range.0.show(units)))
        .step(Step::new("Two fifths more", range.1.show(units)))
        .on("No buffer or acidity reading: begin with one small dose and have the soil tested again.")
        .on("Ground limestone as it is sold."))
}

fn suitable_texture(report: &TestReport) -> Result<Texture, Refusal> {
    let came = match report.ground {
        Ground::Mineral => {
            return report.texture.ok_or_else(|| Refusal::Missing {
                what: "A laboratory's recommendation or buffer reading, or at least the texture of the soil".to_owned(),
                why: "the pH alone says whether to lime, not how much".to_owned(),
            });
        }
        Ground::Peaty => "peaty ground",
        Ground::CompostFilled => "a bed filled with compost",
    };
    Err(Refusal::OutsideTheRule {
        field: "ground".to_owned(),
        bounds: "mineral soil without a laboratory's reading".to_owned(),
        came: came.to_owned(),
    })
}
