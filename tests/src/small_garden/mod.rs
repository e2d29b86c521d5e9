//! A small invented garden for checks: four people, three beds, and one of everything that can be written down.
//!
//! Ines keeps it, Wren holds bed A1, Tomasz bed A2, Ash comes to help; bed C1 is common.

mod every_edit;
pub(crate) mod ids;
pub(crate) mod orders;
mod plan;
mod soil;

pub(crate) use every_edit::{KINDS, day, every_edit, kind, rectangle};
pub(crate) use plan::carrots;

use selion_core::document::edit::Claimable;
use selion_core::document::ids::{EditId, MemberId};
use selion_core::document::records::{EntryKind, Payer, Picked, Role};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::geometry::{Line, Outline, Point};
use selion_core::ordered::Map;
use selion_core::policy::{Judges, RefusalCode, Refused};
use selion_core::quantities::{Currency, Mass, Minutes, Moment, Money, Units};
use selion_core::sync::{Applied, FirstChange, GardenStart, Replica};

use ids::NOW;

/// The year that is open.
pub(crate) const YEAR: i16 = 2026;
pub(crate) const GROUND: DocumentName = DocumentName::Ground;
pub(crate) const SEASON: DocumentName = DocumentName::Season(YEAR);
pub(crate) const LEDGER: DocumentName = DocumentName::Ledger(YEAR);

/// The coordinator.
pub(crate) fn ines() -> MemberId {
    ids::member(1)
}

/// A member, who holds bed A1.
pub(crate) fn wren() -> MemberId {
    ids::member(2)
}

/// A helper.
pub(crate) fn ash() -> MemberId {
    ids::member(3)
}

/// A member, who holds bed A2.
pub(crate) fn tomasz() -> MemberId {
    ids::member(4)
}

/// The service's copy of the small garden.
pub(crate) struct SmallGarden {
    pub(crate) replica: Replica,
    /// Every change so far, in order.
    pub(crate) changes: Vec<FirstChange>,
    edits: u64,
}

/// Applies an edit, and holds it against what a phone shows of the same edit while it waits.
pub(crate) fn apply_as_drawn(
    replica: &mut Replica,
    envelope: &Envelope,
    who: MemberId,
    now: Moment,
) -> Result<Applied, Refused> {
    let mut drawn = replica.garden().clone();
    let shown = replica.draw(Judges::ALL, &mut drawn, envelope, who);
    let applied = replica.apply(envelope, who, now);
    // What only the stored document cannot take is for the service alone to find, and is set aside then.
    if let Err(refused) = &applied
        && refused.code == RefusalCode::Failed
    {
        return applied;
    }
    assert_eq!(shown.err(), applied.as_ref().err().cloned());
    assert!(
        drawn == *replica.garden(),
        "a phone shows something else than what is then read back: {:?}",
        envelope.edit
    );
    applied
}

impl SmallGarden {
    /// A garden with Ines alone.
    pub(crate) fn bare() -> Self {
        let start = GardenStart {
            garden: ids::garden(1),
            name: "Sorrel Bank".to_owned(),
            units: Units::Metric,
            currency: Currency::new("USD").unwrap(),
            time_zone: "Europe/Lisbon".to_owned(),
            year: YEAR,
            coordinator: ines(),
            coordinator_name: "Ines".to_owned(),
            edit: ids::edit(1),
        };
        let (replica, changes) = Replica::begin(start, [7; 16], NOW).unwrap();
        Self {
            replica,
            changes,
            edits: 0,
        }
    }

    /// The garden with its people, beds, work and money.
    pub(crate) fn new() -> Self {
        let mut garden = Self::bare();
        garden.last_year();
        garden.people_and_ground();
        garden.work();
        garden.picking_and_hours();
        garden.money();
        garden.soil();
        garden.plan();
        garden
    }

    /// Applies an edit that has to stand.
    pub(crate) fn does(&mut self, who: MemberId, document: DocumentName, edit: Edit) -> Applied {
        self.tries(who, document, edit).unwrap()
    }

    /// Has an edit judged and, if it stands, applied.
    pub(crate) fn tries(
        &mut self,
        who: MemberId,
        document: DocumentName,
        edit: Edit,
    ) -> Result<Applied, Refused> {
        let envelope = self.envelope(document, edit);
        let applied = apply_as_drawn(&mut self.replica, &envelope, who, NOW)?;
        let change = applied.change.clone();
        self.changes
            .extend(change.map(|change| (applied.document, change)));
        Ok(applied)
    }

