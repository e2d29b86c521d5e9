//! Snapshots: a document is written whole, read back from the store, loaded and compared, and only then may the changes
//! that it and its forerunner contain go. Two generations stay.

use selion_core::document::DocumentName;
use selion_core::document::ids::GardenId;
use selion_core::document::stored::ActorBytes;
use selion_core::quantities::Moment;
use selion_core::sync::Replica;

use super::room::{Room, RoomError, guarded};
use crate::store::rows::{Snapshot, Write};
use crate::store::{Store, StoreError};

/// Makes a snapshot of a document as it is now. Whatever fails leaves the document's changes where they are.
pub(super) fn make(
    store: &mut dyn Store,
    room: &Room,
    garden: GardenId,
    document: DocumentName,
    now: Moment,
) -> Result<(), RoomError> {
    let Some((upto_seq, bytes)) = room.save(document)? else {
        return Ok(());
    };
    let heads = room.heads(document).0;
    let fresh = Snapshot {
        garden,
        document,
        upto_seq,
        heads,
        bytes,
        made_at: now,
        verified_at: None,
    };
    store.commit(&[Write::PutSnapshot(fresh.clone())])?;

    let kept = store.snapshots(garden, document)?;
    let read_back = kept.iter().find(|snapshot| snapshot.upto_seq == upto_seq);
    let read_back = read_back
        .ok_or_else(|| StoreError::Unreadable(format!("the snapshot of {document} is gone")))?;
    verify(read_back, &fresh.heads)?;

    let former = kept
        .iter()
        .find(|snapshot| snapshot.upto_seq < upto_seq && snapshot.verified_at.is_some());
    let mut writes = vec![Write::PutSnapshot(Snapshot {
        verified_at: Some(now),
        ..fresh
    })];
    if let Some(former) = former {
        writes.push(Write::DropBefore {
            garden,
            document,
            upto_seq: former.upto_seq,
        });
    }
    Ok(store.commit(&writes)?)
}

/// Loads a snapshot as a new owner would and compares its heads.
fn verify(snapshot: &Snapshot, expected: &[String]) -> Result<(), RoomError> {
    let actor: ActorBytes = [0; 16];
    let heads = guarded(|| {
        let mut copy = Replica::empty(snapshot.garden, actor);
        copy.load(snapshot.document, &snapshot.bytes)?;
        Ok(copy.heads(snapshot.document).0)
    })?;
    if heads == expected && heads == snapshot.heads {
        return Ok(());
    }
    let what = format!(
        "the snapshot of {} up to {} has other heads",
        snapshot.document, snapshot.upto_seq
    );
    Err(StoreError::Unreadable(what).into())
}
