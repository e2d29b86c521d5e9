//! What a file's ground becomes in a garden: edits that put down what is new and change what is there already.
//!
//! Nothing is written here. Whoever imports looks the rows over first; each says what it would do, or in one sentence why the
//! garden would refuse it. Beds, structures and fence lines are known by their label, as people know them.

use std::sync::Arc;

use super::found::{FoundBed, FoundFence, FoundGround, FoundKind};
use crate::document::edit::{BedField, FenceField, NoteBase, NoteOf, StructureField};
use crate::document::ids::{BedId, Chance, FenceId, MemberId, StructureId};
use crate::document::records::{Bed, Gate, Member, Role, StructureFacts};
use crate::document::{Edit, Garden};
use crate::geometry::Bounds;
use crate::ordered::Map;
use crate::quantities::{BadInput, Length, Moment};

/// The path left between what is there and a table's beds, which do not say where they lie: 2 m.
const PATH: Length = Length::from_mm(2_000);

/// Where new ids come from: the time, and chance for each.
pub struct Fresh<'a> {
    /// Now.
    pub now: Moment,
    /// Random bytes.
    pub chance: &'a dyn Fn() -> Chance,
}

impl std::fmt::Debug for Fresh<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Fresh")
            .field("now", &self.now)
            .finish_non_exhaustive()
    }
}

impl Fresh<'_> {
    fn id<Id>(&self, make: fn(Moment, Chance) -> Id) -> Id {
        make(self.now, (self.chance)())
    }
}

/// What a row of a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Somebody who holds a bed and is not in the garden yet.
    Person,
    /// A bed.
    Bed,
    /// A structure.
    Structure,
    /// A fence line.
    Fence,
}

/// What would become of a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Becomes {
    /// It is put down anew.
    New,
    /// What is there of this label is changed.
    Changed,
    /// It is there already, just so.
    Same,
    /// The garden would refuse it.
    Refused(String),
}

/// One row of a file: what it is, what would become of it, and the edits for that in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What it is.
    pub kind: Kind,
    /// What it is called.
    pub label: String,
    /// What would become of it.
    pub becomes: Becomes,
    /// How; nothing where there is nothing to do.
    pub edits: Vec<Edit>,
}

/// How much there is of what.
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

/// Everything that was found as edits that put it down anew, people before their beds. A ground without places (a table) is
/// laid below what is there.
pub fn as_new(
    garden: &Garden,
    found: &FoundGround,
    has_places: bool,
    fresh: &Fresh<'_>,
) -> Result<(Vec<Edit>, Imported), BadInput> {
    let found = if has_places {
        found.clone()
    } else {
        below(garden, found)?
    };
    let mut people = People::of(garden);
    let (mut edits, mut imported) = (Vec::new(), Imported::default());
    for bed in &found.beds {
        if let FoundKind::Structure(what) = bed.kind {
            edits.push(new_structure(bed, what, fresh));
            imported.structures += 1;
        } else {
            let (holders, new) = people.holders(bed, fresh);
            imported.people += new.len();
            edits.extend(new.into_iter().map(|(_, edit)| edit));
            edits.extend(new_bed(bed, holders, fresh));
            imported.beds += 1;
        }
    }
    imported.fences = found.fences.len();
    edits.extend(found.fences.iter().map(|fence| new_fence(fence, fresh)));
    Ok((edits, imported))
}

/// Why a garden would refuse an edit, if it would; the rules of the garden are asked by whoever knows them.
pub type Refuses<'a> = &'a dyn Fn(&Garden, &Edit) -> Option<String>;

/// Every row of a file beside the garden: new, changed, the same, or refused by what must hold there.
pub fn beside(
    garden: &Garden,
    found: &FoundGround,
    refuses: Refuses<'_>,
    fresh: &Fresh<'_>,
) -> Vec<Row> {
    let beds = found.beds.iter();
    let beds = beds.filter(|bed| bed.kind == FoundKind::Bed);
    let beds = beds.map(|bed| (Kind::Bed, bed.label.clone()));
    let fences = found.fences.iter();
    let fences = fences.map(|fence| (Kind::Fence, fence.label.clone()));
    let mut looked = Looked {
        then: garden.clone(),
        labels: beds.chain(fences).collect(),
        refuses,
        fresh,
        rows: Vec::new(),
    };
    let mut people = People::of(garden);
    for bed in &found.beds {
        if let FoundKind::Structure(what) = bed.kind {
            looked.structure(bed, what);
        } else {
            let (holders, new) = people.holders(bed, fresh);
            for (name, edit) in new {
                looked.row(Kind::Person, &name, Becomes::New, vec![edit]);
            }
            looked.bed(bed, holders);
        }
    }
    found.fences.iter().for_each(|fence| looked.fence(fence));
    looked.rows
}

