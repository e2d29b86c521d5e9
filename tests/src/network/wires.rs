//! What lies between a phone and the service: sockets and requests, and what becomes of what is sent through them.
//!
//! Over one socket, frames arrive in order or, from some frame on, not at all. Different sockets and requests overtake
//! each other freely: what an old socket still carries may arrive after a new one was opened.

use std::collections::BTreeMap;
use std::sync::Arc;

use selion_core::sync::Event;
use selion_core::sync::frame::ServerFrame;
use selion_server::rooms::{Arrival, Effect, SessionId};

use super::{Happening, World, service};

/// A socket, or a request with its reply.
#[derive(Debug)]
pub(super) struct Wire {
    phone: usize,
    life: u64,
    /// When the last thing sent each way arrives; nothing arrives before it.
    up_until: i64,
    down_until: i64,
    dead: bool,
    request: bool,
}

/// What goes up.
#[derive(Debug)]
pub(super) enum Up {
    Open,
    Frame(String),
    Gone,
    Exchange(Vec<String>),
}

/// What comes down.
#[derive(Debug)]
pub(super) enum Down {
    Opened,
    Frame(Arc<str>),
    Closed,
    Reply(Vec<String>),
    Failed,
}

impl World {
    pub(super) fn opens_socket(&mut self, phone: usize) {
        self.lets_socket_go(phone);
        let wire = self.new_wire(phone, false);
        self.phones[phone].running.as_mut().unwrap().socket = Some(wire);
        if self.phones[phone].signal && self.phones[phone].sockets {
            self.up(wire, Up::Open);
        } else if self.chance.in_a_thousand(700) {
            let delay = self.chance.between(20, 5_000);
            self.plan(delay, Happening::Down(wire, Down::Closed));
        }
        // Otherwise nobody ever answers.
    }

    /// The phone closes its socket or forgets it; it hears nothing more of it.
    pub(super) fn lets_socket_go(&mut self, phone: usize) {
        let Some(running) = &mut self.phones[phone].running else {
            return;
        };
        if let Some(wire) = running.socket.take() {
            self.up(wire, Up::Gone);
        }
    }

    pub(super) fn sends(&mut self, phone: usize, text: String) {
        let Some(wire) = self.phones[phone].running.as_ref().unwrap().socket else {
            return;
        };
        if self.chance.in_a_thousand(self.faults.twice) {
            self.up(wire, Up::Frame(text.clone()));
        }
        self.up(wire, Up::Frame(text));
        self.may_break(wire);
    }

    pub(super) fn requests(&mut self, phone: usize, frames: Vec<String>) {
        let wire = self.new_wire(phone, true);
        if !self.phones[phone].signal || self.chance.in_a_thousand(self.faults.lost_request) {
            // A request has an end: after 20 seconds at the latest it has failed.
            let delay = self.chance.between(20, 20_000);
            return self.plan(delay, Happening::Down(wire, Down::Failed));
        }
        if self.chance.in_a_thousand(self.faults.twice) {
            let other = self.new_wire(phone, true);
            self.wires.get_mut(&other).unwrap().dead = true;
            let delay = self.chance.between(1, 10_000);
            self.plan(delay, Happening::Up(other, Up::Exchange(frames.clone())));
        }
        self.up(wire, Up::Exchange(frames));
    }

    /// The phone walks into a dead zone.
    pub(crate) fn loses_signal(&mut self, phone: usize) {
        self.phones[phone].signal = false;
        let wires: Vec<u64> = self
            .wires
            .iter()
            .filter(|(_, wire)| wire.phone == phone && !wire.dead)
            .map(|(id, _)| *id)
            .collect();
        for wire in wires {
            self.breaks(wire, 500);
        }
    }

    /// The service's program dies with all its connections.
    pub(super) fn service_goes(&mut self) {
        self.service.die();
        self.service_goes_but_for_the_program();
    }

