//! The schema's versions, applied in order, each in one transaction. A version that was shipped is never changed.

use rusqlite::{Connection, TransactionBehavior};

use crate::store::{Answer, StoreError};

/// One file a version, the first is version 1.
const MIGRATIONS: [&str; 3] = [
    include_str!("../../../migrations/001_first.sql"),
    include_str!("../../../migrations/002_feed.sql"),
    include_str!("../../../migrations/003_picture.sql"),
];

/// Applies what is missing.
pub(super) fn bring_up_to_date(connection: &mut Connection) -> Answer<()> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let found: i64 = transaction.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    if found > known {
        return Err(StoreError::Newer { found, known });
    }
    for sql in MIGRATIONS.iter().skip(usize::try_from(found).unwrap_or(0)) {
        transaction.execute_batch(sql)?;
    }
    transaction.pragma_update(None, "user_version", known)?;
    Ok(transaction.commit()?)
}
