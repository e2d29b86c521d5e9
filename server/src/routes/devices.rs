//! The caller's devices.

use actix_web::web::{Data, Json};
use actix_web::{HttpRequest, HttpResponse};

use super::id_in_path;
use super::invites::Made;
use crate::accounts::{self, ShownDevice};
use crate::auth::SignedIn;
use crate::error::AppError;
use crate::ids::DeviceId;
use crate::state::State;

pub(super) async fn list(
    caller: SignedIn,
    state: Data<State>,
) -> Result<Json<Vec<ShownDevice>>, AppError> {
    state
        .readers
        .ask(move |read| accounts::devices(read, caller.0))
        .await
        .map(Json)
}

pub(super) async fn link(caller: SignedIn, state: Data<State>) -> Result<Json<Made>, AppError> {
    let made = state
        .keeper
        .ask(move |desk| accounts::link_device(desk, caller.0))
        .await?;
    Ok(Json(made.into()))
}

pub(super) async fn revoke(
    caller: SignedIn,
    state: Data<State>,
    request: HttpRequest,
) -> Result<HttpResponse, AppError> {
    let device: DeviceId = id_in_path(&request, "device")?;
    state
        .keeper
        .ask(move |desk| accounts::revoke_device(desk, caller.0, device))
        .await?;
    Ok(HttpResponse::NoContent().finish())
}
