//! What an edit does to a document: records to be written, each whole.

use super::shelf_name::ShelfName;
use crate::document::edit::NoteBase;
use crate::document::ids::{
    AmendmentId, BedId, CropId, EntryId, FenceId, HoursId, JobId, MemberId, OrderId, PickingId,
    PlantingId, RecipientId, RequestId, SoilTestId, StructureId, TaskId, TurnId, WeatherId,
};
use crate::document::records::{
    Amendment, Bed, BedCrops, Entry, FenceLine, GardenCrop, Hours, Job, Member, Opening, Order,
    Picking, Planting, Profile, Recipient, Request, SoilTest, Structure, Task, Turn, WeatherNote,
};
use crate::json::{Object, Record};

/// One record to be written. Fields that already stand as given are left alone, unknown fields are kept, and a note is
/// only ever changed by [`Write::Note`].
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "each is the id and the record")]
pub enum Write {
    Profile(Profile),
    Member(MemberId, Member),
    Bed(BedId, Bed),
    Structure(StructureId, Structure),
    FenceLine(FenceId, FenceLine),
    SoilTest(SoilTestId, SoilTest),
    Crop(CropId, GardenCrop),
    Recipient(RecipientId, Recipient),
    Task(TaskId, Task),
    Turn(TurnId, Turn),
    Picking(PickingId, Picking),
    Job(JobId, Job),
    Hours(HoursId, Hours),
    Amendment(AmendmentId, Amendment),
    BedCrops(BedId, BedCrops),
    Planting(PlantingId, Planting),
    Weather(WeatherId, WeatherNote),
    Order(OrderId, Order),
    Entry(EntryId, Entry),
    Opening(Opening),
    Request(RequestId, Request),
    /// A note's new text, to be merged with what others wrote meanwhile.
    Note {
        shelf: ShelfName,
        id: String,
        text: String,
        base: NoteBase,
    },
}

impl Write {
    /// Where the record stands.
    pub(super) fn place(&self) -> (ShelfName, String) {
        match self {
            Self::Profile(_) => (ShelfName::Profile, ONLY_ID.to_owned()),
            Self::Member(id, _) => (ShelfName::Members, id.to_string()),
            Self::Bed(id, _) => (ShelfName::Beds, id.to_string()),
            Self::Structure(id, _) => (ShelfName::Structures, id.to_string()),
            Self::FenceLine(id, _) => (ShelfName::FenceLines, id.to_string()),
            Self::SoilTest(id, _) => (ShelfName::SoilTests, id.to_string()),
            Self::Crop(id, _) => (ShelfName::Crops, id.to_string()),
            Self::Recipient(id, _) => (ShelfName::Recipients, id.to_string()),
            Self::Task(id, _) => (ShelfName::Tasks, id.to_string()),
            Self::Turn(id, _) => (ShelfName::Turns, id.to_string()),
            Self::Picking(id, _) => (ShelfName::Pickings, id.to_string()),
            Self::Job(id, _) => (ShelfName::Jobs, id.to_string()),
            Self::Hours(id, _) => (ShelfName::Hours, id.to_string()),
            Self::Amendment(id, _) => (ShelfName::Amendments, id.to_string()),
            Self::BedCrops(id, _) => (ShelfName::BedCrops, id.to_string()),
            Self::Planting(id, _) => (ShelfName::Plantings, id.to_string()),
            Self::Weather(id, _) => (ShelfName::Weather, id.to_string()),
            Self::Order(id, _) => (ShelfName::Orders, id.to_string()),
            Self::Entry(id, _) => (ShelfName::Entries, id.to_string()),
            Self::Opening(_) => (ShelfName::Opening, ONLY_ID.to_owned()),
            Self::Request(id, _) => (ShelfName::Requests, id.to_string()),
            Self::Note { shelf, id, .. } => (*shelf, id.clone()),
        }
    }

    /// The record's fields; a note has none of its own.
    pub(super) fn fields(&self) -> Object {
        let mut fields = Object::new();
        let record: &dyn Record = match self {
            Self::Profile(record) => record,
            Self::Member(_, record) => record,
            Self::Bed(_, record) => record,
            Self::Structure(_, record) => record,
            Self::FenceLine(_, record) => record,
            Self::SoilTest(_, record) => record,
            Self::Crop(_, record) => record,
            Self::Recipient(_, record) => record,
            Self::Task(_, record) => record,
            Self::Turn(_, record) => record,
            Self::Picking(_, record) => record,
            Self::Job(_, record) => record,
            Self::Hours(_, record) => record,
            Self::Amendment(_, record) => record,
            Self::BedCrops(_, record) => record,
            Self::Planting(_, record) => record,
            Self::Weather(_, record) => record,
            Self::Order(_, record) => record,
            Self::Entry(_, record) => record,
            Self::Opening(record) => record,
            Self::Request(_, record) => record,
            Self::Note { .. } => return fields,
        };
        record.put_fields(&mut fields);
        fields
    }
}

/// The profile and the opening of a ledger are one record each, kept on a shelf like the others.
pub(super) const ONLY_ID: &str = "garden";
