//! All open gardens and the sessions in them: arrivals in, effects out.
//!
//! The hall knows no thread, socket, clock or database: it is handed a store and the time. Edits that arrive together are
//! decided one after another, written in one commit, and only then answered and told. When the commit fails, the rooms
//! it touched are forgotten (they hold what was never written) and everybody in them is told to begin again from their
//! cursors; nobody is told that something was kept when it was not.

mod edits;
mod greeting;

#[cfg(test)]
mod tests;

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::stored::ActorBytes;
use selion_core::document::{Garden, Role};
use selion_core::quantities::Moment;
use selion_core::sync::frame::{Answer, ClientFrame, ServerFrame, Verdict};

use super::room::{NewChange, Room, RoomError};
use crate::auth::Buckets;
use crate::config::Limits;
use crate::ids::DeviceId;
use crate::store::rows::Write;
use crate::store::{Read, Store};

/// The close code of a connection whose device or person may not be here any more.
pub const CLOSE_REVOKED: u16 = 4401;
/// The close code of a connection that said something that is no frame.
pub const CLOSE_WRONG: u16 = 4400;

/// The close code of a connection that is to come back a little later (RFC 6455's registry: try again later).
pub const CLOSE_TRY_LATER: u16 = 1013;

/// One connection, whichever way it came.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SessionId(pub u64);

/// Who is behind a connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Attendee {
    /// Which garden they came to.
    pub garden: GardenId,
    /// Who they are there.
    pub member: MemberId,
    /// On which device.
    pub device: DeviceId,
}

/// Something that came over a connection.
#[derive(Clone, Debug)]
pub enum Arrival {
    /// A connection was made by somebody whose device and membership were checked.
    Opened(SessionId, Attendee),
    /// A frame came.
    Frame(SessionId, String),
    /// The connection is gone.
    Closed(SessionId),
    /// What was sent to this connection was dropped because it was too slow; it will say hello again.
    Stalled(SessionId),
}

/// Something to be done for a connection.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Send a frame.
    Send(SessionId, Arc<str>),
    /// End the connection, after what was sent before.
    Close(SessionId, u16),
}

/// All open gardens and who is in them.
#[derive(Debug)]
pub struct Hall {
    epoch: String,
    actor: ActorBytes,
    limits: Limits,
    rooms: BTreeMap<GardenId, Open>,
    sessions: BTreeMap<SessionId, Session>,
    present: BTreeMap<GardenId, BTreeSet<SessionId>>,
    edits_of_device: Buckets<DeviceId>,
    turns: u64,
}

#[derive(Debug)]
struct Open {
    room: Room,
    used_at_turn: u64,
}

#[derive(Debug)]
struct Session {
    who: Attendee,
    /// The role they were last told of; none before hello, when nothing is sent to them.
    greeted_as: Option<Role>,
}

/// One turn's work: what it works with, what is decided but not written yet, what is to be done at the end.
struct Turn<'a> {
    store: &'a mut dyn Store,
    now: Moment,
    pending: Pending,
    effects: Vec<Effect>,
}

/// What was decided and is not written yet.
#[derive(Debug, Default)]
struct Pending {
    writes: Vec<Write>,
    answers: Vec<(SessionId, Vec<Answer>)>,
    changes: Vec<(GardenId, NewChange)>,
    decided: BTreeMap<(GardenId, EditId), (MemberId, Verdict)>,
    gardens: BTreeSet<GardenId>,
}

impl<'a> Turn<'a> {
    fn new(store: &'a mut dyn Store, now: Moment) -> Self {
        Self {
            store,
            now,
            pending: Pending::default(),
            effects: Vec::new(),
        }
    }

    fn send(&mut self, session: SessionId, frame: &ServerFrame) {
        self.effects
            .push(Effect::Send(session, frame.write().into()));
    }
}

impl Hall {
    /// A hall with no garden open. The epoch is the store's; changes are authored in its name.
    pub fn new(epoch: [u8; 16], limits: Limits) -> Self {
        Self {
            epoch: format!("{:032x}", u128::from_be_bytes(epoch)),
            actor: epoch,
            edits_of_device: Buckets::new(limits.edit_burst, limits.edits_a_minute),
            limits,
            rooms: BTreeMap::new(),
            sessions: BTreeMap::new(),
            present: BTreeMap::new(),
            turns: 0,
        }
    }

    /// Takes everything that arrived, in order, and says what is to be done.
    pub fn turn(
        &mut self,
        store: &mut dyn Store,
        now: Moment,
        arrivals: Vec<Arrival>,
    ) -> Vec<Effect> {
        self.turns += 1;
        let mut turn = Turn::new(store, now);
        for arrival in arrivals {
            match arrival {
                Arrival::Opened(session, who) => self.come_in(&mut turn, session, who),
                Arrival::Closed(session) => self.leave(session),
                Arrival::Stalled(session) => {
                    if let Some(session) = self.sessions.get_mut(&session) {
                        session.greeted_as = None;
                    }
                }
                Arrival::Frame(session, text) => {
                    if let Some(who) = self.sessions.get(&session).map(|session| session.who) {
                        self.frame(&mut turn, session, who, &text);
                    }
                }
            }
        }
        self.flush(&mut turn);
        self.close_unused_rooms();
        turn.effects
    }

    /// The picture of a garden.
    pub fn picture(&mut self, store: &dyn Read, garden: GardenId) -> Result<&Garden, RoomError> {
        Ok(self.room(store, garden)?.picture())
    }

