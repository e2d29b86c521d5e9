//! Simulated phones, service, disks and clocks, all of it from one seed and in one thread.
//!
//! The phones run the real `LocalCopy` and `Session`, the service runs the real `Hall`; everything between and below them
//! is played: sockets that break, requests that are lost, frames that come twice, disks that fail, phones that die with
//! writes under way, clocks that are wrong. Nothing here waits: the clock jumps to whatever happens next.

mod faults;
mod final_checks;
mod people;
mod phone;
mod planners;
mod service;
mod step_checks;
mod storage;
mod wires;

pub(crate) use faults::Faults;

use std::collections::BTreeMap;

use selion_core::document::edit::NoteOf;
use selion_core::document::ids::{EditId, MemberId};
use selion_core::document::{DocumentName, Edit, Envelope, Garden};
use selion_core::policy::Refused;
use selion_core::quantities::Moment;
use selion_core::sync::vault::Keep;
use selion_core::sync::{Effect, Event, LocalCopy, Notice, Row};
use selion_server::config::Limits;
use selion_server::rooms::{Arrival, SessionId};

use crate::chance::Chance;
use crate::small_garden::{SmallGarden, ids};
use phone::Phone;
use service::Service;
use wires::{Down, Up, Wire};

/// Something that will happen.
#[derive(Debug)]
enum Happening {
    /// The service takes its turn over what arrived.
    Turn,
    /// Something reaches the service over a wire.
    Up(u64, Up),
    /// Something reaches a phone over a wire.
    Down(u64, Down),
    /// The time a session asked for has come.
    Tick {
        phone: usize,
        life: u64,
        number: u64,
    },
    /// A phone's disk has a commit.
    Kept {
        phone: usize,
        life: u64,
        commit: u64,
        edits: Vec<EditId>,
        by_other_tab: bool,
    },
    /// Somebody does something on a phone.
    Act(usize),
    /// A phone dies: empty battery, program thrown out.
    Dies(usize),
    /// The program is opened.
    Opens(usize),
    /// The signal goes.
    SignalGoes(usize),
    /// The signal comes back.
    SignalComes(usize),
    /// A phone's clock is set.
    ClockSet(usize),
    /// A phone is signed out.
    Revoke(usize),
    /// The service's program dies, and is started again later.
    ServiceDies,
    ServiceStarts,
    BackUp,
    /// The service's disk is lost and an older backup put back.
    Restore,
}

/// Something that happens to some phone, or, whichever is drawn, to the service.
type Trouble = fn(usize) -> Happening;

/// What is known of an edit that somebody wrote.
#[derive(Clone, Debug)]
pub(crate) struct Written {
    pub(crate) phone: usize,
    pub(crate) envelope: Envelope,
    /// Whether the phone ever said that it is saved.
    pub(crate) said_saved: bool,
    /// Whether its author dropped it or did it again after it was set aside.
    pub(crate) put_away: bool,
    /// The word it added to a note.
    pub(crate) word: Option<(NoteOf, String)>,
}

/// The simulated world.
pub(crate) struct World {
    pub(crate) chance: Chance,
    pub(crate) now: i64,
    pub(crate) service: Service,
    pub(crate) phones: Vec<Phone>,
    pub(crate) faults: Faults,
    /// Every edit that was ever written, by whomever.
    pub(crate) written: BTreeMap<EditId, Written>,
    agenda: BTreeMap<(i64, u64), Happening>,
    counted: u64,
    wires: BTreeMap<u64, Wire>,
    arrivals: Vec<Arrival>,
    exchanges: Vec<SessionId>,
    turn_is_planned: bool,
    decided: Garden,
    counts: BTreeMap<&'static str, u64>,
}

