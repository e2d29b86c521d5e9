//! Pile mixes, recipes and logs against published figures.
//!
//! The numbers of the Cornell examples (C11 to C14, C20) and of the hen manure example (C16, C17) are from memory; their arithmetic
//! is checked. They stand in these tests alone, never in the product's tables.

use selion_core::quantities::{CarbonToNitrogen, Day, Mass, Percent, Temperature, Units, Volume};
use selion_core::soil::pile::log::{self, Entry, Kind, PileLog};
use selion_core::soil::pile::mix::{self, Mix};
use selion_core::soil::pile::recipe::{self, Goal, Goals};
use selion_core::soil::pile::{Makeup, Material, Portion, finish};

const US: Units = Units::UsCustomary;

fn percent(text: &str) -> Percent {
    text.parse().unwrap()
}

fn ratio(text: &str) -> CarbonToNitrogen {
    text.parse().unwrap()
}

fn by_carbon(name: &str, moisture: &str, nitrogen: &str, carbon: &str) -> Material {
    let makeup = Makeup::by_carbon(percent(moisture), percent(nitrogen), percent(carbon));
    Material::analysed(name, makeup.unwrap())
}

fn by_ratio(name: &str, moisture: &str, nitrogen: &str, of_carbon: &str) -> Material {
    let makeup = Makeup::by_ratio(percent(moisture), percent(nitrogen), ratio(of_carbon));
    Material::analysed(name, makeup.unwrap())
}

fn of(mass: &str, material: Material) -> Portion {
    Portion {
        material,
        mass: mass.parse().unwrap(),
    }
}

fn mixed(pile: &[Portion]) -> Mix {
    mix::of(pile, US).unwrap().result
}

/// Cornell's grass, from memory.
fn grass() -> Material {
    by_carbon("grass", "77 %", "2.4 %", "45 %")
}

/// Cornell's leaves, from memory.
fn leaves() -> Material {
    by_carbon("leaves", "35 %", "0.75 %", "50 %")
}

/// Within so many hundredths.
fn assert_near(came: i64, expected: i64, within: i64) {
    assert!(
        (came - expected).abs() <= within,
        "{came} is not {expected}"
    );
}

#[test]
fn c11_c13_leaves_for_moisture() {
    let goal = Goal::Moisture(percent("60 %"));
    let pile = [of("10 kg", grass())];
    let recipe = recipe::add_one(&pile, &leaves(), goal, Units::Metric)
        .unwrap()
        .result;
    assert_near(recipe.add[0].mass.grams(), 6_800, 10);
    let mix = mixed(&[of("10 kg", grass()), of("6.8 kg", leaves())]);
    assert_near(mix.moisture.hundredths(), 6_000, 5);
    assert_near(mix.ratio.unwrap().hundredths(), 3_673, 5);
}

#[test]
fn c12_c14_leaves_for_carbon_to_nitrogen() {
    // 3.47 kg, published as 3.5.
    let pile = [of("10 kg", grass())];
    let recipe = recipe::add_one(&pile, &leaves(), Goal::Ratio(ratio("30:1")), Units::Metric);
    assert_near(recipe.unwrap().result.add[0].mass.grams(), 3_474, 5);
    let mix = mixed(&[of("10 kg", grass()), of("3.474 kg", leaves())]);
    assert_near(mix.moisture.hundredths(), 6_617, 5);
    assert_near(mix.ratio.unwrap().hundredths(), 3_000, 5);
}

#[test]
fn c16_c17_sawdust_to_hen_manure() {
    // Older handbook, from memory. A thousand pounds, so that a pound's fraction is seen.
    let manure = || by_ratio("hen manure", "70 %", "6 %", "10:1");
    let sawdust = by_ratio("sawdust", "35 %", "0.11 %", "500:1");
    let pile = [of("1000 lb", manure())];
    let thousand: Mass = "1000 lb".parse().unwrap();
    let thousandths = |mass: Mass| mass.grams() * 1_000 / thousand.grams();

    let moist = recipe::add_one(&pile, &sawdust, Goal::Moisture(percent("60 %")), US)
        .unwrap()
        .result;
    assert_near(thousandths(moist.add[0].mass), 400, 10);
    assert_near(moist.mix.ratio.unwrap().hundredths(), 1_770, 10);

    let rich = recipe::add_one(&pile, &sawdust, Goal::Ratio(ratio("25:1")), US)
        .unwrap()
        .result;
    assert_near(thousandths(rich.add[0].mass), 795, 5);
    assert_near(rich.mix.moisture.hundredths(), 5_440, 20);
}

#[test]
fn c19_two_goals_with_water() {
    // Straw 300 lb (12 %, C 56, N 0.7), hen manure (69 %, C 48, N 8): 155.2 lb manure and 238.4 lb (28.6 gal) water (derived).
    let pile = [of("300 lb", by_carbon("straw", "12 %", "0.7 %", "56 %"))];
    let manure = by_carbon("hen manure", "69 %", "8 %", "48 %");
    let goals = Goals {
        moisture: percent("55 %"),
        ratio: ratio("30:1"),
    };
    let recipe = recipe::add_two(&pile, &manure, &Material::water(), goals, US)
        .unwrap()
        .result;
    let [manure, water] = recipe.add.as_slice() else {
        panic!("two additions");
    };
    assert_eq!(
        (manure.mass.show(US), water.mass.show(US)),
        ("155.2 lb".to_owned(), "238.4 lb".to_owned())
    );
    assert_eq!(water.volume.unwrap().show(US), "28.6 gal");
}

