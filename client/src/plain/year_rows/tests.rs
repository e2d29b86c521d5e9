//! A year as it is drawn, told and shopped for.

use selion_core::document::Garden;
use selion_core::document::records::{Planting, PlantingState, StartsAs};
use selion_core::document::season_plan::{Books, year_view};
use selion_core::quantities::Units;

use super::choose::{ALL, COMMON, Choice, MINE};
use super::sample::{planted, planting, planting_id};
use super::told::About;
use super::{Band, Looks, bands, buy, choose, count, filling, scale, told};
use crate::plain::sample::{bed, day, member};

fn looks(today: &str) -> Looks {
    Looks {
        me: Some(member(1)),
        today: day(today),
        plans: true,
    }
}

fn drawn(garden: &Garden, today: &str, choice: &Choice) -> Vec<Band> {
    let books = Books::of(garden).unwrap();
    let view = year_view::of_year(garden, &books, 2026);
    bands(garden, &view, 2026, looks(today), choice)
}

fn carrots_and_peas() -> Garden {
    let peas = Planting {
        first_picking: Some(day("2026-06-15")),
        last_picking: Some(day("2026-07-10")),
        state: PlantingState::Standing,
        ..planting(1, "pea, garden", "2026-04-10")
    };
    planted([peas, planting(1, "carrot", "2026-05-01")])
}

#[test]
fn a_bar_stands_where_its_days_lie_with_its_picking_marked() {
    let bands = drawn(&carrots_and_peas(), "2026-04-01", &Choice::default());
    let [peas, carrots] = bands[0].bars.as_slice() else {
        panic!("{bands:?}")
    };
    // 10 April is day 100, 11 July day 192 of 365 (calendar).
    assert_eq!(peas.from, 99 * scale::WHOLE / 365);
    assert_eq!(peas.from + peas.width, 191 * scale::WHOLE / 365);
    let (begins, lasts) = peas.picked.unwrap();
    // 15 June is 66 of 92 days in; picking goes on for 26.
    assert!((begins - 66 * scale::WHOLE / 92).abs() < 20, "{begins}");
    assert_eq!(begins + lasts, scale::WHOLE);
    assert_eq!((peas.lane, carrots.lane), (0, 1), "they overlap");
    assert_eq!(bands[0].lanes, 2);
    assert_eq!(
        peas.spoken,
        "A2: pea, garden, in the ground, sown 10 Apr, picked 15 Jun to 10 Jul"
    );
    assert!(
        carrots.spoken.ends_with(", an estimate"),
        "{}",
        carrots.spoken
    );
}

#[test]
fn what_is_over_is_not_pointed_out_as_free() {
    let garden = carrots_and_peas();
    let free = |today| drawn(&garden, today, &Choice::default())[0].free.clone();
    let spring = free("2026-04-01");
    let last = spring.last().unwrap();
    assert_eq!(last.gap.to, day("2026-12-31"));
    assert!(last.words.starts_with("free "), "{}", last.words);
    let fall = free("2026-10-01");
    assert_eq!(fall[0].gap.from, day("2026-10-01"));
    assert!(free("2026-12-20").is_empty());
}

#[test]
fn nothing_is_pointed_out_where_only_one_crop_is_shown_or_nothing_is_planned() {
    let garden = carrots_and_peas();
    let choice = Choice::read(ALL, "carrot", None);
    let bands = drawn(&garden, "2026-04-01", &choice);
    assert_eq!(bands.len(), 1, "A bed without carrots is left away");
    assert_eq!(bands[0].bars.len(), 1);
    assert!(bands[0].free.is_empty());
}

#[test]
fn beds_are_chosen_by_holder_or_alone() {
    let garden = carrots_and_peas();
    let labels = |beds: &str| -> Vec<String> {
        let choice = Choice::read(beds, ALL, Some(member(1)));
        let bands = drawn(&garden, "2026-04-01", &choice);
        bands.into_iter().map(|band| band.label).collect()
    };
    assert_eq!(labels(ALL), ["A2", "C4"]);
    assert_eq!(labels(MINE), ["A2"]);
    assert_eq!(labels(COMMON), Vec::<String>::new());
    let choices = choose::bed_choices(&garden, Some(member(1)));
    let names: Vec<&str> = choices.iter().map(|(_, name)| name.as_str()).collect();
    assert_eq!(names, ["All beds", "My beds", "Beds of Tomasz", "A2", "C4"]);
    for (key, name) in &choices {
        let shown = labels(key);
        let expected: &[&str] = match name.as_str() {
            "All beds" => &["A2", "C4"],
            "My beds" | "A2" => &["A2"],
            _ => &["C4"],
        };
        assert_eq!(shown, expected, "{name}");
    }
    assert_eq!(labels("bed:nonsense"), ["A2", "C4"]);
}

