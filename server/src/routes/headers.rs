//! The headers that every answer carries.

use actix_web::Error;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{CACHE_CONTROL, HeaderName, HeaderValue, STRICT_TRANSPORT_SECURITY};
use actix_web::middleware::Next;
use actix_web::web;

use crate::state::State;

/// Own scripts, styles, pictures and connections only; WebAssembly may be compiled, text may not be run.
const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
     img-src 'self' blob:; connect-src 'self'; font-src 'self'; manifest-src 'self'; worker-src 'self'; \
     base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// On every answer. The camera is for reading QR codes.
const ALWAYS: [(&str, &str); 6] = [
    ("content-security-policy", CONTENT_SECURITY_POLICY),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(self), microphone=(), geolocation=(), payment=(), usb=()",
    ),
];

/// Two years, as browsers' preload lists ask for.
const TWO_YEARS: &str = "max-age=63072000";

/// Adds the headers; answers that say nothing about caching are not kept.
pub(super) async fn add(
    request: ServiceRequest,
    next: Next<impl MessageBody>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let https = request
        .app_data::<web::Data<State>>()
        .is_some_and(|state| state.origins.is_https());
    let mut answer = match next.call(request).await {
        Ok(answer) => answer,
        Err(error) => return Err(error),
    };
    let headers = answer.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    if https {
        headers.insert(
            STRICT_TRANSPORT_SECURITY,
            HeaderValue::from_static(TWO_YEARS),
        );
    }
    if !headers.contains_key(CACHE_CONTROL) {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    Ok(answer)
}
