//! Each thing that can be written, as SQL.

use rusqlite::{Connection, Params, params};
use selion_core::document::DocumentName;
use selion_core::document::ids::{GardenId, PictureId};
use selion_core::quantities::Moment;

use crate::ids::PersonId;
use crate::store::rows::{
    Change, Device, Edit, Feed, Invite, InviteKind, Membership, Person, Picture, Snapshot, Write,
};
use crate::store::{Answer, StoreError};

use super::read::{json, seq_to_sql};

/// Writes one thing inside a transaction.
pub(super) fn apply(sql: &Connection, write: &Write) -> Answer<()> {
    match write {
        Write::AddPerson(person) => add_person(sql, person),
        Write::SetSignIn(person, sign_in) => one(
            sql,
            "UPDATE person SET sign_in_name = ?2, passphrase = ?3 WHERE id = ?1",
            params![
                person.to_string(),
                sign_in.name,
                sign_in.passphrase.as_phc()
            ],
        ),
        Write::AddDevice(device) => add_device(sql, device),
        Write::SeeDevice(device, at) => one(
            sql,
            "UPDATE device SET last_seen = ?2 WHERE id = ?1",
            params![device.to_string(), at.millis()],
        ),
        Write::RevokeDevice(device, at) => one(
            sql,
            "UPDATE device SET revoked_at = coalesce(revoked_at, ?2) WHERE id = ?1",
            params![device.to_string(), at.millis()],
        ),
        Write::BarDevice(device, garden, at) => any(
            sql,
            "INSERT INTO barred (device, garden, at) VALUES (?1, ?2, ?3) ON CONFLICT DO NOTHING",
            params![device.to_string(), garden.to_string(), at.millis()],
        ),
        Write::UnbarDevice(device, garden) => any(
            sql,
            "DELETE FROM barred WHERE device = ?1 AND garden = ?2",
            params![device.to_string(), garden.to_string()],
        ),
        Write::AddGarden(garden) => one(
            sql,
            "INSERT INTO garden (id, made_at) VALUES (?1, ?2)",
            params![garden.id.to_string(), garden.made_at.millis()],
        ),
        Write::AddMembership(row) => add_membership(sql, row),
        Write::AddInvite(invite) => add_invite(sql, invite),
        Write::UseInvite(invite, at) => one(
            sql,
            "UPDATE invite SET used_at = ?2 WHERE id = ?1 AND used_at IS NULL",
            params![invite.to_string(), at.millis()],
        ),
        Write::RevokeInvite(invite, at) => one(
            sql,
            "UPDATE invite SET revoked_at = coalesce(revoked_at, ?2) WHERE id = ?1",
            params![invite.to_string(), at.millis()],
        ),
        Write::AddFeed(feed) => add_feed(sql, feed),
        Write::RevokeFeeds(person, at) => revoke_feeds(sql, *person, *at),
        Write::AddPicture(picture) => add_picture(sql, picture),
        Write::DropPicture(garden, picture) => drop_picture(sql, *garden, *picture),
        Write::AddEdit(edit) => add_edit(sql, edit),
        Write::AddChange(change) => add_change(sql, change),
        Write::PutSnapshot(snapshot) => put_snapshot(sql, snapshot),
        Write::DropBefore {
            garden,
            document,
            upto_seq,
        } => drop_before(sql, *garden, *document, *upto_seq),
        Write::SetValue(name, bytes) => one(
            sql,
            "INSERT INTO service (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
            params![name, bytes],
        ),
    }
}

fn add_person(sql: &Connection, person: &Person) -> Answer<()> {
    let sign_in = person.sign_in.as_ref();
    one(
        sql,
        "INSERT INTO person (id, name, sign_in_name, passphrase, made_at) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![
            person.id.to_string(),
            person.name,
            sign_in.map(|sign_in| &sign_in.name),
            sign_in.map(|sign_in| sign_in.passphrase.as_phc()),
            person.made_at.millis(),
        ],
    )
}

fn add_device(sql: &Connection, device: &Device) -> Answer<()> {
    one(
        sql,
        "INSERT INTO device (id, person, name, token, garden, made_at, last_seen, revoked_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        params![
            device.id.to_string(),
            device.person.to_string(),
            device.name,
            device.token.as_bytes(),
            device.garden.map(|garden| garden.to_string()),
            device.made_at.millis(),
            device.last_seen.millis(),
            device.revoked_at.map(Moment::millis),
        ],
    )
}

fn drop_picture(sql: &Connection, garden: GardenId, picture: PictureId) -> Answer<()> {
    any(
        sql,
        "DELETE FROM picture WHERE garden = ?1 AND id = ?2",
        params![garden.to_string(), picture.to_string()],
    )
}

fn revoke_feeds(sql: &Connection, person: PersonId, at: Moment) -> Answer<()> {
    any(
        sql,
        "UPDATE feed SET revoked_at = coalesce(revoked_at, ?2) WHERE person = ?1",
        params![person.to_string(), at.millis()],
    )
}

