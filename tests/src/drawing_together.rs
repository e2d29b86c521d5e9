//! Three people draw the same ground on phones without a signal; when they meet again, every copy shows the same ground.

use selion_core::document::edit::{BedField, FenceField, Piece, StructureField};
use selion_core::document::ids::{BedId, EditId, FenceId, MemberId, StructureId};
use selion_core::document::records::{Role, StructureFacts, StructureKind};
use selion_core::document::{Edit, Envelope, undo};
use selion_core::geometry::{Line, Outline, Point, Run, Turn, joined, split};
use selion_core::ordered::Map;
use selion_core::quantities::{Length, Moment};
use selion_core::sync::LocalCopy;
use selion_core::sync::frame::{Bytes, PROTOCOL, ServerFrame};

use crate::chance::Chance;
use crate::small_garden::{GROUND, SmallGarden, apply_as_drawn, day, ids, ines, tomasz, wren};

/// How many changes of the ground are tried, by all three together.
const EDITS: usize = 500;
/// After so many the phones find a signal and everything goes up and down.
const BETWEEN_SIGNALS: usize = 25;

/// One of the three, with a phone.
struct Drawer {
    who: MemberId,
    copy: LocalCopy,
}

/// The service's garden and the three phones.
struct Together {
    garden: SmallGarden,
    drawers: Vec<Drawer>,
    chance: Chance,
    now: i64,
    stood: usize,
    refused: usize,
}

impl Together {
    fn new(seed: u64) -> Self {
        let mut garden = SmallGarden::new();
        for member in [wren(), tomasz()] {
            let role = selion_core::document::edit::MemberField::Role(Role::Coordinator);
            let set = vec![role];
            garden.does(ines(), GROUND, Edit::ChangeMember { member, set });
        }
        let drawers = [ines(), wren(), tomasz()].map(|who| Drawer {
            who,
            copy: LocalCopy::new(ids::garden(1)),
        });
        let mut together = Self {
            garden,
            drawers: drawers.into(),
            chance: Chance::of_seed(seed),
            now: ids::NOW.millis(),
            stood: 0,
            refused: 0,
        };
        together.everything_goes_down();
        together
    }

    fn moment(&mut self) -> Moment {
        self.now += 1_000;
        Moment::from_millis(self.now)
    }

    /// Every phone hears the whole of every document, as after a long time away.
    fn everything_goes_down(&mut self) {
        let names = self.garden.replica.names();
        let length = |name| {
            let changes = self.garden.changes.iter().filter(|(of, _)| *of == name);
            u64::try_from(changes.count()).unwrap()
        };
        let documents: Map<_, _> = names.iter().map(|name| (*name, length(*name))).collect();
        let snapshots: Vec<ServerFrame> = names
            .iter()
            .map(|name| ServerFrame::Snapshot {
                document: *name,
                sequence: documents[name],
                bytes: Bytes(self.garden.replica.save(*name).unwrap()),
                heads: self.garden.replica.heads(*name),
            })
            .collect();
        let now = Moment::from_millis(self.now);
        for drawer in &mut self.drawers {
            let welcome = ServerFrame::Welcome {
                protocol: PROTOCOL,
                epoch: "one".to_owned(),
                server_time: now,
                member: drawer.who,
                role: Role::Coordinator,
                documents: documents
                    .iter()
                    .map(|(name, length)| (*name, *length))
                    .collect(),
            };
            drawer.copy.take(&welcome, now);
            for snapshot in &snapshots {
                drawer.copy.take(snapshot, now);
            }
        }
    }

