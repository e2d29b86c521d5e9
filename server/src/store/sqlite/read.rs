//! Each question, as SQL, and how a row becomes what it stands for.

use std::fmt::Display;
use std::str::FromStr;

use rusqlite::types::Type;
use rusqlite::{Error, Params, Row, params};
use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, MemberId, PictureId};
use selion_core::quantities::Moment;
use serde::Serialize;

use super::SqliteStore;
use crate::ids::{DeviceId, InviteId, PersonId};
use crate::secret::{PassphraseHash, SecretHash};
use crate::store::rows::{
    Change, Device, Edit, Feed, Garden, Invite, InviteKind, Membership, Person, Picture,
    PictureKind, SignIn, Snapshot,
};
use crate::store::{Answer, Read, StoreError};

const PERSON: &str = "SELECT id, name, sign_in_name, passphrase, made_at FROM person";
const DEVICE: &str =
    "SELECT id, person, name, token, garden, made_at, last_seen, revoked_at FROM device";
const MEMBERSHIP: &str = "SELECT person, garden, member, made_at FROM membership";
const INVITE: &str = "SELECT id, secret, kind, garden, member, person, made_by, made_at, expires_at, used_at, revoked_at FROM invite";
const FEED: &str = "SELECT secret, person, garden, made_at, revoked_at FROM feed";
const EDIT: &str =
    "SELECT garden, id, member, device, body, verdict, document, seq, received_at FROM edit";