impl World {
    /// The small garden on a service, with a phone for each of these members; all of them are open and in touch.
    pub(crate) fn new(seed: u64, faults: Faults, members: &[MemberId]) -> Self {
        let mut chance = Chance::of_seed(seed);
        let limits = Limits {
            changes_between_snapshots: 12,
            edits_in_commit: 7,
            ..Limits::default()
        };
        let garden = SmallGarden::new();
        let mut service = Service::new(&garden.changes, chance.branch(), limits);
        let mut phones = Vec::new();
        for (number, member) in (1..).zip(members) {
            service.enrol(number, *member, ids::NOW);
            phones.push(Phone::new(number, *member));
        }
        let mut world = Self {
            chance,
            now: ids::NOW.millis(),
            service,
            phones,
            faults: Faults::none(),
            written: BTreeMap::new(),
            agenda: BTreeMap::new(),
            counted: 0,
            wires: BTreeMap::new(),
            arrivals: Vec::new(),
            exchanges: Vec::new(),
            turn_is_planned: false,
            decided: garden.replica.garden().clone(),
            counts: BTreeMap::new(),
        };
        for phone in 0..world.phones.len() {
            world.plan(0, Happening::Opens(phone));
        }
        world.run_for(5_000);
        world.faults = faults;
        world
    }

    /// Lets people work for a while amid all the troubles of this run.
    pub(crate) fn live(&mut self, millis: i64, acts: usize) {
        let faults = self.faults;
        let phones = self.phones.len();
        for phone in &mut self.phones {
            phone.sockets = !self.chance.in_a_thousand(faults.no_sockets);
            phone.ahead = self.chance.between(-120_000, 120_000);
        }
        self.service.failing_commits = faults.failing_commits;
        let plans: [(usize, Trouble); 8] = [
            (acts, Happening::Act),
            (faults.deaths, Happening::Dies),
            (faults.dead_zones, Happening::SignalGoes),
            (faults.clocks_set, Happening::ClockSet),
            (faults.revoked, Happening::Revoke),
            (faults.service_deaths, |_| Happening::ServiceDies),
            (faults.restores, |_| Happening::Restore),
            (3, |_| Happening::BackUp),
        ];
        for (times, happening) in plans {
            for _ in 0..times {
                let (at, phone) = (self.chance.between(0, millis), self.chance.below(phones));
                self.plan(at, happening(phone));
            }
        }
        self.restart_service();
        self.run_for(millis);
    }

    /// All troubles end, every phone is opened with a signal, and everything gets the time to settle by itself.
    pub(crate) fn settle(&mut self) {
        self.faults = Faults::none();
        self.service.failing_commits = 0;
        self.service_goes();
        self.plan(1, Happening::ServiceStarts);
        self.agenda.retain(|_, happening| {
            !matches!(
                happening,
                Happening::Dies(_)
                    | Happening::SignalGoes(_)
                    | Happening::Restore
                    | Happening::ServiceDies
            )
        });
        for phone in 0..self.phones.len() {
            self.phones[phone].sockets = true;
            self.plan(10, Happening::SignalComes(phone));
            self.plan(20, Happening::Opens(phone));
        }
        // Longer than the longest wait of a phone (one minute) and the longest silence it bears (45 seconds) together.
        self.run_for(4 * 60_000);
        // Somebody who had left when their phone asked may have been taken in again by an edit that arrived after.
        for phone in 0..self.phones.len() {
            if self.phones[phone].ended.is_some() {
                self.phone_opens(phone);
            }
        }
        self.run_for(60_000);
    }

    /// Lets so much time pass.
    pub(crate) fn run_for(&mut self, millis: i64) {
        let end = self.now + millis;
        while let Some((at, _)) = self.agenda.first_key_value().map(|(key, _)| *key)
            && at <= end
        {
            let (_, happening) = self.agenda.pop_first().unwrap();
            self.now = at;
            self.happens(happening);
        }
        self.now = end;
    }

    /// A phone's copy of the garden.
    pub(crate) fn copy(&self, phone: usize) -> &LocalCopy {
        self.phones[phone].copy()
    }

    /// What a phone's person was told.
    pub(crate) fn told(&self, phone: usize) -> Vec<Notice> {
        self.copy(phone)
            .told()
            .iter()
            .map(|row| row.notice.clone())
            .collect()
    }

    /// How often something happened on the way, by the name of the frame or trouble.
    pub(crate) fn times(&self, name: &str) -> u64 {
        self.counts.get(name).copied().unwrap_or(0)
    }

    fn count(&mut self, name: &'static str) {
        *self.counts.entry(name).or_default() += 1;
    }

