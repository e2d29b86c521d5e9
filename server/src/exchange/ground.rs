//! Beds, structures and fence lines from a file, as ordinary edits.

use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::{BedId, FenceId, MemberId, StructureId};
use selion_core::document::records::{Bed, StructureFacts};
use selion_core::document::{DocumentName, Edit, Garden, Role};
use selion_core::exchange::{FoundBed, FoundFence, FoundGround, FoundKind, geojson};
use selion_core::geometry::Bounds;
use selion_core::ordered::Map;
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
            FoundKind::Structure(what) => plan.structure(bed, what),
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

/// The ground of a garden as GeoJSON: what was not given up, with the names of those who hold it.
pub fn export_ground(garden: &Garden) -> String {
    let holders = |bed: &Bed| {
        let mut holders: Vec<(String, u32)> = bed
            .held_by()
            .map(|(member, parts)| (garden.name_of(member).to_owned(), parts))
            .collect();
        holders.sort();
        holders
    };
    let mut beds: Vec<FoundBed> = garden
        .open_beds()
        .into_iter()
        .map(|(_, bed)| FoundBed {
            label: bed.label.clone(),
            outline: bed.outline.clone(),
            holders: holders(bed),
            note: Some(bed.note.clone()).filter(|note| !note.is_empty()),
            kind: FoundKind::Bed,
        })
        .collect();
    let mut structures: Vec<_> = garden
        .structures
        .values()
        .filter(|record| record.ended_on.is_none())
        .collect();
    structures.sort_by(|one, other| one.label.cmp(&other.label));
    beds.extend(structures.into_iter().map(|structure| FoundBed {
        label: structure.label.clone(),
        outline: structure.outline.clone(),
        holders: Vec::new(),
        note: None,
        kind: FoundKind::Structure(structure.what),
    }));
    let mut fences: Vec<_> = garden
        .fence_lines
        .values()
        .filter(|record| record.ended_on.is_none())
        .collect();
    fences.sort_by(|one, other| one.label.cmp(&other.label));
    let fences = fences.into_iter().map(|fence| FoundFence {
        label: fence.label.clone(),
        line: fence.line.clone(),
        gates: fence.gates_in_order(),
        note: None,
    });
    geojson::write(&FoundGround {
        beds,
        fences: fences.collect(),
    })
}

/// The edits that bring a ground in.
struct Plan {
    now: Moment,
    members: Map<String, MemberId>,
    edits: Vec<Edit>,
    imported: Imported,
}

impl Plan {
    fn structure(&mut self, found: &FoundBed, what: StructureFacts) {
        self.edits.push(Edit::DrawStructure {
            structure: StructureId::fresh(self.now, chance::bytes()),
            label: found.label.clone(),
            outline: found.outline.clone(),
            what,
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
            gates: (1..)
                .zip(&found.gates)
                .map(|(number, gate)| (number.to_string(), *gate))
                .collect(),
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

fn people_by_name(garden: &Garden) -> Map<String, MemberId> {
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

#[cfg(test)]
mod tests {
    use selion_core::exchange::bed_table;
    use selion_core::quantities::Units;

    use super::*;
    use crate::exchange::keeper_of_ground;
    use crate::testing::Bench;

    const TWO_BEDS: &str =
        "label,length,width,unit,holder,note\nN1,30,12,ft,Rowan 2; Linnet,stony\nN2,20,12,ft,,\n";

    fn bring_in(bench: &mut Bench, by: Hand, text: &str) -> Result<Imported, ByHandError> {
        import_ground(
            &mut bench.desk(),
            by,
            &bed_table::read(text).unwrap(),
            false,
        )
    }

    #[test]
    fn a_table_brings_beds_notes_and_people() {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let hand = Hand {
            garden: rowan.garden,
            member: rowan.member,
        };
        let imported = bring_in(&mut bench, hand, TWO_BEDS).unwrap();
        assert_eq!(
            imported,
            Imported {
                beds: 2,
                people: 1,
                ..Imported::default()
            }
        );
        let garden = bench.hall.picture(&bench.store, rowan.garden).unwrap();
        assert_eq!(keeper_of_ground(garden), Some(rowan.member));
        let (_, bed) = garden.open_beds()[0];
        assert_eq!(
            (
                bed.outline.area().show(Units::UsCustomary),
                bed.note.as_str()
            ),
            ("360 sq ft".to_owned(), "stony")
        );
        assert_eq!(bed.holders.get(&rowan.member), Some(&2));

        let further = bring_in(
            &mut bench,
            hand,
            &TWO_BEDS.replace("N1", "N3").replace("N2", "N4"),
        )
        .unwrap();
        assert_eq!(further.people, 0);
        let garden = bench.hall.picture(&bench.store, rowan.garden).unwrap();
        let boxes: Vec<Bounds> = garden
            .open_beds()
            .iter()
            .map(|(_, bed)| bed.outline.bounds())
            .collect();
        assert!(
            boxes[2].max.y < boxes[0].min.y && boxes[3].max.y < boxes[1].min.y,
            "below what was there"
        );
    }

    #[test]
    fn a_file_comes_in_whole_or_not_at_all() {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let hand = Hand {
            garden: rowan.garden,
            member: rowan.member,
        };
        bring_in(&mut bench, hand, TWO_BEDS).unwrap();
        let refused = bring_in(&mut bench, hand, &TWO_BEDS.replace("N1", "N5")).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "change 3 of 3: label: there already is a bed called N2."
        );
        assert_eq!(
            bench
                .hall
                .picture(&bench.store, rowan.garden)
                .unwrap()
                .beds
                .len(),
            2
        );
    }

    #[test]
    fn a_ground_goes_out_and_comes_in_the_same() {
        let mut bench = Bench::new();
        let made = crate::demo::make(&mut bench.desk()).unwrap();
        let text = export_ground(bench.hall.picture(&bench.store, made.garden).unwrap());
        let rowan = bench.garden("Another");
        let hand = Hand {
            garden: rowan.garden,
            member: rowan.member,
        };
        import_ground(
            &mut bench.desk(),
            hand,
            &geojson::read(&text).unwrap(),
            true,
        )
        .unwrap();
        let garden = bench.hall.picture(&bench.store, rowan.garden).unwrap();
        assert_eq!(export_ground(garden), text);
        assert!(
            garden
                .fence_lines
                .values()
                .any(|fence| !fence.gates.is_empty()),
            "the demonstration garden's gate came along"
        );
    }
}
