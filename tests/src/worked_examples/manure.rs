//! Manure days, printed rates and nitrogen against published figures.
//!
//! Not covered: the other sets of nutrients by the ton that the notes list for comparison (Cornell from Knott's, Mid-Atlantic, North
//! Carolina), whose units are partly inferred; and shares of phosphorus and potassium in the first year, where sources conflict.

use selion_core::quantities::{Area, Day, Mass, Percent, Rate, RateUnit, Units};
use selion_core::soil::manure::analysis::{self, Appetite, FreshManure, Nutrients};
use selion_core::soil::manure::contact::{Contact, of_crop};
use selion_core::soil::manure::days::{self, Crop, ManureKind, Placement};
use selion_core::soil::manure::nitrogen::{self, Counted, DugInAfter, EarlierYear, Release};

const US: Units = Units::UsCustomary;

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn rate(text: &str) -> Rate {
    text.parse().unwrap()
}

fn percent(text: &str) -> Percent {
    text.parse().unwrap()
}

fn area(text: &str) -> Area {
    text.parse().unwrap()
}

fn crop(contact: Contact, first_pick: &str) -> Crop {
    Crop {
        name: "crop".to_owned(),
        contact,
        first_pick: day(first_pick),
    }
}

#[test]
fn c29_latest_digging_in() {
    // 2025-06-01 with contact: by 2025-02-01; 2025-08-01 without: by 2025-05-03 ([S26], derived).
    for (contact, pick, latest) in [
        (Contact::Touches, "2025-06-01", "2025-02-01"),
        (Contact::Clear, "2025-08-01", "2025-05-03"),
    ] {
        let answer = days::latest_digging_in(&[crop(contact, pick)]).unwrap();
        assert_eq!(answer.result.day, day(latest));
    }
}

#[test]
fn c31_earliest_picking() {
    // Dug in 2025-04-01: 2025-07-30 with contact, 2025-06-30 without ([S26], derived). Unknown counts as contact.
    for (contact, from) in [
        (Contact::Touches, "2025-07-30"),
        (Contact::Clear, "2025-06-30"),
        (Contact::Unknown, "2025-07-30"),
    ] {
        let placement = Placement::DugIn(day("2025-04-01"));
        let answer =
            days::earliest_picking(ManureKind::Raw, placement, &[crop(contact, "2025-12-01")]);
        assert_eq!(
            answer.unwrap().result.crops[0].from,
            day(from),
            "{contact:?}"
        );
    }
}

#[test]
fn crops_as_they_are_classed_in_print() {
    for (name, source) in [
        ("lettuce", "S48"),
        ("strawberry", "S48"),
        ("watermelon", "S49"),
        ("carrot", "S50"),
        ("pea", "S50"),
    ] {
        assert_eq!(of_crop(name), (Contact::Touches, source));
    }
    for (name, source) in [
        ("staked tomato", "S48"),
        ("staked pepper", "S48"),
        ("sweet corn", "S49, S50"),
        ("tree fruit", "S50"),
    ] {
        assert_eq!(of_crop(name), (Contact::Clear, source));
    }
    assert_eq!(of_crop("celeriac").0, Contact::Unknown);
}

#[test]
fn c32_a_garden_rate_in_tons_an_acre() {
    // 35 lb on 100 sq ft; printed 7.5, exactly 7.62 [S67].
    let printed = rate("35 lb/100 sq ft");
    assert_eq!(printed.shown_in(RateUnit::TonsPerAcre, 2).number, "7.62");
    let dairy = analysis::fresh_rate("dairy", Appetite::Moderate, area("100 sq ft"), US).unwrap();
    assert_eq!(dairy.result.rate, printed);
}

#[test]
fn c34_phosphate_that_hen_manure_brings() {
    // 20 lb on 100 sq ft at 1.3 %: 113 lb an acre; printed 115 [S67].
    let hens =
        analysis::fresh_rate("laying hen", Appetite::Moderate, area("100 sq ft"), US).unwrap();
    let brought = hens.result.phosphate.unwrap();
    assert_eq!(brought.shown_in(RateUnit::PoundsPerAcre, 0).number, "113");
}

