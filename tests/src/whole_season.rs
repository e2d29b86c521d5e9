//! A year of a large garden, always the same: what loads and sizes are measured on.
//!
//! Thirty beds, sixty people, two thousand tasks with claims and completions, three thousand pickings.

use selion_core::document::edit::Claimable;
use selion_core::document::ids::{BedId, ClaimId, EditId, GardenId, MemberId, PickingId, TaskId};
use selion_core::document::records::{Picked, Role};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::geometry::{Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Currency, Day, Length, Mass, Minutes, Moment, Units};
use selion_core::sync::{GardenStart, Replica};

use crate::chance::Chance;
use crate::loopback::Outcome;

/// The year of it.
pub const YEAR: i16 = 2026;
/// Its season.
pub const SEASON: DocumentName = DocumentName::Season(YEAR);

const BEDS: i64 = 30;
const PEOPLE: usize = 60;
const TASKS: usize = 2_000;
const PICKINGS: usize = 3_000;
/// The first of March, and nine months.
const BEGIN: i64 = 1_772_323_200_000;
const SPAN: i64 = 270 * 86_400_000;

/// The garden at the end of its year.
#[derive(Debug)]
pub struct WholeSeason {
    /// The service's copy.
    pub replica: Replica,
    /// Every change of every document, in order.
    pub log: Map<DocumentName, Vec<Vec<u8>>>,
    /// How many edits it took.
    pub edits: usize,
    /// The people; the first is the coordinator.
    pub people: Vec<MemberId>,
    chance: Chance,
    now: Moment,
}

impl WholeSeason {
    /// Lives through the whole year.
    pub fn new() -> Outcome<Self> {
        let mut season = Self::begin()?;
        season.people()?;
        let beds = season.beds()?;
        // Work and picking go on side by side, as they do.
        for step in 0..TASKS.max(PICKINGS) {
            season.now = Moment::from_millis(BEGIN + SPAN / 3_000 * i64::try_from(step)?);
            if step < TASKS {
                season.task(&beds)?;
            }
            if step < PICKINGS {
                season.picking(&beds)?;
            }
        }
        Ok(season)
    }

    fn begin() -> Outcome<Self> {
        let mut chance = Chance::of_seed(2_026);
        let now = Moment::from_millis(BEGIN);
        let coordinator = MemberId::fresh(now, chance.bytes());
        let start = GardenStart {
            garden: GardenId::fresh(now, chance.bytes()),
            name: "Long Acre".to_owned(),
            units: Units::Metric,
            currency: Currency::new("EUR")?,
            time_zone: "Europe/Lisbon".to_owned(),
            year: YEAR,
            coordinator,
            coordinator_name: "Ines".to_owned(),
            edit: EditId::fresh(now, chance.bytes()),
        };
        let (replica, changes) = Replica::begin(start, [7; 16], now)?;
        let mut log: Map<DocumentName, Vec<Vec<u8>>> = Map::new();
        for (name, bytes) in changes {
            log.entry(name).or_default().push(bytes);
        }
        let people = vec![coordinator];
        Ok(Self {
            replica,
            log,
            edits: 0,
            people,
            chance,
            now,
        })
    }

