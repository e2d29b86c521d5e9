//! A backup put back on the real files: what phones were told is kept comes back from the phones.

use std::sync::Arc;

use actix_rt::System;
use selion_core::sync::frame::{ClientFrame, PROTOCOL, ServerFrame, Verdict};
use selion_server::clock::SystemClock;
use selion_server::store::sqlite::{back_up, restore};
use selion_server::{Config, Running};

use super::{answers, envelope, greeted, task};
use crate::chance::Chance;
use crate::loopback::Phone;

fn start(data: &std::path::Path) -> Running {
    let config = Config {
        port: 0,
        ..Config::for_data(data.to_owned())
    };
    selion_server::start(config, Arc::new(SystemClock)).unwrap()
}

#[test]
fn edits_newer_than_a_restored_backup_are_taken_again_and_older_ones_only_answered_again() {
    let folder = tempfile::tempdir().unwrap();
    let (data, copy) = (
        folder.path().join("data"),
        folder.path().join("copy.sqlite"),
    );
    let running = start(&data);
    let system = System::new();
    let mut chance = Chance::of_seed(3);
    let (phone, edits, epoch) = system.block_on(async {
        let link = running.new_garden_link().unwrap();
        let mut phone = Phone::new(&format!("http://{}", running.addr()), 1);
        phone
            .make_garden(link.split_once('#').unwrap().1, "Sorrel Bank")
            .await
            .unwrap();
        let mut line = phone.line().await.unwrap();
        let season = greeted(&mut line).await;
        let titles = ["Dig", "Rake", "Sow"];
        let edits = titles.map(|title| {
            let edit = task(&mut chance, title);
            envelope(&mut chance, &phone, season, edit)
        });
        answers(&mut line, &edits[..1]).await;
        // The backup is made while the service runs; two more edits are kept after it.
        back_up(&data, &copy).unwrap();
        answers(&mut line, &edits[1..]).await;
        (phone.clone(), edits, epoch_of(&phone).await)
    });
    running.stop();
    restore(&data, &copy).unwrap();
    let running = start(&data);
    system.block_on(async {
        let phone = phone.at(&format!("http://{}", running.addr()));
        assert_ne!(
            epoch_of(&phone).await,
            epoch,
            "phones can tell that the past has changed"
        );
        let mut line = phone.line().await.unwrap();
        greeted(&mut line).await;
        let again = answers(&mut line, &edits).await;
        let known: Vec<bool> = again.iter().map(|answer| answer.again).collect();
        assert_eq!(known, [true, false, false]);
        assert!(
            again
                .iter()
                .all(|answer| matches!(answer.verdict, Verdict::Accepted { .. })),
            "{again:?}"
        );
    });
    running.stop();
}

/// Says hello with cursors from before, as a phone does; whatever they count, the whole comes if the epoch is another.
async fn epoch_of(phone: &Phone) -> String {
    let mut line = phone.line().await.unwrap();
    let cursors = selion_core::ordered::Map::from([(crate::small_garden::GROUND, 1_000)]);
    let hello = ClientFrame::Hello {
        protocol: PROTOCOL,
        epoch: Some("another".to_owned()),
        cursors,
    };
    line.say(&hello).await.unwrap();
    let Some(ServerFrame::Welcome {
        epoch, documents, ..
    }) = line.hear().await.unwrap()
    else {
        panic!("no welcome");
    };
    for _ in documents {
        assert!(matches!(
            line.hear().await.unwrap(),
            Some(ServerFrame::Snapshot { .. })
        ));
    }
    epoch
}
