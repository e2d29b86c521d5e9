//! Requests that another site's page makes a browser send are refused.

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::http::header::{HeaderMap, ORIGIN};
use actix_web::middleware::Next;
use actix_web::{Error, web};

use crate::config::Origin;
use crate::error::AppError;
use crate::state::State;

const SEC_FETCH_SITE: &str = "sec-fetch-site";

/// The origins whose pages are ours.
#[derive(Clone, Debug)]
pub struct Origins(Vec<Origin>);

impl Origins {
    /// The public origin alone where there is one; otherwise this machine's names and the address listened on.
    pub fn new(public: Option<&Origin>, listening: std::net::SocketAddr) -> Self {
        if let Some(public) = public {
            return Self(vec![public.clone()]);
        }
        let port = listening.port();
        let address = match listening.ip() {
            std::net::IpAddr::V4(ip) => ip.to_string(),
            std::net::IpAddr::V6(ip) => format!("[{ip}]"),
        };
        Self(
            ["localhost", "127.0.0.1", "[::1]", &address]
                .map(|host| Origin::local(host, port))
                .to_vec(),
        )
    }

    /// The origin to write into links.
    pub fn for_links(&self) -> &str {
        self.0.first().map_or("", Origin::as_str)
    }

    /// Whether connections are encrypted.
    pub fn is_https(&self) -> bool {
        self.0.first().is_some_and(Origin::is_https)
    }

    /// Whether the request names one of our origins. Sockets must: the same-origin policy does not cover them.
    pub fn named_in(&self, headers: &HeaderMap) -> bool {
        let named = headers.get(ORIGIN).and_then(|value| value.to_str().ok());
        named.is_some_and(|named| self.0.iter().any(|ours| ours.as_str() == named))
    }

    /// Whether the request may change something: it names our origin, or it comes from no page at all.
    fn may_write(&self, headers: &HeaderMap) -> bool {
        if headers.contains_key(ORIGIN) {
            return self.named_in(headers);
        }
        let site = headers
            .get(SEC_FETCH_SITE)
            .and_then(|value| value.to_str().ok());
        matches!(site, None | Some("same-origin" | "none"))
    }
}

/// Lets through what only reads, and what our own pages send.
pub async fn refuse_other_sites(
    request: ServiceRequest,
    next: Next<impl MessageBody>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    let state = request.app_data::<web::Data<State>>();
    if !reads && !state.is_some_and(|state| state.origins.may_write(request.headers())) {
        return Err(AppError::WrongOrigin.into());
    }
    next.call(request).await
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{HeaderName, HeaderValue};

    use super::*;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        let pairs = pairs.iter().map(|(name, value)| {
            (
                HeaderName::from_static(name),
                HeaderValue::from_static(value),
            )
        });
        pairs.collect()
    }

    #[test]
    fn only_our_own_pages_and_programs_without_a_page_may_write() {
        let ours = Origins::new(
            Some(&Origin::parse("https://garden.example.org").unwrap()),
            ([127, 0, 0, 1], 80).into(),
        );
        assert!(ours.may_write(&headers(&[("origin", "https://garden.example.org")])));
        assert!(ours.may_write(&headers(&[])), "a program, not a page");
        assert!(ours.may_write(&headers(&[("sec-fetch-site", "same-origin")])));
        for foreign in [
            [("origin", "https://garden.example.org.evil.example")],
            [("origin", "http://garden.example.org")],
            [("origin", "null")],
            [("sec-fetch-site", "cross-site")],
            [("sec-fetch-site", "same-site")],
        ] {
            assert!(!ours.may_write(&headers(&foreign)), "{foreign:?}");
        }
        assert!(
            !ours.named_in(&headers(&[])),
            "a socket must name its origin"
        );
    }

    #[test]
    fn without_a_public_origin_this_machine_is_meant() {
        let ours = Origins::new(None, ([127, 0, 0, 1], 8080).into());
        assert_eq!(ours.for_links(), "http://localhost:8080");
        assert!(ours.named_in(&headers(&[("origin", "http://127.0.0.1:8080")])));
        assert!(!ours.named_in(&headers(&[("origin", "http://127.0.0.1:8081")])));
    }
}
