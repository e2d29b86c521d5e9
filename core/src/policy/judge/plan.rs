//! Edits of the plan: plantings. The tasks that came from them follow in `plan_tasks`.

use super::plan_tasks::{Followers, Off};
use super::season::season;
use super::{Case, Judged, Verdict, already_there, ended, not_there};
use crate::document::Edit;
use crate::document::edit::{NewPlanting, NewPlantings, PlantingField};
use crate::document::ids::{BedId, PlantingId, SeriesId};
use crate::document::records::{Planting, PlantingState, StartsAs};
use crate::document::stored::Write;
use crate::geometry::{Outline, Point, snap};
use crate::policy::{RefusalCode, Refused};
use crate::quantities::{BadInput, Day, Length};

/// What whole millimetres may put a corner of a part beside the edge of its bed.
const ROUNDING: Length = Length::from_mm(2);

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::Plant { plantings, series } => plant(case, plantings, *series),
        Edit::ChangePlanting { planting, set } => change(case, *planting, set),
        Edit::MoveSeries { series, days } => move_series(case, *series, *days),
        Edit::MarkPlanting {
            planting,
            state,
            on,
        } => mark(case, *planting, *state, *on),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong into the plan.",
        )),
    }
}

/// Whether every bed that the edit plans on is held by its author, those that a planting is moved to included.
pub(super) fn is_own(case: &Case<'_>) -> bool {
    let Ok(season) = season(case) else {
        return false;
    };
    let bed_of = |planting: &PlantingId| season.plantings.get(planting).map(|record| record.bed);
    if let Edit::Plant { plantings, .. } = &case.envelope.edit {
        return plantings.values().all(|new| case.holds(new.bed));
    }
    if let Edit::ChangePlanting { planting, set } = &case.envelope.edit {
        let moved = set.iter().all(|field| match field {
            PlantingField::Bed(bed) => case.holds(*bed),
            PlantingField::Crop(_)
            | PlantingField::Part(_)
            | PlantingField::Rows(_)
            | PlantingField::Start(_)
            | PlantingField::StartsAs(_)
            | PlantingField::FirstPicking(_)
            | PlantingField::LastPicking(_)
            | PlantingField::Series(_)
            | PlantingField::Word(_)
            | PlantingField::EndedOn(_) => true,
        });
        return moved && bed_of(planting).is_some_and(|bed| case.holds(bed));
    }
    if let Edit::MoveSeries { series, .. } = &case.envelope.edit {
        let mut of_series = season
            .plantings
            .values()
            .filter(|planting| planting.series == Some(*series))
            .peekable();
        return of_series.peek().is_some() && of_series.all(|planting| case.holds(planting.bed));
    }
    false
}

fn plant(case: &Case<'_>, plantings: &NewPlantings, series: Option<SeriesId>) -> Verdict {
    let season = season(case)?;
    let mut writes = Vec::new();
    for (id, new) in plantings {
        if season.plantings.contains_key(id) {
            return Err(already_there("planting"));
        }
        let record = planned(case, new, series);
        check_ground(case, record.bed, record.part.as_ref())?;
        writes.push(Write::Planting(*id, record));
    }
    Ok(Judged { writes, told: None })
}

fn planned(case: &Case<'_>, new: &NewPlanting, series: Option<SeriesId>) -> Planting {
    Planting {
        bed: new.bed,
        crop: new.crop.clone(),
        cover: new.cover,
        part: new.part.clone(),
        rows: new.rows,
        start: new.start,
        starts_as: new.starts_as,
        first_picking: new.first_picking,
        last_picking: new.last_picking,
        state: PlantingState::Planned,
        cleared_on: None,
        series,
        made_by: case.author,
        word: new.word.clone(),
        ended_on: None,
    }
}

/// The bed must be there, and the part must lie in it.
fn check_ground(case: &Case<'_>, bed: BedId, part: Option<&Outline>) -> Result<(), Refused> {
    case.check_bed(bed)?;
    let Some((part, record)) = part.zip(case.garden.beds.get(&bed)) else {
        return Ok(());
    };
    // A part that is cut off an aslant bed has corners on whole millimetres beside its edge.
    let lies_in = |corner: &Point| {
        record.outline.contains(*corner)
            || snap::to_side(*corner, &record.outline, ROUNDING).is_some()
    };
    let outside = part.corners().iter().find(|corner| !lies_in(corner));
    outside.map_or(Ok(()), |corner| {
        let came = format!("a corner at {} {}", corner.x.mm(), corner.y.mm());
        let expected = format!("a part that lies in bed {}", record.label);
        Err(BadInput::new("part", expected, came).into())
    })
}