    pub(super) fn service_goes_but_for_the_program(&mut self) {
        self.arrivals.clear();
        self.exchanges.clear();
        let wires: Vec<u64> = self
            .wires
            .iter()
            .filter(|(_, wire)| !wire.dead)
            .map(|(id, _)| *id)
            .collect();
        for wire in wires {
            self.breaks(wire, 900);
        }
    }

    fn new_wire(&mut self, phone: usize, request: bool) -> u64 {
        self.counted += 1;
        let wire = Wire {
            phone,
            life: self.phones[phone].life,
            up_until: self.now,
            down_until: self.now,
            dead: false,
            request,
        };
        self.wires.insert(self.counted, wire);
        self.counted
    }

    fn up(&mut self, id: u64, what: Up) {
        let delay = self.chance.between(1, self.faults.slowest);
        let Some(wire) = self.wires.get_mut(&id).filter(|wire| !wire.dead) else {
            return;
        };
        wire.up_until = wire.up_until.max(self.now + delay);
        let at = wire.up_until - self.now;
        self.plan(at, Happening::Up(id, what));
    }

    fn down(&mut self, id: u64, what: Down) {
        let delay = self.chance.between(1, self.faults.slowest);
        let Some(wire) = self.wires.get_mut(&id).filter(|wire| !wire.dead) else {
            return;
        };
        wire.down_until = wire.down_until.max(self.now + delay);
        let at = wire.down_until - self.now;
        self.plan(at, Happening::Down(id, what));
    }

    fn may_break(&mut self, wire: u64) {
        if self.chance.in_a_thousand(self.faults.silent_break) {
            self.breaks(wire, 0);
        } else if self.chance.in_a_thousand(self.faults.clean_break) {
            self.breaks(wire, 1_000);
        }
    }

    /// Nothing more goes into this wire, and the last that was sent may not come out of it. The phone notices in so many
    /// of a thousand cases; the service notices in the end, by the silence.
    fn breaks(&mut self, id: u64, noticed: u32) {
        let cut = self.now + self.chance.between(0, self.faults.slowest);
        self.agenda.retain(|(at, _), happening| {
            let on_it = matches!(happening, Happening::Up(wire, _) | Happening::Down(wire, _) if *wire == id);
            !on_it || *at < cut
        });
        let Some(wire) = self.wires.get_mut(&id) else {
            return;
        };
        wire.dead = true;
        let request = wire.request;
        let silence = self.chance.between(100, 75_000);
        self.plan(silence.max(cut - self.now), Happening::Up(id, Up::Gone));
        if request || self.chance.in_a_thousand(noticed) {
            let delay = self.chance.between(0, if request { 20_000 } else { 3_000 });
            let ends = if request { Down::Failed } else { Down::Closed };
            self.plan(delay.max(cut - self.now), Happening::Down(id, ends));
        }
    }

    pub(super) fn reaches_service(&mut self, id: u64, what: Up) {
        let session = SessionId(id);
        let Some(wire) = self.wires.get(&id) else {
            return;
        };
        if !self.service.is_up() {
            let refused = if wire.request {
                Down::Failed
            } else {
                Down::Closed
            };
            return self.down(id, refused);
        }
        let phone = &self.phones[wire.phone];
        let who = service::attendee(phone.number, phone.member);
        match what {
            Up::Open => {
                self.arrivals.push(Arrival::Opened(session, who));
                self.down(id, Down::Opened);
            }
            Up::Frame(text) => self.arrivals.push(Arrival::Frame(session, text)),
            Up::Gone => self.arrivals.push(Arrival::Closed(session)),
            Up::Exchange(frames) => {
                self.arrivals.push(Arrival::Opened(session, who));
                self.arrivals
                    .extend(frames.into_iter().map(|text| Arrival::Frame(session, text)));
                self.exchanges.push(session);
            }
        }
        if !self.turn_is_planned {
            self.turn_is_planned = true;
            // What arrives in the meantime is taken in the same turn.
            let busy = self.chance.between(0, 40);
            self.plan(busy, Happening::Turn);
        }
    }

