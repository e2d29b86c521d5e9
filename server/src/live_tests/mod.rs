//! The real service on a free port of this machine, asked as a phone would ask it.

mod accounts;
mod calendar;
mod limits;
mod pages;
mod pictures;
mod sockets;

use std::future::Future;
use std::sync::Arc;
use std::time::Duration;

use actix_web::cookie::Cookie;
use actix_web::http::StatusCode;
use actix_web::http::header::ORIGIN;
use actix_web::rt::System;
use selion_core::document::ids::{EditId, GardenId, MemberId, TaskId};
use selion_core::document::{DocumentName, Edit, Envelope, Role};
use selion_core::quantities::{Minutes, Moment};
use selion_core::sync::frame::ClientFrame;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::chance;
use crate::clock::SetClock;
use crate::config::{Config, Limits, Origin};
use crate::service::{Running, start};
use crate::testing::YEAR;

/// 2027-01-15 08:00 in UTC.
const START: Moment = Moment::from_millis(1_800_000_000_000);

/// A running service and its data.
struct Live {
    running: Running,
    clock: Arc<SetClock>,
    config: Config,
    data: tempfile::TempDir,
}

impl Live {
    fn start(limits: Limits, public_origin: Option<&str>) -> Self {
        let data = tempfile::tempdir().unwrap();
        let public_origin = public_origin.map(|text| Origin::parse(text).unwrap());
        let stop_within = Duration::from_secs(1);
        let config = Config {
            port: 0,
            limits,
            public_origin,
            stop_within,
            ..Config::for_data(data.path().to_owned())
        };
        let clock = Arc::new(SetClock::at(START));
        let running = start(config.clone(), clock.clone()).unwrap();
        Self {
            running,
            clock,
            config,
            data,
        }
    }

    /// The service is stopped and started on the same data.
    fn restart(self) -> Self {
        let Self {
            running,
            clock,
            config,
            data,
        } = self;
        running.stop();
        let running = start(config.clone(), clock.clone()).unwrap();
        Self {
            running,
            clock,
            config,
            data,
        }
    }

    fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.running.addr())
    }

    /// A phone that made a garden.
    async fn coordinator(&self, name: &str) -> Phone {
        let link = self.running.new_garden_link().unwrap();
        let mut phone = Phone::new(self);
        let answer = phone
            .post(
                "/api/gardens",
                &json!({
                    "secret": secret_in(&link), "name": name, "units": "metric", "currency": "EUR",
                    "time_zone": "Europe/Lisbon", "your_name": "Rowan", "device_name": "phone",
                }),
            )
            .await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        phone.came_in(&answer).await;
        phone
    }

    /// A phone of a further member.
    async fn member(&self, by: &Phone, name: &str, role: Role) -> Phone {
        let member = MemberId::fresh(START, chance::bytes());
        let edit = Edit::AddMember {
            member,
            name: name.to_owned(),
            role,
        };
        let answers = by.sync(&[by.envelope(DocumentName::Ground, edit)]).await;
        assert_eq!(answers[0]["verdict"]["verdict"], "accepted", "{answers:?}");
        let path = format!("/api/gardens/{}/invites", by.garden());
        let made: Value = by.post(&path, &json!({ "member": member })).await.json();
        let mut phone = Phone::new(self);
        let body = json!({ "secret": made["secret"], "device_name": "another phone" });
        let answer = phone.post("/api/join", &body).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        phone.came_in(&answer).await;
        phone
    }
}

/// Runs a test against a service with these limits.
fn with_limits<F: Future>(limits: Limits, test: impl FnOnce(Live) -> F) {
    let live = Live::start(limits, None);
    System::new().block_on(test(live));
}

/// Runs a test against a service with the usual limits.
fn live<F: Future>(test: impl FnOnce(Live) -> F) {
    with_limits(Limits::default(), test);
}

fn secret_in(link: &str) -> &str {
    link.split_once('#').unwrap().1
}

/// What came back.
struct Answer {
    status: StatusCode,
    headers: actix_web::http::header::HeaderMap,
    cookie: Option<Cookie<'static>>,
    text: String,
}

impl Answer {
    fn json<T: DeserializeOwned>(&self) -> T {
        serde_json::from_str(&self.text).unwrap_or_else(|error| panic!("{error}: {}", self.text))
    }

    fn code(&self) -> String {
        let body: Value = self.json();
        let sentence = body["message"].as_str().unwrap();
        assert!(
            sentence.ends_with('.') && !sentence.contains('\n'),
            "one sentence: {sentence}"
        );
        body["code"].as_str().unwrap().to_owned()
    }

