//! One phone's connection to the garden's service, as a machine: events in, effects out.
//!
//! It opens no socket, reads no clock and rolls no dice; whoever runs it does that and reports back. So the whole of it
//! runs from one seed in a test. Edits go one batch at a time, and only once the phone's storage holds them. When sockets
//! do not get through, the same frames go through plain requests.

use super::frame::{ClientFrame, MOST_EDITS, PROTOCOL, ServerFrame};
use super::local_copy::LocalCopy;
use super::vault::Keep;
use crate::document::ids::EditId;
use crate::quantities::Moment;

/// The waits of a connection, in milliseconds.
#[derive(Clone, Copy, Debug)]
pub struct Settings {
    /// The first wait before trying again; it doubles each time.
    pub first_retry: i64,
    /// The longest such wait.
    pub longest_retry: i64,
    /// A connection that lasted so long was healthy, and the next wait begins small again.
    pub healthy_after: i64,
    /// Silence after which the phone asks whether anybody is there (some phones end sockets without a word).
    pub ping_after: i64,
    /// How long an answer may take.
    pub answer_within: i64,
    /// The wait between requests while sockets do not get through.
    pub request_every: i64,
    /// After so many sockets that did not open, requests are tried.
    pub sockets_before_requests: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            first_retry: 500,
            longest_retry: 60_000,
            healthy_after: 30_000,
            ping_after: 25_000,
            answer_within: 20_000,
            request_every: 15_000,
            sockets_before_requests: 2,
        }
    }
}

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// The phone starts, comes back to the front, or has a network again: try at once.
    Wake,
    /// The time asked for by [`Effect::WakeAt`] has come.
    Tick,
    /// The socket is open.
    Opened,
    /// The socket is closed, or did not open.
    Closed,
    /// A frame came through the socket.
    Frame(String),
    /// A request came back with these frames.
    Replied(Vec<String>),
    /// A request failed.
    RequestFailed,
    /// The storage holds these edits now.
    Saved(Vec<EditId>),
    /// The screen went to the back for long: let the connection go.
    Sleep,
}

/// Something to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Open the socket.
    Open,
    /// Close the socket.
    Close,
    /// Send a frame through the socket.
    Send(String),
    /// Send frames in one request.
    Request(Vec<String>),
    /// Keep this in the phone's storage, all of it or nothing.
    Keep(Vec<Keep>),
    /// The screen has something new to show.
    Show,
    /// Report [`Event::Tick`] at this time.
    WakeAt(Moment),
    /// The connection ended for good; say this to the person.
    Ended(String),
}

/// The state of the connection, as the truth line says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    /// No connection; trying again at this time.
    Down(Moment),
    /// On the way.
    Opening(Moment),
    /// Open, hello said.
    Greeting(Moment),
    /// In touch.
    Up(Moment),
    /// Not trying: the screen is at the back.
    Asleep,
    /// Ended for good.
    Ended,
}

/// One connection.
#[derive(Clone, Debug)]
pub struct Session {
    settings: Settings,
    link: Link,
    by_request: bool,
    failures: u32,
    in_flight: Vec<EditId>,
    sent_at: Moment,
    heard_at: Moment,
    pinged: bool,
    /// Whether the service asked to begin again, and nothing has come of it yet.
    began_again: bool,
    /// The clock at the last event.
    clock: Moment,
}

impl Session {
    /// Not connected yet; [`Event::Wake`] starts it.
    pub fn new(settings: Settings) -> Self {
        let start = Moment::from_millis(0);
        Self {
            settings,
            link: Link::Down(start),
            by_request: false,
            failures: 0,
            in_flight: Vec::new(),
            sent_at: start,
            heard_at: start,
            pinged: false,
            began_again: false,
            clock: start,
        }
    }

    /// The state of the connection.
    pub fn link(&self) -> Link {
        self.link
    }

