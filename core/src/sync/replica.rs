//! A garden's documents together with the picture of them.

use crate::document::ids::{EditId, GardenId, MemberId};
use crate::document::records::{Member, Profile, Role};
use crate::document::stored::{
    ActorBytes, Document, DocumentError, Heads, Write, draw, read_whole, refresh,
};
use crate::document::{DocumentName, Envelope, Garden};
use crate::ordered::Map;
use crate::policy::{Judges, RefusalCode, Refused, Told, judge};
use crate::quantities::{Currency, Moment, Units};

/// A garden's documents and the picture of them, always in step.
#[derive(Clone, Debug)]
pub struct Replica {
    garden_id: GardenId,
    actor: ActorBytes,
    documents: Map<DocumentName, Document>,
    garden: Garden,
}

/// What a garden begins with.
#[derive(Clone, Debug)]
pub struct GardenStart {
    /// The garden's id.
    pub garden: GardenId,
    /// What people call it.
    pub name: String,
    /// The units that amounts are shown in.
    pub units: Units,
    /// The currency of its orders.
    pub currency: Currency,
    /// Its place on the clock.
    pub time_zone: String,
    /// The year that is opened first.
    pub year: i16,
    /// The first coordinator's id.
    pub coordinator: MemberId,
    /// The first coordinator's name.
    pub coordinator_name: String,
    /// The id that marks the first records as one edit.
    pub edit: EditId,
}

/// A change that a document begins with.
pub type FirstChange = (DocumentName, Vec<u8>);

/// An edit that was applied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Applied {
    /// In which document.
    pub document: DocumentName,
    /// The change it made; none when everything already was as the edit wanted it.
    pub change: Option<Vec<u8>>,
    /// Something the author should be told.
    pub told: Option<Told>,
}

impl Replica {
    /// Nothing yet, to be filled from storage or the wire.
    pub fn empty(garden_id: GardenId, actor: ActorBytes) -> Self {
        Self {
            garden_id,
            actor,
            documents: Map::new(),
            garden: Garden::default(),
        }
    }

    /// A new garden, and the changes it begins with.
    pub fn begin(
        start: GardenStart,
        actor: ActorBytes,
        now: Moment,
    ) -> Result<(Self, Vec<FirstChange>), DocumentError> {
        let mut replica = Self::empty(start.garden, actor);
        let mut changes = Vec::new();
        let (mut ground, first) = Document::begin(DocumentName::Ground, actor, now)?;
        changes.push((DocumentName::Ground, first));
        let profile = Profile {
            name: start.name,
            units: start.units,
            currency: start.currency,
            time_zone: start.time_zone,
            north_degrees: 0,
            rules: crate::document::records::GardenRules::default(),
            years: Map::from([(format!("{:04}", start.year), true)]),
            lime: None,
            compost: None,
            latitude: None,
            frost: None,
            accept: Map::new(),
            backdrop: None,
        };
        let coordinator = Member {
            name: start.coordinator_name,
            role: Role::Coordinator,
            ended_on: None,
        };
        let writes = [
            Write::Profile(profile),
            Write::Member(start.coordinator, coordinator),
        ];
        if let Some(made) = ground.write(&writes, start.edit, now)? {
            changes.push((DocumentName::Ground, made.bytes));
        }
        replica.put(ground);
        changes.extend(replica.begin_missing(now)?);
        Ok((replica, changes))
    }

    /// Begins the documents of every open year that are not there yet, and gives their first changes. For the service only.
    pub fn begin_missing(&mut self, now: Moment) -> Result<Vec<FirstChange>, DocumentError> {
        let years = self
            .garden
            .profile
            .as_ref()
            .map(|profile| profile.open_years())
            .unwrap_or_default();
        let mut changes = Vec::new();
        for name in years
            .into_iter()
            .flat_map(|year| [DocumentName::Season(year), DocumentName::Ledger(year)])
        {
            if !self.documents.contains_key(&name) {
                let (document, first) = Document::begin(name, self.actor, now)?;
                changes.push((name, first));
                self.put(document);
            }
        }
        Ok(changes)
    }

    /// Takes a saved document, in place of what was there.
    pub fn load(&mut self, name: DocumentName, bytes: &[u8]) -> Result<(), DocumentError> {
        let document = Document::load(name, bytes, self.actor)?;
        self.put(document);
        Ok(())
    }

