//! People and their devices over HTTP, from the first link to the last device signed out.

use actix_rt::System;
use selion_core::document::records::Role;
use selion_core::sync::frame::ServerFrame;
use serde_json::{Value, json};

use super::{Live, greeted, newcomer};
use crate::chance::Chance;
use crate::loopback::Phone;

#[test]
fn one_person_can_be_in_two_gardens_with_one_phone() {
    let live = Live::start();
    System::new().block_on(async {
        let mut chance = Chance::of_seed(1);
        let mut ines = Phone::new(&live.base(), 1);
        ines.make_garden(&live.secret(), "Sorrel Bank")
            .await
            .unwrap();
        let mut tomasz = Phone::new(&live.base(), 2);
        tomasz
            .make_garden(&live.secret(), "Long Acre")
            .await
            .unwrap();
        // Ines becomes a helper of Tomasz's garden with the phone she has.
        newcomer(&mut chance, &mut tomasz, ines.clone(), "Ines", Role::Helper).await;
        let (status, me) = ines.get("/api/me").await.unwrap();
        assert_eq!(status, 200);
        let gardens: Vec<(&str, &str)> = me["gardens"]
            .as_array()
            .unwrap()
            .iter()
            .map(|garden| {
                (
                    garden["name"].as_str().unwrap(),
                    garden["role"].as_str().unwrap(),
                )
            })
            .collect();
        assert_eq!(
            gardens,
            [("Sorrel Bank", "coordinator"), ("Long Acre", "helper")]
        );
    });
}

#[test]
fn somebody_who_lost_their_phone_is_enrolled_again_and_the_lost_one_signed_out() {
    let live = Live::start();
    System::new().block_on(async {
        let mut chance = Chance::of_seed(2);
        let mut ines = Phone::new(&live.base(), 1);
        ines.make_garden(&live.secret(), "Sorrel Bank")
            .await
            .unwrap();
        let lost = newcomer(
            &mut chance,
            &mut ines,
            Phone::new(&live.base(), 2),
            "Wren",
            Role::Member,
        )
        .await;
        let mut socket = lost.line().await.unwrap();
        greeted(&mut socket).await;

        let (garden, wren) = (lost.garden().unwrap(), lost.member().unwrap());
        let path = format!("/api/gardens/{garden}/members/{wren}/revoke-devices");
        let (status, _) = ines.post(&path, &Value::Null).await.unwrap();
        assert_eq!(status, 200);
        let told = loop {
            match socket.hear().await.unwrap() {
                Some(ServerFrame::Revoked { message }) => break message,
                Some(_other) => {}
                None => panic!("closed without a word"),
            }
        };
        assert_eq!(told, "This device was signed out.");
        assert_eq!(
            socket.hear().await.unwrap(),
            None,
            "and then the socket is closed"
        );

        let secret = ines.invite(wren).await.unwrap();
        let mut found = Phone::new(&live.base(), 3);
        let looked = found
            .post("/api/invites/look", &json!({ "secret": secret }))
            .await
            .unwrap();
        assert_eq!((looked.0, &looked.1["member_name"]), (200, &json!("Wren")));
        found.join(&secret).await.unwrap();
        assert_eq!(
            found.member().unwrap(),
            wren,
            "the same member, on another phone"
        );
        greeted(&mut found.line().await.unwrap()).await;
    });
}

#[test]
fn a_passphrase_brings_a_second_device_and_a_device_can_be_signed_out_from_the_other() {
    let live = Live::start();
    System::new().block_on(async {
        let mut phone = Phone::new(&live.base(), 1);
        phone
            .make_garden(&live.secret(), "Sorrel Bank")
            .await
            .unwrap();
        let body = json!({ "sign_in_name": "ines", "passphrase": "nine loud wheelbarrows" });
        assert_eq!(phone.post("/api/passphrase", &body).await.unwrap().0, 204);
        let mut laptop = Phone::new(&live.base(), 2);
        let mut wrong = body.clone();
        wrong["device_name"] = json!("laptop");
        wrong["passphrase"] = json!("nine loud wheelbarrow");
        assert_eq!(laptop.post("/api/sign-in", &wrong).await.unwrap().0, 401);
        let mut right = body;
        right["device_name"] = json!("laptop");
        assert_eq!(laptop.post("/api/sign-in", &right).await.unwrap().0, 204);
        laptop.renew().await.unwrap();

        let (_, devices) = laptop.get("/api/devices").await.unwrap();
        let devices = devices.as_array().unwrap().clone();
        assert_eq!(devices.len(), 2);
        let other = devices
            .iter()
            .find(|device| device["this"] == json!(false))
            .unwrap();
        let path = format!("/api/devices/{}/revoke", other["id"].as_str().unwrap());
        assert_eq!(laptop.post(&path, &Value::Null).await.unwrap().0, 204);
        assert_eq!(phone.get("/api/me").await.unwrap().0, 401);
        assert_eq!(laptop.get("/api/me").await.unwrap().0, 200);
    });
}

#[test]
fn guessing_from_one_address_is_slowed_down_and_others_are_not() {
    let live = Live::start();
    System::new().block_on(async {
        let mut guesser = Phone::new(&live.base(), 9);
        let guess = json!({ "secret": "AAAAAAAAAAAAAAAAAAAAAA" });
        let mut statuses = Vec::new();
        for _ in 0..30 {
            statuses.push(guesser.post("/api/invites/look", &guess).await.unwrap().0);
        }
        assert!(
            statuses.starts_with(&[404]) || statuses.starts_with(&[410]),
            "{statuses:?}"
        );
        assert_eq!(statuses.last(), Some(&429));
        let mut ines = Phone::new(&live.base(), 1);
        ines.make_garden(&live.secret(), "Sorrel Bank")
            .await
            .unwrap();
    });
}
