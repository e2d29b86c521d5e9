//! Ids by number, so that a check can say *bed 2* and mean the same bed for ever.

use selion_core::document::ids::{
    AmendmentId, BedId, ClaimId, CropId, EditId, EntryId, FenceId, GardenId, HoursId, JobId,
    LineId, MemberId, OrderId, PickingId, PictureId, PlantingId, RecipientId, RequestId, SeriesId,
    SoilTestId, StructureId, TaskId, TurnId, WeatherId,
};
use selion_core::quantities::Moment;

/// When everything in the small garden was written.
pub(crate) const NOW: Moment = Moment::from_millis(1_780_000_000_000);

macro_rules! by_number {
    ($($function:ident -> $id:ident)*) => {$(
        pub(crate) fn $function(number: u8) -> $id {
            $id::fresh(NOW, [number; 10])
        }
    )*};
}

by_number! {
    garden -> GardenId
    member -> MemberId
    bed -> BedId
    structure -> StructureId
    fence -> FenceId
    task -> TaskId
    claim -> ClaimId
    turn -> TurnId
    picking -> PickingId
    job -> JobId
    hours -> HoursId
    order -> OrderId
    line -> LineId
    entry -> EntryId
    request -> RequestId
    soil_test -> SoilTestId
    amendment -> AmendmentId
    planting -> PlantingId
    picture -> PictureId
    series -> SeriesId
    crop -> CropId
    recipient -> RecipientId
    weather -> WeatherId
    edit -> EditId
}