    /// Takes further changes of a document, those already there are passed over, and gives the edits that they carry.
    pub fn take_changes<'a>(
        &mut self,
        name: DocumentName,
        changes: impl IntoIterator<Item = &'a [u8]>,
    ) -> Result<Vec<EditId>, DocumentError> {
        let document = self
            .documents
            .entry(name)
            .or_insert_with(|| Document::empty(name, self.actor));
        let brought = document.take_changes(changes)?;
        // A year exists in the picture from its first change on, even while it is empty.
        match name {
            DocumentName::Ground => {}
            DocumentName::Season(year) => {
                self.garden.seasons.entry(year).or_default();
            }
            DocumentName::Ledger(year) => {
                self.garden.ledgers.entry(year).or_default();
            }
        }
        refresh(&mut self.garden, document, &brought.touched);
        Ok(brought.edits)
    }

    /// Judges an edit against the garden as it is now and applies it.
    ///
    /// A refused edit changes nothing.
    pub fn apply(
        &mut self,
        envelope: &Envelope,
        author: MemberId,
        now: Moment,
    ) -> Result<Applied, Refused> {
        self.check_garden(envelope)?;
        let judged = judge(&self.garden, author, envelope)?;
        let name = envelope.document;
        let Some(document) = self.documents.get_mut(&name) else {
            return Err(not_here(name));
        };
        if judged.writes.is_empty() {
            return Ok(Applied {
                document: name,
                change: None,
                told: judged.told,
            });
        }
        let made = document
            .write(&judged.writes, envelope.id, now)
            .map_err(|error| Refused::new(RefusalCode::Failed, format!("{error}.")))?;
        let change = made.map(|made| {
            refresh(&mut self.garden, document, &made.touched);
            made.bytes
        });
        Ok(Applied {
            document: name,
            change,
            told: judged.told,
        })
    }

    /// Judges an edit against a picture and draws on it what the edit will have changed once it is applied. Nothing is
    /// written: a phone shows its waiting edits by this, on a copy of the picture of what is confirmed.
    ///
    /// A refused edit changes nothing.
    pub fn draw(
        &self,
        judges: Judges,
        shown: &mut Garden,
        envelope: &Envelope,
        author: MemberId,
    ) -> Result<(), Refused> {
        self.check_garden(envelope)?;
        let judged = judges.judge(shown, author, envelope)?;
        let Some(document) = self.documents.get(&envelope.document) else {
            return Err(not_here(envelope.document));
        };
        for write in judged.writes {
            draw(shown, document, write);
        }
        Ok(())
    }

    fn check_garden(&self, envelope: &Envelope) -> Result<(), Refused> {
        if envelope.garden == self.garden_id {
            return Ok(());
        }
        Err(Refused::new(
            RefusalCode::WrongPlace,
            "garden: this change is for another garden.",
        ))
    }

    /// The garden as it stood at a moment: looked at, never written.
    pub fn as_of(&self, moment: Moment) -> Result<Garden, DocumentError> {
        let mut garden = Garden::default();
        for document in self.documents.values() {
            if let Some(then) = document.as_of(moment)? {
                read_whole(&mut garden, &then);
            }
        }
        Ok(garden)
    }

    /// Forgets a document and what the picture shows of it.
    pub fn forget(&mut self, name: DocumentName) {
        self.documents.remove(&name);
        self.garden.read_only.remove(&name);
        match name {
            DocumentName::Ground => {
                self.garden = Garden {
                    seasons: std::mem::take(&mut self.garden.seasons),
                    ledgers: std::mem::take(&mut self.garden.ledgers),
                    read_only: std::mem::take(&mut self.garden.read_only),
                    ..Garden::default()
                }
            }
            DocumentName::Season(year) => {
                self.garden.seasons.remove(&year);
            }
            DocumentName::Ledger(year) => {
                self.garden.ledgers.remove(&year);
            }
        }
    }

    /// Which garden this is.
    pub fn garden_id(&self) -> GardenId {
        self.garden_id
    }

    /// The picture.
    pub fn garden(&self) -> &Garden {
        &self.garden
    }

    /// The documents that are here.
    pub fn names(&self) -> Vec<DocumentName> {
        self.documents.keys().copied().collect()
    }

    /// A document's heads.
    pub fn heads(&self, name: DocumentName) -> Heads {
        self.documents
            .get(&name)
            .map(Document::heads)
            .unwrap_or_default()
    }

    /// A document as bytes that are not squeezed together.
    pub fn save_loose(&self, name: DocumentName) -> Option<Vec<u8>> {
        self.documents.get(&name).map(Document::save_loose)
    }

    /// A document as bytes.
    pub fn save(&self, name: DocumentName) -> Option<Vec<u8>> {
        self.documents.get(&name).map(Document::save)
    }

    /// The edits that a document's changes carry.
    pub fn edits(&self, name: DocumentName) -> Vec<EditId> {
        self.documents
            .get(&name)
            .map(Document::edits)
            .unwrap_or_default()
    }

    fn put(&mut self, document: Document) {
        self.garden.read_only.remove(&document.name());
        read_whole(&mut self.garden, &document);
        self.documents.insert(document.name(), document);
    }
}

