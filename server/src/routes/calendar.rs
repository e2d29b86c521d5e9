//! The calendar link: made and taken back by its person, fetched by a calendar that knows nothing but the link.

use actix_web::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use actix_web::web::{Data, Json};
use actix_web::{HttpRequest, HttpResponse};
use selion_core::quantities::Moment;
use serde::Serialize;

use crate::accounts::{self, ShownFeed};
use crate::auth::{FewTries, SignedIn};
use crate::calendar;
use crate::error::AppError;
use crate::secret::Secret;
use crate::state::State;

/// A link as it is shown once.
#[derive(Serialize)]
pub(super) struct MadeLink {
    /// Below the service's address.
    path: String,
    /// When it was made.
    made_at: Moment,
}

pub(super) async fn make(caller: SignedIn, state: Data<State>) -> Result<Json<MadeLink>, AppError> {
    let made = state
        .keeper
        .ask(move |desk| accounts::make_feed(desk, caller.0))
        .await?;
    Ok(Json(MadeLink {
        path: format!("/calendar/{}.ics", made.secret.reveal()),
        made_at: made.made_at,
    }))
}

pub(super) async fn look(
    caller: SignedIn,
    state: Data<State>,
) -> Result<Json<Option<ShownFeed>>, AppError> {
    state
        .readers
        .ask(move |read| accounts::feed(read, caller.0))
        .await
        .map(Json)
}

pub(super) async fn revoke(caller: SignedIn, state: Data<State>) -> Result<HttpResponse, AppError> {
    state
        .keeper
        .ask(move |desk| accounts::revoke_feed(desk, caller.0))
        .await?;
    Ok(HttpResponse::NoContent().finish())
}

/// Whoever has the link sees what is promised, and nothing else of the garden.
pub(super) async fn fetch(
    _few: FewTries,
    state: Data<State>,
    request: HttpRequest,
) -> Result<HttpResponse, AppError> {
    let secret = Secret::presented(request.match_info().get("secret").unwrap_or_default());
    let gardens = state
        .keeper
        .ask(move |desk| accounts::feed_content(desk, &secret))
        .await?;
    Ok(HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, "text/calendar; charset=utf-8"))
        .insert_header((CACHE_CONTROL, "private, no-store"))
        .body(calendar::write(&gardens, state.origins.for_links())))
}
