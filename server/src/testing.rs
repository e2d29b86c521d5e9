//! A garden over a store in memory, for the tests of accounts and of the hall.

use selion_core::document::ids::{EditId, GardenId, MemberId, TaskId};
use selion_core::document::{DocumentName, Edit, Envelope, Role};
use selion_core::ordered::Map;
use selion_core::quantities::{Currency, Minutes, Moment, Units};
use selion_core::sync::frame::{Answer, ClientFrame, PROTOCOL, ServerFrame};

use crate::accounts::{self, Joined, NewGarden};
use crate::auth::Caller;
use crate::chance;
use crate::config::Limits;
use crate::error::AppError;
use crate::ids::{DeviceId, PersonId};
use crate::rooms::{Arrival, Attendee, Author, Desk, Effect, Hall, SessionId};
use crate::secret::Secret;
use crate::store::Read as _;
use crate::store::memory::MemoryStore;

/// The year the tests' garden has open.
pub(crate) const YEAR: i16 = 2027;

/// A service without threads or sockets.
pub(crate) struct Bench {
    pub(crate) store: MemoryStore,
    pub(crate) hall: Hall,
    pub(crate) limits: Limits,
    pub(crate) now: Moment,
    next_session: u64,
}

/// Somebody on a device, in the garden they came to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Somebody {
    pub(crate) garden: GardenId,
    pub(crate) member: MemberId,
    pub(crate) person: PersonId,
    pub(crate) device: DeviceId,
}

impl Somebody {
    pub(crate) fn caller(self) -> Caller {
        Caller {
            person: self.person,
            device: self.device,
            only_garden: None,
        }
    }

    pub(crate) fn attendee(self) -> Attendee {
        Attendee {
            garden: self.garden,
            member: self.member,
            device: self.device,
        }
    }

