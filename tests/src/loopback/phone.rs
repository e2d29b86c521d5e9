//! A device that is enrolled over HTTP: its cookie, its access token, its place in a garden.

use std::time::Duration;

use awc::cookie::Cookie;
use awc::http::header::ORIGIN;
use selion_core::document::ids::{GardenId, MemberId};
use serde_json::{Value, json};

use super::program::ADDRESS_HEADER;
use super::{Line, Outcome};

/// A device.
#[derive(Clone)]
pub struct Phone {
    pub(super) client: awc::Client,
    base: String,
    address: String,
    cookie: Option<Cookie<'static>>,
    access: String,
    place: Option<(GardenId, MemberId)>,
}

impl Phone {
    /// A device that nobody knows yet, seemingly at an address of its own.
    pub fn new(base: &str, number: u8) -> Self {
        Self {
            client: awc::Client::builder()
                .timeout(Duration::from_secs(30))
                .finish(),
            base: base.to_owned(),
            address: format!("192.0.2.{number}"),
            cookie: None,
            access: String::new(),
            place: None,
        }
    }

    /// The same device after the service was started again somewhere else.
    #[must_use]
    pub fn at(&self, base: &str) -> Self {
        Self {
            base: base.to_owned(),
            ..self.clone()
        }
    }

    /// Makes a garden and becomes its coordinator.
    pub async fn make_garden(&mut self, secret: &str, name: &str) -> Outcome<()> {
        let body = json!({
            "secret": secret, "name": name, "units": "metric", "currency": "EUR",
            "time_zone": "Europe/Lisbon", "your_name": "Ines", "device_name": "phone",
        });
        self.come_in("/api/gardens", &body).await
    }

    /// Joins with the secret of an invite.
    pub async fn join(&mut self, secret: &str) -> Outcome<()> {
        let body = json!({ "secret": secret, "device_name": "phone" });
        self.come_in("/api/join", &body).await
    }

    async fn come_in(&mut self, path: &str, body: &Value) -> Outcome<()> {
        let (status, answer) = self.post(path, body).await?;
        let id = |name: &str| answer.get(name).and_then(Value::as_str);
        let (Some(garden), Some(member)) = (id("garden"), id("member")) else {
            return Err(format!("{path}: {status} {answer}").into());
        };
        self.place = Some((garden.parse()?, member.parse()?));
        self.renew().await
    }

    /// Gets a new access token for the cookie.
    pub async fn renew(&mut self) -> Outcome<()> {
        let (status, answer) = self.post("/api/token", &Value::Null).await?;
        let access = answer.get("access").and_then(Value::as_str);
        access
            .ok_or_else(|| format!("/api/token: {status} {answer}"))?
            .clone_into(&mut self.access);
        Ok(())
    }

    /// Makes an invite for a member and gives its secret.
    pub async fn invite(&mut self, member: MemberId) -> Outcome<String> {
        let path = format!("/api/gardens/{}/invites", self.garden()?);
        let (status, made) = self.post(&path, &json!({ "member": member })).await?;
        let secret = made.get("secret").and_then(Value::as_str);
        Ok(secret
            .ok_or_else(|| format!("{path}: {status} {made}"))?
            .to_owned())
    }

    /// Which garden it is in.
    pub fn garden(&self) -> Outcome<GardenId> {
        Ok(self.place.ok_or("not in a garden yet")?.0)
    }

    /// As which member.
    pub fn member(&self) -> Outcome<MemberId> {
        Ok(self.place.ok_or("not in a garden yet")?.1)
    }

    /// Asks.
    pub async fn get(&mut self, path: &str) -> Outcome<(u16, Value)> {
        let request = self.dress(self.client.get(format!("{}{path}", self.base)));
        self.answer(request.send().await?).await
    }

    /// Posts a body; null sends none. A cookie that comes back is kept.
    pub async fn post(&mut self, path: &str, body: &Value) -> Outcome<(u16, Value)> {
        let request = self.dress(self.client.post(format!("{}{path}", self.base)));
        let sent = if body.is_null() {
            request.send().await?
        } else {
            request.send_json(body).await?
        };
        self.answer(sent).await
    }

    fn dress(&self, request: awc::ClientRequest) -> awc::ClientRequest {
        let mut request = request
            .insert_header((ORIGIN, self.base.as_str()))
            .insert_header((ADDRESS_HEADER, self.address.as_str()));
        if let Some(cookie) = &self.cookie {
            request = request.cookie(cookie.clone());
        }
        if !self.access.is_empty() {
            request = request.bearer_auth(&self.access);
        }
        request
    }

    async fn answer<S>(&mut self, mut response: awc::ClientResponse<S>) -> Outcome<(u16, Value)>
    where
        S: futures_util::Stream<Item = Result<bytes::Bytes, awc::error::PayloadError>>,
    {
        let given = response
            .cookies()?
            .first()
            .map(|cookie| cookie.clone().into_owned());
        self.cookie = given.or(self.cookie.take());
        let status = response.status().as_u16();
        let body = response.body().limit(32 * 1024 * 1024).await?;
        let value = if body.is_empty() {
            Value::Null
        } else {
            serde_json::from_slice(&body)?
        };
        Ok((status, value))
    }

    /// Opens a socket to the garden.
    pub async fn line(&self) -> Outcome<Line> {
        let cookie = self.cookie.clone().ok_or("no cookie yet")?;
        let url = format!("{}/api/gardens/{}/socket", self.base, self.garden()?);
        Line::open(&self.client, url, &self.base, cookie).await
    }
}

impl std::fmt::Debug for Phone {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Phone")
            .field("address", &self.address)
            .finish_non_exhaustive()
    }
}
