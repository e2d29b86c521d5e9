//! Hello and welcome: whether somebody may be here, and what their phone lacks.

use selion_core::document::{DocumentName, Role};
use selion_core::ordered::Map;
use selion_core::quantities::Moment;
use selion_core::sync::frame::{PROTOCOL, ServerFrame};

use super::super::catch_up::{from_cursor, may_read, whole};
use super::super::room::RoomError;
use super::{Attendee, Hall, SessionId, Turn};
use crate::store::Read;

/// Why somebody who left may not be here.
pub(super) const LEFT: &str = "You are no longer in this garden.";

/// Why a device may not be here.
const SIGNED_OUT: &str = "This device was signed out.";

/// What asking for a whole document again costs, in edits: it is about as much work.
const AGAIN_COSTS: u64 = 20;

impl Hall {
    pub(super) fn hello(
        &mut self,
        turn: &mut Turn<'_>,
        session: SessionId,
        who: Attendee,
        (protocol, epoch, cursors): (u16, Option<&str>, &Map<DocumentName, u64>),
    ) {
        if protocol != PROTOCOL {
            let sentence =
                format!("protocol: expected version {PROTOCOL}, but version {protocol} came.");
            return self.turn_away(turn, session, sentence);
        }
        match self.still_welcome(&*turn.store, who) {
            Ok(None) => {}
            Ok(Some(reason)) => return self.end(&mut turn.effects, session, reason),
            Err(error) => return self.stumble(turn, session, who.garden, &error),
        }
        // Cursors of another epoch count changes that may never have been restored.
        let nothing = Map::new();
        let cursors = if epoch == Some(self.epoch.as_str()) {
            cursors
        } else {
            &nothing
        };
        match self.welcome(&*turn.store, who, cursors, turn.now) {
            Ok((role, frames)) => {
                if let Some(session) = self.sessions.get_mut(&session) {
                    session.greeted_as = Some(role);
                }
                for frame in &frames {
                    turn.send(session, frame);
                }
            }
            Err(error) => self.stumble(turn, session, who.garden, &error),
        }
    }

    pub(super) fn again(
        &mut self,
        turn: &mut Turn<'_>,
        session: SessionId,
        who: Attendee,
        document: DocumentName,
    ) {
        let Some(role) = self
            .sessions
            .get(&session)
            .and_then(|session| session.greeted_as)
        else {
            return turn.send(session, &ServerFrame::Resync);
        };
        if !may_read(role, document) {
            return turn.send(session, &ServerFrame::Withdrawn { document });
        }
        if self
            .edits_of_device
            .take(who.device, AGAIN_COSTS, turn.now)
            .is_err()
        {
            return self.try_later(turn, session);
        }
        match self
            .room(&*turn.store, who.garden)
            .and_then(|room| whole(room, document))
        {
            Ok(Some(frame)) => turn.send(session, &frame),
            Ok(None) => turn.send(session, &ServerFrame::Withdrawn { document }),
            Err(error) => self.stumble(turn, session, who.garden, &error),
        }
    }

    /// Why somebody may not be here any more, if so. Asked at hello and at every batch of edits.
    pub(super) fn still_welcome(
        &mut self,
        store: &dyn Read,
        who: Attendee,
    ) -> Result<Option<&'static str>, RoomError> {
        let Some(device) = store.device(who.device)? else {
            return Ok(Some(SIGNED_OUT));
        };
        let elsewhere = device.garden.is_some_and(|only| only != who.garden);
        if device.revoked_at.is_some() || elsewhere || store.is_barred(who.device, who.garden)? {
            return Ok(Some(SIGNED_OUT));
        }
        let open = self
            .room(store, who.garden)?
            .picture()
            .open_member(who.member)
            .is_some();
        Ok((!open).then_some(LEFT))
    }

    fn welcome(
        &mut self,
        store: &dyn Read,
        who: Attendee,
        cursors: &Map<DocumentName, u64>,
        now: Moment,
    ) -> Result<(Role, Vec<ServerFrame>), RoomError> {
        let epoch = self.epoch.clone();
        let room = self.room(store, who.garden)?;
        let role = room
            .picture()
            .open_member(who.member)
            .map_or(Role::Helper, |member| member.role);
        let mut documents = room.lengths();
        documents.retain(|document, _| may_read(role, *document));
        let welcome = ServerFrame::Welcome {
            protocol: PROTOCOL,
            epoch,
            server_time: now,
            member: who.member,
            role,
            documents: documents.clone(),
        };
        let mut frames = vec![welcome];
        let withdrawn = cursors
            .keys()
            .filter(|document| !documents.contains_key(document));
        frames.extend(withdrawn.map(|document| ServerFrame::Withdrawn {
            document: *document,
        }));
        for (document, length) in documents {
            let cursor = cursors.get(&document).copied().unwrap_or(0);
            frames.extend(from_cursor(
                store, room, who.garden, document, length, cursor,
            )?);
        }
        Ok((role, frames))
    }
}