    fn header(&self, name: &str) -> Option<&str> {
        self.headers.get(name).map(|value| value.to_str().unwrap())
    }
}

/// A device: a cookie, an access token, a place in a garden.
#[derive(Clone)]
struct Phone {
    base: String,
    client: awc::Client,
    cookie: Option<Cookie<'static>>,
    token: String,
    place: Option<(GardenId, MemberId)>,
}

impl Phone {
    fn new(live: &Live) -> Self {
        Self {
            base: live.url(""),
            client: awc::Client::new(),
            cookie: None,
            token: String::new(),
            place: None,
        }
    }

    fn garden(&self) -> GardenId {
        self.place.unwrap().0
    }

    async fn came_in(&mut self, answer: &Answer) {
        let body: Value = answer.json();
        let id = |name: &str| body[name].as_str().unwrap().to_owned();
        self.place = Some((id("garden").parse().unwrap(), id("member").parse().unwrap()));
        if let Some(cookie) = &answer.cookie {
            self.cookie = Some(cookie.clone());
        }
        self.renew().await;
    }

    async fn renew(&mut self) {
        let answer = self.post("/api/token", &Value::Null).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        answer.json::<Value>()["access"]
            .as_str()
            .unwrap()
            .clone_into(&mut self.token);
    }

    fn request(&self, method: actix_web::http::Method, path: &str) -> awc::ClientRequest {
        let mut request = self
            .client
            .request(method, format!("{}{path}", self.base))
            .no_decompress();
        if let Some(cookie) = &self.cookie {
            request = request.cookie(cookie.clone());
        }
        if !self.token.is_empty() {
            request = request.bearer_auth(&self.token);
        }
        request
    }

    async fn get(&self, path: &str) -> Answer {
        read(
            self.request(actix_web::http::Method::GET, path)
                .send()
                .await
                .unwrap(),
        )
        .await
    }

    /// Null sends no body.
    async fn post(&self, path: &str, body: &Value) -> Answer {
        let request = self
            .request(actix_web::http::Method::POST, path)
            .insert_header((ORIGIN, self.base.clone()));
        let sent = if body.is_null() {
            request.send()
        } else {
            request.send_json(body)
        };
        read(sent.await.unwrap()).await
    }

    fn envelope(&self, document: DocumentName, edit: Edit) -> Envelope {
        let id = EditId::fresh(START, chance::bytes());
        let garden = self.garden();
        Envelope {
            version: Envelope::VERSION,
            id,
            garden,
            document,
            written_at: START,
            edit,
        }
    }

    fn task(&self, title: &str) -> Envelope {
        let edit = Edit::AddTask {
            task: TaskId::fresh(START, chance::bytes()),
            title: title.to_owned(),
            bed: None,
            day: None,
            places: 1,
            minutes: Minutes::new(30),
            job: None,
            note: String::new(),
        };
        self.envelope(DocumentName::Season(YEAR), edit)
    }

    /// Sends edits by request and gives back their answers.
    async fn sync(&self, envelopes: &[Envelope]) -> Vec<Value> {
        let hello: Value = serde_json::from_str(&crate::testing::hello().write()).unwrap();
        let mut frames = vec![hello];
        frames.extend(
            ClientFrame::for_edits(envelopes)
                .iter()
                .map(|frame| serde_json::from_str(&frame.write()).unwrap()),
        );
        let path = format!("/api/gardens/{}/sync", self.garden());
        let answer = self.post(&path, &json!({ "frames": frames })).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        let body: Value = answer.json();
        let frames = body["frames"].as_array().unwrap().clone();
        frames
            .into_iter()
            .filter(|frame| frame["frame"] == "answers")
            .flat_map(|frame| frame["answers"].as_array().unwrap().clone())
            .collect()
    }
}

async fn read<S>(mut response: awc::ClientResponse<S>) -> Answer
where
    S: futures_util::Stream<Item = Result<actix_web::web::Bytes, awc::error::PayloadError>>,
{
    let cookie = response
        .cookies()
        .ok()
        .and_then(|cookies| cookies.first().map(|cookie| cookie.clone().into_owned()));
    let (status, headers) = (response.status(), response.headers().clone());
    let body = response.body().limit(16 * 1024 * 1024).await.unwrap();
    let text = String::from_utf8_lossy(&body).into_owned();
    Answer {
        status,
        headers,
        cookie,
        text,
    }
}
