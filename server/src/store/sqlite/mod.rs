//! The store in one `SQLite` file.
//!
//! Write-ahead log, `synchronous=FULL`: a commit that returned is on the disk, also if the power goes. One connection
//! writes and belongs to one thread; any number of others, opened by [`SqliteStore::open_reader`], can only read.

mod backup;
mod migrations;
mod read;
mod write;

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use super::rows::Write;
use super::{Answer, Read, Store, StoreError};

pub use backup::{back_up, restore};

/// The file that holds everything, inside the data folder.
pub const FILE_NAME: &str = "selion.sqlite";

/// How long a connection waits for another one's lock before it gives up.
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);

/// Prepared statements kept by each connection; there are about forty different ones.
const STATEMENTS_KEPT: usize = 64;

/// A connection to the store.
#[derive(Debug)]
pub struct SqliteStore {
    connection: Connection,
}

impl SqliteStore {
    /// Opens the store of a data folder for writing, making it if it is not there and bringing it up to date.
    pub fn open(data: &Path) -> Answer<Self> {
        std::fs::create_dir_all(data).map_err(|error| {
            StoreError::Failed(format!(
                "cannot make the folder {}: {error}",
                data.display()
            ))
        })?;
        let mut connection = Connection::open(file_in(data))?;
        set_up(&connection)?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        migrations::bring_up_to_date(&mut connection)?;
        Ok(Self { connection })
    }

    /// Opens a store that exists for reading only.
    pub fn open_reader(data: &Path) -> Answer<Self> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(file_in(data), flags)?;
        set_up(&connection)?;
        Ok(Self { connection })
    }
}

impl Store for SqliteStore {
    fn commit(&mut self, writes: &[Write]) -> Answer<()> {
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        for write in writes {
            write::apply(&transaction, write)?;
        }
        Ok(transaction.commit()?)
    }

    fn as_read(&self) -> &dyn Read {
        self
    }
}

/// The file of a data folder.
pub fn file_in(data: &Path) -> PathBuf {
    data.join(FILE_NAME)
}

fn set_up(connection: &Connection) -> Answer<()> {
    connection.busy_timeout(BUSY_TIMEOUT)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.set_prepared_statement_cache_capacity(STATEMENTS_KEPT);
    Ok(())
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        let text = error.to_string();
        if error.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) {
            Self::Clash(text)
        } else if matches!(
            error,
            rusqlite::Error::FromSqlConversionFailure(..) | rusqlite::Error::InvalidColumnType(..)
        ) {
            Self::Unreadable(text)
        } else {
            Self::Failed(text)
        }
    }
}