    /// Ends every session of a device, in one garden or in all.
    pub fn revoke(&mut self, device: DeviceId, garden: Option<GardenId>) -> Vec<Effect> {
        let meant = |who: &Attendee| {
            who.device == device && garden.is_none_or(|garden| who.garden == garden)
        };
        let sessions: Vec<SessionId> = self
            .sessions
            .iter()
            .filter(|(_, session)| meant(&session.who))
            .map(|(id, _)| *id)
            .collect();
        let mut effects = Vec::new();
        for session in sessions {
            self.end(&mut effects, session, "This device was signed out.");
        }
        effects
    }

    /// Who authors changes here.
    pub fn actor(&self) -> ActorBytes {
        self.actor
    }

    /// Gardens in memory.
    pub fn open_gardens(&self) -> usize {
        self.rooms.len()
    }

    fn frame(&mut self, turn: &mut Turn<'_>, session: SessionId, who: Attendee, text: &str) {
        match ClientFrame::read(text) {
            Ok(ClientFrame::Edits { edits }) => self.edits(turn, session, who, &edits),
            Ok(ClientFrame::Ping) => turn.send(session, &ServerFrame::Pong),
            Ok(ClientFrame::Hello {
                protocol,
                epoch,
                cursors,
            }) => {
                // What is decided has to be in the log before the log is read.
                self.flush(turn);
                self.hello(turn, session, who, (protocol, epoch.as_deref(), &cursors));
            }
            Ok(ClientFrame::Again { document }) => {
                self.flush(turn);
                self.again(turn, session, who, document);
            }
            Err(sentence) => self.turn_away(turn, session, sentence),
        }
    }

    fn room(&mut self, store: &dyn Read, garden: GardenId) -> Result<&mut Room, RoomError> {
        let open = match self.rooms.entry(garden) {
            Entry::Occupied(entry) => entry.into_mut(),
            Entry::Vacant(entry) => {
                let room = Room::load(store, garden, self.actor)?;
                entry.insert(Open {
                    room,
                    used_at_turn: 0,
                })
            }
        };
        open.used_at_turn = self.turns;
        Ok(&mut open.room)
    }

    /// The sessions of a garden that were greeted, and as what.
    fn greeted(&self, garden: GardenId) -> Vec<(SessionId, Role)> {
        let present = self.present.get(&garden).into_iter().flatten();
        present
            .filter_map(|id| self.sessions.get(id)?.greeted_as.map(|role| (*id, role)))
            .collect()
    }

    /// Takes a session in. A device that has as many as it may loses its oldest, which is most likely dead.
    fn come_in(&mut self, turn: &mut Turn<'_>, session: SessionId, who: Attendee) {
        let present = self.present.entry(who.garden).or_default();
        let theirs: Vec<SessionId> = present
            .iter()
            .copied()
            .filter(|id| {
                self.sessions
                    .get(id)
                    .is_some_and(|other| other.who.device == who.device)
            })
            .collect();
        present.insert(session);
        self.sessions.insert(
            session,
            Session {
                who,
                greeted_as: None,
            },
        );
        let too_many = (theirs.len() + 1).saturating_sub(self.limits.sockets_of_device);
        for oldest in theirs.into_iter().take(too_many) {
            self.try_later(turn, oldest);
        }
    }

    fn leave(&mut self, session: SessionId) {
        let Some(left) = self.sessions.remove(&session) else {
            return;
        };
        if let Entry::Occupied(mut entry) = self.present.entry(left.who.garden) {
            entry.get_mut().remove(&session);
            if entry.get().is_empty() {
                entry.remove();
            }
        }
    }

    /// Tells a session that it ends for good, and why.
    fn end(&mut self, effects: &mut Vec<Effect>, session: SessionId, reason: &str) {
        self.leave(session);
        effects.push(Effect::Send(
            session,
            ServerFrame::Revoked {
                message: reason.to_owned(),
            }
            .write()
            .into(),
        ));
        effects.push(Effect::Close(session, CLOSE_REVOKED));
    }

    /// Ends a session that says what is no frame.
    fn turn_away(&mut self, turn: &mut Turn<'_>, session: SessionId, sentence: String) {
        self.leave(session);
        turn.send(session, &ServerFrame::Wrong { message: sentence });
        turn.effects.push(Effect::Close(session, CLOSE_WRONG));
    }

    /// Ends a session that is to come back a little later and begin again from its cursors.
    fn try_later(&mut self, turn: &mut Turn<'_>, session: SessionId) {
        self.leave(session);
        turn.send(session, &ServerFrame::Resync);
        turn.effects.push(Effect::Close(session, CLOSE_TRY_LATER));
    }

    /// Something broke while a session was served: it is logged, and the phone tries again later.
    fn stumble(
        &mut self,
        turn: &mut Turn<'_>,
        session: SessionId,
        garden: GardenId,
        error: &RoomError,
    ) {
        tracing::error!(%garden, %error, "a garden cannot be worked on");
        // What others in it were decided is sound and gets written before the room goes.
        self.flush(turn);
        self.rooms.remove(&garden);
        self.try_later(turn, session);
    }

    /// Closes the longest unused rooms that nobody is in, while all together take too much memory.
    fn close_unused_rooms(&mut self) {
        let mut bytes: usize = self.rooms.values().map(|open| open.room.bytes()).sum();
        while bytes > self.limits.open_garden_bytes {
            let unused = self
                .rooms
                .iter()
                .filter(|(garden, _)| !self.present.contains_key(garden));
            let Some(garden) = unused
                .min_by_key(|(_, open)| open.used_at_turn)
                .map(|(garden, _)| *garden)
            else {
                return;
            };
            if let Some(open) = self.rooms.remove(&garden) {
                bytes -= open.room.bytes();
            }
        }
    }
}
