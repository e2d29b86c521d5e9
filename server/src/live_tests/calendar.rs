//! The calendar link: what stands in it, read back by a parser that knows nothing of what wrote it, and who may have it.

use actix_web::http::StatusCode;
use actix_web::http::header::ORIGIN;
use ical::IcalParser;
use ical::parser::ical::component::IcalEvent;
use selion_core::document::edit::{Claimable, NewTurn};
use selion_core::document::ids::{BedId, ClaimId, TaskId, TurnId};
use selion_core::document::{DocumentName, Edit, Role};
use selion_core::geometry::{Outline, Point};
use selion_core::quantities::{Day, Length, Minutes};
use serde_json::{Value, json};

use super::{Phone, START, live, with_limits};
use crate::chance;
use crate::config::Limits;
use crate::testing::YEAR;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// A garden with a bed, a task with an awkward title, and a turn; the phone's person has claimed both.
async fn promise(phone: &Phone) -> (TaskId, ClaimId, ClaimId) {
    let bed = BedId::fresh(START, chance::bytes());
    let corner = Point::from_mm(0, 0);
    let outline = Outline::rectangle(corner, Length::from_mm(6_000), Length::from_mm(1_200));
    let add_bed = Edit::AddBed {
        bed,
        label: "C4".to_owned(),
        outline: outline.unwrap(),
        holders: selion_core::ordered::Map::new(),
    };
    let task = TaskId::fresh(START, chance::bytes());
    let add_task = Edit::AddTask {
        task,
        title: "Hoe; then water, \"gently\" — the long row of beans along the northern fence, all of it".to_owned(),
        bed: Some(bed),
        day: Some(day("2027-04-10")),
        places: 1,
        minutes: Minutes::new(45),
        job: None,
        note: "Two lines:\nhoes are in the shed".to_owned(),
    };
    let turn = TurnId::fresh(START, chance::bytes());
    let turns = vec![NewTurn {
        turn,
        bed,
        day: day("2027-07-03"),
        holder: None,
    }];
    let [one, other] = [(); 2].map(|()| ClaimId::fresh(START, chance::bytes()));
    let season = DocumentName::Season(YEAR);
    let claim = |of, claim| phone.envelope(season, Edit::Claim { of, claim });
    let answers = phone
        .sync(&[
            phone.envelope(DocumentName::Ground, add_bed),
            phone.envelope(season, add_task),
            phone.envelope(season, Edit::AddTurns { turns }),
            claim(Claimable::Task(task), one),
            claim(Claimable::Turn(turn), other),
        ])
        .await;
    for answer in &answers {
        assert_eq!(answer["verdict"]["verdict"], "accepted", "{answer}");
    }
    (task, one, other)
}

async fn make(phone: &Phone) -> String {
    let answer = phone.post("/api/calendar", &json!({})).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.json::<Value>()["path"].as_str().unwrap().to_owned()
}

fn events(text: &str) -> Vec<IcalEvent> {
    let mut calendars = IcalParser::new(text.as_bytes());
    let calendar = calendars.next().unwrap().unwrap();
    assert!(calendars.next().is_none());
    calendar.events
}

fn value(event: &IcalEvent, name: &str) -> String {
    let mut found = event.properties.iter().filter(|it| it.name == name);
    let property = found.next().unwrap_or_else(|| panic!("no {name}"));
    assert!(found.next().is_none(), "{name} twice");
    property.value.clone().unwrap_or_default()
}