#[test]
fn printed_nutrients_by_the_acre() {
    // N, P2O5 and K2O in lb an acre as printed [S67], from the rounded tons: ours are within 3 % and 2 lb. For the phosphate of sheep
    // 30 is printed, but 20 lb on 100 sq ft at 0.4 % is 35.
    for (animal, printed) in [
        ("beef", [90, 65, 80]),
        ("dairy", [90, 45, 90]),
        ("horse", [90, 45, 75]),
        ("sheep", [90, 35, 90]),
        ("laying hen", [90, 115, 45]),
        ("broiler litter", [90, 85, 60]),
    ] {
        let result = analysis::fresh_rate(animal, Appetite::Moderate, area("100 sq ft"), US)
            .unwrap()
            .result;
        let brought = [result.nitrogen, result.phosphate, result.potash];
        for (brought, printed) in brought.into_iter().zip(printed) {
            let pounds: i64 = brought
                .unwrap()
                .shown_in(RateUnit::PoundsPerAcre, 0)
                .number
                .parse()
                .unwrap();
            assert!(
                (pounds - printed).abs() * 100 <= 3 * printed + 200,
                "{animal}: {pounds} and {printed}"
            );
        }
    }
}

#[test]
fn c35_manure_for_80_pounds_of_nitrogen() {
    // Composted poultry 3.2-5.2-1.8, all nitrogen counted: 2,500 lb an acre, 130 lb P2O5, 45 lb K2O [S77], exact.
    let poultry = Nutrients {
        nitrogen: percent("3.2 %"),
        phosphate: Some(percent("5.2 %")),
        potash: Some(percent("1.8 %")),
    };
    let acre = area("1 acre");
    let result = nitrogen::rate_for(rate("80 lb/acre"), poultry, Counted::All, acre, US)
        .unwrap()
        .result;
    let pounds = |rate: Rate| rate.shown_in(RateUnit::PoundsPerAcre, 1).number;
    assert_eq!(pounds(result.rate), "2,500.0");
    assert_eq!(
        (
            pounds(result.phosphate.unwrap()),
            pounds(result.potash.unwrap())
        ),
        ("130.0".to_owned(), "45.0".to_owned())
    );
}

#[test]
fn sheep_manure_for_available_nitrogen() {
    // 2 lb of available N on 1000 sq ft from 1.0 % N, 0.35 available: 571 lb (derived).
    let sheep = FreshManure::of("sheep").unwrap().nutrients();
    let counted = Counted::Available(percent("35 %"));
    let result = nitrogen::rate_for(
        rate("2 lb/1000 sq ft"),
        sheep,
        counted,
        area("1000 sq ft"),
        US,
    )
    .unwrap()
    .result;
    assert_eq!(
        result.rate.shown_in(RateUnit::PoundsPer1000SqFt, 0).number,
        "571"
    );
}

#[test]
fn three_years_of_cornell_manure() {
    // 10 tons an acre, 5 lb organic N a ton, 0.35/0.12/0.05: 17.5 + 6.0 + 2.5 = 26.0 lb an acre (inputs [S71], outputs derived).
    let organic = percent("0.25 %");
    let ten_tons = rate("10 tons/acre");
    let this_year = ten_tons.scaled(25 * 3_500, 100_000_000).unwrap();
    let earlier = [1, 2].map(|years_ago| EarlierYear {
        years_ago,
        rate: ten_tons,
        organic,
    });
    let credit = nitrogen::credits(&earlier, Release::CornellCattleWet, US)
        .unwrap()
        .result
        .rate;
    let pounds = |rate: Rate| rate.shown_in(RateUnit::PoundsPerAcre, 1).number;
    assert_eq!(
        (pounds(this_year), pounds(credit)),
        ("17.5".to_owned(), "8.5".to_owned())
    );
    assert_eq!(pounds(this_year.checked_add(credit).unwrap()), "26.0");
}

#[test]
fn c37_ammonium_kept_when_dug_in_after_two_days() {
    let ten: Mass = "10 lb".parse().unwrap();
    let kept = nitrogen::ammonium_kept(ten, DugInAfter::Days(2), US).unwrap();
    assert_eq!(kept.result.kept.show(US), "5.0 lb", "[S76], exact");
}

#[test]
fn c38_nitrogen_of_autumn_manure() {
    let autumn = nitrogen::autumn(percent("0.6 %"), US).unwrap();
    assert_eq!(
        autumn.result.to_string(),
        "6 lb/ton become available this season",
        "[S75], exact"
    );
}

#[test]
fn c40_composted_cow_manure_in_wisconsin() {
    let bed = area("1000 sq ft");
    let cow = analysis::wisconsin_rate("cow, composted", bed, US).unwrap();
    assert_eq!(cow.result.mass, "1 ton".parse().unwrap(), "[S10], exact");
}
