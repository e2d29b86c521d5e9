//! What the phone keeps: rows of text or bytes in a few named stores, several changed in one go or none of them.
//!
//! The rows themselves live behind [`Rows`]: IndexedDB in the browser, memory in tests. [`Vault`] adds what must hold
//! for either: keys that sort alike everywhere, and one more try on a fresh connection when a connection has died, as
//! it does on some phones while the page was in the background.

use std::future::Future;
use std::pin::Pin;
use std::rc::Rc;

pub use selion_core::sync::vault::Store;

use super::trouble::Trouble;

/// What a row holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// Text, such as JSON.
    Text(String),
    /// Bytes, such as a document.
    Bytes(Vec<u8>),
}

impl Value {
    /// The text, if it is one.
    pub fn into_text(self) -> Option<String> {
        if let Self::Text(text) = self {
            Some(text)
        } else {
            None
        }
    }

    /// The bytes, if they are.
    pub fn into_bytes(self) -> Option<Vec<u8>> {
        if let Self::Bytes(bytes) = self {
            Some(bytes)
        } else {
            None
        }
    }
}

/// One change to the rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Write {
    /// Sets a row, in place of an earlier one.
    Put(Store, String, Value),
    /// Takes a row away; no matter if there is none.
    Delete(Store, String),
    /// Takes away every row whose key begins so; an empty prefix empties the store.
    DeletePrefix(Store, String),
}

impl Write {
    /// Sets a row to a text.
    pub fn text(store: Store, key: impl Into<String>, text: impl Into<String>) -> Self {
        Self::Put(store, key.into(), Value::Text(text.into()))
    }

    /// Sets a row to bytes.
    pub fn bytes(store: Store, key: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self::Put(store, key.into(), Value::Bytes(bytes.into()))
    }

    /// The store it changes.
    pub const fn store(&self) -> Store {
        match self {
            Self::Put(store, ..) | Self::Delete(store, _) | Self::DeletePrefix(store, _) => *store,
        }
    }

    fn check(&self) -> Result<(), Trouble> {
        match self {
            Self::Put(_, key, _) | Self::Delete(_, key) => check_key(key),
            Self::DeletePrefix(_, prefix) => check_prefix(prefix),
        }
    }
}

/// When a commit counts as done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Durability {
    /// When the rows are on the disk: for what a person wrote.
    Strict,
    /// When the system has taken them: for what can be fetched again.
    Relaxed,
}

/// Work on rows, to be awaited.
pub type Work<'a, T> = Pin<Box<dyn Future<Output = Result<T, Trouble>> + 'a>>;

/// Rows with their keys, in the order of the keys.
pub type KeyedRows = Vec<(String, Value)>;

/// A place where rows live. Keys have been checked before they come here.
pub trait Rows {
    /// Makes all the writes, in this order, or none.
    fn commit<'a>(&'a self, writes: &'a [Write], durability: Durability) -> Work<'a, ()>;
    /// The row with this key.
    fn read<'a>(&'a self, store: Store, key: &'a str) -> Work<'a, Option<Value>>;
    /// Every row whose key begins so, in the order of the keys.
    fn read_prefix<'a>(&'a self, store: Store, prefix: &'a str) -> Work<'a, KeyedRows>;
    /// Lets the present connection go, so that the next call makes a fresh one.
    fn let_go(&self);
}

/// The phone's rows. Clones are the same vault.
#[derive(Clone)]
pub struct Vault {
    rows: Rc<dyn Rows>,
}

impl std::fmt::Debug for Vault {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Vault").finish_non_exhaustive()
    }
}

impl Vault {
    /// A vault over these rows.
    pub fn over(rows: impl Rows + 'static) -> Self {
        Self {
            rows: Rc::new(rows),
        }
    }

    /// Makes all the writes in one go, or none. `Ok` comes only once they are kept as `durability` says.
    pub async fn commit(&self, writes: &[Write], durability: Durability) -> Result<(), Trouble> {
        for write in writes {
            write.check()?;
        }
        if writes.is_empty() {
            return Ok(());
        }
        // Trying again is safe: every write sets or clears, so making it twice leaves the same rows.
        match self.rows.commit(writes, durability).await {
            Err(trouble) if self.is_worth_reopening(&trouble) => {
                self.rows.commit(writes, durability).await
            }
            settled => settled,
        }
    }

    /// The row with this key.
    pub async fn read(&self, store: Store, key: &str) -> Result<Option<Value>, Trouble> {
        check_key(key)?;
        match self.rows.read(store, key).await {
            Err(trouble) if self.is_worth_reopening(&trouble) => self.rows.read(store, key).await,
            settled => settled,
        }
    }