#[test]
fn what_a_person_has_promised_is_read_by_another_program() {
    live(|live| async move {
        let phone = live.coordinator("Sorrel Bank").await;
        let (task, claim, turn_claim) = promise(&phone).await;
        let path = make(&phone).await;
        // The calendar of a phone brings neither cookie nor token.
        let stranger = Phone::new(&live);
        let answer = stranger.get(&path).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        let content_type = answer.header("content-type").unwrap();
        assert_eq!(content_type, "text/calendar; charset=utf-8");
        assert!(answer.text.ends_with("END:VCALENDAR\r\n"));
        // RFC 5545, section 3.1: lines of at most 75 octets.
        assert!(
            answer.text.split("\r\n").all(|line| line.len() <= 75),
            "{}",
            answer.text
        );
        let found = events(&answer.text);
        assert_eq!(found.len(), 2);
        let of_task = &found[0];
        assert_eq!(value(of_task, "UID"), format!("{claim}@selion"));
        assert_eq!(value(of_task, "DTSTART"), "20270410");
        assert_eq!(value(of_task, "DTEND"), "20270411");
        assert_eq!(value(of_task, "DTSTAMP"), "20270115T080000Z");
        let summary = value(of_task, "SUMMARY");
        assert!(
            summary.starts_with("Hoe\\; then water\\, \"gently\""),
            "{summary}"
        );
        assert!(summary.ends_with("(C4)"), "{summary}");
        assert!(value(of_task, "DESCRIPTION").contains("Two lines:\\nhoes"));
        assert!(value(of_task, "URL").ends_with(&format!("/task/{task}")));
        assert_eq!(value(&found[1], "UID"), format!("{turn_claim}@selion"));
        assert_eq!(value(&found[1], "DTSTART"), "20270703");

        // Moved, it is the same entry on another day; given back, it is gone.
        let set = vec![selion_core::document::edit::TaskField::Day(Some(day(
            "2027-04-12",
        )))];
        let season = DocumentName::Season(YEAR);
        phone
            .sync(&[phone.envelope(season, Edit::ChangeTask { task, set })])
            .await;
        let moved = events(&stranger.get(&path).await.text);
        assert_eq!(value(&moved[0], "UID"), format!("{claim}@selion"));
        assert_eq!(value(&moved[0], "DTSTART"), "20270412");
        let of = Claimable::Task(task);
        phone
            .sync(&[phone.envelope(season, Edit::GiveBack { of, claim })])
            .await;
        assert_eq!(events(&stranger.get(&path).await.text).len(), 1);
    });
}

#[test]
fn a_link_is_one_at_a_time_and_is_taken_back() {
    live(|live| async move {
        let phone = live.coordinator("Sorrel Bank").await;
        let look = "/api/calendar";
        assert_eq!(phone.get(look).await.json::<Value>(), Value::Null);
        let first = make(&phone).await;
        let shown: Value = phone.get(look).await.json();
        assert_eq!(shown, json!({ "made_at": START.millis() }));
        assert!(!phone.get(look).await.text.contains(&first));
        let second = make(&phone).await;
        let stranger = Phone::new(&live);
        assert_eq!(stranger.get(&first).await.status, StatusCode::NOT_FOUND);
        assert_eq!(stranger.get(&second).await.status, StatusCode::OK);
        let taken = phone.post("/api/calendar/revoke", &json!({})).await;
        assert_eq!(taken.status, StatusCode::NO_CONTENT);
        let gone = stranger.get(&second).await;
        assert_eq!(
            (gone.status, gone.code()),
            (StatusCode::NOT_FOUND, "not_found".to_owned())
        );
        assert_eq!(phone.get(look).await.json::<Value>(), Value::Null);
        let nobody = stranger.post("/api/calendar", &json!({})).await;
        assert_eq!(nobody.status, StatusCode::UNAUTHORIZED);
    });
}

#[test]
fn everybody_has_a_calendar_of_their_own() {
    live(|live| async move {
        let rowan = live.coordinator("Sorrel Bank").await;
        promise(&rowan).await;
        let wren = live.member(&rowan, "Wren", Role::Helper).await;
        let path = make(&wren).await;
        assert!(events(&wren.get(&path).await.text).is_empty());
        let path = make(&rowan).await;
        assert_eq!(events(&wren.get(&path).await.text).len(), 2);
    });
}

#[test]
fn links_are_not_guessed_by_trying() {
    let limits = Limits {
        tries_at_once: 3,
        tries_a_minute: 1,
        ..Limits::default()
    };
    with_limits(limits, |live| async move {
        let stranger = Phone::new(&live);
        let mut statuses = Vec::new();
        for number in 0..6 {
            let path = format!("/calendar/guess{number}.ics");
            let answer = stranger
                .client
                .get(live.url(&path))
                .insert_header((ORIGIN, live.url("")));
            statuses.push(answer.send().await.unwrap().status());
        }
        assert!(statuses.contains(&StatusCode::NOT_FOUND));
        assert_eq!(statuses.last(), Some(&StatusCode::TOO_MANY_REQUESTS));
    });
}