    /// Takes an event and says what is to be done. `chance` is any number, used to spread the waits of many phones.
    pub fn handle(
        &mut self,
        copy: &mut LocalCopy,
        now: Moment,
        chance: u32,
        event: Event,
    ) -> Vec<Effect> {
        let mut effects = Vec::new();
        self.follow_clock(now);
        match event {
            Event::Wake => self.wake(copy, now, &mut effects),
            Event::Tick => self.tick(copy, now, chance, &mut effects),
            Event::Opened => self.opened(copy, now, &mut effects),
            Event::Closed if !self.by_request => self.lost(now, chance, &mut effects),
            Event::RequestFailed if self.by_request => self.lost(now, chance, &mut effects),
            // The end of an earlier way says nothing about the present one.
            Event::Closed | Event::RequestFailed => {}
            Event::Frame(text) => self.heard(copy, now, chance, &[text], &mut effects),
            Event::Replied(frames) => self.replied(copy, now, chance, &frames, &mut effects),
            Event::Saved(edits) => {
                copy.saved(&edits);
                effects.push(Effect::Show);
                self.send_waiting(copy, now, &mut effects);
            }
            Event::Sleep => self.sleep(&mut effects),
        }
        if let Some(at) = self.next_tick(now) {
            effects.push(Effect::WakeAt(at));
        }
        effects
    }

    /// When the phone's clock was set back, everything remembered is moved back with it; otherwise a wait of a second
    /// could last until the clock is where it was.
    fn follow_clock(&mut self, now: Moment) {
        let back = now.millis() - self.clock.millis();
        if back < 0 {
            let moved = |then: Moment| then.plus_millis(back);
            self.sent_at = moved(self.sent_at);
            self.heard_at = moved(self.heard_at);
            self.link = match self.link {
                Link::Down(at) => Link::Down(moved(at)),
                Link::Opening(at) => Link::Opening(moved(at)),
                Link::Greeting(at) => Link::Greeting(moved(at)),
                Link::Up(at) => Link::Up(moved(at)),
                Link::Asleep => Link::Asleep,
                Link::Ended => Link::Ended,
            };
        }
        self.clock = now;
    }

    fn wake(&mut self, copy: &LocalCopy, now: Moment, effects: &mut Vec<Effect>) {
        match self.link {
            Link::Down(_) | Link::Asleep => self.connect(copy, now, effects),
            Link::Up(_) if !self.by_request => {
                // The socket may have died while the phone slept; ask at once.
                effects.push(Effect::Send(ClientFrame::Ping.write()));
                self.pinged = true;
                self.heard_at = now;
            }
            Link::Up(_) | Link::Opening(_) | Link::Greeting(_) | Link::Ended => {}
        }
    }

    fn connect(&mut self, copy: &LocalCopy, now: Moment, effects: &mut Vec<Effect>) {
        self.by_request = self.failures >= self.settings.sockets_before_requests
            && !self.failures.is_multiple_of(4);
        self.in_flight.clear();
        self.heard_at = now;
        self.pinged = false;
        self.began_again = false;
        self.link = Link::Opening(now);
        if self.by_request {
            self.request(copy, now, effects);
        } else {
            effects.push(Effect::Open);
        }
        effects.push(Effect::Show);
    }

    /// One request carries hello and a first batch of edits.
    fn request(&mut self, copy: &LocalCopy, now: Moment, effects: &mut Vec<Effect>) {
        let mut frames = vec![hello(copy).write()];
        frames.extend(self.next_batch(copy, now).map(|frame| frame.write()));
        effects.push(Effect::Request(frames));
    }

    fn opened(&mut self, copy: &LocalCopy, now: Moment, effects: &mut Vec<Effect>) {
        if matches!(self.link, Link::Opening(_)) {
            self.link = Link::Greeting(now);
            self.heard_at = now;
            effects.push(Effect::Send(hello(copy).write()));
        }
    }

    fn lost(&mut self, now: Moment, chance: u32, effects: &mut Vec<Effect>) {
        let lasted = match self.link {
            Link::Up(since) => now.millis() - since.millis(),
            Link::Down(_) | Link::Ended | Link::Asleep => return,
            Link::Opening(_) | Link::Greeting(_) => 0,
        };
        self.failures = if lasted > self.settings.healthy_after {
            0
        } else {
            self.failures.saturating_add(1)
        };
        self.in_flight.clear();
        self.link = Link::Down(now.plus_millis(self.wait(chance)));
        effects.push(Effect::Show);
    }