    /// An envelope with a fresh id.
    pub(crate) fn envelope(&mut self, document: DocumentName, edit: Edit) -> Envelope {
        self.edits += 1;
        let mut chance = [100; 10];
        chance[2..].copy_from_slice(&self.edits.to_be_bytes());
        Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(NOW, chance),
            garden: ids::garden(1),
            document,
            written_at: NOW,
            edit,
        }
    }

    /// All documents as bytes.
    pub(crate) fn saved(&self) -> Map<DocumentName, Vec<u8>> {
        let names = self.replica.names().into_iter();
        names
            .map(|name| (name, self.replica.save(name).unwrap()))
            .collect()
    }

    /// The year before, of which nothing is kept but that it was.
    fn last_year(&mut self) {
        self.does(ines(), GROUND, Edit::OpenYear { year: YEAR - 1 });
        let begun = self.replica.begin_missing(NOW).unwrap();
        self.changes.extend(begun);
    }

    fn people_and_ground(&mut self) {
        for (member, name, role) in [
            (wren(), "Wren", Role::Member),
            (ash(), "Ash", Role::Helper),
            (tomasz(), "Tomasz", Role::Member),
        ] {
            let name = name.to_owned();
            self.does(ines(), GROUND, Edit::AddMember { member, name, role });
        }
        for (number, label, outline, holder) in [
            (1, "A1", rectangle(0, 0, 6_000, 1_200), Some(wren())),
            (2, "A2", rectangle(0, 3_000, 8_000, 1_200), Some(tomasz())),
            (3, "C1", rectangle(0, 6_000, 10_000, 2_000), None),
        ] {
            self.add_bed(number, label, outline, holder);
        }
        self.does(
            ines(),
            GROUND,
            Edit::AddStructure {
                structure: ids::structure(1),
                label: "Shed".to_owned(),
                outline: rectangle(15_000, 0, 3_000, 2_000),
            },
        );
        let corners = vec![Point::from_mm(0, 30_000), Point::from_mm(20_000, 30_000)];
        self.does(
            ines(),
            GROUND,
            Edit::AddFenceLine {
                fence: ids::fence(1),
                label: "North fence".to_owned(),
                line: Line::new(corners).unwrap(),
                gates: Map::new(),
            },
        );
    }

    fn add_bed(&mut self, number: u8, label: &str, outline: Outline, holder: Option<MemberId>) {
        self.does(
            ines(),
            GROUND,
            Edit::AddBed {
                bed: ids::bed(number),
                label: label.to_owned(),
                outline,
                holders: holder.into_iter().map(|holder| (holder, 1)).collect(),
            },
        );
    }

    /// Task 1 has two places: Ines holds one (claim 1), Wren did hers (claim 2). Task 2 is free, Wren put task 3 up.
    fn work(&mut self) {
        for (number, by, title, places) in [
            (1, ines(), "Hoe the common bed", 2),
            (2, ines(), "Mend the barrow", 1),
            (3, wren(), "Water the seedlings", 1),
        ] {
            self.add_task(by, number, title, places);
        }
        let of = Claimable::Task(ids::task(1));
        for (who, claim) in [(ines(), ids::claim(1)), (wren(), ids::claim(2))] {
            self.does(who, SEASON, Edit::Claim { of, claim });
        }
        self.does(
            wren(),
            SEASON,
            Edit::Done {
                of,
                claim: ids::claim(2),
                minutes: Minutes::new(40),
                on: day("2026-04-11"),
                word: "Dry enough".to_owned(),
            },
        );
    }

    /// Puts up a task for any day and place.
    pub(crate) fn add_task(&mut self, by: MemberId, number: u8, title: &str, places: u32) {
        self.does(
            by,
            SEASON,
            Edit::AddTask {
                task: ids::task(number),
                title: title.to_owned(),
                bed: None,
                day: None,
                places,
                minutes: Minutes::new(30),
                job: None,
                note: String::new(),
            },
        );
    }

    fn picking_and_hours(&mut self) {
        for (number, title) in [(1, "Clear the ditch"), (2, "Mend the fence")] {
            self.does(
                ines(),
                SEASON,
                Edit::AddJob {
                    job: ids::job(number),
                    title: title.to_owned(),
                    total: Minutes::new(24 * 60),
                    beds_left_out: Map::new(),
                },
            );
        }
        self.does(
            ines(),
            SEASON,
            Edit::LogHours {
                hours: ids::hours(1),
                job: ids::job(1),
                minutes: Minutes::new(120),
                day: day("2026-03-14"),
                word: String::new(),
            },
        );
        let turn = selion_core::document::edit::NewTurn {
            turn: ids::turn(1),
            bed: ids::bed(3),
            day: day("2026-07-02"),
            holder: None,
        };
        self.does(ines(), SEASON, Edit::AddTurns { turns: vec![turn] });
        self.does(
            ines(),
            SEASON,
            Edit::LogPicking {
                picking: ids::picking(1),
                bed: ids::bed(3),
                day: day("2026-07-02"),
                crop: "Broad beans".to_owned(),
                mass: Mass::from_grams(2_400),
                picked: Picked::Kept,
                turn: Some(ids::turn(1)),
                word: String::new(),
            },
        );
    }

    fn money(&mut self) {
        let (order, new) = orders::lime_and_compost(1);
        self.does(ines(), LEDGER, Edit::AddOrder { order, new });
        self.does(wren(), LEDGER, orders::wish(1, wren(), 120_000));
        let (order, new) = orders::straw(2);
        self.does(ines(), LEDGER, Edit::AddOrder { order, new });
        for who in [wren(), tomasz()] {
            self.does(who, LEDGER, orders::wish(2, who, 3));
        }
        let seen = orders::SHARES_SEEN_2.to_owned();
        let on = day("2026-03-20");
        self.does(ines(), LEDGER, Edit::CloseOrder { order, on, seen });
        self.does(
            ines(),
            LEDGER,
            Edit::AddEntry {
                entry: ids::entry(1),
                from: Payer::Member(wren()),
                to: Payer::Garden,
                kind: EntryKind::Payment,
                amount: Money::from_minor(1_000),
                day: day("2026-04-03"),
                order: None,
                word: "Cash".to_owned(),
            },
        );
        // Wren says that she paid once more; nobody has confirmed it.
        let (from, to) = (Payer::Member(wren()), Payer::Garden);
        self.does(wren(), LEDGER, orders::paid(2, from, to, 700));
        self.does(
            ines(),
            LEDGER,
            Edit::AskCoordinator {
                request: ids::request(1),
                about: None,
                day: day("2026-03-21"),
                text: "Who has the key of the money box?".to_owned(),
            },
        );
    }
}
