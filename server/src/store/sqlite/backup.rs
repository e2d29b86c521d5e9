//! Copying the store while it is in use, and putting a copy back.

use std::path::Path;
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use super::{SqliteStore, file_in};
use crate::chance;
use crate::store::rows::Write;
use crate::store::{Answer, Store as _, StoreError, value};

/// Pages copied in one go; between two goes the service can write.
const PAGES_AT_ONCE: i32 = 256;
const PAUSE: Duration = Duration::from_millis(5);

/// Copies the store of a data folder to a file, while the service runs or not. The copy appears whole or not at all.
pub fn back_up(data: &Path, to: &Path) -> Answer<()> {
    let source = Connection::open_with_flags(file_in(data), OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    copy_beside(&source, to)
}

/// Puts a copy in place of the store of a data folder that no service is using, and begins a new epoch, which tells
/// phones to offer again what they had been told was kept.
pub fn restore(data: &Path, from: &Path) -> Answer<()> {
    let source = Connection::open_with_flags(from, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    check(&source)?;
    std::fs::create_dir_all(data).map_err(|error| failed("cannot make the data folder", &error))?;
    let target = file_in(data);
    for leftover in ["-wal", "-shm"] {
        let mut path = target.clone().into_os_string();
        path.push(leftover);
        match std::fs::remove_file(&path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(failed("cannot remove the former log", &error));
            }
            _ => {}
        }
    }
    copy_beside(&source, &target)?;
    SqliteStore::open(data)?.commit(&[Write::SetValue(
        value::EPOCH,
        chance::bytes::<16>().to_vec(),
    )])
}

/// Copies into a temporary file beside the target, checks it and renames it.
fn copy_beside(source: &Connection, target: &Path) -> Answer<()> {
    let folder = target
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let file = tempfile::NamedTempFile::new_in(folder)
        .map_err(|error| failed("cannot write beside the copy", &error))?;
    let mut copy = Connection::open(file.path())?;
    Backup::new(source, &mut copy)?.run_to_completion(PAGES_AT_ONCE, PAUSE, None)?;
    check(&copy)?;
    copy.close().map_err(|(_, error)| error)?;
    file.as_file()
        .sync_all()
        .map_err(|error| failed("cannot write the copy", &error))?;
    file.persist(target)
        .map_err(|error| failed("cannot put the copy in place", &error.error))?;
    Ok(())
}

fn check(connection: &Connection) -> Answer<()> {
    let report: String = connection.pragma_query_value(None, "quick_check", |row| row.get(0))?;
    if report == "ok" {
        Ok(())
    } else {
        Err(StoreError::Unreadable(report))
    }
}

fn failed(what: &str, error: &std::io::Error) -> StoreError {
    StoreError::Failed(format!("{what}: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Read as _;

    #[test]
    fn a_copy_put_back_is_the_same_store_in_a_new_epoch() {
        let folder = tempfile::tempdir().unwrap();
        let (data, elsewhere) = (
            folder.path().join("data"),
            folder.path().join("copy.sqlite"),
        );
        let mut store = SqliteStore::open(&data).unwrap();
        store
            .commit(&[
                Write::SetValue(value::ACCESS_KEY, vec![7; 32]),
                Write::SetValue(value::EPOCH, vec![1]),
            ])
            .unwrap();
        back_up(&data, &elsewhere).unwrap();
        store
            .commit(&[Write::SetValue(value::ACCESS_KEY, vec![8; 32])])
            .unwrap();
        drop(store);

        restore(&data, &elsewhere).unwrap();
        let store = SqliteStore::open(&data).unwrap();
        assert_eq!(store.value(value::ACCESS_KEY).unwrap(), Some(vec![7; 32]));
        assert_ne!(store.value(value::EPOCH).unwrap(), Some(vec![1]));
    }

    #[test]
    fn what_is_no_backup_is_refused_and_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let (data, elsewhere) = (folder.path().join("data"), folder.path().join("notes.txt"));
        SqliteStore::open(&data)
            .unwrap()
            .commit(&[Write::SetValue(value::ACCESS_KEY, vec![7; 32])])
            .unwrap();
        std::fs::write(
            &elsewhere,
            "potatoes, then beans, then nothing for a year ".repeat(40),
        )
        .unwrap();
        assert!(restore(&data, &elsewhere).is_err());
        assert_eq!(
            SqliteStore::open(&data)
                .unwrap()
                .value(value::ACCESS_KEY)
                .unwrap(),
            Some(vec![7; 32])
        );
    }
}
