//! Syncing by request, for networks that break sockets: the same frames, several at once.

use actix_web::HttpResponse;
use actix_web::http::header::ContentType;
use actix_web::web::{Data, Json};
use selion_core::sync::frame::LONGEST_CLIENT_FRAME;
use serde::Deserialize;
use serde_json::value::RawValue;

use crate::auth::MemberOf;
use crate::error::AppError;
use crate::rooms::Attendee;
use crate::state::State;

/// The longest body: a few full frames.
pub(super) const LONGEST_BODY: usize = 4 * LONGEST_CLIENT_FRAME;

#[derive(Deserialize)]
pub(super) struct Frames {
    frames: Vec<Box<RawValue>>,
}

pub(super) async fn exchange(
    by: MemberOf,
    state: Data<State>,
    body: Json<Frames>,
) -> Result<HttpResponse, AppError> {
    let frames = body.into_inner().frames;
    let most = state.config.limits.frames_in_request;
    if frames.len() > most {
        return Err(AppError::TooLarge(format!(
            "frames: expected at most {most}, but {} came.",
            frames.len()
        )));
    }
    let who = Attendee {
        garden: by.garden,
        member: by.member,
        device: by.caller.device,
    };
    let texts = frames.iter().map(|frame| frame.get().to_owned()).collect();
    let answers = state.keeper.exchange(who, texts).await?;
    // The answers are JSON texts already; they are put into a list without being read again.
    let body = format!(r#"{{"frames":[{}]}}"#, answers.join(","));
    Ok(HttpResponse::Ok()
        .content_type(ContentType::json())
        .body(body))
}