    /// Somebody writes an edit on a phone.
    pub(crate) fn write(
        &mut self,
        phone: usize,
        document: DocumentName,
        edit: Edit,
    ) -> Result<EditId, Refused> {
        let now = self.clock_of(phone);
        let id = EditId::fresh(now, self.chance.bytes());
        let running = self.phones[phone].running.as_mut().unwrap();
        let keep = running.copy.write(id, document, edit, now)?;
        self.wrote(phone, id, keep, false);
        Ok(id)
    }

    fn plan(&mut self, delay: i64, happening: Happening) {
        self.counted += 1;
        self.agenda
            .insert((self.now + delay.max(0), self.counted), happening);
    }

    /// The true time.
    fn time(&self) -> Moment {
        Moment::from_millis(self.now)
    }

    /// What a phone takes for the time.
    fn clock_of(&self, phone: usize) -> Moment {
        Moment::from_millis(self.now + self.phones[phone].ahead)
    }

    fn happens(&mut self, happening: Happening) {
        match happening {
            Happening::Turn => self.take_turn(),
            Happening::Up(wire, what) => self.reaches_service(wire, what),
            Happening::Down(wire, what) => self.reaches_phone(wire, what),
            Happening::Tick {
                phone,
                life,
                number,
            } => {
                let set = self.running(phone, life).and_then(|running| running.tick);
                if set == Some(number) {
                    self.event(phone, Event::Tick);
                }
            }
            Happening::Kept {
                phone,
                life,
                commit,
                edits,
                by_other_tab,
            } => {
                if self.running(phone, life).is_some() {
                    self.kept(phone, commit, edits, by_other_tab);
                }
            }
            Happening::Act(phone) => self.act(phone),
            Happening::Dies(phone) => self.phone_dies(phone),
            Happening::Opens(phone) => self.phone_opens(phone),
            Happening::SignalGoes(phone) => {
                self.loses_signal(phone);
                let pause = self.chance.between(5_000, 200_000);
                self.plan(pause, Happening::SignalComes(phone));
            }
            Happening::SignalComes(phone) => self.has_signal(phone),
            Happening::ClockSet(phone) => {
                // Up to four days either way.
                self.phones[phone].ahead = self.chance.between(-4 * 86_400_000, 4 * 86_400_000);
            }
            Happening::Revoke(phone) => {
                let (number, now) = (self.phones[phone].number, self.time());
                if let Some(effects) = self.service.revoke(number, now) {
                    self.perform_all(effects);
                }
            }
            Happening::ServiceDies => {
                self.service_goes();
                let pause = self.chance.between(100, 40_000);
                self.plan(pause, Happening::ServiceStarts);
            }
            Happening::ServiceStarts => self.service.start(),
            Happening::BackUp => self.service.back_up(),
            Happening::Restore => {
                if self.service.restore() {
                    self.count("restore");
                    self.service_goes_but_for_the_program();
                    self.decided = self.service.picture().unwrap();
                }
            }
        }
    }

    fn running(&mut self, phone: usize, life: u64) -> Option<&mut phone::Running> {
        let phone = &mut self.phones[phone];
        if phone.life == life {
            phone.running.as_mut()
        } else {
            None
        }
    }

    fn wrote(&mut self, phone: usize, id: EditId, keep: Vec<Keep>, by_other_tab: bool) {
        let envelope = keep
            .iter()
            .find_map(|one| match one {
                Keep::Put(_, key, row) if key.ends_with(&id.to_string()) => {
                    let row: Row = selion_core::json::read_bytes(row).unwrap();
                    Some(row.envelope)
                }
                Keep::Put(..) | Keep::Delete(..) | Keep::DeletePrefix(..) => None,
            })
            .unwrap();
        let word = people::word_of(&envelope.edit);
        let written = Written {
            phone,
            envelope,
            said_saved: false,
            put_away: false,
            word,
        };
        self.written.insert(id, written);
        let commit = self.phones[phone].storage.begin(keep);
        let life = self.phones[phone].life;
        let delay = self.chance.between(1, 300);
        self.plan(
            delay,
            Happening::Kept {
                phone,
                life,
                commit,
                edits: vec![id],
                by_other_tab,
            },
        );
        self.after_event(phone);
    }