/// What was found, looked at beside a garden that takes it in row by row.
struct Looked<'a> {
    then: Garden,
    /// Every label of a bed or fence in the file: of two that are alike nobody knows which is meant.
    labels: Vec<(Kind, String)>,
    refuses: Refuses<'a>,
    fresh: &'a Fresh<'a>,
    rows: Vec<Row>,
}

impl Looked<'_> {
    fn bed(&mut self, found: &FoundBed, holders: Map<MemberId, u32>) {
        let known = self.then.open_beds().into_iter();
        let known = known.filter(|(_, bed)| bed.label == found.label);
        let known = known.map(|(id, bed)| (id, Arc::clone(bed))).next();
        let Some((bed, stood)) = known else {
            let edits = new_bed(found, holders, self.fresh);
            return self.row(Kind::Bed, &found.label, Becomes::New, edits);
        };
        let mut set = Vec::new();
        if stood.outline != found.outline {
            set.push(BedField::Outline(found.outline.clone()));
        }
        let held: Map<MemberId, u32> = stood.held_by().collect();
        if held != holders {
            set.push(BedField::Holders(holders));
        }
        let (becomes, edits) = if set.is_empty() {
            (Becomes::Same, Vec::new())
        } else {
            (Becomes::Changed, vec![Edit::ChangeBed { bed, set }])
        };
        self.row(Kind::Bed, &found.label, becomes, edits);
    }

    fn structure(&mut self, found: &FoundBed, what: StructureFacts) {
        let known = self.then.structures.iter().filter(|(_, structure)| {
            structure.ended_on.is_none()
                && structure.label == found.label
                && structure.what.kind == what.kind
        });
        let known: Vec<_> = known.collect();
        // Several trees may be called alike: one that is just so is there already, and which other is meant cannot be told.
        let is_there = known
            .iter()
            .any(|(_, stood)| stood.outline == found.outline && stood.what == what);
        if is_there {
            return self.row(Kind::Structure, &found.label, Becomes::Same, Vec::new());
        }
        let [(structure, stood)] = known.as_slice() else {
            let edits = vec![new_structure(found, what, self.fresh)];
            return self.row(Kind::Structure, &found.label, Becomes::New, edits);
        };
        let mut set = Vec::new();
        if stood.outline != found.outline {
            set.push(StructureField::Outline(found.outline.clone()));
        }
        if stood.what != what {
            set.push(StructureField::What(what));
        }
        let structure = **structure;
        let edits = vec![Edit::ChangeStructure { structure, set }];
        self.row(Kind::Structure, &found.label, Becomes::Changed, edits);
    }

    fn fence(&mut self, found: &FoundFence) {
        let mut known = self.then.fence_lines.iter();
        let known = known.find(|(_, fence)| fence.ended_on.is_none() && fence.label == found.label);
        let Some((fence, stood)) = known else {
            let edits = vec![new_fence(found, self.fresh)];
            return self.row(Kind::Fence, &found.label, Becomes::New, edits);
        };
        let mut set = Vec::new();
        if stood.line != found.line {
            set.push(FenceField::Line(found.line.clone()));
        }
        if stood.gates_in_order() != found.gates {
            set.push(FenceField::Gates(gates(&found.gates)));
        }
        let fence = *fence;
        let (becomes, edits) = if set.is_empty() {
            (Becomes::Same, Vec::new())
        } else {
            (Becomes::Changed, vec![Edit::ChangeFenceLine { fence, set }])
        };
        self.row(Kind::Fence, &found.label, becomes, edits);
    }

    /// Judges the edits of a row one after the other, each as the one before leaves the garden.
    fn row(&mut self, kind: Kind, label: &str, becomes: Becomes, edits: Vec<Edit>) {
        let named = |(of, other): &&(Kind, String)| *of == kind && other == label;
        let twice = self.labels.iter().filter(named).count() > 1;
        let twice = twice.then(|| format!("label: each label once, but “{label}” came twice."));
        let refused = twice.or_else(|| edits.iter().find_map(|edit| self.refusal(edit)));
        let (becomes, edits) = match refused {
            Some(why) => (Becomes::Refused(why), Vec::new()),
            None => (becomes, edits),
        };
        self.rows.push(Row {
            kind,
            label: label.to_owned(),
            becomes,
            edits,
        });
    }

    fn refusal(&mut self, edit: &Edit) -> Option<String> {
        let bad = edit.check_bounds().err().map(|bad| bad.to_string());
        let refusal = bad.or_else(|| (self.refuses)(&self.then, edit));
        if refusal.is_some() {
            return refusal;
        }
        self.take_in(edit);
        None
    }

    /// What later rows rest on: who is in the garden, and which labels are taken.
    fn take_in(&mut self, edit: &Edit) {
        if let Edit::AddMember { member, name, role } = edit {
            let record = Member {
                name: name.clone(),
                role: *role,
                ended_on: None,
            };
            self.then.members.insert(*member, Arc::new(record));
        }
        if let Edit::AddBed {
            bed,
            label,
            outline,
            holders,
        } = edit
        {
            let record = Bed {
                label: label.clone(),
                outline: outline.clone(),
                holders: holders.clone(),
                note: String::new(),
                ended_on: None,
            };
            self.then.beds.insert(*bed, Arc::new(record));
        }
    }
}

