//! One place, two people, and no signal: both claim it on their phones, both phones start anew, and when the service is
//! back the first to arrive holds the place and the other stands by and is told.

use std::time::Duration;

use super::phone::{Driver, Phone};
use super::service::Service;

const TASK: &str = "Carry the long ladder back";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_phones_claim_one_place_with_no_signal_and_both_end_right() {
    let mut service = Service::demo("two-phones");
    let driver = Driver::start();
    let coordinator = joined(&driver, "coordinator", service.link(0)).await;
    let member = joined(&driver, "member", service.link(1)).await;

    put_up_the_task(&coordinator, &service).await;
    member.open(&service.address("/work")).await;
    member.sees(TASK).await;
    coordinator.sees("In step with the garden").await;

    service.kill();
    for phone in [&coordinator, &member] {
        claim_offline(phone, &service).await;
    }
    for phone in [&coordinator, &member] {
        // A cold start with the service gone: the program from the service worker, the data from the phone's storage.
        phone.reload().await;
        phone.sees(TASK).await;
        phone.sees("Saved on this phone, 1 waiting").await;
        phone.picture("offline-after-reload").await;
    }

    service.start();
    for phone in [&coordinator, &member] {
        phone.sees("In step with the garden").await;
        phone.picture("back-in-step").await;
    }
    check_who_holds_it(&coordinator, &member, &service).await;
    coordinator.put_away().await;
    member.put_away().await;
}

/// Opens an invite link and joins, until the phone is in step.
async fn joined(driver: &Driver, name: &str, link: &str) -> Phone {
    let phone = driver.phone(name).await;
    phone.join(link).await;
    // From when the worker is active on, the next start needs no network. It need not control this very page: one that was
    // being loaded while the worker became active is left to the network until its next start.
    let begun = std::time::Instant::now();
    while phone
        .run("return navigator.serviceWorker.getRegistration().then(known => known?.active?.state === 'activated')")
        .await
        != true
    {
        assert!(
            begun.elapsed() < Duration::from_secs(40),
            "the service worker did not become active"
        );
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    phone
}

async fn put_up_the_task(phone: &Phone, service: &Service) {
    phone.open(&service.address("/work")).await;
    phone.press("New task").await;
    phone.fill("What is to be done", TASK).await;
    phone.press("Put it up").await;
    phone.sees(TASK).await;
}

async fn claim_offline(phone: &Phone, service: &Service) {
    phone.open(&service.address("/work")).await;
    phone.press(TASK).await;
    phone.press("Claim a place").await;
    phone.sees("1 waiting").await;
    phone.picture("claimed-with-no-signal").await;
}

/// Exactly one of them holds the place; the other stands by on both phones, and was told.
async fn check_who_holds_it(one: &Phone, other: &Phone, service: &Service) {
    let mut standing_by = 0;
    for phone in [one, other] {
        phone.open(&service.address("/work")).await;
        phone.press(TASK).await;
        phone.sees("Stand-by").await;
        phone.picture("who-holds-it").await;
        phone.open(&service.address("/week")).await;
        phone.sees("In step with the garden").await;
        phone.picture("told").await;
        let told = phone.text().await.to_lowercase();
        if told.contains("another claim arrived first") {
            standing_by += 1;
        }
    }
    assert_eq!(
        standing_by, 1,
        "one of the two is told that they stand by, and only one"
    );
}
