//! The plain picture of a garden that screens and rules read.
//!
//! Records sit behind [`Arc`], so that a picture can be copied for every draft and every screen without copying what it
//! holds. Ended records are in it too; the readers that leave them out have `open` in their names.

use std::sync::Arc;

use super::ids::{
    AmendmentId, BedId, CropId, EntryId, FenceId, HoursId, JobId, MemberId, OrderId, PickingId,
    PlantingId, RecipientId, RequestId, SoilTestId, StructureId, TaskId, TurnId, WeatherId,
};
use super::name::DocumentName;
use super::records::{
    Amendment, Bed, BedCrops, Entry, FenceLine, GardenCrop, Hours, Job, Member, Opening, Order,
    Picking, Planting, Profile, Recipient, Request, SoilTest, Structure, Task, Turn, WeatherNote,
};
use crate::json::{record, serde_form};
use crate::ordered;
use crate::ordered::Map;

/// Records of one kind by their id.
pub type Shelf<K, V> = Map<K, Arc<V>>;

/// Everything a garden knows, as plain values.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Garden {
    /// The garden as a whole; there is none before the ground document has come.
    pub profile: Option<Arc<Profile>>,
    /// The people, those who left included.
    pub members: Shelf<MemberId, Member>,
    /// The beds, those given up included.
    pub beds: Shelf<BedId, Bed>,
    /// What stands on the ground.
    pub structures: Shelf<StructureId, Structure>,
    /// The fence lines.
    pub fence_lines: Shelf<FenceId, FenceLine>,
    /// The report sheets of laboratories.
    pub soil_tests: Shelf<SoilTestId, SoilTest>,
    /// Its own crops and own values.
    pub crops: Shelf<CropId, GardenCrop>,
    /// Who is given of the harvest.
    pub recipients: Shelf<RecipientId, Recipient>,
    /// Each year's work.
    pub seasons: Map<i16, Season>,
    /// Each year's money, for those who may see it.
    pub ledgers: Map<i16, Ledger>,
    /// Documents written by a newer program than this one: shown, never written.
    pub read_only: std::collections::BTreeSet<DocumentName>,
}

record!(Garden {
    profile,
    members,
    beds,
    structures,
    fence_lines,
    soil_tests = default,
    crops = default,
    recipients = default,
    seasons,
    ledgers,
    read_only = default,
});

/// A year's work.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Season {
    /// What is to be done.
    pub tasks: Shelf<TaskId, Task>,
    /// Who picks which bed when.
    pub turns: Shelf<TurnId, Turn>,
    /// What was picked.
    pub pickings: Shelf<PickingId, Picking>,
    /// Shared work.
    pub jobs: Shelf<JobId, Job>,
    /// Hours done without a task.
    pub hours: Shelf<HoursId, Hours>,
    /// What was spread on the beds.
    pub amendments: Shelf<AmendmentId, Amendment>,
    /// What grows in the beds, as far as their soil is concerned.
    pub bed_crops: Shelf<BedId, BedCrops>,
    /// What is planned and what grows.
    pub plantings: Shelf<PlantingId, Planting>,
    /// Rain and temperatures.
    pub weather: Shelf<WeatherId, WeatherNote>,
}

record!(Season {
    tasks,
    turns,
    pickings,
    jobs,
    hours,
    amendments = default,
    bed_crops = default,
    plantings = default,
    weather = default,
});

/// A year's money.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    /// Bulk purchases.
    pub orders: Shelf<OrderId, Order>,
    /// Payments and what puts them right.
    pub entries: Shelf<EntryId, Entry>,
    /// What was carried over from the year before.
    pub opening: Option<Arc<Opening>>,
    /// What the coordinators are asked.
    pub requests: Shelf<RequestId, Request>,
}

record!(Ledger {
    orders,
    entries,
    opening,
    requests = default,
});

impl Ledger {
    /// Whether an entry counts: once it is confirmed, and one that takes another back exactly when that one does.
    pub fn counts(&self, entry: &Entry) -> bool {
        let told = entry.reverses.map_or(Some(entry), |reversed| {
            self.entries.get(&reversed).map(AsRef::as_ref)
        });
        told.is_some_and(|entry| entry.confirmed_by.is_some())
    }

    /// Whether another entry takes this one back.
    pub fn is_taken_back(&self, entry: EntryId) -> bool {
        self.entries
            .values()
            .any(|other| other.reverses == Some(entry))
    }

