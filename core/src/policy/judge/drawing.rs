//! Edits of the drawn ground: beds cut and joined, structures, fence lines.

use super::ground::{check_holders, check_label};
use super::{Case, Judged, Verdict, already_there, ended, not_there, write};
use crate::document::Edit;
use crate::document::edit::{FenceField, Piece, StructureField};
use crate::document::ids::{BedId, FenceId, StructureId};
use crate::document::records::{Bed, FenceLine, Structure, StructureFacts};
use crate::document::stored::Write;
use crate::geometry::{Outline, rounding_of};
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::{Area, BadInput, Day};

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::SplitBed {
            bed,
            seen,
            outline,
            pieces,
        } => split(case, *bed, seen, outline, pieces),
        Edit::MergeBeds { .. } => merge(case),
        Edit::AddStructure {
            structure,
            label,
            outline,
        } => add_structure(case, *structure, label, outline, StructureFacts::default()),
        Edit::DrawStructure {
            structure,
            label,
            outline,
            what,
        } => add_structure(case, *structure, label, outline, *what),
        Edit::ChangeStructure { structure, set } => change_structure(case, *structure, set),
        Edit::EndStructure { structure, on } => {
            let mut record = structure_of(case, *structure)?;
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::Structure(*structure, record))
        }
        Edit::AddFenceLine {
            fence,
            label,
            line,
            gates,
        } => {
            if case.garden.fence_lines.contains_key(fence) {
                return Err(already_there("fence line"));
            }
            let record = FenceLine {
                label: label.clone(),
                line: line.clone(),
                gates: gates.clone(),
                ended_on: None,
            };
            write(Write::FenceLine(*fence, record))
        }
        Edit::ChangeFenceLine { fence, set } => change_fence(case, *fence, set),
        Edit::EndFenceLine { fence, on } => {
            let mut record = fence_of(case, *fence)?;
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::FenceLine(*fence, record))
        }
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong into the ground.",
        )),
    }
}

fn split(
    case: &Case<'_>,
    bed: BedId,
    seen: &Outline,
    outline: &Outline,
    pieces: &Map<BedId, Piece>,
) -> Verdict {
    let mut record = bed_as_seen(case, bed, seen)?;
    let together: Area = std::iter::once(outline)
        .chain(pieces.values().map(|piece| &piece.outline))
        .map(Outline::area)
        .sum();
    if off(together, seen.area()) > rounding_of(seen).mm2() {
        let came = format!("{} mm² of {} mm²", together.mm2(), seen.area().mm2());
        return Err(BadInput::new("pieces", "pieces that make up the whole bed", came).into());
    }
    let mut writes = Vec::new();
    for (id, piece) in pieces {
        if case.garden.beds.contains_key(id) {
            return Err(already_there("bed"));
        }
        check_label(case, None, &piece.label)?;
        let same = |other: &str| other.trim().eq_ignore_ascii_case(piece.label.trim());
        if pieces
            .iter()
            .any(|(other, twin)| other != id && same(&twin.label))
        {
            let expected = "a label of its own for each piece";
            return Err(BadInput::new("label", expected, &piece.label).into());
        }
        let piece = Bed {
            label: piece.label.clone(),
            outline: piece.outline.clone(),
            holders: record.holders.clone(),
            note: String::new(),
            ended_on: None,
        };
        writes.push(Write::Bed(*id, piece));
    }
    record.outline = outline.clone();
    writes.push(Write::Bed(bed, record));
    Ok(Judged { writes, told: None })
}