    /// A further edit, with an id of its own.
    pub fn envelope(&mut self, document: DocumentName, edit: Edit) -> Envelope {
        Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(self.now, self.chance.bytes()),
            garden: self.replica.garden_id(),
            document,
            written_at: self.now,
            edit,
        }
    }

    /// A task somebody might put up next.
    pub fn next_task(&mut self) -> Edit {
        Edit::AddTask {
            task: TaskId::fresh(self.now, self.chance.bytes()),
            title: "Hoe between the rows".to_owned(),
            bed: None,
            day: None,
            places: 1,
            minutes: Minutes::new(30),
            job: None,
            note: String::new(),
        }
    }

    /// Applies an edit that has to stand.
    pub fn does(&mut self, who: MemberId, document: DocumentName, edit: Edit) -> Outcome<()> {
        let envelope = self.envelope(document, edit);
        let applied = self.replica.apply(&envelope, who, self.now)?;
        self.edits += 1;
        self.log.entry(document).or_default().extend(applied.change);
        Ok(())
    }

    fn coordinator(&self) -> Outcome<MemberId> {
        Ok(*self.people.first().ok_or("nobody is there")?)
    }

    fn somebody(&mut self) -> Outcome<MemberId> {
        Ok(*self.chance.pick(&self.people).ok_or("nobody is there")?)
    }

    fn people(&mut self) -> Outcome<()> {
        let coordinator = self.coordinator()?;
        for number in 1..PEOPLE {
            let member = MemberId::fresh(self.now, self.chance.bytes());
            let role = if number % 3 == 0 {
                Role::Helper
            } else {
                Role::Member
            };
            let name = format!("Member {number}");
            self.does(
                coordinator,
                DocumentName::Ground,
                Edit::AddMember { member, name, role },
            )?;
            self.people.push(member);
        }
        Ok(())
    }

    fn beds(&mut self) -> Outcome<Vec<BedId>> {
        let coordinator = self.coordinator()?;
        let mut beds = Vec::new();
        for number in 0..BEDS {
            let bed = BedId::fresh(self.now, self.chance.bytes());
            let corner = Point::from_mm(number % 6 * 8_000, number / 6 * 3_000);
            let width = Length::from_mm(self.chance.between(4_000, 7_500));
            let holder = self.somebody()?;
            let edit = Edit::AddBed {
                bed,
                label: format!("B{number}"),
                outline: Outline::rectangle(corner, width, Length::from_mm(1_200))?,
                holders: Map::from([(holder, 1)]),
            };
            self.does(coordinator, DocumentName::Ground, edit)?;
            beds.push(bed);
        }
        Ok(beds)
    }

    fn day(&self) -> Day {
        self.now.day_in_utc()
    }

    /// A task is put up, mostly claimed, mostly done.
    fn task(&mut self, beds: &[BedId]) -> Outcome<()> {
        let coordinator = self.coordinator()?;
        let task = TaskId::fresh(self.now, self.chance.bytes());
        let places = u32::try_from(self.chance.between(1, 3))?;
        let edit = Edit::AddTask {
            task,
            title: "Hoe between the rows".to_owned(),
            bed: self.chance.pick(beds).copied(),
            day: Some(self.day()),
            places,
            minutes: Minutes::new(self.chance.between(10, 120)),
            job: None,
            note: String::new(),
        };
        self.does(coordinator, SEASON, edit)?;
        let of = Claimable::Task(task);
        let first = self.chance.below(PEOPLE);
        for (nth, member) in self
            .people
            .clone()
            .into_iter()
            .cycle()
            .skip(first)
            .take(2)
            .enumerate()
        {
            if self.chance.in_a_thousand(250) {
                continue;
            }
            let claim = ClaimId::fresh(self.now, self.chance.bytes());
            self.does(member, SEASON, Edit::Claim { of, claim })?;
            let holds = u32::try_from(nth)? < places;
            if holds && self.chance.in_a_thousand(850) {
                let minutes = Minutes::new(self.chance.between(10, 150));
                let word = if self.chance.in_a_thousand(200) {
                    "Stony at the far end"
                } else {
                    ""
                };
                let (on, word) = (self.day(), word.to_owned());
                self.does(
                    member,
                    SEASON,
                    Edit::Done {
                        of,
                        claim,
                        minutes,
                        on,
                        word,
                    },
                )?;
            }
        }
        Ok(())
    }

    fn picking(&mut self, beds: &[BedId]) -> Outcome<()> {
        let who = self.somebody()?;
        let crop = *self
            .chance
            .pick(&["Beans", "Chard", "Kale", "Peas", "Beetroot"])
            .ok_or("nothing grows")?;
        let edit = Edit::LogPicking {
            picking: PickingId::fresh(self.now, self.chance.bytes()),
            bed: *self.chance.pick(beds).ok_or("no bed")?,
            day: self.day(),
            crop: crop.to_owned(),
            mass: Mass::from_grams(self.chance.between(100, 4_000)),
            picked: Picked::Kept,
            turn: None,
            word: String::new(),
        };
        self.does(who, SEASON, edit)
    }
}
