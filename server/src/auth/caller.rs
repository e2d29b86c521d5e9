//! The proofs that a handler asks for. Whoever holds one was checked in the store at this very request.

use std::future::Future;
use std::net::IpAddr;
use std::pin::Pin;

use actix_web::dev::Payload;
use actix_web::http::header::AUTHORIZATION;
use actix_web::{FromRequest, HttpRequest, web};
use selion_core::document::ids::{GardenId, MemberId};

use crate::error::AppError;
use crate::ids::{DeviceId, PersonId};
use crate::rooms::Attendee;
use crate::state::State;
use crate::store::Read;
use crate::store::rows::Device;

const NOT_THERE: &str = "There is no such garden, or you are not in it.";

/// Somebody on one of their devices, which is not revoked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caller {
    /// Who.
    pub person: PersonId,
    /// On which device.
    pub device: DeviceId,
    /// The only garden the device may see, if it is so limited.
    pub only_garden: Option<GardenId>,
}

/// Proof of a good access token.
#[derive(Clone, Copy, Debug)]
pub struct SignedIn(pub Caller);

/// Proof of a good device cookie, for what must work without an access token.
#[derive(Clone, Copy, Debug)]
pub struct ByCookie(pub Caller);

/// The device's person, if the request brings a good device cookie.
#[derive(Clone, Copy, Debug)]
pub struct IfSignedIn(pub Option<Caller>);

/// Proof of a good access token whose person is a member of the garden in the path, on a device that may see it.
#[derive(Clone, Copy, Debug)]
pub struct MemberOf {
    /// Who, on which device.
    pub caller: Caller,
    /// The garden in the path.
    pub garden: GardenId,
    /// Who they are there.
    pub member: MemberId,
}

/// Who wants to open a socket to the garden in the path: by cookie, from one of our own pages.
#[derive(Clone, Copy, Debug)]
pub enum MemberSocket {
    /// A member.
    Welcome(Attendee),
    /// A device that was signed out: it is told so over the socket, since a page sees nothing of a refused one.
    SignedOut,
}

/// Proof that the caller's address has not tried too often.
#[derive(Clone, Copy, Debug)]
pub struct FewTries;

type Checking<T> = Pin<Box<dyn Future<Output = Result<T, AppError>>>>;

impl FromRequest for SignedIn {
    type Error = AppError;
    type Future = Checking<Self>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move { by_token(&request).await.map(Self) })
    }
}

impl FromRequest for ByCookie {
    type Error = AppError;
    type Future = Checking<Self>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move { by_cookie(&request).await.map(Self) })
    }
}

impl FromRequest for IfSignedIn {
    type Error = AppError;
    type Future = Checking<Self>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move {
            match by_cookie(&request).await {
                Ok(caller) => Ok(Self(Some(caller))),
                Err(AppError::NotSignedIn | AppError::Revoked) => Ok(Self(None)),
                Err(error) => Err(error),
            }
        })
    }
}

impl FromRequest for MemberOf {
    type Error = AppError;
    type Future = Checking<Self>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move {
            let caller = by_token(&request).await?;
            let garden = garden_in_path(&request)?;
            let member = state(&request)?
                .readers
                .ask(move |read| member_of(read, caller, garden))
                .await?;
            Ok(Self {
                caller,
                garden,
                member,
            })
        })
    }
}

impl FromRequest for MemberSocket {
    type Error = AppError;
    type Future = Checking<Self>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move {
            let state = state(&request)?;
            if !state.origins.named_in(request.headers()) {
                return Err(AppError::WrongOrigin);
            }
            let caller = match by_cookie(&request).await {
                Ok(caller) => caller,
                Err(AppError::Revoked) => return Ok(Self::SignedOut),
                Err(error) => return Err(error),
            };
            let garden = garden_in_path(&request)?;
            let member = state
                .readers
                .ask(move |read| member_of(read, caller, garden))
                .await?;
            Ok(Self::Welcome(Attendee {
                garden,
                member,
                device: caller.device,
            }))
        })
    }
}

