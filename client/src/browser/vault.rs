//! The vault on this phone: rows in the IndexedDB database `selion`.

use std::cell::RefCell;
use std::ops::Range;
use std::rc::Rc;

use indexed_db_futures::database::Database;
use indexed_db_futures::error::{Error, OpenDbError};
use indexed_db_futures::prelude::*;
use indexed_db_futures::transaction::{TransactionDurability, TransactionMode, TransactionOptions};
use js_sys::Uint8Array;
use wasm_bindgen::{JsCast, JsValue};

use selion_core::ordered;

use super::{Trouble, name_of, words_of};
use crate::plain::vault::{KeyedRows, Rows, Work, end_of_prefix};

pub use crate::plain::vault::{Durability, Store, Value, Vault, Write};

const DATABASE: &str = "selion";
/// Raised when a store is added. A version must stay readable by the program before it.
const VERSION: u8 = 1;

/// The phone's own vault. The database is opened at the first use.
pub fn open() -> Vault {
    Vault::over(IndexedRows::default())
}

/// Takes everything off this phone, after all connections of other tabs are closed.
pub async fn destroy() -> Result<(), Trouble> {
    Database::delete_by_name(DATABASE)
        .map_err(open_trouble)?
        .await
        .map_err(trouble)
}

#[derive(Default)]
struct IndexedRows {
    connection: RefCell<Option<Rc<Database>>>,
}

impl IndexedRows {
    async fn connection(&self) -> Result<Rc<Database>, Trouble> {
        if let Some(open) = self.connection.borrow().as_ref() {
            return Ok(Rc::clone(open));
        }
        let opened = Database::open(DATABASE)
            .with_version(VERSION)
            .with_on_upgrade_needed(|_, database| {
                let present: Vec<String> = database.object_store_names().collect();
                for store in Store::ALL {
                    if !present.iter().any(|name| name == store.name()) {
                        database.create_object_store(store.name()).build()?;
                    }
                }
                Ok(())
            })
            .await
            .map_err(open_trouble)?;
        let opened = Rc::new(opened);
        *self.connection.borrow_mut() = Some(Rc::clone(&opened));
        Ok(opened)
    }
}

impl Rows for IndexedRows {
    fn commit<'a>(&'a self, writes: &'a [Write], durability: Durability) -> Work<'a, ()> {
        Box::pin(async move {
            let database = self.connection().await?;
            commit(&database, writes, durability).await.map_err(trouble)
        })
    }

    fn read<'a>(&'a self, store: Store, key: &'a str) -> Work<'a, Option<Value>> {
        Box::pin(async move {
            let database = self.connection().await?;
            let row = read(&database, store, key).await.map_err(trouble)?;
            Ok(row.and_then(value_from))
        })
    }

    fn read_prefix<'a>(&'a self, store: Store, prefix: &'a str) -> Work<'a, KeyedRows> {
        Box::pin(async move {
            let database = self.connection().await?;
            read_prefix(&database, store, prefix).await.map_err(trouble)
        })
    }

    fn let_go(&self) {
        if let Some(dying) = self.connection.borrow_mut().take() {
            // Transactions that are still under way are let finish by the browser.
            Database::clone(&dying).close();
        }
    }
}

// One transaction. It is rolled back if anything fails, and over only when the browser reports it complete.
async fn commit(
    database: &Database,
    writes: &[Write],
    durability: Durability,
) -> Result<(), Error> {
    let mut stores: Vec<Store> = writes.iter().map(Write::store).collect();
    ordered::sort(&mut stores);
    stores.dedup();
    let names: Vec<&str> = stores.iter().map(|store| store.name()).collect();
    let mut options = TransactionOptions::new();
    options.set_durability(match durability {
        Durability::Strict => TransactionDurability::Strict,
        Durability::Relaxed => TransactionDurability::Relaxed,
    });
    let transaction = database
        .transaction(names.as_slice())
        .with_mode(TransactionMode::Readwrite)
        .with_options(options)
        .build()?;
    // The requests are made without waiting in between: waiting for anything else would end the transaction early.
    for write in writes {
        let store = transaction.object_store(write.store().name())?;
        match write {
            Write::Put(_, key, value) => {
                store
                    .put(js_from(value))
                    .with_key(key.as_str())
                    .without_key_type()
                    .primitive()?;
            }
            Write::Delete(_, key) => {
                store.delete(key.as_str()).primitive()?;
            }
            Write::DeletePrefix(_, prefix) => {
                store.delete(range_of(prefix)).primitive()?;
            }
        }
    }
    transaction.commit().await
}

async fn read(database: &Database, store: Store, key: &str) -> Result<Option<JsValue>, Error> {
    let transaction = database
        .transaction(store.name())
        .with_mode(TransactionMode::Readonly)
        .build()?;
    let store = transaction.object_store(store.name())?;
    let row: Option<JsValue> = store.get(key).primitive()?.await?;
    Ok(row)
}

async fn read_prefix(database: &Database, store: Store, prefix: &str) -> Result<KeyedRows, Error> {
    let transaction = database
        .transaction(store.name())
        .with_mode(TransactionMode::Readonly)
        .build()?;
    let store = transaction.object_store(store.name())?;
    let keys = store
        .get_all_keys::<String>()
        .with_query(range_of(prefix))
        .primitive()?;
    let rows = store
        .get_all::<JsValue>()
        .with_query(range_of(prefix))
        .primitive()?;
    // Both were asked of one transaction, so they tell of the same moment, in the same order.
    let keys = keys.await?.collect::<Result<Vec<String>, Error>>()?;
    let rows = rows.await?.collect::<Result<Vec<JsValue>, Error>>()?;
    Ok(keys
        .into_iter()
        .zip(rows)
        .filter_map(|(key, row)| Some((key, value_from(row)?)))
        .collect())
}

fn range_of(prefix: &str) -> Range<String> {
    prefix.to_owned()..end_of_prefix(prefix)
}

fn js_from(value: &Value) -> JsValue {
    match value {
        Value::Text(text) => JsValue::from_str(text),
        Value::Bytes(bytes) => Uint8Array::from(bytes.as_slice()).into(),
    }
}

fn value_from(row: JsValue) -> Option<Value> {
    match row.as_string() {
        Some(text) => Some(Value::Text(text)),
        None => row
            .dyn_into::<Uint8Array>()
            .ok()
            .map(|bytes| Value::Bytes(bytes.to_vec())),
    }
}

fn trouble(error: Error) -> Trouble {
    match error {
        Error::DomException(exception) => {
            let thrown = JsValue::from(exception);
            storage_trouble(&name_of(&thrown), words_of(&thrown))
        }
        Error::Serialisation(_) | Error::MissingData(_) | Error::Unknown(_) => {
            Trouble::Storage(error.to_string())
        }
    }
}

fn storage_trouble(name: &str, words: String) -> Trouble {
    if name == "QuotaExceededError" {
        Trouble::Full
    } else {
        Trouble::Storage(words)
    }
}

#[expect(
    clippy::needless_pass_by_value,
    reason = "the shape that map_err asks for"
)]
fn open_trouble(error: OpenDbError) -> Trouble {
    Trouble::Storage(error.to_string())
}