fn add_picture(sql: &Connection, picture: &Picture) -> Answer<()> {
    one(
        sql,
        "INSERT INTO picture (garden, id, kind, bytes, made_by, made_at) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![
            picture.garden.to_string(),
            picture.id.to_string(),
            picture.kind.word(),
            picture.bytes,
            picture.made_by.to_string(),
            picture.made_at.millis(),
        ],
    )
}

fn add_feed(sql: &Connection, feed: &Feed) -> Answer<()> {
    one(
        sql,
        "INSERT INTO feed (secret, person, garden, made_at, revoked_at) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![
            feed.secret.as_bytes(),
            feed.person.to_string(),
            feed.garden.map(|garden| garden.to_string()),
            feed.made_at.millis(),
            feed.revoked_at.map(Moment::millis),
        ],
    )
}

fn add_membership(sql: &Connection, row: &Membership) -> Answer<()> {
    one(
        sql,
        "INSERT INTO membership (person, garden, member, made_at) VALUES (?1, ?2, ?3, ?4)",
        params![
            row.person.to_string(),
            row.garden.to_string(),
            row.member.to_string(),
            row.made_at.millis()
        ],
    )
}

fn add_invite(sql: &Connection, invite: &Invite) -> Answer<()> {
    let (kind, garden, member, person) = match invite.kind {
        InviteKind::Garden { garden, member } => ("garden", Some(garden), Some(member), None),
        InviteKind::NewGarden => ("new_garden", None, None, None),
        InviteKind::Device { person, garden } => ("device", garden, None, Some(person)),
    };
    one(
        sql,
        "INSERT INTO invite (id, secret, kind, garden, member, person, made_by, made_at, expires_at, used_at, revoked_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
        params![
            invite.id.to_string(),
            invite.secret.as_bytes(),
            kind,
            garden.map(|id| id.to_string()),
            member.map(|id| id.to_string()),
            person.map(|id| id.to_string()),
            invite.made_by.map(|id| id.to_string()),
            invite.made_at.millis(),
            invite.expires_at.millis(),
            invite.used_at.map(Moment::millis),
            invite.revoked_at.map(Moment::millis),
        ],
    )
}

fn add_edit(sql: &Connection, edit: &Edit) -> Answer<()> {
    let (document, seq) = match edit.change {
        None => (None, None),
        Some((document, seq)) => (Some(document.to_string()), Some(seq_to_sql(seq)?)),
    };
    one(
        sql,
        "INSERT INTO edit (garden, id, member, device, body, verdict, document, seq, received_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        params![
            edit.garden.to_string(),
            edit.id.to_string(),
            edit.member.to_string(),
            edit.device.map(|device| device.to_string()),
            edit.body,
            edit.verdict,
            document,
            seq,
            edit.received_at.millis(),
        ],
    )
}

fn add_change(sql: &Connection, change: &Change) -> Answer<()> {
    one(
        sql,
        "INSERT INTO change (garden, document, seq, bytes) VALUES (?1, ?2, ?3, ?4)",
        params![
            change.garden.to_string(),
            change.document.to_string(),
            seq_to_sql(change.seq)?,
            change.bytes
        ],
    )
}

fn put_snapshot(sql: &Connection, snapshot: &Snapshot) -> Answer<()> {
    one(
        sql,
        "INSERT OR REPLACE INTO snapshot (garden, document, upto_seq, heads, bytes, made_at, verified_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            snapshot.garden.to_string(),
            snapshot.document.to_string(),
            seq_to_sql(snapshot.upto_seq)?,
            json(&snapshot.heads)?,
            snapshot.bytes,
            snapshot.made_at.millis(),
            snapshot.verified_at.map(Moment::millis),
        ],
    )
}

fn drop_before(
    sql: &Connection,
    garden: GardenId,
    document: DocumentName,
    upto_seq: u64,
) -> Answer<()> {
    let (garden, document, seq) = (
        garden.to_string(),
        document.to_string(),
        seq_to_sql(upto_seq)?,
    );
    any(
        sql,
        "DELETE FROM change WHERE garden = ?1 AND document = ?2 AND seq <= ?3",
        params![garden, document, seq],
    )?;
    any(
        sql,
        "DELETE FROM snapshot WHERE garden = ?1 AND document = ?2 AND upto_seq < ?3",
        params![garden, document, seq],
    )
}

/// Runs a statement that must touch exactly one row.
fn one(sql: &Connection, statement: &str, values: impl Params) -> Answer<()> {
    match sql.prepare_cached(statement)?.execute(values)? {
        1 => Ok(()),
        rows => Err(StoreError::Clash(format!(
            "{rows} rows instead of one: {statement}"
        ))),
    }
}

/// Runs a statement that may touch any number of rows.
fn any(sql: &Connection, statement: &str, values: impl Params) -> Answer<()> {
    sql.prepare_cached(statement)?.execute(values)?;
    Ok(())
}
