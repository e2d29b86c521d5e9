//! Calls to the page's own server: JSON there, JSON back, and an end to waiting.

use selion_core::json::{self, Json, Value, record};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{AbortController, Headers, RequestCache, RequestCredentials, RequestInit, Response};

use super::{Trouble, name_of, thrown, timer, window};

/// How long a call may take unless it says otherwise.
const PATIENCE_SECONDS: u32 = 20;

/// One call to the server; send it with [`Call::answer`].
#[derive(Clone, Debug)]
pub struct Call<'a> {
    method: &'static str,
    path: &'a str,
    body: Option<String>,
    bearer: Option<&'a str>,
    patience_seconds: u32,
}

impl<'a> Call<'a> {
    /// Asks.
    pub fn get(path: &'a str) -> Self {
        Self {
            method: "GET",
            path,
            body: None,
            bearer: None,
            patience_seconds: PATIENCE_SECONDS,
        }
    }

    /// Posts a body, as JSON.
    pub fn post(path: &'a str, body: &Value) -> Self {
        Self::post_text(path, body.to_string())
    }

    /// Posts a body that is JSON already.
    pub fn post_text(path: &'a str, body: String) -> Self {
        Self {
            method: "POST",
            body: Some(body),
            ..Self::get(path)
        }
    }

    /// With this access token.
    #[must_use]
    pub fn bearer(self, token: &'a str) -> Self {
        Self {
            bearer: Some(token),
            ..self
        }
    }

    /// Given up after so many seconds.
    #[must_use]
    pub fn within(self, seconds: u32) -> Self {
        Self {
            patience_seconds: seconds,
            ..self
        }
    }

    /// Sends it and reads the answer.
    pub async fn answer<T: Json>(self) -> Result<T, Trouble> {
        let text = self.send().await?;
        json::read(&text).map_err(|error| Trouble::Garbled(error.to_string()))
    }

    /// Sends it; the answer does not matter beyond its success.
    pub async fn done(self) -> Result<(), Trouble> {
        self.send().await.map(|_ignored| ())
    }

    async fn send(self) -> Result<String, Trouble> {
        let controller = AbortController::new().map_err(thrown)?;
        let request = self.request(&controller)?;
        let too_late = {
            let controller = controller.clone();
            let millis =
                i32::try_from(self.patience_seconds.saturating_mul(1000)).unwrap_or(i32::MAX);
            timer::after(millis, move || controller.abort())?
        };
        let patience = self.patience_seconds;
        let failure = move |error: JsValue| {
            if name_of(&error) == "AbortError" {
                Trouble::TooLate(patience)
            } else {
                Trouble::NoSignal
            }
        };
        let response = JsFuture::from(window()?.fetch_with_str_and_init(self.path, &request))
            .await
            .map_err(failure)?;
        let response: Response = response.dyn_into().map_err(thrown)?;
        let text = JsFuture::from(response.text().map_err(thrown)?)
            .await
            .map_err(failure)?;
        drop(too_late);
        let text = text.as_string().unwrap_or_default();
        if response.ok() {
            Ok(text)
        } else {
            Err(refusal(response.status(), &text))
        }
    }

    fn request(&self, controller: &AbortController) -> Result<RequestInit, Trouble> {
        let headers = Headers::new().map_err(thrown)?;
        headers.set("accept", "application/json").map_err(thrown)?;
        if let Some(token) = self.bearer {
            headers
                .set("authorization", &format!("Bearer {token}"))
                .map_err(thrown)?;
        }
        let request = RequestInit::new();
        if let Some(body) = &self.body {
            headers
                .set("content-type", "application/json")
                .map_err(thrown)?;
            request.set_body(&JsValue::from_str(body));
        }
        request.set_method(self.method);
        request.set_headers(&headers);
        request.set_credentials(RequestCredentials::SameOrigin);
        request.set_cache(RequestCache::NoStore);
        request.set_signal(Some(&controller.signal()));
        Ok(request)
    }
}

/// What the server said no with; a proxy's page in between has no code of ours.
fn refusal(status: u16, text: &str) -> Trouble {
    struct Body {
        code: String,
        message: String,
    }
    record!(Body { code, message });
    match json::read::<Body>(text) {
        Ok(Body { code, message }) => Trouble::Refused {
            status,
            code,
            message,
        },
        Err(_not_ours) => Trouble::Refused {
            status,
            code: "unreadable".into(),
            message: format!("The server answered with status {status} and no reason."),
        },
    }
}
