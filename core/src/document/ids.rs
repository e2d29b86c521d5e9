//! The ids of a garden's records: UUIDv7, each kind its own type, so that a bed is never taken for a task.
//!
//! An id is made where the record is written, often on a phone with no signal, so it needs no asking. Core makes no
//! chance of its own: time and random bytes are handed in.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use uuid::{Builder, Uuid};

use crate::json::form;
use crate::quantities::Moment;

/// Ten bytes of chance for one id, handed in by whoever has a random source.
pub type Chance = [u8; 10];

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(Uuid);

        impl $name {
            /// A new id from the time of writing and ten random bytes.
            pub fn fresh(now: Moment, chance: Chance) -> Self {
                let millis = u64::try_from(now.millis()).unwrap_or(0);
                Self(Builder::from_unix_timestamp_millis(millis, &chance).into_uuid())
            }

            /// The id that follows from a key, the same on every phone: for what several make without asking each other.
            pub fn of_key(key: &str) -> Self {
                Self(Builder::from_unix_timestamp_millis(0, &chance_of(key)).into_uuid())
            }

            /// The sixteen bytes of the id.
            pub fn as_bytes(&self) -> &[u8; 16] {
                self.0.as_bytes()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = uuid::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Uuid::parse_str(text).map(Self)
            }
        }

        form!($name: text);
    )*};
}

ids! {
    /// A group of people and its ground.
    GardenId
    /// One person's place in a garden.
    MemberId
    /// An outline of ground with a holder, or common.
    BedId
    /// Something on the ground that is not a bed: a shed, a path, a pond.
    StructureId
    /// A fence line.
    FenceId
    /// A picture under the plan.
    PictureId
    /// Something to be done.
    TaskId
    /// One person's word that they will do a task or take a picking turn.
    ClaimId
    /// A bed to be picked on a day.
    TurnId
    /// What was picked.
    PickingId
    /// Shared work whose hours are due by bed area.
    JobId
    /// Hours somebody did without a task.
    HoursId
    /// A bulk purchase.
    OrderId
    /// One material of a bulk purchase.
    LineId
    /// A line of the ledger.
    EntryId
    /// Something that the coordinators are asked.
    RequestId
    /// A report sheet of a laboratory.
    SoilTestId
    /// Something that was spread on a bed.
    AmendmentId
    /// A crop in a bed.
    PlantingId
    /// Sowings that were planned together.
    SeriesId
    /// A garden's own crop.
    CropId
    /// Somebody outside who is given of the harvest.
    RecipientId
    /// What was read off a gauge.
    WeatherId
    /// One change a person made.
    EditId
}

/// Ten bytes that follow from a text, by two 64-bit FNV-1a sums. They keep keys of one garden apart; against malice nothing
/// hangs on them, since whoever may write a record may also write it under any id.
fn chance_of(key: &str) -> Chance {
    let sum = |start: u64| {
        key.bytes().fold(start, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        })
    };
    let [first, second] = [0xcbf2_9ce4_8422_2325, 0x6c62_272e_07bb_0142].map(sum);
    let mut chance = [0; 10];
    let bytes = first.to_le_bytes().into_iter().chain(second.to_le_bytes());
    for (place, byte) in chance.iter_mut().zip(bytes) {
        *place = byte;
    }
    chance
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_a_version_7_uuid_and_sorts_by_time() {
        let early = BedId::fresh(Moment::from_millis(1_000), [255; 10]);
        let late = BedId::fresh(Moment::from_millis(2_000), [0; 10]);
        assert!(early < late);
        // RFC 9562 section 5.7: the version stands in the 13th digit.
        assert_eq!(early.to_string().as_bytes()[14], b'7');
        assert_eq!(early.to_string().parse::<BedId>().unwrap(), early);
    }

    #[test]
    fn the_id_of_a_key_is_the_same_everywhere_and_a_version_7_uuid_too() {
        let id = TaskId::of_key("thin:1");
        assert_eq!(id, TaskId::of_key("thin:1"));
        assert_eq!(id.to_string().as_bytes()[14], b'7');
        let others: std::collections::BTreeSet<TaskId> = (0..20_000)
            .map(|number| TaskId::of_key(&format!("thin:{number}")))
            .collect();
        assert_eq!(others.len(), 20_000);
        // FNV-1a of "a" in 64 bits is af63dc4c8601ec8c (test vectors of the FNV reference source).
        assert_eq!(chance_of("a")[..8], 0xaf63_dc4c_8601_ec8c_u64.to_le_bytes());
    }
}