fn not_here(document: DocumentName) -> Refused {
    Refused::new(
        RefusalCode::YearNotOpen,
        format!("The {document} is not here yet."),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::edit::{Claimable, Edit, NoteBase, NoteOf};
    use crate::document::ids::{ClaimId, TaskId};
    use crate::document::records::{Place, Standing};
    use crate::quantities::Minutes;

    const NOW: Moment = Moment::from_millis(1_780_000_000_000);

    /// A garden with its coordinator Ines, and an edit written by her.
    struct Bench {
        replica: Replica,
        changes: Vec<(DocumentName, Vec<u8>)>,
        ines: MemberId,
        next: u8,
    }

    impl Bench {
        fn new() -> Self {
            let ines = MemberId::fresh(NOW, [1; 10]);
            let start = GardenStart {
                garden: GardenId::fresh(NOW, [2; 10]),
                name: "Sorrel Bank".to_owned(),
                units: Units::UsCustomary,
                currency: Currency::new("USD").unwrap(),
                time_zone: "America/Halifax".to_owned(),
                year: 2026,
                coordinator: ines,
                coordinator_name: "Ines".to_owned(),
                edit: EditId::fresh(NOW, [3; 10]),
            };
            let (replica, changes) = Replica::begin(start, [7; 16], NOW).unwrap();
            Self {
                replica,
                changes,
                ines,
                next: 10,
            }
        }

        fn chance(&mut self) -> [u8; 10] {
            self.next += 1;
            [self.next; 10]
        }

        fn envelope(&mut self, document: DocumentName, edit: Edit) -> Envelope {
            let id = EditId::fresh(NOW, self.chance());
            Envelope {
                version: Envelope::VERSION,
                id,
                garden: self.replica.garden_id(),
                document,
                written_at: NOW,
                edit,
            }
        }

        fn season(&mut self, by: MemberId, edit: Edit) -> Result<Applied, Refused> {
            let envelope = self.envelope(DocumentName::Season(2026), edit);
            let applied = self.replica.apply(&envelope, by, NOW)?;
            self.changes.extend(
                applied
                    .change
                    .clone()
                    .map(|change| (applied.document, change)),
            );
            Ok(applied)
        }

        fn add_member(&mut self, name: &str, role: Role) -> MemberId {
            let member = MemberId::fresh(NOW, self.chance());
            let envelope = self.envelope(
                DocumentName::Ground,
                Edit::AddMember {
                    member,
                    name: name.to_owned(),
                    role,
                },
            );
            let applied = self.replica.apply(&envelope, self.ines, NOW).unwrap();
            self.changes
                .extend(applied.change.map(|change| (DocumentName::Ground, change)));
            member
        }

        fn add_task(&mut self, places: u32, note: &str) -> TaskId {
            let task = TaskId::fresh(NOW, self.chance());
            let edit = Edit::AddTask {
                task,
                title: "Hoe between the bean rows".to_owned(),
                bed: None,
                day: None,
                places,
                minutes: Minutes::new(30),
                job: None,
                note: note.to_owned(),
            };
            self.season(self.ines, edit).unwrap();
            task
        }
    }

    #[test]
    fn one_place_and_two_people_the_first_to_arrive_holds_it_and_the_other_is_told() {
        let mut bench = Bench::new();
        let tomasz = bench.add_member("Tomasz", Role::Helper);
        let task = bench.add_task(1, "");
        let of = Claimable::Task(task);
        let (first, second) = (ClaimId::fresh(NOW, [50; 10]), ClaimId::fresh(NOW, [51; 10]));
        assert_eq!(
            bench
                .season(tomasz, Edit::Claim { of, claim: first })
                .unwrap()
                .told,
            Some(Told::Holds)
        );
        assert_eq!(
            bench
                .season(bench.ines, Edit::Claim { of, claim: second })
                .unwrap()
                .told,
            Some(Told::StandsBy(1))
        );
        bench
            .season(tomasz, Edit::GiveBack { of, claim: first })
            .unwrap();
        let (_, task) = bench.replica.garden().task(task).unwrap();
        assert_eq!(task.claim_of(bench.ines).unwrap().2, Standing::Holds);
    }

    #[test]
    fn another_replica_fed_the_changes_ends_equal() {
        let mut bench = Bench::new();
        let wren = bench.add_member("Wren", Role::Member);
        let task = bench.add_task(2, "Bring the long hoe");
        bench
            .season(
                wren,
                Edit::Claim {
                    of: Claimable::Task(task),
                    claim: ClaimId::fresh(NOW, [50; 10]),
                },
            )
            .unwrap();
        let mut other = Replica::empty(bench.replica.garden_id(), [9; 16]);
        for (name, change) in &bench.changes {
            other.take_changes(*name, [change.as_slice()]).unwrap();
        }
        assert_eq!(other.garden(), bench.replica.garden());
        for name in bench.replica.names() {
            assert_eq!(other.heads(name), bench.replica.heads(name));
            let mut loaded = Replica::empty(bench.replica.garden_id(), [9; 16]);
            loaded
                .load(name, &bench.replica.save(name).unwrap())
                .unwrap();
            assert_eq!(loaded.heads(name), bench.replica.heads(name));
        }
    }

    #[test]
    fn two_people_write_the_same_note_at_once_and_both_their_words_survive() {
        let mut bench = Bench::new();
        let wren = bench.add_member("Wren", Role::Member);
        let task = bench.add_task(1, "water the beans");
        let heads = bench.replica.heads(DocumentName::Season(2026)).0;
        let note = |text: &str, after| Edit::WriteNote {
            of: NoteOf::Task(task),
            text: text.to_owned(),
            base: NoteBase {
                heads: heads.clone(),
                after,
            },
        };
        bench
            .season(bench.ines, note("water the runner beans", None))
            .unwrap();
        bench
            .season(wren, note("water the beans before noon", None))
            .unwrap();
        assert_eq!(
            bench.replica.garden().task(task).unwrap().1.note,
            "water the runner beans before noon"
        );
    }

    #[test]
    fn a_second_note_by_the_same_person_offline_is_not_entered_twice() {
        let mut bench = Bench::new();
        let task = bench.add_task(1, "one");
        let heads = bench.replica.heads(DocumentName::Season(2026)).0;
        let note = |text: &str, after| Edit::WriteNote {
            of: NoteOf::Task(task),
            text: text.to_owned(),
            base: NoteBase {
                heads: heads.clone(),
                after,
            },
        };
        let first = bench.envelope(DocumentName::Season(2026), note("one two", None));
        bench.replica.apply(&first, bench.ines, NOW).unwrap();
        bench
            .season(bench.ines, note("one two three", Some(first.id)))
            .unwrap();
        assert_eq!(
            bench.replica.garden().task(task).unwrap().1.note,
            "one two three"
        );
    }

    #[test]
    fn what_a_role_may_not_do_is_refused_and_changes_nothing() {
        let mut bench = Bench::new();
        let helper = bench.add_member("Ash", Role::Helper);
        let before = bench.replica.garden().clone();
        let edit = Edit::AddTask {
            task: TaskId::fresh(NOW, [60; 10]),
            title: "Move the piles".to_owned(),
            bed: None,
            day: None,
            places: 1,
            minutes: Minutes::ZERO,
            job: None,
            note: String::new(),
        };
        assert_eq!(
            bench.season(helper, edit).unwrap_err().code,
            RefusalCode::NotAllowed
        );
        assert_eq!(*bench.replica.garden(), before);
    }
}
