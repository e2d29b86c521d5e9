//! The pictures under a garden's plan: brought and fetched as files.

use actix_web::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use actix_web::web::{Bytes, Data};
use actix_web::{HttpRequest, HttpResponse};
use selion_core::document::ids::PictureId;

use super::id_in_path;
use crate::accounts;
use crate::auth::MemberOf;
use crate::error::AppError;
use crate::state::State;

pub(super) async fn bring(
    by: MemberOf,
    state: Data<State>,
    request: HttpRequest,
    body: Bytes,
) -> Result<HttpResponse, AppError> {
    let picture: PictureId = id_in_path(&request, "picture")?;
    let limits = &state.config.limits;
    let (largest, most) = (limits.picture_bytes, limits.pictures);
    if body.len() > largest {
        return Err(AppError::TooLarge(format!(
            "picture: expected at most {largest} bytes, but {} came.",
            body.len()
        )));
    }
    let bytes = body.to_vec();
    state
        .keeper
        .ask(move |desk| accounts::add_picture(desk, by, picture, bytes, most))
        .await?;
    Ok(HttpResponse::NoContent().finish())
}

/// The bytes of an id never change, so a phone may keep them for good.
pub(super) async fn fetch(
    member: MemberOf,
    state: Data<State>,
    request: HttpRequest,
) -> Result<HttpResponse, AppError> {
    let picture: PictureId = id_in_path(&request, "picture")?;
    let found = state
        .readers
        .ask(move |read| accounts::picture(read, member.garden, picture))
        .await?;
    Ok(HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, format!("image/{}", found.kind.word())))
        .insert_header((CACHE_CONTROL, "private, no-store"))
        .body(found.bytes))
}
