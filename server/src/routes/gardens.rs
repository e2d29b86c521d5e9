//! Gardens: made with an invite; who is enrolled; a member's devices signed out.

use actix_web::web::{Data, Json};
use actix_web::{HttpRequest, HttpResponse};
use selion_core::document::ids::MemberId;
use selion_core::quantities::{Currency, Units};
use serde::{Deserialize, Serialize};

use super::id_in_path;
use super::invites::joined_answer;
use crate::accounts::{self, EnrolledMember, NewGarden, checked_name};
use crate::auth::{FewTries, IfSignedIn, MemberOf};
use crate::clock::day_in;
use crate::error::AppError;
use crate::secret::Secret;
use crate::state::State;

#[derive(Deserialize)]
pub(super) struct Found {
    secret: Secret,
    name: String,
    units: Units,
    currency: Currency,
    time_zone: String,
    your_name: String,
    device_name: String,
}

#[derive(Serialize)]
pub(super) struct SignedOut {
    devices: usize,
}

pub(super) async fn found(
    _: FewTries,
    caller: IfSignedIn,
    state: Data<State>,
    body: Json<Found>,
) -> Result<HttpResponse, AppError> {
    let Found {
        secret,
        name,
        units,
        currency,
        time_zone,
        your_name,
        device_name,
    } = body.into_inner();
    let max = state.config.limits.name_max;
    let new = NewGarden {
        name: checked_name("name", &name, max)?,
        units,
        currency,
        year: day_in(&time_zone, state.clock.0.now())?.year(),
        time_zone,
        your_name: checked_name("your_name", &your_name, max)?,
        device_name: checked_name("device_name", &device_name, max)?,
    };
    let joined = state
        .keeper
        .ask(move |desk| accounts::found(desk, &secret, new, caller.0))
        .await?;
    Ok(joined_answer(&state, &joined))
}

pub(super) async fn enrolled(
    member: MemberOf,
    state: Data<State>,
) -> Result<Json<Vec<EnrolledMember>>, AppError> {
    state
        .readers
        .ask(move |read| accounts::enrolled(read, member.garden))
        .await
        .map(Json)
}

pub(super) async fn revoke_devices(
    by: MemberOf,
    state: Data<State>,
    request: HttpRequest,
) -> Result<Json<SignedOut>, AppError> {
    let member: MemberId = id_in_path(&request, "member")?;
    let devices = state
        .keeper
        .ask(move |desk| accounts::revoke_in_garden(desk, by.member, by.garden, member))
        .await?;
    Ok(Json(SignedOut { devices }))
}
