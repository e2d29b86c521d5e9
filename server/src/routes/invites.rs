//! Invites: looked at and used by whoever has the link; made, listed and withdrawn by coordinators.

use actix_web::web::{Data, Json};
use actix_web::{HttpRequest, HttpResponse};
use selion_core::document::ids::{GardenId, MemberId};
use selion_core::quantities::Moment;
use serde::{Deserialize, Serialize};

use super::id_in_path;
use crate::accounts::{self, Joined, Looked, MadeInvite, ShownInvite, checked_name};
use crate::auth::{FewTries, IfSignedIn, MemberOf};
use crate::error::AppError;
use crate::ids::InviteId;
use crate::secret::Secret;
use crate::state::State;

#[derive(Deserialize)]
pub(super) struct Look {
    secret: Secret,
}

#[derive(Deserialize)]
pub(super) struct Join {
    secret: Secret,
    device_name: String,
}

#[derive(Deserialize)]
pub(super) struct Make {
    member: MemberId,
}

/// A link's secret, shown this once.
#[derive(Serialize)]
pub(super) struct Made {
    id: InviteId,
    secret: String,
    expires_at: Moment,
}

impl From<MadeInvite> for Made {
    fn from(made: MadeInvite) -> Self {
        Self {
            id: made.id,
            secret: made.secret.reveal().to_owned(),
            expires_at: made.expires_at,
        }
    }
}

#[derive(Serialize)]
struct JoinedAt {
    garden: GardenId,
    member: MemberId,
}

pub(super) async fn look(
    _: FewTries,
    state: Data<State>,
    body: Json<Look>,
) -> Result<Json<Looked>, AppError> {
    let secret = body.into_inner().secret;
    state
        .keeper
        .ask(move |desk| accounts::look(desk, &secret))
        .await
        .map(Json)
}

pub(super) async fn join(
    _: FewTries,
    caller: IfSignedIn,
    state: Data<State>,
    body: Json<Join>,
) -> Result<HttpResponse, AppError> {
    let Join {
        secret,
        device_name,
    } = body.into_inner();
    let name = checked_name("device_name", &device_name, state.config.limits.name_max)?;
    let joined = state
        .keeper
        .ask(move |desk| accounts::join(desk, &secret, name, caller.0))
        .await?;
    Ok(joined_answer(&state, &joined))
}

pub(super) async fn list(
    member: MemberOf,
    state: Data<State>,
) -> Result<Json<Vec<ShownInvite>>, AppError> {
    state
        .keeper
        .ask(move |desk| accounts::invites(desk, member.member, member.garden))
        .await
        .map(Json)
}

pub(super) async fn make(
    by: MemberOf,
    state: Data<State>,
    body: Json<Make>,
) -> Result<Json<Made>, AppError> {
    let member = body.member;
    let made = state
        .keeper
        .ask(move |desk| accounts::invite(desk, (by.caller.person, by.member), by.garden, member))
        .await?;
    Ok(Json(made.into()))
}

pub(super) async fn withdraw(
    by: MemberOf,
    state: Data<State>,
    request: HttpRequest,
) -> Result<HttpResponse, AppError> {
    let invite: InviteId = id_in_path(&request, "invite")?;
    state
        .keeper
        .ask(move |desk| accounts::withdraw(desk, by.member, by.garden, invite))
        .await?;
    Ok(HttpResponse::NoContent().finish())
}

/// Where somebody is now, with the device's cookie if it is a new one.
pub(super) fn joined_answer(state: &State, joined: &Joined) -> HttpResponse {
    let mut answer = HttpResponse::Ok();
    if let Some(enrolled) = &joined.enrolled {
        answer.cookie(state.cookie.giving(&enrolled.secret));
    }
    answer.json(JoinedAt {
        garden: joined.garden,
        member: joined.member,
    })
}
