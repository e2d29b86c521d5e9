//! Coming in, signing in, devices.

use actix_web::http::StatusCode;
use actix_web::http::header::ORIGIN;
use selion_core::document::Role;
use serde_json::{Value, json};

use super::{Live, Phone, live, read, secret_in};
use crate::config::Limits;
use crate::service::{StartError, start};

#[test]
fn a_phone_comes_in_and_knows_who_it_is() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let me: Value = rowan.get("/api/me").await.json();
        assert_eq!(me["person"]["name"], "Rowan");
        assert_eq!(me["gardens"][0]["name"], "Upper Meadow");
        assert_eq!(me["gardens"][0]["role"], "coordinator");

        let wren = live.member(&rowan, "Wren", Role::Helper).await;
        let me: Value = wren.get("/api/me").await.json();
        assert_eq!(
            (&me["person"]["name"], &me["gardens"][0]["role"]),
            (&json!("Wren"), &json!("helper"))
        );
        let enrolled: Value = rowan
            .get(&format!("/api/gardens/{}/enrolled", rowan.garden()))
            .await
            .json();
        assert_eq!(enrolled.as_array().unwrap().len(), 2);
        let invites = format!("/api/gardens/{}/invites", wren.garden());
        assert_eq!(wren.get(&invites).await.code(), "forbidden");
    });
}

#[test]
fn an_invite_is_looked_at_used_once_and_withdrawn() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let wren = live.member(&rowan, "Wren", Role::Helper).await;
        let stranger = Phone::new(&live);
        let path = format!("/api/gardens/{}/invites", rowan.garden());
        let body = json!({ "member": wren.place.unwrap().1 });
        let made: Value = rowan.post(&path, &body).await.json();
        let secret = json!({ "secret": made["secret"], "device_name": "phone" });
        let looked: Value = stranger.post("/api/invites/look", &secret).await.json();
        assert_eq!(
            looked,
            json!({ "kind": "garden", "garden_name": "Upper Meadow", "member_name": "Wren", "role": "helper" })
        );
        assert_eq!(
            stranger.post("/api/join", &secret).await.status,
            StatusCode::OK
        );
        assert_eq!(
            stranger.post("/api/join", &secret).await.code(),
            "invite_gone"
        );

        let made: Value = rowan.post(&path, &body).await.json();
        let withdraw = format!("{path}/{}/revoke", made["id"].as_str().unwrap());
        assert_eq!(
            rowan.post(&withdraw, &Value::Null).await.status,
            StatusCode::NO_CONTENT
        );
        assert_eq!(
            stranger
                .post(
                    "/api/join",
                    &json!({ "secret": made["secret"], "device_name": "x" })
                )
                .await
                .code(),
            "invite_gone"
        );
        let listed: Value = rowan.get(&path).await.json();
        assert_eq!(listed.as_array().unwrap().len(), 3);
    });
}

#[test]
fn a_passphrase_signs_in_on_a_new_device() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let short = json!({ "sign_in_name": "rowan", "passphrase": "short" });
        assert_eq!(
            rowan.post("/api/passphrase", &short).await.code(),
            "bad_request"
        );
        let body = json!({ "sign_in_name": "rowan", "passphrase": "three wet boots" });
        assert_eq!(
            rowan.post("/api/passphrase", &body).await.status,
            StatusCode::NO_CONTENT
        );

        let mut laptop = Phone::new(&live);
        let sign_in = |name: &str, passphrase: &str| json!({ "sign_in_name": name, "passphrase": passphrase, "device_name": "laptop" });
        for (name, passphrase) in [("rowan", "three dry boots"), ("nobody", "three wet boots")] {
            assert_eq!(
                laptop
                    .post("/api/sign-in", &sign_in(name, passphrase))
                    .await
                    .code(),
                "wrong_passphrase"
            );
        }
        let answer = laptop
            .post("/api/sign-in", &sign_in("Rowan", "three wet boots"))
            .await;
        assert_eq!(answer.status, StatusCode::NO_CONTENT);
        laptop.cookie.clone_from(&answer.cookie);
        laptop.renew().await;
        let me: Value = laptop.get("/api/me").await.json();
        assert_eq!(me["person"]["sign_in_name"], "rowan");
        let devices: Value = laptop.get("/api/devices").await.json();
        assert_eq!(devices.as_array().unwrap().len(), 2);
    });
}

