//! The table of routes. What a handler takes as arguments states who may call it: [`FewTries`](crate::auth::FewTries) for
//! anybody a few times, [`ByCookie`](crate::auth::ByCookie) for a device, [`SignedIn`](crate::auth::SignedIn) for a
//! person, [`MemberOf`](crate::auth::MemberOf) for a member of the garden in the path.

mod account;
mod calendar;
mod devices;
mod files;
mod gardens;
mod headers;
mod invites;
mod pictures;
mod socket;
mod sync;

use std::future::{Ready, ready};

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceFactory, ServiceRequest, ServiceResponse};
use actix_web::error::{InternalError, JsonPayloadError};
use actix_web::middleware::from_fn;
use actix_web::{App, Error, HttpRequest, HttpResponse, ResponseError as _, web};

use crate::auth::refuse_other_sites;
use crate::error::AppError;
use crate::state::State;

/// The program that answers requests.
pub fn app(
    state: web::Data<State>,
) -> App<
    impl ServiceFactory<
        ServiceRequest,
        Config = (),
        Response = ServiceResponse<impl MessageBody>,
        Error = Error,
        InitError = (),
    >,
> {
    let json = web::JsonConfig::default()
        .limit(state.config.limits.json_body)
        .error_handler(bad_json);
    App::new()
        .app_data(json)
        .app_data(state)
        .service(
            web::scope("/api")
                .configure(api)
                .default_service(web::to(no_such_route)),
        )
        .route("/calendar/{secret}.ics", web::get().to(calendar::fetch))
        .default_service(web::to(files::serve))
        .wrap(from_fn(refuse_other_sites))
        .wrap(from_fn(headers::add))
}

/// A body longer than this is not read to its end; what a picture may have is said by the limits.
const LONGEST_PICTURE: usize = 4 * 1024 * 1024;

/// Everything under `/api`.
fn api(routes: &mut web::ServiceConfig) {
    routes
        // Links, and what a device may do with nothing but its cookie.
        .route("/invites/look", web::post().to(invites::look))
        .route("/join", web::post().to(invites::join))
        .route("/gardens", web::post().to(gardens::found))
        .route("/sign-in", web::post().to(account::sign_in))
        .route("/token", web::post().to(account::token))
        // A person.
        .route("/me", web::get().to(account::me))
        .route("/passphrase", web::post().to(account::passphrase))
        .route("/calendar", web::get().to(calendar::look))
        .route("/calendar", web::post().to(calendar::make))
        .route("/calendar/revoke", web::post().to(calendar::revoke))
        .route("/devices", web::get().to(devices::list))
        .route("/devices/link", web::post().to(devices::link))
        .route("/devices/{device}/revoke", web::post().to(devices::revoke))
        // A member of a garden; where it says so inside, a coordinator.
        .route("/gardens/{garden}/invites", web::get().to(invites::list))
        .route("/gardens/{garden}/invites", web::post().to(invites::make))
        .route(
            "/gardens/{garden}/invites/{invite}/revoke",
            web::post().to(invites::withdraw),
        )
        .route(
            "/gardens/{garden}/enrolled",
            web::get().to(gardens::enrolled),
        )
        .route(
            "/gardens/{garden}/members/{member}/revoke-devices",
            web::post().to(gardens::revoke_devices),
        )
        .service(
            web::resource("/gardens/{garden}/pictures/{picture}")
                .app_data(web::PayloadConfig::new(LONGEST_PICTURE))
                .route(web::get().to(pictures::fetch))
                .route(web::put().to(pictures::bring)),
        )
        .route("/gardens/{garden}/socket", web::get().to(socket::open))
        .service(
            web::resource("/gardens/{garden}/sync")
                .app_data(
                    web::JsonConfig::default()
                        .limit(sync::LONGEST_BODY)
                        .error_handler(bad_json),
                )
                .route(web::post().to(sync::exchange)),
        );
}

fn no_such_route() -> Ready<HttpResponse> {
    ready(AppError::NotFound("There is no such address.").error_response())
}

/// A body that is not what it should be, in one sentence.
fn bad_json(error: JsonPayloadError, _: &HttpRequest) -> Error {
    let answer = match &error {
        JsonPayloadError::OverflowKnownLength { limit, .. }
        | JsonPayloadError::Overflow { limit } => {
            AppError::TooLarge(format!("The request must be at most {limit} bytes."))
        }
        JsonPayloadError::ContentType => AppError::BadRequest(
            "The request must be JSON, with content type application/json.".to_owned(),
        ),
        JsonPayloadError::Deserialize(error) => {
            AppError::BadRequest(format!("The request cannot be read: {error}."))
        }
        // The library may add kinds; what they share is that the body did not come through.
        JsonPayloadError::Serialize(_) | JsonPayloadError::Payload(_) | _ => {
            AppError::BadRequest("The request cannot be read.".to_owned())
        }
    };
    InternalError::from_response(error, answer.error_response()).into()
}

/// An id in a path; what is no id is not there.
fn id_in_path<T: std::str::FromStr>(request: &HttpRequest, name: &str) -> Result<T, AppError> {
    let text = request.match_info().get(name).unwrap_or_default();
    text.parse()
        .map_err(|_no_id| AppError::NotFound("There is no such address."))
}