    fn kept(&mut self, phone: usize, commit: u64, edits: Vec<EditId>, by_other_tab: bool) {
        self.phones[phone].storage.reaches_disk(commit);
        if edits.is_empty() {
            return;
        }
        for edit in &edits {
            self.written.get_mut(edit).unwrap().said_saved = true;
        }
        if by_other_tab {
            self.count("other tab");
            let rows = self.phones[phone].storage.read().outbox;
            let running = self.phones[phone].running.as_mut().unwrap();
            running.copy.adopt(&rows);
        }
        self.event(phone, Event::Saved(edits));
    }

    /// Reports an event to a phone's session and does what it asks for.
    fn event(&mut self, phone: usize, event: Event) {
        let (now, dice) = (
            self.clock_of(phone),
            u32::try_from(self.chance.below(1 << 30)).unwrap(),
        );
        let Some(running) = &mut self.phones[phone].running else {
            return;
        };
        let effects = running.session.handle(&mut running.copy, now, dice, event);
        for effect in effects {
            self.does(phone, now, effect);
        }
        self.after_event(phone);
    }

    fn does(&mut self, phone: usize, now: Moment, effect: Effect) {
        match effect {
            Effect::Open => self.opens_socket(phone),
            Effect::Close => self.lets_socket_go(phone),
            Effect::Send(text) => self.sends(phone, text),
            Effect::Request(frames) => self.requests(phone, frames),
            Effect::Keep(keep) => {
                let commit = self.phones[phone].storage.begin(keep);
                let life = self.phones[phone].life;
                // Relaxed: it reaches the disk some time.
                let delay = self.chance.between(1, 30_000);
                let kept = Happening::Kept {
                    phone,
                    life,
                    commit,
                    edits: Vec::new(),
                    by_other_tab: false,
                };
                self.plan(delay, kept);
            }
            Effect::Show => {}
            Effect::WakeAt(at) => {
                let life = self.phones[phone].life;
                let number = self.counted;
                // A phone has one alarm: setting it anew forgets the former.
                self.phones[phone].running.as_mut().unwrap().tick = Some(number);
                self.plan(
                    at.millis() - now.millis(),
                    Happening::Tick {
                        phone,
                        life,
                        number,
                    },
                );
            }
            Effect::Ended(message) => self.phones[phone].ended = Some(message),
        }
    }

    fn wake(&mut self, phone: usize) {
        if self.phones[phone].running.is_some() {
            self.event(phone, Event::Wake);
        }
    }

    pub(crate) fn phone_opens(&mut self, phone: usize) {
        let closed_for_good = self.phones[phone].ended.is_some();
        if self.phones[phone].running.is_none() || closed_for_good {
            self.lets_socket_go(phone);
            self.phones[phone].start();
            self.phones[phone].remember_what_is_shown();
        }
        self.wake(phone);
    }

    /// The phone has a network again, and says so to the program.
    pub(crate) fn has_signal(&mut self, phone: usize) {
        self.phones[phone].signal = true;
        self.wake(phone);
    }

    pub(crate) fn phone_dies(&mut self, phone: usize) {
        self.lets_socket_go(phone);
        self.count("death");
        let one = &mut self.phones[phone];
        one.storage.crash(&mut self.chance);
        one.running = None;
        one.forget_what_was_never_stored();
        let pause = self.chance.between(1_000, 200_000);
        self.plan(pause, Happening::Opens(phone));
    }

    /// Signs a phone out.
    pub(crate) fn revoke(&mut self, phone: usize) {
        self.happens(Happening::Revoke(phone));
    }

    /// Stops the service's program and starts it at once, as after a change of its disk.
    pub(crate) fn restart_service(&mut self) {
        self.service_goes();
        self.service.start();
    }

    /// Makes a backup of the service's disk.
    pub(crate) fn back_up(&mut self) {
        self.happens(Happening::BackUp);
    }

    /// Loses the service's disk and puts a backup in its place.
    pub(crate) fn restore(&mut self) {
        self.happens(Happening::Restore);
    }
}