#[test]
fn c20_an_infeasible_mix_is_refused() {
    // Water −2.08 kg (derived).
    let goals = Goals {
        moisture: percent("60 %"),
        ratio: ratio("30:1"),
    };
    let pile = [of("10 kg", grass())];
    let refusal =
        recipe::add_two(&pile, &leaves(), &Material::water(), goals, Units::Metric).unwrap_err();
    assert_eq!(refusal.code(), "cannot_be_met");
    assert!(
        refusal.to_string().contains("−2.1 kg of water"),
        "{refusal}"
    );
}

#[test]
fn published_hay_scraps_and_coffee_grounds() {
    // [S29], percentages as is: 21.5 lb C / 0.62 lb N = 34.7.
    let mix = mixed(&[
        of("50 lb", by_carbon("hay", "0 %", "1 %", "40 %")),
        of("10 lb", by_carbon("kitchen scraps", "0 %", "1 %", "10 %")),
        of("2 lb", by_carbon("coffee grounds", "0 %", "1 %", "25 %")),
    ]);
    assert_near(mix.ratio.unwrap().hundredths(), 3_468, 3);
}

#[test]
fn published_urea_for_sawdust() {
    // [S30]: 400 lb of sawdust, taken as dry, 60 % C at 400:1; for 30:1 7.4 lb N more = 16 lb of urea at 46 % N.
    let pile = [of("400 lb", by_ratio("sawdust", "0 %", "0.15 %", "400:1"))];
    let urea = by_carbon("urea", "0 %", "46 %", "0 %");
    let recipe = recipe::add_one(&pile, &urea, Goal::Ratio(ratio("30:1")), US).unwrap();
    assert_eq!(recipe.result.add[0].mass.show(US), "16.1 lb");
}

#[test]
fn the_trap_of_averaged_ratios() {
    // A trade page [S31] averages the ratios of litter (7.5) and straw (130) and comes to 0.22 lb of straw to a pound of litter for
    // 30:1. With 4 % N at 25 % moisture and 0.4 % N at 12 % moisture it is 1.92 (derived).
    let litter = by_ratio("litter", "25 %", "4 %", "7.5:1");
    let straw = by_ratio("straw", "12 %", "0.4 %", "130:1");
    let pile = [of("100 lb", litter)];
    let recipe = recipe::add_one(&pile, &straw, Goal::Ratio(ratio("30:1")), US).unwrap();
    assert_eq!(recipe.result.add[0].mass.show(US), "191.8 lb");
}

#[test]
fn c23_raw_volume_for_finished_compost() {
    // Shrinkage 50, 60, 70 % [S23]: 4.0, 5.0, 6.67 cu yd for 2.
    let finished: Volume = "2 cu yd".parse().unwrap();
    for (shrinkage, expected) in [
        ("50 %", "4.00 cu yd"),
        ("60 %", "5.00 cu yd"),
        ("70 %", "6.67 cu yd"),
    ] {
        let raw = finish::raw_for(finished, Some(percent(shrinkage)), US)
            .unwrap()
            .result;
        assert_eq!(raw.low.show_bulk(US), expected);
    }
    let unknown = finish::raw_for(finished, None, US).unwrap().result;
    assert_eq!(
        (unknown.low.show_bulk(US), unknown.high.show_bulk(US)),
        ("4.00 cu yd".to_owned(), "6.67 cu yd".to_owned())
    );
}

/// A windrow with one reading a day in °F, turned on these days, started at this ratio.
fn windrow(readings: &[&str], turned: &[usize], start: &str) -> bool {
    let first: Day = "2026-05-01".parse().unwrap();
    let entries = readings.iter().enumerate().map(|(index, reading)| Entry {
        probes: vec![reading.parse::<Temperature>().unwrap()],
        turned: turned.contains(&index),
        ..Entry::on(first.plus_days(i64::try_from(index).unwrap()))
    });
    let log = PileLog {
        kind: Kind::Turned,
        start_ratio: Some(ratio(start)),
        entries: entries.collect(),
    };
    log::judge(&log, US).unwrap().result.met_on.is_some()
}

#[test]
fn c25_fifteen_days_and_four_turnings_are_not_enough() {
    let days = ["131 F"; 15];
    assert!(!windrow(&days, &[2, 5, 8, 11], "30:1"), "[S26]");
    assert!(windrow(&days, &[2, 5, 8, 11, 14], "30:1"), "[S26]");
}

#[test]
fn c26_a_day_that_is_too_hot_does_not_count() {
    // 14 days at 131 °F and one at 172 °F, five turnings: not enough (derived from [S26]).
    let mut days = ["131 F"; 15];
    days[7] = "172 F";
    assert!(!windrow(&days, &[2, 5, 8, 11, 14], "30:1"));
}

#[test]
fn c28_the_start_lies_between_25_and_40() {
    for (start, met) in [
        ("24:1", false),
        ("25:1", true),
        ("40:1", true),
        ("41:1", false),
    ] {
        assert_eq!(
            windrow(&["140 F"; 15], &[2, 5, 8, 11, 14], start),
            met,
            "{start} [S26]"
        );
    }
}
