//! The records of a garden as plain typed values: what screens and rules read.
//!
//! The JSON form of a record is also its stored shape (`stored/` puts it into Automerge field by field), so: fields
//! are only ever added, each with a default; nothing is renamed; a list is a map keyed by id, never by position.

mod backdrop;
mod frozen;
mod ground;
mod harvest;
mod ledger;
mod number;
mod order;
mod planting;
mod season;
mod soil;
mod structure;
mod weather;

pub use backdrop::{Backdrop, Dot};
pub use frozen::{FrozenLine, FrozenShare, FrozenShares};
pub use ground::{Bed, FenceLine, GardenRules, Gate, Member, Profile, Role};
pub(crate) use harvest::of_hundredths;
pub use harvest::{Harvest, HarvestUnit, Recipient, RecipientKind};
pub use ledger::{Answer, Entry, EntryKind, Opening, Payer, Request};
pub use number::Number;
pub use order::{
    AmountsFrom, CameOf, ClosedBed, ClosedOrder, Handed, Invoice, Order, OrderLine, Pack,
};
pub use planting::{GardenCrop, GardenFrost, Planting, PlantingRows, PlantingState, StartsAs};
pub use season::{
    Claim, ClaimState, ClosedJob, Hours, Job, Picked, Picking, Place, PlanNow, Standing, Task, Turn,
};
pub use soil::{
    Amendment, AmendmentKind, Amount, BedCrops, GardenCompost, GardenLime, Nutrient, SoilSheet,
    SoilTest,
};
pub use structure::{Structure, StructureFacts, StructureKind};
pub use weather::WeatherNote;