    /// What the three wrote goes up, each in their order, theirs among each other's as it happens.
    fn everything_goes_up(&mut self) {
        let mut waiting: Vec<(MemberId, Vec<Envelope>)> = self
            .drawers
            .iter()
            .map(|drawer| {
                let rows = drawer.copy.outbox().waiting();
                let mut envelopes: Vec<Envelope> =
                    rows.iter().map(|row| row.envelope.clone()).collect();
                envelopes.reverse();
                (drawer.who, envelopes)
            })
            .collect();
        while let Some(turn) = {
            waiting.retain(|(_, envelopes)| !envelopes.is_empty());
            (!waiting.is_empty()).then(|| self.chance.below(waiting.len()))
        } {
            let (who, envelopes) = &mut waiting[turn];
            let (who, envelope) = (*who, envelopes.pop().unwrap());
            let id = envelope.id;
            let now = self.moment();
            match apply_as_drawn(&mut self.garden.replica, &envelope, who, now) {
                Ok(applied) => {
                    self.stood += 1;
                    let change = applied.change.map(|change| (applied.document, change));
                    self.garden.changes.extend(change);
                }
                Err(_refused) => self.refused += 1,
            }
            let drawer = self.drawers.iter_mut().find(|it| it.who == who).unwrap();
            // Answered: it waits no more, and what was refused is set aside with its reason.
            answered(&mut drawer.copy, id, &self.garden, now);
        }
        self.everything_goes_down();
    }

    fn somebody_draws(&mut self) {
        let turn = self.chance.below(self.drawers.len());
        let now = self.moment();
        let drawer = &mut self.drawers[turn];
        let Some(edits) = something(&mut self.chance, &drawer.copy, now) else {
            return;
        };
        for edit in edits {
            let id = EditId::fresh(now, self.chance.bytes());
            // What this phone's own picture forbids is never written.
            let _may_not = drawer.copy.write(id, GROUND, edit, now);
        }
    }
}

/// Tells a phone what became of an edit.
fn answered(copy: &mut LocalCopy, id: EditId, garden: &SmallGarden, now: Moment) {
    use selion_core::policy::{RefusalCode, Refused};
    use selion_core::sync::frame::{Answer, Verdict};
    let stands = garden.replica.edits(GROUND).contains(&id);
    let verdict = if stands {
        Verdict::Accepted {
            document: GROUND,
            sequence: None,
            told: None,
        }
    } else {
        Verdict::Refused(Refused::new(
            RefusalCode::Changed,
            "It looks otherwise by now.",
        ))
    };
    let answers = vec![Answer {
        edit: id,
        verdict,
        again: false,
    }];
    copy.take(&ServerFrame::Answers { answers }, now);
}

fn rectangle(chance: &mut Chance) -> Outline {
    let corner = Point::from_mm(chance.between(0, 40_000), chance.between(0, 40_000));
    let (width, depth) = (chance.between(800, 8_000), chance.between(800, 4_000));
    let turn = Turn::from_degrees(i32::try_from(chance.between(0, 179)).unwrap());
    Outline::turned_rectangle(corner, Length::from_mm(width), Length::from_mm(depth), turn).unwrap()
}

/// Anything that somebody may do to the ground, and now and then an undo of it in the same breath.
fn something(chance: &mut Chance, copy: &LocalCopy, now: Moment) -> Option<Vec<Edit>> {
    let edit = one_edit(chance, copy, now)?;
    if chance.in_a_thousand(150) {
        let back = undo::inverse(copy.garden(), &edit, day("2026-05-01"))?;
        return Some(std::iter::once(edit).chain(back).collect());
    }
    Some(vec![edit])
}

pub(crate) fn one_edit(chance: &mut Chance, copy: &LocalCopy, now: Moment) -> Option<Edit> {
    let beds: Vec<BedId> = copy.garden().beds.keys().copied().collect();
    let bed = *chance.pick(&beds)?;
    if chance.below(12) < 8 {
        of_a_bed(chance, copy, bed, now)
    } else {
        of_what_stands_there(chance, copy, now)
    }
}