fn planting_of(case: &Case<'_>, planting: PlantingId) -> Result<Planting, Refused> {
    season(case)?
        .plantings
        .get(&planting)
        .map(|record| Planting::clone(record))
        .ok_or_else(|| not_there("planting"))
}

fn change(case: &Case<'_>, id: PlantingId, set: &[PlantingField]) -> Verdict {
    let before = planting_of(case, id)?;
    let back = set
        .iter()
        .any(|field| matches!(field, PlantingField::EndedOn(None)));
    if before.ended_on.is_some() && !back {
        return Err(ended(&before.crop, "was taken out of the plan"));
    }
    let mut record = before.clone();
    for field in set {
        match field {
            PlantingField::Bed(bed) => record.bed = *bed,
            PlantingField::Crop(crop) => record.crop.clone_from(crop),
            PlantingField::Part(part) => record.part.clone_from(part),
            PlantingField::Rows(rows) => record.rows = *rows,
            PlantingField::Start(day) => record.start = *day,
            PlantingField::StartsAs(starts_as) => record.starts_as = *starts_as,
            PlantingField::FirstPicking(day) => record.first_picking = *day,
            PlantingField::LastPicking(day) => record.last_picking = *day,
            PlantingField::Series(series) => record.series = *series,
            PlantingField::Word(word) => record.word.clone_from(word),
            PlantingField::EndedOn(day) => record.ended_on = *day,
        }
    }
    if record.bed != before.bed || record.part != before.part {
        check_ground(case, record.bed, record.part.as_ref())?;
    }
    let mut tasks = Followers::of(case)?;
    tasks.follow(id, &before, &record);
    match (before.ended_on, record.ended_on) {
        (None, Some(on)) => tasks.come(id, Off::On(on)),
        (Some(on), None) => tasks.come(id, Off::Back(on)),
        _stays => {}
    }
    Ok(tasks.judged(vec![Write::Planting(id, record)]))
}

/// What is sown or cleared already stays where it is.
fn move_series(case: &Case<'_>, series: SeriesId, days: i64) -> Verdict {
    let of_series = season(case)?
        .plantings
        .iter()
        .filter(|(_, planting)| planting.series == Some(series) && planting.ended_on.is_none());
    let mut tasks = Followers::of(case)?;
    let mut writes = Vec::new();
    let mut known = false;
    for (id, planting) in of_series {
        known = true;
        if planting.state != PlantingState::Planned {
            continue;
        }
        let mut record = Planting::clone(planting);
        let later = |day: &mut Day| *day = day.plus_days(days);
        let expected = record.first_picking.iter_mut();
        expected.chain(&mut record.last_picking).for_each(later);
        record.start = record.start.plus_days(days);
        tasks.follow(*id, planting, &record);
        writes.push(Write::Planting(*id, record));
    }
    if !known {
        return Err(not_there("series"));
    }
    Ok(tasks.judged(writes))
}

/// Once sown on another day than planned, what is still to come moves with it; sowing itself needs nobody any more. Taken
/// back, what was called off with it is asked for again.
fn mark(case: &Case<'_>, id: PlantingId, state: PlantingState, on: Day) -> Verdict {
    let before = planting_of(case, id)?;
    if before.ended_on.is_some() {
        return Err(ended(&before.crop, "was taken out of the plan"));
    }
    let mut record = before.clone();
    let mut tasks = Followers::of(case)?;
    if let Some(cleared) = before
        .cleared_on
        .filter(|_| state != PlantingState::Cleared)
    {
        record.cleared_on = None;
        tasks.come(id, Off::Back(cleared));
    }
    let begin = match record.starts_as {
        StartsAs::Sown => "sow",
        StartsAs::Set => "set_out",
    };
    match state {
        PlantingState::Planned => {
            if before.state != PlantingState::Planned {
                tasks.come_of_kind(id, begin, Off::Back(before.start));
            }
        }
        PlantingState::Standing => {
            record.start = on;
            tasks.follow(id, &before, &record);
            tasks.come_of_kind(id, begin, Off::On(on));
        }
        PlantingState::Cleared => {
            if on < record.start {
                let expected = format!("{}, when it was begun, or later", record.start);
                return Err(BadInput::new("day", expected, on.to_string()).into());
            }
            record.cleared_on = Some(on);
            tasks.come(id, Off::On(on));
        }
    }
    record.state = state;
    Ok(tasks.judged(vec![Write::Planting(id, record)]))
}