    /// Doubling waits with full jitter: anything up to the bound, so that many phones do not come back at once.
    fn wait(&self, chance: u32) -> i64 {
        let doublings = self.failures.saturating_sub(1).min(20);
        let bound = self
            .settings
            .first_retry
            .saturating_mul(1_i64 << doublings)
            .clamp(1, self.settings.longest_retry);
        i64::from(chance) % bound + 1
    }

    fn heard(
        &mut self,
        copy: &mut LocalCopy,
        now: Moment,
        chance: u32,
        frames: &[String],
        effects: &mut Vec<Effect>,
    ) {
        self.heard_at = now;
        self.pinged = false;
        for text in frames {
            if matches!(self.link, Link::Down(_) | Link::Ended) {
                return;
            }
            match ServerFrame::read(text) {
                Ok(frame) => self.take(copy, now, chance, &frame, effects),
                Err(_unreadable) => self.give_up(now, chance, effects),
            }
        }
        if matches!(self.link, Link::Up(_)) {
            self.send_waiting(copy, now, effects);
            self.note_in_step(copy, now, effects);
        }
    }

    fn take(
        &mut self,
        copy: &mut LocalCopy,
        now: Moment,
        chance: u32,
        frame: &ServerFrame,
        effects: &mut Vec<Effect>,
    ) {
        match frame {
            ServerFrame::Welcome { .. } => {
                self.link = Link::Up(now);
                if !self.by_request {
                    self.in_flight.clear();
                }
            }
            ServerFrame::Answers { answers } => {
                self.began_again = false;
                self.in_flight
                    .retain(|edit| answers.iter().all(|answer| answer.edit != *edit));
            }
            // Asked twice with nothing in between, the service is in trouble: leave it in peace for a while.
            ServerFrame::Resync if self.began_again => self.give_up(now, chance, effects),
            ServerFrame::Resync => {
                self.began_again = true;
                self.in_flight.clear();
                self.link = Link::Greeting(now);
                if !self.by_request {
                    effects.push(Effect::Send(hello(copy).write()));
                }
            }
            ServerFrame::Revoked { message } => {
                self.link = Link::Ended;
                effects.push(Effect::Close);
                effects.push(Effect::Ended(message.clone()));
            }
            ServerFrame::Wrong { .. } => self.give_up(now, chance, effects),
            ServerFrame::Changes { .. } | ServerFrame::Snapshot { .. } => self.began_again = false,
            ServerFrame::Withdrawn { .. } | ServerFrame::Pong => {}
        }
        let taken = copy.take(frame, now);
        if !taken.keep.is_empty() {
            effects.push(Effect::Keep(taken.keep));
        }
        if taken.changed {
            effects.push(Effect::Show);
        }
        if let Some(document) = taken.again {
            let again = ClientFrame::Again { document }.write();
            effects.push(if self.by_request {
                Effect::Request(vec![hello(copy).write(), again])
            } else {
                Effect::Send(again)
            });
        }
    }

    /// The other side cannot be understood: hang up and try again later.
    fn give_up(&mut self, now: Moment, chance: u32, effects: &mut Vec<Effect>) {
        effects.push(Effect::Close);
        self.lost(now, chance, effects);
    }

    fn replied(
        &mut self,
        copy: &mut LocalCopy,
        now: Moment,
        chance: u32,
        frames: &[String],
        effects: &mut Vec<Effect>,
    ) {
        if !self.by_request || matches!(self.link, Link::Down(_) | Link::Asleep | Link::Ended) {
            return;
        }
        self.heard(copy, now, chance, frames, effects);
        // A request is answered whole: whatever it did not answer goes into the next one.
        if effects
            .iter()
            .all(|effect| !matches!(effect, Effect::Request(_)))
        {
            self.in_flight.clear();
            self.send_waiting(copy, now, effects);
        }
    }

    fn send_waiting(&mut self, copy: &LocalCopy, now: Moment, effects: &mut Vec<Effect>) {
        if !matches!(self.link, Link::Up(_)) || !self.in_flight.is_empty() {
            return;
        }
        if self.by_request {
            if copy.outbox().waiting().iter().any(|row| row.saved) {
                self.request(copy, now, effects);
            }
        } else if let Some(frame) = self.next_batch(copy, now) {
            effects.push(Effect::Send(frame.write()));
        }
    }

