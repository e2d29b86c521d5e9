//! Gardens in and out of the service, for whoever runs it: the ground from files that drawing programs and spreadsheets
//! write, everything as files that people and programs can read.

mod ground;

pub use ground::{Imported, import_ground};

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
