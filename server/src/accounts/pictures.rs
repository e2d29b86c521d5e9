//! The pictures under a garden's plan: brought by whoever keeps the ground, seen by every member.

use selion_core::document::ids::{GardenId, MemberId, PictureId};
use selion_core::policy::{Action, may};

use crate::auth::MemberOf;
use crate::error::AppError;
use crate::rooms::Desk;
use crate::store::Read;
use crate::store::rows::{Picture, PictureKind, Write};

/// Keeps a picture under the id that the phone gave it. The same bytes once more are welcome; a room for it is made by letting
/// the oldest go that the plan does not use.
pub fn add_picture(
    desk: &mut Desk<'_>,
    by: MemberOf,
    id: PictureId,
    bytes: Vec<u8>,
    most: usize,
) -> Result<(), AppError> {
    if !may_bring(desk, by.garden, by.member)? {
        return Err(AppError::Forbidden(
            "Only coordinators put a picture under the plan.",
        ));
    }
    let Some(kind) = PictureKind::of(&bytes) else {
        return Err(AppError::BadRequest(
            "picture: expected a JPEG, PNG or WebP file, but its first bytes are of none of them."
                .to_owned(),
        ));
    };
    if let Some(known) = desk.store.picture(by.garden, id)? {
        return if known.bytes == bytes {
            Ok(())
        } else {
            Err(AppError::Taken("There is another picture with this id."))
        };
    }
    let in_use = {
        let picture = desk.hall.picture(desk.store.as_read(), by.garden)?;
        let profile = picture.profile.as_ref();
        profile
            .and_then(|profile| profile.backdrop)
            .map(|backdrop| backdrop.picture)
    };
    let mut writes = Vec::new();
    let kept = desk.store.pictures_of(by.garden)?;
    let too_many = (kept.len() + 1).saturating_sub(most);
    let unused = kept.into_iter().filter(|kept| Some(*kept) != in_use);
    writes.extend(
        unused
            .take(too_many)
            .map(|old| Write::DropPicture(by.garden, old)),
    );
    writes.push(Write::AddPicture(Picture {
        garden: by.garden,
        id,
        kind,
        bytes,
        made_by: by.caller.person,
        made_at: desk.now,
    }));
    Ok(desk.store.commit(&writes)?)
}

/// A picture, for any member.
pub fn picture(read: &dyn Read, garden: GardenId, id: PictureId) -> Result<Picture, AppError> {
    let found = read.picture(garden, id)?;
    found.ok_or(AppError::NotFound(
        "There is no such picture in this garden.",
    ))
}

fn may_bring(desk: &mut Desk<'_>, garden: GardenId, member: MemberId) -> Result<bool, AppError> {
    let picture = desk.hall.picture(desk.store.as_read(), garden)?;
    let role = picture.open_member(member).map(|member| member.role);
    Ok(role.is_some_and(|role| may(role, Action::KeepGround, false)))
}
