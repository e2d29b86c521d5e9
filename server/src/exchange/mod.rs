//! Gardens in and out of the service, for whoever runs it: the ground from files that drawing programs and spreadsheets
//! write, everything as files that people and programs can read.

mod ground;
mod records;

pub use ground::{Imported, export_ground, import_ground};
pub use records::{BroughtIn, export_records, import_records, is_records};

use selion_core::document::Garden;
use selion_core::document::ids::MemberId;
use selion_core::policy::{Action, may};

/// Somebody who may keep the ground, in whose name an import is made.
pub fn keeper_of_ground(garden: &Garden) -> Option<MemberId> {
    let open = garden
        .members
        .iter()
        .filter(|(_, member)| member.ended_on.is_none());
    open.filter(|(_, member)| may(member.role, Action::KeepGround, false))
        .map(|(id, _)| *id)
        .next()
}
