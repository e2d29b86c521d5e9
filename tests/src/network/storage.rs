//! A phone's storage, as far as it can be trusted: what was written strictly is kept, the rest may be lost in a crash.
//!
//! Every commit is whole or not at all. Commits reach the disk in order, so a crash loses the last ones and never one
//! from the middle; a strict commit counts as kept only when the disk has it and everything before it.

use std::collections::BTreeMap;

use selion_core::sync::Stored;
use selion_core::sync::vault::{Keep, Store};

use crate::chance::Chance;

type Rows = BTreeMap<(Store, String), Vec<u8>>;

#[derive(Clone, Debug, Default)]
pub(crate) struct Storage {
    on_disk: Rows,
    under_way: Vec<(u64, Vec<Keep>)>,
    commits: u64,
}

impl Storage {
    /// Begins a commit; its number is for [`Storage::reaches_disk`].
    pub(crate) fn begin(&mut self, keep: Vec<Keep>) -> u64 {
        self.commits += 1;
        self.under_way.push((self.commits, keep));
        self.commits
    }

    /// A commit, and all before it, are on the disk.
    pub(crate) fn reaches_disk(&mut self, commit: u64) {
        let later = self
            .under_way
            .iter()
            .position(|(number, _)| *number > commit);
        let later = self
            .under_way
            .split_off(later.unwrap_or(self.under_way.len()));
        for (_, keep) in std::mem::replace(&mut self.under_way, later) {
            write(&mut self.on_disk, &keep);
        }
    }

    /// The phone dies: of what was under way, the first few may have reached the disk.
    pub(crate) fn crash(&mut self, chance: &mut Chance) {
        self.under_way
            .truncate(chance.below(self.under_way.len() + 1));
        self.reaches_disk(u64::MAX);
    }

    /// What a page that reads now finds, commits under way included.
    pub(crate) fn read(&self) -> Stored {
        let mut rows = self.on_disk.clone();
        for (_, keep) in &self.under_way {
            write(&mut rows, keep);
        }
        let of = |wanted: Store| -> Vec<(String, Vec<u8>)> {
            let found = rows.iter().filter(|((store, _), _)| *store == wanted);
            found
                .map(|((_, key), value)| (key.clone(), value.clone()))
                .collect()
        };
        Stored {
            outbox: of(Store::Outbox),
            documents: of(Store::Documents),
            changes: of(Store::Changes),
            meta: of(Store::Meta),
        }
    }
}

fn write(rows: &mut Rows, keep: &[Keep]) {
    for one in keep {
        match one {
            Keep::Put(store, key, value) => {
                rows.insert((*store, key.clone()), value.clone());
            }
            Keep::Delete(store, key) => {
                rows.remove(&(*store, key.clone()));
            }
            Keep::DeletePrefix(store, prefix) => {
                rows.retain(|(of, key), _| of != store || !key.starts_with(prefix));
            }
        }
    }
}