    /// Every row whose key begins so, in the order of the keys.
    pub async fn read_prefix(&self, store: Store, prefix: &str) -> Result<KeyedRows, Trouble> {
        check_prefix(prefix)?;
        match self.rows.read_prefix(store, prefix).await {
            Err(trouble) if self.is_worth_reopening(&trouble) => {
                self.rows.read_prefix(store, prefix).await
            }
            settled => settled,
        }
    }

    fn is_worth_reopening(&self, trouble: &Trouble) -> bool {
        let worth = matches!(trouble, Trouble::Storage(_));
        if worth {
            self.rows.let_go();
        }
        worth
    }
}

/// The first key that is after every key with this prefix. Keys are printable ASCII, so the delete character, which
/// follows the last of them, ends the range.
pub fn end_of_prefix(prefix: &str) -> String {
    format!("{prefix}\u{7f}")
}

// Printable ASCII alone: it sorts alike in UTF-8, in IndexedDB's UTF-16 and on the server.
fn check_key(key: &str) -> Result<(), Trouble> {
    if key.is_empty() {
        Err(Trouble::BadKey(String::new()))
    } else {
        check_prefix(key)
    }
}

fn check_prefix(prefix: &str) -> Result<(), Trouble> {
    if prefix.bytes().all(|byte| byte.is_ascii_graphic()) {
        Ok(())
    } else {
        Err(Trouble::BadKey(prefix.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::memory_rows::{MemoryRows, now};

    fn ready<T>(work: impl Future<Output = T>) -> T {
        now(work).expect("memory answers at once")
    }

    fn vault() -> (Vault, MemoryRows) {
        let rows = MemoryRows::default();
        (Vault::over(rows.clone()), rows)
    }

    #[test]
    fn a_prefix_takes_its_own_rows_and_no_others() {
        let (vault, _) = vault();
        let writes =
            ["g1/a", "g1/~", "g1", "g10/a", "g2/a"].map(|key| Write::text(Store::Outbox, key, key));
        ready(vault.commit(&writes, Durability::Strict)).unwrap();
        let keys = |prefix| -> Vec<String> {
            let rows = ready(vault.read_prefix(Store::Outbox, prefix)).unwrap();
            rows.into_iter().map(|(key, _)| key).collect()
        };
        assert_eq!(keys("g1/"), ["g1/a", "g1/~"]);
        assert_eq!(keys("g1"), ["g1", "g1/a", "g1/~", "g10/a"]);
        ready(vault.commit(
            &[Write::DeletePrefix(Store::Outbox, "g1/".into())],
            Durability::Strict,
        ))
        .unwrap();
        assert_eq!(keys(""), ["g1", "g10/a", "g2/a"]);
    }

    #[test]
    fn writes_are_made_in_order() {
        let (vault, _) = vault();
        let writes = [
            Write::text(Store::Meta, "who", "Ines"),
            Write::Delete(Store::Meta, "who".into()),
            Write::bytes(Store::Meta, "who", [1, 2, 3]),
        ];
        ready(vault.commit(&writes, Durability::Relaxed)).unwrap();
        assert_eq!(
            ready(vault.read(Store::Meta, "who")).unwrap(),
            Some(Value::Bytes(vec![1, 2, 3]))
        );
        assert_eq!(ready(vault.read(Store::View, "who")).unwrap(), None);
    }

    #[test]
    fn a_connection_that_died_is_opened_once_more() {
        let (vault, rows) = vault();
        rows.fail_next(1);
        ready(vault.commit(&[Write::text(Store::Outbox, "a", "1")], Durability::Strict)).unwrap();
        assert_eq!(rows.reopened(), 1);
        rows.fail_next(1);
        assert!(ready(vault.read(Store::Outbox, "a")).unwrap().is_some());
        assert_eq!(rows.reopened(), 2);
    }

    #[test]
    fn a_storage_that_stays_dead_is_told_and_nothing_is_half_written() {
        let (vault, rows) = vault();
        rows.fail_next(2);
        let writes = [
            Write::text(Store::Outbox, "a", "1"),
            Write::text(Store::Outbox, "b", "2"),
        ];
        let told = ready(vault.commit(&writes, Durability::Strict));
        assert!(matches!(told, Err(Trouble::Storage(_))), "{told:?}");
        assert_eq!(ready(vault.read_prefix(Store::Outbox, "")).unwrap(), []);
    }

    #[test]
    fn keys_that_would_sort_differently_are_refused() {
        let (vault, _) = vault();
        for key in ["", "a b", "é", "a\u{7f}", "\u{1f331}"] {
            let told =
                ready(vault.commit(&[Write::text(Store::Meta, key, "x")], Durability::Relaxed));
            assert!(matches!(told, Err(Trouble::BadKey(_))), "{key:?}: {told:?}");
        }
    }
}