    /// An earlier entry of the same kind between the same two, of the same amount and day, that was not taken back.
    pub fn twin_of(&self, entry: &Entry) -> Option<EntryId> {
        let same = |other: &Entry| {
            other.reverses.is_none()
                && (other.from, other.to) == (entry.from, entry.to)
                && (other.kind, other.amount, other.day) == (entry.kind, entry.amount, entry.day)
        };
        let mut entries = self.entries.iter();
        entries
            .find(|(id, other)| same(other) && !self.is_taken_back(**id))
            .map(|(id, _)| *id)
    }
}

serde_form!(Garden);

impl Garden {
    /// Somebody who has not left.
    pub fn open_member(&self, member: MemberId) -> Option<&Arc<Member>> {
        self.members
            .get(&member)
            .filter(|record| record.ended_on.is_none())
    }

    /// What to call somebody, whether or not they have left.
    pub fn name_of(&self, member: MemberId) -> &str {
        self.members
            .get(&member)
            .map_or("somebody unknown", |record| record.name.as_str())
    }

    /// A bed that was not given up.
    pub fn open_bed(&self, bed: BedId) -> Option<&Arc<Bed>> {
        self.beds
            .get(&bed)
            .filter(|record| record.ended_on.is_none())
    }

    /// The beds that were not given up, by label as people read it (A2 before A10).
    pub fn open_beds(&self) -> Vec<(BedId, &Arc<Bed>)> {
        let mut beds: Vec<_> = self
            .beds
            .iter()
            .filter(|(_, bed)| bed.ended_on.is_none())
            .map(|(id, bed)| (*id, bed))
            .collect();
        ordered::sort_by_key(&mut beds, |(id, bed)| (label_order(&bed.label), *id));
        beds
    }

    /// What to call a bed; whole garden when it is none.
    pub fn label_of(&self, bed: Option<BedId>) -> &str {
        match bed {
            None => "all",
            Some(bed) => self
                .beds
                .get(&bed)
                .map_or("?", |record| record.label.as_str()),
        }
    }

    /// A task of any year.
    pub fn task(&self, task: TaskId) -> Option<(i16, &Arc<Task>)> {
        self.seasons
            .iter()
            .find_map(|(year, season)| season.tasks.get(&task).map(|record| (*year, record)))
    }

    /// A planting of any year.
    pub fn planting(&self, planting: PlantingId) -> Option<(i16, &Arc<Planting>)> {
        self.seasons
            .iter()
            .find_map(|(year, season)| Some((*year, season.plantings.get(&planting)?)))
    }

    /// A picking turn of any year.
    pub fn turn(&self, turn: TurnId) -> Option<(i16, &Arc<Turn>)> {
        self.seasons
            .iter()
            .find_map(|(year, season)| season.turns.get(&turn).map(|record| (*year, record)))
    }

    /// A shared job of any year.
    pub fn job(&self, job: JobId) -> Option<(i16, &Arc<Job>)> {
        self.seasons
            .iter()
            .find_map(|(year, season)| season.jobs.get(&job).map(|record| (*year, record)))
    }

    /// An order of any year.
    pub fn order(&self, order: OrderId) -> Option<(i16, &Arc<Order>)> {
        self.ledgers
            .iter()
            .find_map(|(year, ledger)| ledger.orders.get(&order).map(|record| (*year, record)))
    }

    /// A line of the ledger of any year.
    pub fn entry(&self, entry: EntryId) -> Option<(i16, &Arc<Entry>)> {
        self.ledgers
            .iter()
            .find_map(|(year, ledger)| ledger.entries.get(&entry).map(|record| (*year, record)))
    }
}

/// A label cut into words and numbers, so that A2 comes before A10.
pub(super) fn label_order(label: &str) -> Vec<(u64, String)> {
    let mut parts = Vec::new();
    let mut rest = label;
    while !rest.is_empty() {
        let digits = rest.chars().take_while(char::is_ascii_digit).count();
        let letters = rest
            .chars()
            .take_while(|c| !c.is_ascii_digit())
            .map(char::len_utf8)
            .sum();
        let (part, after) = rest.split_at(if digits > 0 { digits } else { letters });
        parts.push(if digits > 0 {
            (part.parse().unwrap_or(u64::MAX), String::new())
        } else {
            (0, part.to_lowercase())
        });
        rest = after;
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_sort_as_people_read_them() {
        let mut labels = vec!["B1", "A10", "A2", "a1", "Ä3", ""];
        labels.sort_by_key(|label| label_order(label));
        assert_eq!(labels, ["", "a1", "A2", "A10", "B1", "Ä3"]);
    }
}