    fn author(self) -> Author {
        Author {
            member: self.member,
            device: Some(self.device),
        }
    }
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self::with_limits(Limits::default())
    }

    pub(crate) fn with_limits(limits: Limits) -> Self {
        // 2027-01-15 08:00 in UTC.
        let now = Moment::from_millis(1_800_000_000_000);
        let hall = Hall::new([7; 16], limits.clone());
        Self {
            store: MemoryStore::new(),
            hall,
            limits,
            now,
            next_session: 1,
        }
    }

    pub(crate) fn desk(&mut self) -> Desk<'_> {
        Desk::new(&mut self.store, &mut self.hall, self.now, &self.limits)
    }

    /// The service is killed and started again on the same disk.
    pub(crate) fn restart(&mut self) {
        self.store = self.store.after_restart();
        self.hall = Hall::new([7; 16], self.limits.clone());
    }

    pub(crate) fn advance_minutes(&mut self, minutes: i64) {
        self.now = self.now.plus_millis(minutes * 60_000);
    }

    /// A new garden with its first coordinator.
    pub(crate) fn garden(&mut self, name: &str) -> Somebody {
        let secret = accounts::new_garden_invite(&mut self.desk())
            .unwrap()
            .secret;
        let joined = accounts::found(&mut self.desk(), &secret, new_garden(name), None).unwrap();
        self.somebody(&joined)
    }

    /// A further member on a device of theirs.
    pub(crate) fn member(&mut self, by: Somebody, name: &str, role: Role) -> Somebody {
        let member = self.add_member(by, name, role);
        let secret = self.invite(by, member);
        let joined = accounts::join(&mut self.desk(), &secret, "phone".to_owned(), None).unwrap();
        self.somebody(&joined)
    }

    pub(crate) fn add_member(&mut self, by: Somebody, name: &str, role: Role) -> MemberId {
        let member = MemberId::fresh(self.now, chance::bytes());
        let edit = Edit::AddMember {
            member,
            name: name.to_owned(),
            role,
        };
        let answers = self.edit(by, DocumentName::Ground, edit);
        assert!(!answers.is_empty());
        member
    }

    pub(crate) fn invite(&mut self, by: Somebody, member: MemberId) -> Secret {
        let made = accounts::invite(&mut self.desk(), (by.person, by.member), by.garden, member);
        made.unwrap().secret
    }

    pub(crate) fn join(
        &mut self,
        secret: &Secret,
        caller: Option<Caller>,
    ) -> Result<Joined, AppError> {
        accounts::join(&mut self.desk(), secret, "another phone".to_owned(), caller)
    }

    pub(crate) fn somebody(&self, joined: &Joined) -> Somebody {
        let enrolled = joined.enrolled.as_ref().expect("a new device");
        let device = self.store.device(enrolled.device).unwrap().unwrap();
        Somebody {
            garden: joined.garden,
            member: joined.member,
            person: device.person,
            device: device.id,
        }
    }

    /// An edit made outside any session.
    pub(crate) fn edit(&mut self, by: Somebody, document: DocumentName, edit: Edit) -> Vec<Answer> {
        let text = self.envelope(by.garden, document, edit).write();
        let taken =
            self.hall
                .take_edits(&mut self.store, self.now, by.garden, by.author(), &[text]);
        taken.unwrap().0
    }

    pub(crate) fn envelope(
        &mut self,
        garden: GardenId,
        document: DocumentName,
        edit: Edit,
    ) -> Envelope {
        Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(self.now, chance::bytes()),
            garden,
            document,
            written_at: self.now,
            edit,
        }
    }

    /// A new task, as an envelope.
    pub(crate) fn task(&mut self, garden: GardenId, title: &str) -> Envelope {
        let task = TaskId::fresh(self.now, chance::bytes());
        let edit = Edit::AddTask {
            task,
            title: title.to_owned(),
            bed: None,
            day: None,
            places: 1,
            minutes: Minutes::new(30),
            job: None,
            note: String::new(),
        };
        self.envelope(garden, DocumentName::Season(YEAR), edit)
    }

    /// The titles of all tasks as a new owner of the disk would read them.
    pub(crate) fn tasks_on_disk(&self, garden: GardenId) -> Vec<String> {
        let mut hall = Hall::new([7; 16], self.limits.clone());
        let picture = hall.picture(&self.store, garden).unwrap();
        let mut titles: Vec<String> = picture.seasons[&YEAR]
            .tasks
            .values()
            .map(|task| task.title.clone())
            .collect();
        titles.sort();
        titles
    }

    /// Opens a session and says nothing yet.
    pub(crate) fn open(&mut self, who: Somebody) -> SessionId {
        let session = SessionId(self.next_session);
        self.next_session += 1;
        let effects = self.turn(vec![Arrival::Opened(session, who.attendee())]);
        assert_eq!(effects, []);
        session
    }

    /// Opens a session that has said hello and seen everything.
    pub(crate) fn greeted(&mut self, who: Somebody) -> SessionId {
        let session = self.open(who);
        let frames = self.say(session, &hello());
        assert!(
            matches!(frames.first(), Some(ServerFrame::Welcome { .. })),
            "{frames:?}"
        );
        session
    }

    pub(crate) fn turn(&mut self, arrivals: Vec<Arrival>) -> Vec<Effect> {
        self.hall.turn(&mut self.store, self.now, arrivals)
    }

    /// Says something and gives back what is answered to that session.
    pub(crate) fn say(&mut self, session: SessionId, frame: &ClientFrame) -> Vec<ServerFrame> {
        let effects = self.turn(vec![Arrival::Frame(session, frame.write())]);
        sent_to(&effects, session)
    }
}

/// The frames that effects send to a session.
pub(crate) fn sent_to(effects: &[Effect], session: SessionId) -> Vec<ServerFrame> {
    let texts = effects.iter().filter_map(|effect| match effect {
        Effect::Send(to, text) if *to == session => Some(ServerFrame::read(text).unwrap()),
        Effect::Send(..) | Effect::Close(..) => None,
    });
    texts.collect()
}

/// The answers among frames.
pub(crate) fn answers(frames: &[ServerFrame]) -> Vec<Answer> {
    let lists = frames.iter().filter_map(|frame| {
        if let ServerFrame::Answers { answers } = frame {
            Some(answers.clone())
        } else {
            None
        }
    });
    lists.flatten().collect()
}

/// Hello from a phone with nothing.
pub(crate) fn hello() -> ClientFrame {
    ClientFrame::Hello {
        protocol: PROTOCOL,
        epoch: None,
        cursors: Map::new(),
    }
}

/// Envelopes as a frame.
pub(crate) fn edits<'a>(envelopes: impl IntoIterator<Item = &'a Envelope>) -> ClientFrame {
    ClientFrame::Edits {
        edits: envelopes.into_iter().map(Envelope::write).collect(),
    }
}

pub(crate) fn new_garden(name: &str) -> NewGarden {
    NewGarden {
        name: name.to_owned(),
        units: Units::Metric,
        currency: Currency::new("EUR").unwrap(),
        time_zone: "Europe/Lisbon".to_owned(),
        year: YEAR,
        your_name: "Rowan".to_owned(),
        device_name: "phone".to_owned(),
    }
}