impl SqliteStore {
    fn one<T>(
        &self,
        sql: &str,
        values: impl Params,
        read: fn(&Row<'_>) -> Result<T, Error>,
    ) -> Answer<Option<T>> {
        let mut statement = self.connection.prepare_cached(sql)?;
        let mut rows = statement.query(values)?;
        Ok(rows.next()?.map(read).transpose()?)
    }

    fn all<T>(
        &self,
        sql: &str,
        values: impl Params,
        read: fn(&Row<'_>) -> Result<T, Error>,
    ) -> Answer<Vec<T>> {
        let mut statement = self.connection.prepare_cached(sql)?;
        let rows = statement.query_map(values, read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

impl Read for SqliteStore {
    fn person(&self, person: PersonId) -> Answer<Option<Person>> {
        self.one(
            &format!("{PERSON} WHERE id = ?1"),
            params![person.to_string()],
            read_person,
        )
    }

    fn person_by_sign_in(&self, name: &str) -> Answer<Option<Person>> {
        self.one(
            &format!("{PERSON} WHERE sign_in_name = ?1"),
            params![name],
            read_person,
        )
    }

    fn person_of_member(&self, garden: GardenId, member: MemberId) -> Answer<Option<PersonId>> {
        let sql = format!("{MEMBERSHIP} WHERE garden = ?1 AND member = ?2");
        let row = self.one(
            &sql,
            params![garden.to_string(), member.to_string()],
            read_membership,
        )?;
        Ok(row.map(|row| row.person))
    }

    fn device(&self, device: DeviceId) -> Answer<Option<Device>> {
        self.one(
            &format!("{DEVICE} WHERE id = ?1"),
            params![device.to_string()],
            read_device,
        )
    }

    fn device_by_token(&self, token: &SecretHash) -> Answer<Option<Device>> {
        self.one(
            &format!("{DEVICE} WHERE token = ?1"),
            params![token.as_bytes()],
            read_device,
        )
    }

    fn devices_of(&self, person: PersonId) -> Answer<Vec<Device>> {
        let sql = format!("{DEVICE} WHERE person = ?1 ORDER BY rowid");
        self.all(&sql, params![person.to_string()], read_device)
    }

    fn is_barred(&self, device: DeviceId, garden: GardenId) -> Answer<bool> {
        let sql = "SELECT 1 FROM barred WHERE device = ?1 AND garden = ?2";
        Ok(self
            .one(sql, params![device.to_string(), garden.to_string()], |_| {
                Ok(())
            })?
            .is_some())
    }

    fn gardens(&self) -> Answer<Vec<Garden>> {
        self.all(
            "SELECT id, made_at FROM garden ORDER BY rowid",
            params![],
            |row| {
                Ok(Garden {
                    id: parsed(row, 0)?,
                    made_at: moment(row, 1)?,
                })
            },
        )
    }

    fn memberships_of(&self, person: PersonId) -> Answer<Vec<Membership>> {
        let sql = format!("{MEMBERSHIP} WHERE person = ?1 ORDER BY rowid");
        self.all(&sql, params![person.to_string()], read_membership)
    }

    fn membership(&self, person: PersonId, garden: GardenId) -> Answer<Option<Membership>> {
        let sql = format!("{MEMBERSHIP} WHERE person = ?1 AND garden = ?2");
        self.one(
            &sql,
            params![person.to_string(), garden.to_string()],
            read_membership,
        )
    }

    fn enrolled(&self, garden: GardenId) -> Answer<Vec<Membership>> {
        let sql = format!("{MEMBERSHIP} WHERE garden = ?1 ORDER BY rowid");
        self.all(&sql, params![garden.to_string()], read_membership)
    }

    fn invite(&self, invite: InviteId) -> Answer<Option<Invite>> {
        self.one(
            &format!("{INVITE} WHERE id = ?1"),
            params![invite.to_string()],
            read_invite,
        )
    }

    fn invite_by_secret(&self, secret: &SecretHash) -> Answer<Option<Invite>> {
        self.one(
            &format!("{INVITE} WHERE secret = ?1"),
            params![secret.as_bytes()],
            read_invite,
        )
    }

    fn invites_of(&self, garden: GardenId) -> Answer<Vec<Invite>> {
        let sql = format!("{INVITE} WHERE garden = ?1 AND kind = 'garden' ORDER BY rowid");
        self.all(&sql, params![garden.to_string()], read_invite)
    }

    fn feed_by_secret(&self, secret: &SecretHash) -> Answer<Option<Feed>> {
        self.one(
            &format!("{FEED} WHERE secret = ?1"),
            params![secret.as_bytes()],
            read_feed,
        )
    }

    fn feed_of(&self, person: PersonId) -> Answer<Option<Feed>> {
        let sql = format!("{FEED} WHERE person = ?1 AND revoked_at IS NULL ORDER BY rowid DESC");
        self.one(&sql, params![person.to_string()], read_feed)
    }

    fn picture(&self, garden: GardenId, picture: PictureId) -> Answer<Option<Picture>> {
        self.one(
            "SELECT garden, id, kind, bytes, made_by, made_at FROM picture WHERE garden = ?1 AND id = ?2",
            params![garden.to_string(), picture.to_string()],
            read_picture,
        )
    }

    fn pictures_of(&self, garden: GardenId) -> Answer<Vec<PictureId>> {
        self.all(
            "SELECT id FROM picture WHERE garden = ?1 ORDER BY made_at, id",
            params![garden.to_string()],
            |row| parsed(row, 0),
        )
    }

    fn edit(&self, garden: GardenId, edit: EditId) -> Answer<Option<Edit>> {
        let sql = format!("{EDIT} WHERE garden = ?1 AND id = ?2");
        self.one(
            &sql,
            params![garden.to_string(), edit.to_string()],
            read_edit,
        )
    }

    fn edits(&self, garden: GardenId, after: Option<EditId>, limit: usize) -> Answer<Vec<Edit>> {
        let sql = format!(
            "{EDIT} WHERE garden = ?1 AND rowid >
             coalesce((SELECT rowid FROM edit WHERE garden = ?1 AND id = ?2), 0) ORDER BY rowid LIMIT ?3"
        );
        let after = after.map(|edit| edit.to_string());
        self.all(
            &sql,
            params![garden.to_string(), after, limit_to_sql(limit)],
            read_edit,
        )
    }

    fn documents(&self, garden: GardenId) -> Answer<Vec<DocumentName>> {
        let sql = "SELECT document FROM change WHERE garden = ?1 UNION SELECT document FROM snapshot WHERE garden = ?1";
        let mut names = self.all(sql, params![garden.to_string()], |row| parsed(row, 0))?;
        names.sort_unstable();
        Ok(names)
    }

    fn changes(
        &self,
        garden: GardenId,
        document: DocumentName,
        after: u64,
        limit: usize,
    ) -> Answer<Vec<Change>> {
        let sql = "SELECT garden, document, seq, bytes FROM change
                   WHERE garden = ?1 AND document = ?2 AND seq > ?3 ORDER BY seq LIMIT ?4";
        let values = params![
            garden.to_string(),
            document.to_string(),
            seq_to_sql(after)?,
            limit_to_sql(limit)
        ];
        self.all(sql, values, |row| {
            Ok(Change {
                garden: parsed(row, 0)?,
                document: parsed(row, 1)?,
                seq: seq(row, 2)?,
                bytes: row.get(3)?,
            })
        })
    }

    fn snapshots(&self, garden: GardenId, document: DocumentName) -> Answer<Vec<Snapshot>> {
        let sql =
            "SELECT garden, document, upto_seq, heads, bytes, made_at, verified_at FROM snapshot
                   WHERE garden = ?1 AND document = ?2 ORDER BY upto_seq DESC";
        self.all(
            sql,
            params![garden.to_string(), document.to_string()],
            |row| {
                let heads: String = row.get(3)?;
                Ok(Snapshot {
                    garden: parsed(row, 0)?,
                    document: parsed(row, 1)?,
                    upto_seq: seq(row, 2)?,
                    heads: serde_json::from_str(&heads).map_err(|error| unreadable(3, error))?,
                    bytes: row.get(4)?,
                    made_at: moment(row, 5)?,
                    verified_at: moment_if_any(row, 6)?,
                })
            },
        )
    }

    fn value(&self, name: &str) -> Answer<Option<Vec<u8>>> {
        self.one(
            "SELECT value FROM service WHERE name = ?1",
            params![name],
            |row| row.get(0),
        )
    }
}

fn read_person(row: &Row<'_>) -> Result<Person, Error> {
    let name: Option<String> = row.get(2)?;
    let passphrase: Option<String> = row.get(3)?;
    let sign_in = name.zip(passphrase).map(|(name, phc)| SignIn {
        name,
        passphrase: PassphraseHash::from_phc(phc),
    });
    Ok(Person {
        id: parsed(row, 0)?,
        name: row.get(1)?,
        sign_in,
        made_at: moment(row, 4)?,
    })
}

fn read_device(row: &Row<'_>) -> Result<Device, Error> {
    Ok(Device {
        id: parsed(row, 0)?,
        person: parsed(row, 1)?,
        name: row.get(2)?,
        token: SecretHash::from_bytes(row.get(3)?),
        garden: parsed_if_any(row, 4)?,
        made_at: moment(row, 5)?,
        last_seen: moment(row, 6)?,
        revoked_at: moment_if_any(row, 7)?,
    })
}

fn read_feed(row: &Row<'_>) -> Result<Feed, Error> {
    Ok(Feed {
        secret: SecretHash::from_bytes(row.get(0)?),
        person: parsed(row, 1)?,
        garden: parsed_if_any(row, 2)?,
        made_at: moment(row, 3)?,
        revoked_at: moment_if_any(row, 4)?,
    })
}

fn read_picture(row: &Row<'_>) -> Result<Picture, Error> {
    let word: String = row.get(2)?;
    let kind = PictureKind::ALL
        .into_iter()
        .find(|kind| kind.word() == word);
    let unknown = || Error::InvalidColumnType(2, word.clone(), Type::Text);
    Ok(Picture {
        garden: parsed(row, 0)?,
        id: parsed(row, 1)?,
        kind: kind.ok_or_else(unknown)?,
        bytes: row.get(3)?,
        made_by: parsed(row, 4)?,
        made_at: moment(row, 5)?,
    })
}

fn read_membership(row: &Row<'_>) -> Result<Membership, Error> {
    Ok(Membership {
        person: parsed(row, 0)?,
        garden: parsed(row, 1)?,
        member: parsed(row, 2)?,
        made_at: moment(row, 3)?,
    })
}

fn read_invite(row: &Row<'_>) -> Result<Invite, Error> {
    let kind: String = row.get(2)?;
    let kind = match kind.as_str() {
        "garden" => InviteKind::Garden {
            garden: parsed(row, 3)?,
            member: parsed(row, 4)?,
        },
        "new_garden" => InviteKind::NewGarden,
        "device" => InviteKind::Device {
            person: parsed(row, 5)?,
            garden: parsed_if_any(row, 3)?,
        },
        other => return Err(unreadable(2, format!("an invite of kind {other}"))),
    };
    Ok(Invite {
        id: parsed(row, 0)?,
        secret: SecretHash::from_bytes(row.get(1)?),
        kind,
        made_by: parsed_if_any(row, 6)?,
        made_at: moment(row, 7)?,
        expires_at: moment(row, 8)?,
        used_at: moment_if_any(row, 9)?,
        revoked_at: moment_if_any(row, 10)?,
    })
}

fn read_edit(row: &Row<'_>) -> Result<Edit, Error> {
    let document: Option<DocumentName> = parsed_if_any(row, 6)?;
    let change = match document {
        None => None,
        Some(document) => Some((document, seq(row, 7)?)),
    };
    Ok(Edit {
        garden: parsed::<GardenId>(row, 0)?,
        id: parsed::<EditId>(row, 1)?,
        member: parsed::<MemberId>(row, 2)?,
        device: parsed_if_any(row, 3)?,
        body: row.get(4)?,
        verdict: row.get(5)?,
        change,
        received_at: moment(row, 8)?,
    })
}

/// A change's number as the database counts.
pub(super) fn seq_to_sql(seq: u64) -> Answer<i64> {
    i64::try_from(seq)
        .map_err(|_too_large| StoreError::Failed(format!("change number {seq} is out of range")))
}

/// A list as JSON text.
pub(super) fn json(value: &impl Serialize) -> Answer<String> {
    serde_json::to_string(value).map_err(|error| StoreError::Failed(error.to_string()))
}

fn limit_to_sql(limit: usize) -> i64 {
    i64::try_from(limit).unwrap_or(i64::MAX)
}

fn seq(row: &Row<'_>, column: usize) -> Result<u64, Error> {
    let seq: i64 = row.get(column)?;
    u64::try_from(seq).map_err(|error| unreadable(column, error))
}

fn moment(row: &Row<'_>, column: usize) -> Result<Moment, Error> {
    row.get(column).map(Moment::from_millis)
}

fn moment_if_any(row: &Row<'_>, column: usize) -> Result<Option<Moment>, Error> {
    let millis: Option<i64> = row.get(column)?;
    Ok(millis.map(Moment::from_millis))
}

fn parsed<T>(row: &Row<'_>, column: usize) -> Result<T, Error>
where
    T: FromStr,
    T::Err: Display,
{
    let text: String = row.get(column)?;
    text.parse()
        .map_err(|error: T::Err| unreadable(column, error.to_string()))
}

fn parsed_if_any<T>(row: &Row<'_>, column: usize) -> Result<Option<T>, Error>
where
    T: FromStr,
    T::Err: Display,
{
    let text: Option<String> = row.get(column)?;
    text.map(|text| {
        text.parse()
            .map_err(|error: T::Err| unreadable(column, error.to_string()))
    })
    .transpose()
}

fn unreadable(column: usize, why: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> Error {
    Error::FromSqlConversionFailure(column, Type::Text, why.into())
}