    pub(super) fn take_turn(&mut self) {
        self.turn_is_planned = false;
        let (arrivals, exchanges) = (
            std::mem::take(&mut self.arrivals),
            std::mem::take(&mut self.exchanges),
        );
        let effects = self.service.turn(self.time(), arrivals);
        self.after_turn();
        let mut replies: BTreeMap<SessionId, Vec<String>> = exchanges
            .iter()
            .map(|session| (*session, Vec::new()))
            .collect();
        let mut others = Vec::new();
        for effect in effects {
            match (replies.get_mut(&service::receiver(&effect)), effect) {
                (Some(reply), Effect::Send(_, text)) => reply.push(text.to_string()),
                (Some(_), Effect::Close(..)) => {}
                (None, effect) => others.push(effect),
            }
        }
        self.perform_all(others);
        for (SessionId(wire), frames) in replies {
            let lost = self.chance.in_a_thousand(self.faults.lost_request);
            self.down(
                wire,
                if lost {
                    Down::Failed
                } else {
                    Down::Reply(frames)
                },
            );
            let closed = self
                .service
                .turn(self.time(), vec![Arrival::Closed(SessionId(wire))]);
            self.perform_all(closed);
        }
    }

    pub(super) fn perform_all(&mut self, effects: Vec<Effect>) {
        let mut stalled = Vec::new();
        for effect in effects {
            match effect {
                Effect::Send(SessionId(wire), text) => {
                    if self.chance.in_a_thousand(self.faults.stall) {
                        self.down(wire, Down::Frame(ServerFrame::Resync.write().into()));
                        stalled.push(Arrival::Stalled(SessionId(wire)));
                    } else {
                        if self.chance.in_a_thousand(self.faults.twice) {
                            self.down(wire, Down::Frame(Arc::clone(&text)));
                        }
                        self.down(wire, Down::Frame(text));
                        self.may_break(wire);
                    }
                }
                Effect::Close(SessionId(wire), _code) => self.down(wire, Down::Closed),
            }
        }
        if !stalled.is_empty() {
            let nothing = self.service.turn(self.time(), stalled);
            assert_eq!(nothing, [], "being slow is only noted");
        }
    }

    pub(super) fn reaches_phone(&mut self, id: u64, what: Down) {
        let Some(wire) = self.wires.get(&id) else {
            return;
        };
        let (phone, life, request) = (wire.phone, wire.life, wire.request);
        let Some(running) = self.running(phone, life) else {
            return;
        };
        if !request && running.socket != Some(id) {
            return;
        }
        match what {
            Down::Opened => self.event(phone, Event::Opened),
            Down::Frame(text) => {
                self.count(frame_name(&text));
                self.event(phone, Event::Frame(text.to_string()));
            }
            Down::Closed => {
                self.phones[phone].running.as_mut().unwrap().socket = None;
                self.event(phone, Event::Closed);
            }
            Down::Reply(frames) => {
                self.count("reply");
                self.event(phone, Event::Replied(frames));
            }
            Down::Failed => self.event(phone, Event::RequestFailed),
        }
    }
}

fn frame_name(text: &str) -> &'static str {
    match ServerFrame::read(text).unwrap() {
        ServerFrame::Welcome { .. } => "welcome",
        ServerFrame::Changes { .. } => "changes",
        ServerFrame::Snapshot { .. } => "snapshot",
        ServerFrame::Answers { answers } if answers.iter().any(|answer| answer.again) => {
            "answered again"
        }
        ServerFrame::Answers { .. } => "answers",
        ServerFrame::Withdrawn { .. } => "withdrawn",
        ServerFrame::Resync => "resync",
        ServerFrame::Revoked { .. } => "revoked",
        ServerFrame::Wrong { .. } => "wrong",
        ServerFrame::Pong => "pong",
    }
}