#[test]
fn years_and_crops_are_those_of_the_garden() {
    let garden = carrots_and_peas();
    assert_eq!(choose::years(&garden, day("2027-01-02")), [2027, 2026]);
    assert!(choose::is_open(&garden, 2026) && !choose::is_open(&garden, 2027));
    let crops: Vec<String> = choose::crop_choices(&garden, 2026)
        .into_iter()
        .map(|(_, name)| name)
        .collect();
    assert_eq!(crops, ["All crops", "carrot", "pea, garden"]);
}

#[test]
fn the_list_says_what_the_drawing_shows_day_by_day() {
    let garden = carrots_and_peas();
    let bands = drawn(&garden, "2026-04-01", &Choice::default());
    let lines = told::lines(&bands[0], 2026);
    assert_eq!(lines.len(), bands[0].bars.len() + bands[0].free.len());
    let peas = lines
        .iter()
        .find(|line| line.about == About::Planting(planting_id(1)))
        .unwrap();
    assert_eq!(
        (peas.what.as_str(), peas.small.as_str(), peas.state),
        (
            "Pea, garden",
            "Sown 10 Apr · picked 15 Jun to 10 Jul",
            "in the ground"
        )
    );
    assert_eq!(count(&bands), (2, 1));
}

#[test]
fn a_planting_without_days_is_named_with_the_reason_and_leaves_nothing_free() {
    let garden = planted([planting(1, "garlic", "2025-10-20")]);
    let bands = drawn(&garden, "2026-04-01", &Choice::default());
    let lines = told::lines(&bands[0], 2026);
    assert_eq!(lines.len(), 1);
    assert_eq!(lines[0].state, "days unknown");
    assert!(lines[0].what.starts_with("Garlic: "), "{}", lines[0].what);
}

#[test]
fn what_fits_leads_to_where_it_is_planned() {
    let garden = carrots_and_peas();
    let books = Books::of(&garden).unwrap();
    let view = year_view::of_year(&garden, &books, 2026);
    let bands = drawn(&garden, "2026-04-01", &Choice::default());
    let gap = bands[0].free.last().unwrap().gap;
    let frost = view.frost.unwrap();
    let found = year_view::filling(&garden, &books, &frost, bed(1), gap);
    let (_, covers) = filling::rows(&found, bed(1), Units::UsCustomary);
    let rye = covers.iter().find(|row| row.name == "cereal rye").unwrap();
    assert!(
        rye.small.contains("nothing follows it this year"),
        "{}",
        rye.small
    );
    assert!(
        rye.href.starts_with(&format!(
            "/bed/{}/plant?crop=cereal%20rye&cover=yes&from=2026-",
            bed(1)
        )),
        "{}",
        rye.href
    );
    assert!(rye.href.is_ascii() && !rye.href.contains(' '));
    assert!(!rye.href.contains("until"), "nothing follows it this year");
    let days = (day("2026-05-01"), Some(day("2026-06-01")));
    let peas = filling::plan_href(bed(1), "pea, garden", false, days);
    assert!(peas.ends_with("?crop=pea%2C%20garden&from=2026-05-01&until=2026-06-01"));
}

#[test]
fn what_is_sown_already_is_not_bought_again() {
    let cabbage = Planting {
        starts_as: StartsAs::Set,
        ..planting(2, "cabbage", "2026-05-01")
    };
    let peas = Planting {
        state: PlantingState::Standing,
        ..planting(1, "pea, garden", "2026-04-10")
    };
    let unknown = planting(1, "no such crop", "2026-05-01");
    let garden = planted([peas, planting(1, "carrot", "2026-05-01"), cabbage, unknown]);
    let books = Books::of(&garden).unwrap();
    let all = Choice::default();
    let bought = buy::bought(&garden, &books, 2026, &all);
    let rows = buy::rows(&bought, Units::UsCustomary);
    let crops: Vec<&str> = rows.iter().map(|row| row.crop.as_str()).collect();
    assert_eq!(crops, ["cabbage", "carrot", "no such crop"]);
    assert!(rows[0].figure.ends_with(" plants"), "{}", rows[0].figure);
    assert!(rows[1].figure.contains(" seeds, "), "{}", rows[1].figure);
    assert_eq!(
        (rows[2].figure.as_str(), rows[2].small.as_str()),
        ("?", "1 planting · 1 is not in the figure")
    );
    let mine = Choice::read(MINE, ALL, Some(member(1)));
    let mine = buy::bought(&garden, &books, 2026, &mine);
    assert!(!mine.contains_key("cabbage") && mine.contains_key("carrot"));
    // The parts of a crop add up to its figure.
    let parts = buy::workings(&garden, &books, 2026, (&all, "carrot"));
    assert_eq!(parts.len(), 1);
    assert_eq!(parts[0].0, "A2, 1 May");
    let answer = parts[0].1.as_ref().unwrap();
    assert_eq!(
        buy::words(&answer.result, Units::UsCustomary),
        rows[1].figure
    );
}
