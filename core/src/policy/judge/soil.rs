//! Edits about soil: report sheets, what grows in a bed, what was spread on it.

use super::season::season;
use super::{Case, Verdict, already_there, ended, not_there, write};
use crate::document::Edit;
use crate::document::ids::{AmendmentId, BedId, SoilTestId};
use crate::document::records::{Amendment, BedCrops, SoilSheet, SoilTest};
use crate::document::stored::Write;
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::{BadInput, Day};
use crate::soil::targets;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::AddSoilTest { test, sheet } => add_test(case, *test, sheet),
        Edit::StrikeSoilTest { test, on } => {
            let mut record = SoilTest::clone(
                case.garden
                    .soil_tests
                    .get(test)
                    .ok_or_else(|| not_there("soil test"))?,
            );
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::SoilTest(*test, record))
        }
        Edit::SetBedCrops {
            bed,
            now,
            next_year,
        } => set_crops(case, *bed, now, next_year),
        Edit::LogAmendment { amendment, .. } => log_amendment(case, *amendment),
        Edit::DigIn { amendment, on } => dig_in(case, *amendment, *on),
        Edit::StrikeAmendment { amendment, on } => {
            let mut record = spread(case, *amendment)?;
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::Amendment(*amendment, record))
        }
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change is not about soil.",
        )),
    }
}

fn add_test(case: &Case<'_>, test: SoilTestId, sheet: &SoilSheet) -> Verdict {
    if case.garden.soil_tests.contains_key(&test) {
        return Err(already_there("soil test"));
    }
    // The sample was taken, even if a bed was given up since.
    if !sheet
        .beds
        .keys()
        .all(|bed| case.garden.beds.contains_key(bed))
    {
        return Err(not_there("bed"));
    }
    let record = SoilTest {
        sheet: sheet.clone(),
        member: case.author,
        ended_on: None,
    };
    write(Write::SoilTest(test, record))
}

fn set_crops(
    case: &Case<'_>,
    bed: BedId,
    now: &Map<String, bool>,
    next_year: &Map<String, bool>,
) -> Verdict {
    case.check_bed(bed)?;
    for crop in now.keys().chain(next_year.keys()) {
        targets::find(crop)
            .map_err(|refusal| Refused::new(RefusalCode::BadInput, refusal.to_string()))?;
    }
    let mut record = season(case)?
        .bed_crops
        .get(&bed)
        .map_or_else(BedCrops::default, |crops| BedCrops::clone(crops));
    put_in_place(&mut record.now, now);
    put_in_place(&mut record.next_year, next_year);
    write(Write::BedCrops(bed, record))
}

/// Only the new crops are true afterwards; those that were there stay as false, since nothing is deleted.
fn put_in_place(stands: &mut Map<String, bool>, wanted: &Map<String, bool>) {
    for (crop, grows) in stands.iter_mut() {
        *grows = wanted.get(crop).copied().unwrap_or(false);
    }
    for (crop, grows) in wanted.iter().filter(|(_, grows)| **grows) {
        stands.insert(crop.clone(), *grows);
    }
}

fn log_amendment(case: &Case<'_>, id: AmendmentId) -> Verdict {
    let Edit::LogAmendment {
        bed,
        day,
        what,
        amount,
        dug_in_on,
        word,
        ..
    } = &case.envelope.edit
    else {
        return Err(not_there("amendment"));
    };
    if season(case)?.amendments.contains_key(&id) {
        return Err(already_there("amendment"));
    }
    // What was spread was spread, even if the bed was given up since.
    if !case.garden.beds.contains_key(bed) {
        return Err(not_there("bed"));
    }
    let record = Amendment {
        bed: *bed,
        day: *day,
        what: *what,
        amount: *amount,
        dug_in_on: *dug_in_on,
        member: case.author,
        word: word.clone(),
        ended_on: None,
    };
    write(Write::Amendment(id, record))
}

/// The first day counts: what was said to be dug in is not said to be dug in later by somebody else.
fn dig_in(case: &Case<'_>, id: AmendmentId, on: Day) -> Verdict {
    let mut record = spread(case, id)?;
    if record.ended_on.is_some() {
        return Err(ended("What was spread there", "was struck out"));
    }
    if on < record.day {
        return Err(BadInput::new(
            "day dug in",
            format!("{}, when it was spread, or later", record.day),
            on.to_string(),
        )
        .into());
    }
    record.dug_in_on = record.dug_in_on.or(Some(on));
    write(Write::Amendment(id, record))
}

fn spread(case: &Case<'_>, id: AmendmentId) -> Result<Amendment, Refused> {
    season(case)?
        .amendments
        .get(&id)
        .map(|amendment| Amendment::clone(amendment))
        .ok_or_else(|| not_there("amendment"))
}
