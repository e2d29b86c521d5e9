//! Between what core wants kept and the phone's vault, in order, one commit at a time.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;

use leptos::task::spawn_local;
use selion_core::document::ids::{EditId, GardenId};
use selion_core::json;
use selion_core::sync::vault::Keep;
use selion_core::sync::{RowState, Stored};

use crate::browser::vault::{Durability, Store, Value, Vault, Write};
use crate::browser::{Trouble, mirror, page};

/// One list of things to keep, and what to say when it is done.
struct Load {
    keep: Vec<Keep>,
    durability: Durability,
    done: Box<dyn FnOnce(Result<(), Trouble>)>,
}

/// The phone's vault, written to in the order things happened.
pub(super) struct Keeping {
    vault: Vault,
    waiting: RefCell<VecDeque<Load>>,
    running: RefCell<bool>,
}

impl Keeping {
    pub(super) fn new(vault: Vault) -> Rc<Self> {
        Rc::new(Self {
            vault,
            waiting: RefCell::default(),
            running: RefCell::new(false),
        })
    }

    pub(super) fn vault(&self) -> &Vault {
        &self.vault
    }

    /// Keeps a list, all of it or nothing, after everything before it; then says how it went.
    pub(super) fn keep(
        self: &Rc<Self>,
        keep: Vec<Keep>,
        durability: Durability,
        done: impl FnOnce(Result<(), Trouble>) + 'static,
    ) {
        self.waiting.borrow_mut().push_back(Load {
            keep,
            durability,
            done: Box::new(done),
        });
        if !self.running.replace(true) {
            let this = Rc::clone(self);
            spawn_local(async move { this.run().await });
        }
    }

    async fn run(self: Rc<Self>) {
        loop {
            let Some(load) = self.waiting.borrow_mut().pop_front() else {
                break;
            };
            mirror_rows(&load.keep);
            let writes: Vec<Write> = load.keep.iter().map(write_of).collect();
            let settled = self.vault.commit(&writes, load.durability).await;
            if settled.is_ok() {
                unmirror_rows(&load.keep);
            }
            (load.done)(settled);
        }
        self.running.replace(false);
    }

    /// Everything the phone holds of a garden, the mirrored edits that the vault lost among it.
    pub(super) async fn read(&self, garden: GardenId) -> Result<Stored, Trouble> {
        let prefix = format!("{garden}/");
        let bytes = |rows: Vec<(String, Value)>| {
            rows.into_iter()
                .map(|(key, value)| (key, into_bytes(value)))
                .collect()
        };
        let mut stored = Stored {
            outbox: bytes(self.vault.read_prefix(Store::Outbox, &prefix).await?),
            documents: bytes(self.vault.read_prefix(Store::Documents, &prefix).await?),
            changes: bytes(self.vault.read_prefix(Store::Changes, &prefix).await?),
            meta: bytes(self.vault.read_prefix(Store::Meta, &prefix).await?),
        };
        for (key, row) in mirror::all(&prefix).unwrap_or_default() {
            if !stored.outbox.iter().any(|(known, _)| *known == key) {
                stored.outbox.push((key, row.into_bytes()));
            }
        }
        Ok(stored)
    }

    /// The outbox rows alone.
    pub(super) async fn read_outbox(
        &self,
        garden: GardenId,
    ) -> Result<Vec<(String, Vec<u8>)>, Trouble> {
        let rows = self
            .vault
            .read_prefix(Store::Outbox, &format!("{garden}/"))
            .await?;
        Ok(rows
            .into_iter()
            .map(|(key, value)| (key, into_bytes(value)))
            .collect())
    }
}

/// The ids of the edits among what was kept that were not sent yet.
pub(super) fn edits_in(keep: &[Keep]) -> Vec<EditId> {
    keep.iter()
        .filter_map(|keep| match keep {
            Keep::Put(Store::Outbox, key, _) => key.rsplit('/').next()?.parse().ok(),
            Keep::Put(..) | Keep::Delete(..) | Keep::DeletePrefix(..) => None,
        })
        .collect()
}

/// Unsent edits are copied into a second, small storage before the vault is asked: some phones lose their vault.
fn mirror_rows(keep: &[Keep]) {
    for keep in keep {
        if let Keep::Put(Store::Outbox, key, value) = keep
            && is_waiting(value)
            && let Ok(text) = std::str::from_utf8(value)
        {
            page::note_trouble(mirror::put(key, text));
        }
    }
}

/// A copy is taken away once the edit was answered or dropped.
fn unmirror_rows(keep: &[Keep]) {
    for keep in keep {
        let answered = match keep {
            Keep::Put(Store::Outbox, key, value) if !is_waiting(value) => Some(key),
            Keep::Delete(Store::Outbox, key) => Some(key),
            Keep::Put(..) | Keep::Delete(..) | Keep::DeletePrefix(..) => None,
        };
        if let Some(key) = answered {
            page::note_trouble(mirror::remove(key));
        }
    }
}

fn is_waiting(row: &[u8]) -> bool {
    json::read_bytes::<selion_core::sync::Row>(row).is_ok_and(|row| row.state == RowState::Waiting)
}

fn write_of(keep: &Keep) -> Write {
    match keep {
        Keep::Put(store, key, value) => Write::bytes(*store, key.clone(), value.clone()),
        Keep::Delete(store, key) => Write::Delete(*store, key.clone()),
        Keep::DeletePrefix(store, prefix) => Write::DeletePrefix(*store, prefix.clone()),
    }
}

fn into_bytes(value: Value) -> Vec<u8> {
    match value {
        Value::Text(text) => text.into_bytes(),
        Value::Bytes(bytes) => bytes,
    }
}
