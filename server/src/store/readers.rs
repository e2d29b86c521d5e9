//! Questions to the store from the threads that answer requests: each borrows a read-only connection.

use std::fmt;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use actix_web::web;

use super::Read;
use super::sqlite::SqliteStore;
use crate::error::AppError;

/// Idle connections kept; more are opened when needed and closed after use.
const IDLE_KEPT: usize = 8;

/// A handful of read-only connections.
#[derive(Clone)]
pub struct Readers {
    data: PathBuf,
    idle: Arc<Mutex<Vec<SqliteStore>>>,
}

impl Readers {
    /// Readers of the store in a data folder.
    pub fn new(data: PathBuf) -> Self {
        Self {
            data,
            idle: Arc::default(),
        }
    }

    /// Asks away from the threads that answer requests.
    pub async fn ask<T: Send + 'static>(
        &self,
        question: impl FnOnce(&dyn Read) -> Result<T, AppError> + Send + 'static,
    ) -> Result<T, AppError> {
        let readers = self.clone();
        web::block(move || {
            let idle = readers.lock().pop();
            let connection = match idle {
                Some(connection) => connection,
                None => SqliteStore::open_reader(&readers.data)?,
            };
            let answer = question(&connection);
            let mut idle = readers.lock();
            if idle.len() < IDLE_KEPT {
                idle.push(connection);
            }
            answer
        })
        .await
        .map_err(|_stopping| AppError::Busy)?
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Vec<SqliteStore>> {
        self.idle.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl fmt::Debug for Readers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Readers")
            .field("data", &self.data)
            .finish_non_exhaustive()
    }
}
