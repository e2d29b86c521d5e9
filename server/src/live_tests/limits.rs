//! Limits, other sites, and garbage.

use actix_web::http::header::{CONTENT_TYPE, ORIGIN};
use actix_web::http::{Method, StatusCode};
use proptest::prelude::*;
use proptest::test_runner::{Config as Cases, TestRunner};
use serde_json::{Value, json};

use super::{Live, Phone, live, read, with_limits};
use crate::config::Limits;

/// Every address that takes a body.
const POSTS: [&str; 8] = [
    "/api/invites/look",
    "/api/join",
    "/api/gardens",
    "/api/sign-in",
    "/api/passphrase",
    "/api/gardens/GARDEN/invites",
    "/api/gardens/GARDEN/sync",
    "/api/token",
];

#[test]
fn guessing_is_slowed_down() {
    let limits = Limits {
        tries_at_once: 3,
        tries_a_minute: 6,
        ..Limits::default()
    };
    with_limits(limits, |live| async move {
        let stranger = Phone::new(&live);
        let guess = json!({ "secret": "AAAAAAAAAAAAAAAAAAAAAA", "device_name": "x" });
        let sign_in =
            json!({ "sign_in_name": "x", "passphrase": "a long passphrase", "device_name": "x" });
        assert_eq!(
            stranger.post("/api/invites/look", &guess).await.code(),
            "invite_gone"
        );
        assert_eq!(
            stranger.post("/api/join", &guess).await.code(),
            "invite_gone"
        );
        assert_eq!(
            stranger.post("/api/sign-in", &sign_in).await.code(),
            "wrong_passphrase"
        );
        for (path, body) in [
            ("/api/invites/look", &guess),
            ("/api/join", &guess),
            ("/api/sign-in", &sign_in),
        ] {
            let answer = stranger.post(path, body).await;
            assert_eq!(
                (answer.status, answer.header("retry-after")),
                (StatusCode::TOO_MANY_REQUESTS, Some("10"))
            );
        }
        live.clock.advance_millis(10_000);
        assert_eq!(
            stranger.post("/api/join", &guess).await.code(),
            "invite_gone"
        );
    });
}

#[test]
fn other_sites_can_change_nothing() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        for (name, value) in [
            ("origin", "https://evil.example"),
            ("origin", "null"),
            ("sec-fetch-site", "cross-site"),
        ] {
            let request = rowan
                .request(Method::POST, "/api/token")
                .insert_header((name, value));
            let answer = read(request.send().await.unwrap()).await;
            assert_eq!(
                (answer.status, answer.code()),
                (StatusCode::FORBIDDEN, "wrong_origin".to_owned())
            );
        }
        let request = rowan
            .request(Method::POST, "/api/token")
            .insert_header((ORIGIN, rowan.base.clone()));
        assert_eq!(request.send().await.unwrap().status(), StatusCode::OK);
    });
}

#[test]
fn a_request_that_cannot_be_read_gets_one_sentence() {
    live(|live| async move {
        let stranger = Phone::new(&live);
        let send = async |content_type: &str, body: String| {
            let request = stranger
                .request(Method::POST, "/api/join")
                .insert_header((CONTENT_TYPE, content_type.to_owned()));
            read(request.send_body(body).await.unwrap()).await
        };
        let json = "application/json";
        assert_eq!(send(json, "{".to_owned()).await.code(), "bad_request");
        assert_eq!(send(json, "{}".to_owned()).await.code(), "bad_request");
        assert_eq!(
            send(
                "text/plain",
                r#"{"secret":"x","device_name":"x"}"#.to_owned()
            )
            .await
            .code(),
            "bad_request"
        );
        let large = send(json, format!(r#"{{"secret":"{}"}}"#, "x".repeat(20_000))).await;
        assert_eq!(
            (large.status, large.code()),
            (StatusCode::PAYLOAD_TOO_LARGE, "too_large".to_owned())
        );
        let long = json!({ "secret": "x", "device_name": "x".repeat(81) });
        let answer = stranger.post("/api/join", &long).await;
        assert_eq!(
            answer.json::<Value>()["message"],
            "device_name: expected at most 80 characters, but 81 came."
        );

        assert_eq!(stranger.get("/api/shed").await.code(), "not_found");
        assert_eq!(
            stranger.post("/api/gardens/x/y/z", &json!({})).await.code(),
            "not_found"
        );
    });
}

#[test]
fn too_many_frames_in_a_request_are_refused() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let frames = vec![json!({ "frame": "ping" }); 9];
        let path = format!("/api/gardens/{}/sync", rowan.garden());
        assert_eq!(
            rowan.post(&path, &json!({ "frames": frames })).await.code(),
            "too_large"
        );
        let answer: Value = rowan
            .post(&path, &json!({ "frames": [{ "frame": "dragon" }] }))
            .await
            .json();
        assert_eq!(answer["frames"][0]["frame"], "wrong");
    });
}

#[test]
fn garbage_breaks_nothing() {
    let limits = Limits {
        tries_at_once: 100_000,
        ..Limits::default()
    };
    let live = Live::start(limits, None);
    let system = actix_web::rt::System::new();
    let rowan = system.block_on(live.coordinator("Upper Meadow"));
    let task = rowan.task("still here");
    system.block_on(rowan.sync(std::slice::from_ref(&task)));
    let json_like = r#"\{("[a-z_]{1,12}":("[^"\\]{0,40}"|[0-9]{1,20}|null|\[\]|\{\}),?){0,5}\}?"#;
    let body = prop_oneof![".{0,300}", json_like];
    let mut runner = TestRunner::new(Cases::with_cases(150));
    let outcome = runner.run(&(prop::sample::select(&POSTS[..]), body), |(path, body)| {
        let path = path.replace("GARDEN", &rowan.garden().to_string());
        let request = rowan
            .request(Method::POST, &path)
            .insert_header((CONTENT_TYPE, "application/json"));
        let answer = system.block_on(async { read(request.send_body(body).await.unwrap()).await });
        prop_assert!(answer.status.as_u16() < 500, "{} {}", path, answer.text);
        if !answer.status.is_success() {
            answer.code();
        }
        Ok(())
    });
    outcome.unwrap();
    let again = system.block_on(rowan.sync(std::slice::from_ref(&task)));
    assert_eq!(again[0]["again"], true, "nothing was lost");
}
