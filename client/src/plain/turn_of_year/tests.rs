//! The turn of a small garden's year.

use std::sync::Arc;

use selion_core::document::records::{Profile, Task};
use selion_core::document::season_turn::{Fate, of_year};
use selion_core::document::{Garden, Season};
use selion_core::ordered::Map;

use super::*;
use crate::plain::sample::{by, claim, day, done, hoe, member, pick, task, with_tasks};

fn open_years(garden: &mut Garden, years: &[(&str, bool)]) {
    let profile = garden.profile.as_deref().unwrap();
    let years = years
        .iter()
        .map(|(year, open)| ((*year).to_owned(), *open))
        .collect();
    let profile = Profile {
        years,
        ..profile.clone()
    };
    garden.profile = Some(Arc::new(profile));
}

fn held() -> Task {
    Task {
        day: Some(day("2026-11-02")),
        claims: Map::from([(claim(1), by(member(1), 1))]),
        ..hoe()
    }
}

#[test]
fn the_earliest_open_year_is_turned_and_closed_ones_can_be_opened_again() {
    let mut garden = with_tasks([]);
    garden.seasons.insert(2025, Season::default());
    assert_eq!(year_of(&garden), Some(2026));
    assert_eq!(closed_years(&garden), [2025]);
    assert_eq!(next_of(&garden, 2026), Next::NotOpen);
    open_years(&mut garden, &[("2026", true), ("2027", true)]);
    assert_eq!(year_of(&garden), Some(2026));
    assert_eq!(
        next_of(&garden, 2026),
        Next::OnItsWay,
        "nothing can be written into it before it is here"
    );
    garden.seasons.insert(2027, Season::default());
    assert_eq!(next_of(&garden, 2026), Next::Here);
    open_years(&mut garden, &[("2026", false), ("2027", true)]);
    assert_eq!(year_of(&garden), Some(2027));
    assert_eq!(closed_years(&garden), [2026, 2025]);
}

#[test]
fn people_are_asked_about_what_is_not_done_with_who_has_it() {
    let finished = Task {
        claims: Map::from([(claim(3), done(by(member(2), 1), "2026-06-10", 45))]),
        ..hoe()
    };
    let garden = with_tasks([hoe(), held(), finished]);
    let rows = open_tasks(&garden, 2026, day("2026-12-01"));
    let told: Vec<_> = rows
        .iter()
        .map(|row| (row.task, row.small.as_str(), row.minutes.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (task(2), "Mon 2 November · held by Ines", "30 min"),
            (task(1), "For any day · nobody has it", "30 min"),
        ]
    );
    let (written, back) = answer(&garden, 2026, (task(2), Fate::Done), day("2026-12-01"));
    assert_eq!((written.len(), back.len()), (1, 2));
    let (written, _) = answer(&garden, 2026, (task(1), Fate::Done), day("2026-12-01"));
    assert!(written.is_empty(), "nobody is said to have done it");
}

#[test]
fn open_turns_say_who_took_them() {
    let mut taken = pick("2026-09-01");
    taken.claims = Map::from([(claim(1), by(member(2), 1))]);
    let garden = crate::plain::sample::with_turns([pick("2026-09-08"), taken]);
    let end = of_year(&garden, 2026);
    let rows = turns(&garden, 2026, &end.turns, day("2026-12-01"));
    let told: Vec<_> = rows
        .iter()
        .map(|row| (row.bed.as_str(), row.what.as_str(), row.small.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            ("A2", "Tue 1 September", "Taken by Tomasz"),
            ("A2", "Tue 8 September", "Nobody took it"),
        ]
    );
}

#[test]
fn closing_says_what_would_be_left_open() {
    let garden = with_tasks([hoe(), held()]);
    let words = closing_words(&of_year(&garden, 2026), 2026);
    assert!(words.contains("closed with 2 unfinished tasks."), "{words}");
    assert!(words.contains("not carried over yet"), "{words}");
    let clear = YearEnd {
        carried_over: true,
        ..YearEnd::default()
    };
    let words = closing_words(&clear, 2026);
    assert!(!words.contains("would be closed with") && !words.contains("carried"));
}