fn merge(case: &Case<'_>) -> Verdict {
    let Edit::MergeBeds {
        bed,
        seen,
        with,
        seen_with,
        outline,
        holders,
        on,
    } = &case.envelope.edit
    else {
        return Err(not_there("bed"));
    };
    if bed == with {
        return Err(BadInput::new("beds", "two beds", "the same bed twice").into());
    }
    let mut stays = bed_as_seen(case, *bed, seen)?;
    let mut goes = bed_as_seen(case, *with, seen_with)?;
    check_holders(case, holders)?;
    let larger = seen.area().max(seen_with.area());
    let both: Area = [seen.area(), seen_with.area()].into_iter().sum();
    let slack = rounding_of(outline).mm2();
    let area = outline.area().mm2();
    if area < larger.mm2() - slack || area > both.mm2() + slack {
        let came = format!("{area} mm² for {} mm²", both.mm2());
        return Err(BadInput::new("outline", "the ground of both beds", came).into());
    }
    stays.outline = outline.clone();
    stays.holders.clone_from(holders);
    goes.ended_on = Some(*on);
    let writes = vec![Write::Bed(*bed, stays), Write::Bed(*with, goes)];
    Ok(Judged { writes, told: None })
}

/// A bed whose edge is still the one that the writer cut or joined: another would be lost under theirs.
fn bed_as_seen(case: &Case<'_>, bed: BedId, seen: &Outline) -> Result<Bed, Refused> {
    case.check_bed(bed)?;
    let record = case.garden.beds.get(&bed).ok_or_else(|| not_there("bed"))?;
    if record.outline == *seen {
        return Ok(Bed::clone(record));
    }
    Err(Refused::new(
        RefusalCode::Changed,
        format!(
            "The outline of {} was changed meanwhile; look at it again.",
            record.label
        ),
    ))
}

fn off(one: Area, other: Area) -> i64 {
    one.mm2().saturating_sub(other.mm2()).saturating_abs()
}

fn add_structure(
    case: &Case<'_>,
    structure: StructureId,
    label: &str,
    outline: &Outline,
    what: StructureFacts,
) -> Verdict {
    if case.garden.structures.contains_key(&structure) {
        return Err(already_there("structure"));
    }
    let record = Structure {
        label: label.to_owned(),
        outline: outline.clone(),
        what,
        ended_on: None,
    };
    write(Write::Structure(structure, record))
}

fn structure_of(case: &Case<'_>, structure: StructureId) -> Result<Structure, Refused> {
    case.garden
        .structures
        .get(&structure)
        .map(|record| Structure::clone(record))
        .ok_or_else(|| not_there("structure"))
}

fn change_structure(case: &Case<'_>, id: StructureId, set: &[StructureField]) -> Verdict {
    let mut record = structure_of(case, id)?;
    let back = set
        .iter()
        .any(|field| matches!(field, StructureField::EndedOn(None)));
    check_standing(&record.label, record.ended_on, back)?;
    for field in set {
        match field {
            StructureField::Label(label) => record.label.clone_from(label),
            StructureField::Outline(outline) => record.outline = outline.clone(),
            StructureField::What(what) => record.what = *what,
            StructureField::EndedOn(day) => record.ended_on = *day,
        }
    }
    write(Write::Structure(id, record))
}

fn fence_of(case: &Case<'_>, fence: FenceId) -> Result<FenceLine, Refused> {
    case.garden
        .fence_lines
        .get(&fence)
        .map(|record| FenceLine::clone(record))
        .ok_or_else(|| not_there("fence line"))
}

fn change_fence(case: &Case<'_>, id: FenceId, set: &[FenceField]) -> Verdict {
    let mut record = fence_of(case, id)?;
    let back = set
        .iter()
        .any(|field| matches!(field, FenceField::EndedOn(None)));
    check_standing(&record.label, record.ended_on, back)?;
    for field in set {
        match field {
            FenceField::Label(label) => record.label.clone_from(label),
            FenceField::Line(line) => record.line = line.clone(),
            FenceField::Gates(gates) => record.gates.clone_from(gates),
            FenceField::EndedOn(day) => record.ended_on = *day,
        }
    }
    write(Write::FenceLine(id, record))
}

/// What was taken off the ground is put back before anything else of it is changed.
fn check_standing(label: &str, gone: Option<Day>, back: bool) -> Result<(), Refused> {
    if gone.is_some() && !back {
        return Err(ended(label, "was taken off the ground"));
    }
    Ok(())
}