fn of_a_bed(chance: &mut Chance, copy: &LocalCopy, bed: BedId, now: Moment) -> Option<Edit> {
    let beds = &copy.garden().beds;
    let stood = beds[&bed].outline.clone();
    let label = format!("N{}", chance.between(1, 60));
    let today = day("2026-05-01");
    let field = match chance.below(8) {
        0 => {
            return Some(Edit::AddBed {
                bed: BedId::fresh(now, chance.bytes()),
                label,
                outline: rectangle(chance),
                holders: Map::new(),
            });
        }
        1 => BedField::Outline(rectangle(chance)),
        2 => BedField::Label(label),
        3 => BedField::EndedOn(Some(today)),
        4 => BedField::EndedOn(None),
        5 => {
            let turn = Turn::from_degrees(i32::try_from(chance.between(1, 359)).unwrap());
            BedField::Outline(stood.turned(turn, stood.bounds().centre()).ok()?)
        }
        6 => return cut(chance, bed, stood, &label, now),
        _ => {
            let others: Vec<BedId> = beds.keys().copied().collect();
            let with = *chance.pick(&others)?;
            let seen_with = beds[&with].outline.clone();
            return Some(Edit::MergeBeds {
                bed,
                outline: joined(&stood, &seen_with).ok()?,
                seen: stood,
                with,
                seen_with,
                holders: Map::new(),
                on: today,
            });
        }
    };
    Some(Edit::ChangeBed {
        bed,
        set: vec![field],
    })
}

fn cut(chance: &mut Chance, bed: BedId, seen: Outline, label: &str, now: Moment) -> Option<Edit> {
    let from = seen.label_point();
    let to = Point::from_mm(
        from.x.mm() + chance.between(-500, 500),
        from.y.mm() + chance.between(-500, 500),
    );
    let mut parts = split(&seen, Run { from, to }).ok()?;
    let outline = parts.remove(0);
    let pieces = (1..).zip(parts).map(|(number, outline)| {
        let label = format!("{label}.{number}");
        (BedId::fresh(now, chance.bytes()), Piece { label, outline })
    });
    Some(Edit::SplitBed {
        bed,
        pieces: pieces.collect(),
        seen,
        outline,
    })
}

fn of_what_stands_there(chance: &mut Chance, copy: &LocalCopy, now: Moment) -> Option<Edit> {
    let structures: Vec<StructureId> = copy.garden().structures.keys().copied().collect();
    let fences: Vec<FenceId> = copy.garden().fence_lines.keys().copied().collect();
    let what = StructureFacts {
        kind: *chance.pick(&StructureKind::ALL)?,
        facing: Some(chance.between(0, 359)),
        ..StructureFacts::default()
    };
    let structure = *chance.pick(&structures)?;
    Some(match chance.below(4) {
        0 => {
            let centre = Point::from_mm(0, chance.between(0, 9_000));
            Edit::DrawStructure {
                structure: StructureId::fresh(now, chance.bytes()),
                label: "Thing".to_owned(),
                outline: Outline::circle(centre, Length::from_mm(900)).ok()?,
                what,
            }
        }
        1 => Edit::ChangeStructure {
            structure,
            set: vec![
                StructureField::What(what),
                StructureField::Outline(rectangle(chance)),
            ],
        },
        2 => Edit::EndStructure {
            structure,
            on: day("2026-05-01"),
        },
        _ => {
            let points = [0, 4_000, 9_000].map(|x| Point::from_mm(x, chance.between(0, 30_000)));
            Edit::ChangeFenceLine {
                fence: *chance.pick(&fences)?,
                set: vec![FenceField::Line(Line::new(points.to_vec()).ok()?)],
            }
        }
    })
}

#[test]
fn five_hundred_changes_by_three_people_offline_leave_one_ground() {
    for seed in 0..3 {
        let mut together = Together::new(seed);
        for number in 1..=EDITS {
            together.somebody_draws();
            if number % BETWEEN_SIGNALS == 0 {
                together.everything_goes_up();
            }
        }
        together.everything_goes_up();
        let ground = together.garden.replica.garden();
        for drawer in &together.drawers {
            assert!(drawer.copy.outbox().waiting().is_empty());
            assert_eq!(drawer.copy.garden(), ground, "seed {seed}");
            let heads = drawer.copy.confirmed().heads(GROUND);
            assert_eq!(heads, together.garden.replica.heads(GROUND));
        }
        assert!(together.stood > 200, "{} stood", together.stood);
        assert!(together.refused > 5, "{} were refused", together.refused);
        assert!(ground.beds.len() > 20);
    }
}
