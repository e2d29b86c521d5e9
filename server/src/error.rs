//! What goes wrong, as an answer: a status, a stable code for programs and one clear sentence for people.
//!
//! What only the log should know (a failed disk, a broken document) is logged where it happens and answered as
//! [`AppError::Broken`] without details.

use actix_web::http::StatusCode;
use actix_web::http::header::RETRY_AFTER;
use actix_web::{HttpResponse, ResponseError};
use serde::Serialize;
use thiserror::Error;

use crate::store::StoreError;

/// A request that could not be answered as asked.
#[derive(Debug, Error)]
pub enum AppError {
    /// The request itself is wrong: which field, what was expected, what came.
    #[error("{0}")]
    BadRequest(String),
    /// Nobody is signed in, or no longer.
    #[error("You are not signed in on this device.")]
    NotSignedIn,
    /// The device was revoked.
    #[error("This device was signed out by its owner or a coordinator.")]
    Revoked,
    /// Signed in, but this is not theirs to do.
    #[error("{0}")]
    Forbidden(&'static str),
    /// The request comes from another site's page.
    #[error("This request came from another site.")]
    WrongOrigin,
    /// There is no such thing, or not for this caller.
    #[error("{0}")]
    NotFound(&'static str),
    /// The invite was used, withdrawn, is too old or never was: all told alike.
    #[error("This link is not valid any more. Ask for a new one.")]
    InviteGone,
    /// The name or the passphrase is wrong; which of them is not told.
    #[error("The name or the passphrase is not right.")]
    WrongPassphrase,
    /// Somebody has this already.
    #[error("{0}")]
    Taken(&'static str),
    /// Too many tries.
    #[error("That was too often. Try again in {seconds} s.")]
    TooOften {
        /// When to come back.
        seconds: u64,
    },
    /// The request is too large.
    #[error("{0}")]
    TooLarge(String),
    /// The service is busy or stopping; the same request can be sent again.
    #[error("The service is busy. Try again in a moment.")]
    Busy,
    /// Something broke that the caller cannot help.
    #[error("Something went wrong at the service. Nothing was changed.")]
    Broken,
}

/// The shape of every error answer.
#[derive(Serialize)]
struct Body<'a> {
    code: &'a str,
    message: String,
}

impl AppError {
    /// A stable name for programs.
    pub fn code(&self) -> &'static str {
        match self {
            Self::BadRequest(_) => "bad_request",
            Self::NotSignedIn => "not_signed_in",
            Self::Revoked => "revoked",
            Self::Forbidden(_) => "forbidden",
            Self::WrongOrigin => "wrong_origin",
            Self::NotFound(_) => "not_found",
            Self::InviteGone => "invite_gone",
            Self::WrongPassphrase => "wrong_passphrase",
            Self::Taken(_) => "taken",
            Self::TooOften { .. } => "too_often",
            Self::TooLarge(_) => "too_large",
            Self::Busy => "busy",
            Self::Broken => "broken",
        }
    }

    /// After how many seconds the same request may do better.
    fn come_back_after(&self) -> Option<u64> {
        if let Self::TooOften { seconds } = self {
            Some(*seconds)
        } else {
            matches!(self, Self::Busy).then_some(1)
        }
    }
}

impl ResponseError for AppError {
    fn status_code(&self) -> StatusCode {
        match self {
            Self::BadRequest(_) => StatusCode::BAD_REQUEST,
            Self::NotSignedIn | Self::Revoked | Self::WrongPassphrase => StatusCode::UNAUTHORIZED,
            Self::Forbidden(_) | Self::WrongOrigin => StatusCode::FORBIDDEN,
            Self::NotFound(_) => StatusCode::NOT_FOUND,
            Self::InviteGone => StatusCode::GONE,
            Self::Taken(_) => StatusCode::CONFLICT,
            Self::TooOften { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Busy => StatusCode::SERVICE_UNAVAILABLE,
            Self::Broken => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn error_response(&self) -> HttpResponse {
        let mut answer = HttpResponse::build(self.status_code());
        if let Some(seconds) = self.come_back_after() {
            answer.insert_header((RETRY_AFTER, seconds.to_string()));
        }
        answer.json(Body {
            code: self.code(),
            message: self.to_string(),
        })
    }
}

impl From<StoreError> for AppError {
    fn from(error: StoreError) -> Self {
        tracing::error!(%error, "the store failed");
        Self::Broken
    }
}