/// The people of a garden by name, and those that a file brings.
struct People(Map<String, MemberId>);

impl People {
    fn of(garden: &Garden) -> Self {
        let open = garden
            .members
            .iter()
            .filter(|(_, member)| member.ended_on.is_none());
        Self(
            open.map(|(id, member)| (member.name.clone(), *id))
                .collect(),
        )
    }

    /// Who holds a bed, and the edits for those who are new.
    fn holders(
        &mut self,
        found: &FoundBed,
        fresh: &Fresh<'_>,
    ) -> (Map<MemberId, u32>, Vec<(String, Edit)>) {
        let (mut holders, mut new) = (Map::new(), Vec::new());
        for (name, parts) in &found.holders {
            let known = self.0.get(name).copied();
            let member = known.unwrap_or_else(|| {
                let member = fresh.id(MemberId::fresh);
                let edit = Edit::AddMember {
                    member,
                    name: name.clone(),
                    role: Role::Member,
                };
                new.push((name.clone(), edit));
                self.0.insert(name.clone(), member);
                member
            });
            holders.insert(member, *parts);
        }
        (holders, new)
    }
}

fn new_bed(found: &FoundBed, holders: Map<MemberId, u32>, fresh: &Fresh<'_>) -> Vec<Edit> {
    let bed = fresh.id(BedId::fresh);
    let mut edits = vec![Edit::AddBed {
        bed,
        label: found.label.clone(),
        outline: found.outline.clone(),
        holders,
    }];
    edits.extend(found.note.iter().map(|text| Edit::WriteNote {
        of: NoteOf::Bed(bed),
        text: text.clone(),
        base: NoteBase::default(),
    }));
    edits
}

fn new_structure(found: &FoundBed, what: StructureFacts, fresh: &Fresh<'_>) -> Edit {
    Edit::DrawStructure {
        structure: fresh.id(StructureId::fresh),
        label: found.label.clone(),
        outline: found.outline.clone(),
        what,
    }
}

fn new_fence(found: &FoundFence, fresh: &Fresh<'_>) -> Edit {
    Edit::AddFenceLine {
        fence: fresh.id(FenceId::fresh),
        label: found.label.clone(),
        line: found.line.clone(),
        gates: gates(&found.gates),
    }
}

fn gates(gates: &[Gate]) -> Map<String, Gate> {
    let numbered = (1..).zip(gates);
    numbered
        .map(|(number, gate)| (number.to_string(), *gate))
        .collect()
}

/// The ground of a garden as it would stand in a file: what was not given up, with the names of those who hold it.
pub fn ground_of(garden: &Garden) -> FoundGround {
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
    FoundGround {
        beds,
        fences: fences.collect(),
    }
}

/// The same ground, moved to lie below everything that the garden has.
fn below(garden: &Garden, found: &FoundGround) -> Result<FoundGround, BadInput> {
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