#[test]
fn a_revoked_device_is_out_at_once() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let linked: Value = rowan.post("/api/devices/link", &Value::Null).await.json();
        let mut tablet = Phone::new(&live);
        let body = json!({ "secret": linked["secret"], "device_name": "tablet" });
        let answer = tablet.post("/api/join", &body).await;
        tablet.came_in(&answer).await;
        let devices: Value = rowan.get("/api/devices").await.json();
        let other = devices
            .as_array()
            .unwrap()
            .iter()
            .find(|device| device["this"] == false)
            .unwrap();
        let revoke = format!("/api/devices/{}/revoke", other["id"].as_str().unwrap());
        assert_eq!(
            rowan.post(&revoke, &Value::Null).await.status,
            StatusCode::NO_CONTENT
        );
        assert_eq!(
            tablet.get("/api/me").await.code(),
            "revoked",
            "its access token is worth nothing any more"
        );
        assert_eq!(
            tablet.post("/api/token", &Value::Null).await.code(),
            "revoked"
        );
    });
}

#[test]
fn an_access_token_lasts_a_quarter_of_an_hour() {
    live(|live| async move {
        let mut rowan = live.coordinator("Upper Meadow").await;
        live.clock.advance_millis(14 * 60_000);
        assert_eq!(rowan.get("/api/me").await.status, StatusCode::OK);
        live.clock.advance_millis(60_000);
        assert_eq!(rowan.get("/api/me").await.code(), "not_signed_in");
        rowan.renew().await;
        assert_eq!(rowan.get("/api/me").await.status, StatusCode::OK);
        rowan.token = "nonsense".to_owned();
        assert_eq!(rowan.get("/api/me").await.code(), "not_signed_in");
    });
}

#[test]
fn nobody_sees_a_garden_they_are_not_in() {
    live(|live| async move {
        let (upper, lower) = (
            live.coordinator("Upper Meadow").await,
            live.coordinator("Lower Meadow").await,
        );
        let foreign = format!("/api/gardens/{}", upper.garden());
        for path in ["invites", "enrolled"] {
            assert_eq!(
                lower.get(&format!("{foreign}/{path}")).await.code(),
                "not_found"
            );
        }
        let body = json!({ "frames": [{ "frame": "hello", "protocol": 1 }] });
        assert_eq!(
            lower.post(&format!("{foreign}/sync"), &body).await.code(),
            "not_found"
        );
        assert_eq!(
            Phone::new(&live)
                .post(&format!("{foreign}/sync"), &body)
                .await
                .code(),
            "not_signed_in"
        );
    });
}

#[test]
fn what_was_stored_is_there_after_a_restart() {
    let live = Live::start(Limits::default(), None);
    let system = actix_web::rt::System::new();
    let rowan = system.block_on(live.coordinator("Upper Meadow"));
    let task = rowan.task("mend the gate");
    let first = system.block_on(rowan.sync(std::slice::from_ref(&task)));
    assert_eq!(first[0]["again"], false);
    let in_use = start(live.config.clone(), live.clock.clone()).map(|_| ());
    assert!(
        matches!(in_use, Err(StartError::InUse(_))),
        "one service at a time: {in_use:?}"
    );

    let live = live.restart();
    let rowan = Phone {
        base: live.url(""),
        ..rowan
    };
    let again = system.block_on(rowan.sync(std::slice::from_ref(&task)));
    assert_eq!(
        (&again[0]["again"], &again[0]["verdict"]),
        (&json!(true), &first[0]["verdict"])
    );
    assert!(live.data.path().join("selion.sqlite").is_file());
}

#[test]
fn over_https_cookie_and_headers_are_strict() {
    let live = Live::start(Limits::default(), Some("https://garden.example.org"));
    actix_web::rt::System::new().block_on(async {
        let link = live.running.new_garden_link().unwrap();
        assert!(link.starts_with("https://garden.example.org/join#"));
        let body = json!({
            "secret": secret_in(&link), "name": "Upper Meadow", "units": "us", "currency": "USD",
            "time_zone": "Europe/Lisbon", "your_name": "Rowan", "device_name": "phone",
        });
        let phone = Phone::new(&live);
        assert_eq!(
            phone.post("/api/gardens", &body).await.code(),
            "wrong_origin",
            "plain http is not it"
        );
        let request = phone.request(actix_web::http::Method::POST, "/api/gardens");
        let request = request.insert_header((ORIGIN, "https://garden.example.org"));
        let answer = read(request.send_json(&body).await.unwrap()).await;
        let cookie = answer.header("set-cookie").unwrap();
        assert!(
            cookie.starts_with("__Host-selion-device=")
                && cookie.contains("; Secure")
                && cookie.contains("; HttpOnly")
        );
        assert_eq!(
            answer.header("strict-transport-security"),
            Some("max-age=63072000")
        );
    });
}
