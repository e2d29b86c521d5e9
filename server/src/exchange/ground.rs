//! Beds, structures and fence lines from a file, as ordinary edits.

use std::collections::BTreeMap;

use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::{BedId, FenceId, MemberId, StructureId};
use selion_core::document::{DocumentName, Edit, Garden, Role};
use selion_core::exchange::{FoundBed, FoundFence, FoundGround, FoundKind};
use selion_core::geometry::Bounds;
use selion_core::quantities::{Length, Moment};

use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// The path left between what is there and a table's beds, which do not say where they lie: 2 m.
const PATH: Length = Length::from_mm(2_000);

/// What an import brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// Beds.
    pub beds: usize,
    /// Structures.
    pub structures: usize,
    /// Fence lines.
    pub fences: usize,
    /// People who were not in the garden yet.
    pub people: usize,
}

/// Brings what was found in a file into a garden, all of it or nothing. Holders who are not in the garden yet become
/// members. A ground without places (a table) is laid below what is there.
pub fn import_ground(
    desk: &mut Desk<'_>,
    hand: Hand,
    found: &FoundGround,
    has_places: bool,
) -> Result<Imported, ByHandError> {
    let picture = desk.hall.picture(desk.store.as_read(), hand.garden)?;
    let moved;
    let found = if has_places {
        found
    } else {
        moved = below(picture, found)?;
        &moved
    };
    let mut plan = Plan {
        now: desk.now,
        members: people_by_name(picture),
        edits: Vec::new(),
        imported: Imported::default(),
    };
    for bed in &found.beds {
        match bed.kind {
            FoundKind::Structure => plan.structure(bed),
            FoundKind::Bed => plan.bed(bed),
        }
    }
    found.fences.iter().for_each(|fence| plan.fence(fence));
    let edits = plan.edits.into_iter();
    hand.make(
        desk,
        edits.map(|edit| (DocumentName::Ground, edit)).collect(),
    )?;
    Ok(plan.imported)
}

/// The edits that bring a ground in.
struct Plan {
    now: Moment,
    members: BTreeMap<String, MemberId>,
    edits: Vec<Edit>,
    imported: Imported,
}

impl Plan {
    fn structure(&mut self, found: &FoundBed) {
        self.edits.push(Edit::AddStructure {
            structure: StructureId::fresh(self.now, chance::bytes()),
            label: found.label.clone(),
            outline: found.outline.clone(),
        });
        self.imported.structures += 1;
    }

    fn bed(&mut self, found: &FoundBed) {
        let holders = found
            .holders
            .iter()
            .map(|(name, parts)| (self.member(name), *parts))
            .collect();
        let bed = BedId::fresh(self.now, chance::bytes());
        self.edits.push(Edit::AddBed {
            bed,
            label: found.label.clone(),
            outline: found.outline.clone(),
            holders,
        });
        if let Some(text) = &found.note {
            self.edits.push(Edit::WriteNote {
                of: NoteOf::Bed(bed),
                text: text.clone(),
                base: NoteBase::default(),
            });
        }
        self.imported.beds += 1;
    }

    fn fence(&mut self, found: &FoundFence) {
        self.edits.push(Edit::AddFenceLine {
            fence: FenceId::fresh(self.now, chance::bytes()),
            label: found.label.clone(),
            line: found.line.clone(),
            gates: BTreeMap::new(),
        });
        self.imported.fences += 1;
    }

    /// Who has this name; somebody new if nobody has.
    fn member(&mut self, name: &str) -> MemberId {
        if let Some(member) = self.members.get(name) {
            return *member;
        }
        let member = MemberId::fresh(self.now, chance::bytes());
        self.members.insert(name.to_owned(), member);
        self.edits.push(Edit::AddMember {
            member,
            name: name.to_owned(),
            role: Role::Member,
        });
        self.imported.people += 1;
        member
    }
}

fn people_by_name(garden: &Garden) -> BTreeMap<String, MemberId> {
    let open = garden
        .members
        .iter()
        .filter(|(_, member)| member.ended_on.is_none());
    open.map(|(id, member)| (member.name.clone(), *id))
        .collect()
}

/// The same ground, moved to lie below everything that the garden has.
fn below(garden: &Garden, found: &FoundGround) -> Result<FoundGround, ByHandError> {
    let beds = garden
        .open_beds()
        .into_iter()
        .map(|(_, bed)| bed.outline.bounds());
    let structures = garden
        .structures
        .values()
        .filter(|structure| structure.ended_on.is_none());
    let fences = garden
        .fence_lines
        .values()
        .filter(|fence| fence.ended_on.is_none());
    let there = beds
        .chain(structures.map(|structure| structure.outline.bounds()))
        .chain(fences.map(|fence| fence.line.bounds()))
        .reduce(Bounds::with);
    let new = found
        .beds
        .iter()
        .map(|bed| bed.outline.bounds())
        .reduce(Bounds::with);
    let (Some(there), Some(new)) = (there, new) else {
        return Ok(found.clone());
    };
    // Points lie within kilometres of the origin, so these cannot overflow.
    let east = Length::from_mm(there.min.x.mm() - new.min.x.mm());
    let north = Length::from_mm(there.min.y.mm() - PATH.mm() - new.max.y.mm());
    let mut moved = found.clone();
    for bed in &mut moved.beds {
        bed.outline = bed.outline.shifted(east, north)?;
    }
    Ok(moved)
}
