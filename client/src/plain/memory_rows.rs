//! Rows in memory, for tests and for a browser whose storage has failed; failures can be asked for.

use std::cell::{Cell, RefCell};
use std::future::Future;
use std::pin::pin;
use std::rc::Rc;
use std::task::{Context, Poll, Waker};

use super::trouble::Trouble;
use super::vault::{Durability, KeyedRows, Rows, Store, Value, Work, Write, end_of_prefix};
use selion_core::ordered::Map;

/// Rows in memory. Clones are the same rows, so that a test can keep one in hand.
#[derive(Clone, Debug, Default)]
pub struct MemoryRows(Rc<Inside>);

#[derive(Debug, Default)]
struct Inside {
    rows: RefCell<Map<(Store, String), Value>>,
    failures_left: Cell<usize>,
    reopened: Cell<usize>,
}

impl MemoryRows {
    /// Makes the next so many calls fail, as a storage does whose connection was lost.
    pub fn fail_next(&self, calls: usize) {
        self.0.failures_left.set(calls);
    }

    /// How many times the connection was let go.
    pub fn reopened(&self) -> usize {
        self.0.reopened.get()
    }

    fn answer<T>(
        &self,
        work: impl FnOnce(&mut Map<(Store, String), Value>) -> T,
    ) -> Work<'static, T>
    where
        T: 'static,
    {
        let failures = self.0.failures_left.get();
        let answer = if failures > 0 {
            self.0.failures_left.set(failures - 1);
            Err(Trouble::Storage("connection lost".into()))
        } else {
            Ok(work(&mut self.0.rows.borrow_mut()))
        };
        Box::pin(std::future::ready(answer))
    }
}

impl Rows for MemoryRows {
    fn commit<'a>(&'a self, writes: &'a [Write], _: Durability) -> Work<'a, ()> {
        self.answer(|rows| {
            for write in writes.iter().cloned() {
                match write {
                    Write::Put(store, key, value) => {
                        rows.insert((store, key), value);
                    }
                    Write::Delete(store, key) => {
                        rows.remove(&(store, key));
                    }
                    Write::DeletePrefix(store, prefix) => {
                        rows.retain(|(of, key), _| !(*of == store && is_within(key, &prefix)));
                    }
                }
            }
        })
    }

    fn read<'a>(&'a self, store: Store, key: &'a str) -> Work<'a, Option<Value>> {
        self.answer(|rows| rows.get(&(store, key.to_owned())).cloned())
    }

    fn read_prefix<'a>(&'a self, store: Store, prefix: &'a str) -> Work<'a, KeyedRows> {
        self.answer(|rows| {
            rows.iter()
                .filter(|((of, key), _)| *of == store && is_within(key, prefix))
                .map(|((_, key), value)| (key.clone(), value.clone()))
                .collect()
        })
    }

    fn let_go(&self) {
        self.0.reopened.set(self.0.reopened.get() + 1);
    }
}

// By the same range that IndexedDB is asked for.
fn is_within(key: &str, prefix: &str) -> bool {
    prefix <= key && key < end_of_prefix(prefix).as_str()
}

/// What the work comes to, if it needs to wait for nothing, as work on memory does.
pub fn now<T>(work: impl Future<Output = T>) -> Option<T> {
    match pin!(work).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(answer) => Some(answer),
        Poll::Pending => None,
    }
}
