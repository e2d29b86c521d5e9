//! What a phone is sent when it says hello, or when its copy does not match: the changes it lacks, or a whole document.

use selion_core::document::DocumentName;
use selion_core::document::Role;
use selion_core::document::ids::GardenId;
use selion_core::policy::{Action, may};
use selion_core::sync::frame::{Bytes, ServerFrame};

use super::room::{Room, RoomError};
use crate::store::Read;

/// Changes sent rather than the whole: beyond these the snapshot is smaller and quicker to load.
const MOST_CHANGES: u64 = 1_000;
/// The bytes of changes sent rather than the whole.
const MOST_CHANGE_BYTES: usize = 384 * 1024;

/// Whether somebody with this role may read a document.
pub(super) fn may_read(role: Role, document: DocumentName) -> bool {
    !document.is_ledger() || may(role, Action::SeeLedger, false)
}

/// The frame that brings a phone from its cursor to the end of a document's log.
pub(super) fn from_cursor(
    store: &dyn Read,
    room: &Room,
    garden: GardenId,
    document: DocumentName,
    length: u64,
    cursor: u64,
) -> Result<Option<ServerFrame>, RoomError> {
    if cursor == length {
        return Ok(None);
    }
    // A cursor beyond the end is from before a restored backup; a cursor of nothing wants the whole.
    let behind = length
        .checked_sub(cursor)
        .filter(|behind| cursor > 0 && *behind <= MOST_CHANGES);
    let Some(behind) = behind else {
        return whole(room, document);
    };
    let rows = store.changes(
        garden,
        document,
        cursor,
        usize::try_from(behind).unwrap_or(usize::MAX),
    )?;
    let follows_on = rows.first().is_some_and(|change| change.seq == cursor + 1);
    let bytes: usize = rows.iter().map(|change| change.bytes.len()).sum();
    if !follows_on || bytes > MOST_CHANGE_BYTES || u64::try_from(rows.len()) != Ok(behind) {
        return whole(room, document);
    }
    let changes = rows.into_iter().map(|change| Bytes(change.bytes)).collect();
    Ok(Some(ServerFrame::Changes {
        document,
        first: cursor + 1,
        changes,
        heads: room.heads(document),
    }))
}

/// The whole document.
pub(super) fn whole(room: &Room, document: DocumentName) -> Result<Option<ServerFrame>, RoomError> {
    let Some((sequence, bytes)) = room.save(document)? else {
        return Ok(None);
    };
    Ok(Some(ServerFrame::Snapshot {
        document,
        sequence,
        bytes: Bytes(bytes),
        heads: room.heads(document),
    }))
}
