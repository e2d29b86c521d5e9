//! Taking back what was drawn: the edits that put the ground back as it was before one.
//!
//! Nothing is deleted, so what was added is given up, and what was given up is taken up again. An undo is an ordinary edit: it
//! is judged like every other, waits offline like every other, and is itself taken back by the same function, which is redo.
//! Only what the edit itself set is put back, so what others changed meanwhile stays as they left it.

use super::edit::{BedField, Edit, FenceField, ProfileField, StructureField};
use super::garden::Garden;
use super::ids::{BedId, FenceId, StructureId};
use crate::ordered::Map;
use crate::quantities::Day;

/// The edits that take a ground edit back, to be written in this order, seen from the garden before that edit; nothing for an
/// edit of another kind, and for one of something that was not there.
pub fn inverse(before: &Garden, edit: &Edit, today: Day) -> Option<Vec<Edit>> {
    let one = |edit: Edit| Some(vec![edit]);
    if let Some(structure) = structure_of(edit) {
        return one(structure_inverse(before, structure, edit, today)?);
    }
    if let Some(fence) = fence_of(edit) {
        return one(fence_inverse(before, fence, edit, today)?);
    }
    if let Edit::ChangeProfile { set } = edit {
        // Of the profile only what is drawn: the picture under the plan.
        let [ProfileField::Backdrop(_)] = set.as_slice() else {
            return None;
        };
        let stood = before.profile.as_ref()?.backdrop;
        return one(Edit::ChangeProfile {
            set: vec![ProfileField::Backdrop(stood)],
        });
    }
    if let Edit::AddBed { bed, .. } = edit {
        return one(give_up(*bed, today));
    }
    if let Edit::ChangeBed { bed, set } = edit {
        let stood = before.beds.get(bed)?;
        let back = |field: &BedField| match field {
            BedField::Label(_) => BedField::Label(stood.label.clone()),
            BedField::Outline(_) => BedField::Outline(stood.outline.clone()),
            BedField::Holders(_) => BedField::Holders(held(before, *bed)),
            BedField::EndedOn(_) => BedField::EndedOn(stood.ended_on),
        };
        return one(Edit::ChangeBed {
            bed: *bed,
            set: set.iter().map(back).collect(),
        });
    }
    if let Edit::SplitBed { bed, pieces, .. } = edit {
        // The pieces first, so that the whole never lies on top of them.
        let mut edits: Vec<Edit> = pieces.keys().map(|piece| give_up(*piece, today)).collect();
        edits.push(outline_back(before, *bed)?);
        return Some(edits);
    }
    if let Edit::MergeBeds { bed, with, .. } = edit {
        let mut set = vec![BedField::Holders(held(before, *bed))];
        set.push(BedField::Outline(before.beds.get(bed)?.outline.clone()));
        let again = vec![BedField::EndedOn(None)];
        return Some(vec![
            Edit::ChangeBed { bed: *bed, set },
            Edit::ChangeBed {
                bed: *with,
                set: again,
            },
        ]);
    }
    None
}

fn structure_of(edit: &Edit) -> Option<StructureId> {
    if let Edit::AddStructure { structure, .. }
    | Edit::DrawStructure { structure, .. }
    | Edit::ChangeStructure { structure, .. }
    | Edit::EndStructure { structure, .. } = edit
    {
        return Some(*structure);
    }
    None
}

fn structure_inverse(
    before: &Garden,
    structure: StructureId,
    edit: &Edit,
    today: Day,
) -> Option<Edit> {
    let Some(stood) = before.structures.get(&structure) else {
        let on = today;
        return Some(Edit::EndStructure { structure, on });
    };
    let set = if let Edit::ChangeStructure { set, .. } = edit {
        let back = |field: &StructureField| match field {
            StructureField::Label(_) => StructureField::Label(stood.label.clone()),
            StructureField::Outline(_) => StructureField::Outline(stood.outline.clone()),
            StructureField::What(_) => StructureField::What(stood.what),
            StructureField::EndedOn(_) => StructureField::EndedOn(stood.ended_on),
        };
        set.iter().map(back).collect()
    } else if matches!(edit, Edit::EndStructure { .. }) && stood.ended_on.is_none() {
        vec![StructureField::EndedOn(None)]
    } else {
        // Put up a second time, or gone already: nothing was changed.
        return None;
    };
    Some(Edit::ChangeStructure { structure, set })
}

fn fence_of(edit: &Edit) -> Option<FenceId> {
    if let Edit::AddFenceLine { fence, .. }
    | Edit::ChangeFenceLine { fence, .. }
    | Edit::EndFenceLine { fence, .. } = edit
    {
        return Some(*fence);
    }
    None
}

fn fence_inverse(before: &Garden, fence: FenceId, edit: &Edit, today: Day) -> Option<Edit> {
    let Some(stood) = before.fence_lines.get(&fence) else {
        return Some(Edit::EndFenceLine { fence, on: today });
    };
    let set = if let Edit::ChangeFenceLine { set, .. } = edit {
        let back = |field: &FenceField| match field {
            FenceField::Label(_) => FenceField::Label(stood.label.clone()),
            FenceField::Line(_) => FenceField::Line(stood.line.clone()),
            FenceField::Gates(_) => FenceField::Gates(stood.gates.clone()),
            FenceField::EndedOn(_) => FenceField::EndedOn(stood.ended_on),
        };
        set.iter().map(back).collect()
    } else if matches!(edit, Edit::EndFenceLine { .. }) && stood.ended_on.is_none() {
        vec![FenceField::EndedOn(None)]
    } else {
        return None;
    };
    Some(Edit::ChangeFenceLine { fence, set })
}

fn give_up(bed: BedId, today: Day) -> Edit {
    Edit::ChangeBed {
        bed,
        set: vec![BedField::EndedOn(Some(today))],
    }
}

fn outline_back(before: &Garden, bed: BedId) -> Option<Edit> {
    let outline = before.beds.get(&bed)?.outline.clone();
    Some(Edit::ChangeBed {
        bed,
        set: vec![BedField::Outline(outline)],
    })
}

/// Who holds a bed, without those whose part was taken away.
fn held(before: &Garden, bed: BedId) -> Map<super::ids::MemberId, u32> {
    let mut holders = Map::new();
    for (member, parts) in before.beds.get(&bed).iter().flat_map(|bed| bed.held_by()) {
        holders.insert(member, parts);
    }
    holders
}