    /// The next edits to send: waiting, safely stored, in order, as many as one frame takes.
    fn next_batch(&mut self, copy: &LocalCopy, now: Moment) -> Option<ClientFrame> {
        let waiting = copy.outbox().waiting();
        let ready: Vec<_> = waiting
            .iter()
            .take_while(|row| row.saved)
            .take(MOST_EDITS)
            .map(|row| &row.envelope)
            .collect();
        let frame = ClientFrame::for_edits(ready.iter().copied())
            .into_iter()
            .next()?;
        if let ClientFrame::Edits { edits } = &frame {
            self.in_flight = ready
                .iter()
                .take(edits.len())
                .map(|envelope| envelope.id)
                .collect();
            self.sent_at = now;
        }
        Some(frame)
    }

    fn note_in_step(&self, copy: &mut LocalCopy, now: Moment, effects: &mut Vec<Effect>) {
        if self.in_flight.is_empty() && copy.outbox().waiting().is_empty() && copy.is_caught_up() {
            effects.push(Effect::Keep(copy.in_step(now)));
        }
    }

    fn tick(&mut self, copy: &LocalCopy, now: Moment, chance: u32, effects: &mut Vec<Effect>) {
        let since = |then: Moment| now.millis() - then.millis();
        match self.link {
            Link::Down(at) if now >= at => self.connect(copy, now, effects),
            Link::Opening(at) | Link::Greeting(at) if since(at) >= self.settings.answer_within => {
                self.give_up(now, chance, effects);
            }
            Link::Up(_) if self.by_request => {
                if !self.in_flight.is_empty() && since(self.sent_at) >= self.settings.answer_within
                {
                    self.lost(now, chance, effects);
                } else if since(self.heard_at) >= self.settings.request_every {
                    // Now and then a socket is tried again.
                    self.failures = self.failures.saturating_add(1);
                    self.connect(copy, now, effects);
                }
            }
            Link::Up(_) => {
                let unanswered = !self.in_flight.is_empty()
                    && since(self.sent_at) >= self.settings.answer_within;
                let silent = self.pinged
                    && since(self.heard_at)
                        >= self.settings.ping_after + self.settings.answer_within;
                if unanswered || silent {
                    self.give_up(now, chance, effects);
                } else if !self.pinged && since(self.heard_at) >= self.settings.ping_after {
                    self.pinged = true;
                    effects.push(Effect::Send(ClientFrame::Ping.write()));
                }
            }
            Link::Down(_) | Link::Opening(_) | Link::Greeting(_) | Link::Asleep | Link::Ended => {}
        }
    }

    fn sleep(&mut self, effects: &mut Vec<Effect>) {
        if self.link != Link::Ended {
            self.link = Link::Asleep;
            self.in_flight.clear();
            effects.push(Effect::Close);
        }
    }

    /// When the machine next wants to look at the clock.
    fn next_tick(&self, now: Moment) -> Option<Moment> {
        let due = match self.link {
            Link::Down(at) => at,
            Link::Opening(at) | Link::Greeting(at) => at.plus_millis(self.settings.answer_within),
            Link::Up(_) => {
                let quiet = if self.by_request {
                    self.settings.request_every
                } else if self.pinged {
                    self.settings.ping_after + self.settings.answer_within
                } else {
                    self.settings.ping_after
                };
                let quiet = self.heard_at.plus_millis(quiet);
                if self.in_flight.is_empty() {
                    quiet
                } else {
                    quiet.min(self.sent_at.plus_millis(self.settings.answer_within))
                }
            }
            Link::Asleep | Link::Ended => return None,
        };
        Some(due.max(now.plus_millis(1)))
    }
}

fn hello(copy: &LocalCopy) -> ClientFrame {
    ClientFrame::Hello {
        protocol: PROTOCOL,
        epoch: copy.epoch().map(str::to_owned),
        cursors: copy.cursors().clone(),
    }
}