impl FromRequest for FewTries {
    type Error = AppError;
    type Future = std::future::Ready<Result<Self, AppError>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let counted = state(request).and_then(|state| {
            let address = client_address(request, state.config.client_address_header.as_deref());
            state.try_from_address(address.ok_or(AppError::Broken)?)
        });
        std::future::ready(counted.map(|()| Self))
    }
}

fn state(request: &HttpRequest) -> Result<web::Data<State>, AppError> {
    request
        .app_data::<web::Data<State>>()
        .cloned()
        .ok_or(AppError::Broken)
}

async fn by_token(request: &HttpRequest) -> Result<Caller, AppError> {
    let state = state(request)?;
    let header = request
        .headers()
        .get(AUTHORIZATION)
        .and_then(|value| value.to_str().ok());
    let token = header
        .and_then(|value| value.strip_prefix("Bearer "))
        .ok_or(AppError::NotSignedIn)?;
    let device = state.access.read(token, state.clock.0.now())?;
    state
        .readers
        .ask(move |read| caller_on(read.device(device)?))
        .await
}

async fn by_cookie(request: &HttpRequest) -> Result<Caller, AppError> {
    let state = state(request)?;
    let token = state
        .cookie
        .brought_by(request)
        .ok_or(AppError::NotSignedIn)?
        .hash();
    state
        .readers
        .ask(move |read| caller_on(read.device_by_token(&token)?))
        .await
}

fn caller_on(device: Option<Device>) -> Result<Caller, AppError> {
    let device = device.ok_or(AppError::NotSignedIn)?;
    if device.revoked_at.is_some() {
        return Err(AppError::Revoked);
    }
    Ok(Caller {
        person: device.person,
        device: device.id,
        only_garden: device.garden,
    })
}

fn garden_in_path(request: &HttpRequest) -> Result<GardenId, AppError> {
    let text = request.match_info().get("garden").ok_or(AppError::Broken)?;
    text.parse().map_err(|_no_id| AppError::NotFound(NOT_THERE))
}

fn member_of(read: &dyn Read, caller: Caller, garden: GardenId) -> Result<MemberId, AppError> {
    let elsewhere = caller.only_garden.is_some_and(|only| only != garden);
    if elsewhere || read.is_barred(caller.device, garden)? {
        return Err(AppError::NotFound(NOT_THERE));
    }
    let membership = read.membership(caller.person, garden)?;
    membership
        .map(|row| row.member)
        .ok_or(AppError::NotFound(NOT_THERE))
}

/// The address of whoever asks. Behind a proxy it is the last one in the configured header, which the proxy itself put there.
fn client_address(request: &HttpRequest, header: Option<&str>) -> Option<IpAddr> {
    let peer = request.peer_addr().map(|address| address.ip());
    let Some(header) = header else { return peer };
    let value = request
        .headers()
        .get_all(header)
        .last()
        .and_then(|value| value.to_str().ok());
    value
        .and_then(|value| value.rsplit(',').next()?.trim().parse().ok())
        .or(peer)
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[test]
    fn a_forwarded_address_is_believed_only_where_a_proxy_is_configured() {
        let peer: std::net::SocketAddr = ([192, 0, 2, 1], 4000).into();
        let request = |value: &str| {
            TestRequest::default()
                .peer_addr(peer)
                .insert_header(("x-forwarded-for", value))
                .to_http_request()
        };
        let address =
            |value: &str, header| client_address(&request(value), header).unwrap().to_string();
        assert_eq!(address("198.51.100.9", None), "192.0.2.1");
        assert_eq!(
            address("203.0.113.5, 198.51.100.9", Some("x-forwarded-for")),
            "198.51.100.9"
        );
        assert_eq!(address("nonsense", Some("x-forwarded-for")), "192.0.2.1");
    }
}
