//! A person: signing in, access tokens, who am I, the passphrase.

use actix_web::HttpResponse;
use actix_web::web::{Data, Json};
use selion_core::quantities::Moment;
use serde::{Deserialize, Serialize};

use crate::accounts::{self, Me, checked_name};
use crate::auth::{ByCookie, FewTries, SignedIn};
use crate::error::AppError;
use crate::secret::Passphrase;
use crate::state::State;

#[derive(Deserialize)]
pub(super) struct Credentials {
    sign_in_name: String,
    passphrase: Passphrase,
    device_name: String,
}

#[derive(Deserialize)]
pub(super) struct NewPassphrase {
    sign_in_name: String,
    passphrase: Passphrase,
}

#[derive(Serialize)]
pub(super) struct Access {
    #[serde(rename = "access")]
    token: String,
    expires_at: Moment,
    server_time: Moment,
}

pub(super) async fn sign_in(
    _: FewTries,
    state: Data<State>,
    body: Json<Credentials>,
) -> Result<HttpResponse, AppError> {
    let Credentials {
        sign_in_name,
        passphrase,
        device_name,
    } = body.into_inner();
    let max = state.config.limits.name_max;
    let name = checked_name("sign_in_name", &sign_in_name, max)?;
    let device_name = checked_name("device_name", &device_name, max)?;
    let person = state
        .readers
        .ask(move |read| Ok(read.person_by_sign_in(&name)?))
        .await?;
    let hash = person
        .as_ref()
        .and_then(|person| person.sign_in.as_ref())
        .map(|sign_in| sign_in.passphrase.clone());
    let right = state.passphrases.matches(passphrase, hash).await?;
    let person = person.filter(|_| right).ok_or(AppError::WrongPassphrase)?;
    let enrolled = state
        .keeper
        .ask(move |desk| accounts::sign_in(desk, person.id, device_name))
        .await?;
    Ok(HttpResponse::NoContent()
        .cookie(state.cookie.giving(&enrolled.secret))
        .finish())
}

pub(super) async fn token(caller: ByCookie, state: Data<State>) -> Result<Json<Access>, AppError> {
    let now = state.clock.0.now();
    let device = caller.0.device;
    let (token, expires_at) = state.access.issue(device, now)?;
    state
        .keeper
        .ask(move |desk| accounts::saw(desk, device))
        .await?;
    Ok(Json(Access {
        token,
        expires_at,
        server_time: now,
    }))
}

pub(super) async fn me(caller: SignedIn, state: Data<State>) -> Result<Json<Me>, AppError> {
    state
        .keeper
        .ask(move |desk| accounts::me(desk, caller.0))
        .await
        .map(Json)
}

pub(super) async fn passphrase(
    caller: SignedIn,
    state: Data<State>,
    body: Json<NewPassphrase>,
) -> Result<HttpResponse, AppError> {
    let NewPassphrase {
        sign_in_name,
        passphrase,
    } = body.into_inner();
    let name = checked_name("sign_in_name", &sign_in_name, state.config.limits.name_max)?;
    let hash = state.passphrases.hash_new(passphrase).await?;
    state
        .keeper
        .ask(move |desk| accounts::set_sign_in(desk, caller.0, name, hash))
        .await?;
    Ok(HttpResponse::NoContent().finish())
}
