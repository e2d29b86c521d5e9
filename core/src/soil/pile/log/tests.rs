//! Logs of piles, hot enough and not.

use proptest::prelude::*;

use super::*;

const US: Units = Units::UsCustomary;

fn first() -> Day {
    Day::parse("2026-05-01").unwrap()
}

/// So many days in a row with one reading each in °F, turned on these (counted from 0).
fn log(kind: Kind, readings: &[i64], turned: &[usize]) -> PileLog {
    let entry = |(index, fahrenheit): (usize, &i64)| Entry {
        probes: vec![Temperature::parse(&format!("{fahrenheit} F")).unwrap()],
        turned: turned.contains(&index),
        ..Entry::on(first().plus_days(i64::try_from(index).unwrap()))
    };
    PileLog {
        kind,
        start_ratio: Some(CarbonToNitrogen::from_hundredths(3_000)),
        entries: readings.iter().enumerate().map(entry).collect(),
    }
}

fn standing(log: &PileLog) -> PileStanding {
    judge(log, US).unwrap().result
}

#[test]
fn fifteen_days_and_five_turnings() {
    let turned = [0, 3, 6, 9, 12];
    assert_eq!(
        standing(&log(Kind::Turned, &[135; 15], &turned)).met_on,
        Some(first().plus_days(14))
    );
    assert_eq!(
        standing(&log(Kind::Turned, &[135; 14], &turned)).met_on,
        None
    );
    let four = standing(&log(Kind::Turned, &[135; 15], &turned[1..]));
    assert_eq!(four.met_on, None);
    assert_eq!(
        four.missing,
        ["5 turnings from the first hot day to the last, so far 4"]
    );
    // A cool spell in between does no harm.
    let mut broken = vec![135; 7];
    broken.extend([100; 5]);
    broken.extend([140; 8]);
    assert_eq!(
        standing(&log(Kind::Turned, &broken, &turned)).met_on,
        Some(first().plus_days(19))
    );
}

#[test]
fn turnings_count_only_between_hot_days() {
    // Turned five times, twice of them before and after all heat.
    let mut readings = vec![90];
    readings.extend([135; 15]);
    readings.push(90);
    let pile = log(Kind::Turned, &readings, &[0, 4, 8, 12, 16]);
    assert_eq!(standing(&pile).turnings, 3);
    assert_eq!(standing(&pile).met_on, None);
    // Between two hot spells they do count.
    let readings: Vec<i64> = [[135; 8], [120; 8], [135; 8]].concat();
    let pile = log(Kind::Turned, &readings, &[8, 10, 12, 14, 15]);
    assert_eq!(standing(&pile).met_on, Some(first().plus_days(22)));
}

#[test]
fn three_days_in_a_row_with_air_blown_through() {
    assert_eq!(
        standing(&log(Kind::AirBlown, &[131, 131, 131], &[])).met_on,
        Some(first().plus_days(2))
    );
    assert_eq!(
        standing(&log(Kind::AirBlown, &[131, 130, 131, 131], &[])).met_on,
        None
    );
    assert_eq!(
        standing(&log(Kind::AirBlown, &[170, 171, 170, 170], &[])).longest_run,
        2
    );
    // A missing day breaks the run.
    let mut gap = log(Kind::AirBlown, &[140, 140, 140, 140], &[]);
    gap.entries.remove(2);
    assert_eq!(standing(&gap).longest_run, 2);
}

#[test]
fn the_coolest_and_the_hottest_probe_decide() {
    let with = |probes: &[&str]| {
        let mut pile = log(Kind::AirBlown, &[140, 140, 140], &[]);
        pile.entries[1].probes = probes
            .iter()
            .map(|text| Temperature::parse(text).unwrap())
            .collect();
        standing(&pile).met_on.is_some()
    };
    assert!(with(&["55 C", "76 C"]));
    assert!(!with(&["140 F", "54.9 C"]));
    assert!(!with(&["140 F", "171 F"]));
    assert!(!with(&[]));
}

#[test]
fn manure_added_starts_everything_anew() {
    let mut pile = log(Kind::AirBlown, &[140; 6], &[]);
    assert!(standing(&pile).met_on.is_some());
    pile.entries[4].manure = Some(ManureAdded { ratio: None });
    let anew = standing(&pile);
    assert_eq!((anew.met_on, anew.days), (None, 1));
    assert_eq!(anew.begun_anew_on, Some(first().plus_days(4)));
    assert_eq!(
        anew.missing.len(),
        2,
        "the heat, and the ratio of the new start: {:?}",
        anew.missing
    );
}

#[test]
fn the_start_must_be_known_and_within_25_and_40() {
    for (ratio, met) in [
        (None, false),
        (Some(2_400), false),
        (Some(2_500), true),
        (Some(4_000), true),
        (Some(4_100), false),
    ] {
        let pile = PileLog {
            start_ratio: ratio.map(CarbonToNitrogen::from_hundredths),
            ..log(Kind::AirBlown, &[140; 3], &[])
        };
        assert_eq!(standing(&pile).met_on.is_some(), met, "{ratio:?}");
    }
}

#[test]
fn plants_alone_need_no_heat() {
    let answer = judge(&log(Kind::PlantsOnly, &[80], &[]), US).unwrap();
    assert!(
        answer
            .to_string()
            .starts_with("No interval: plants alone\n")
    );
    assert!(answer.cautions.is_empty());
}

#[test]
fn a_pile_that_stays_cool_after_its_last_turning_may_cure() {
    let readings = [140, 140, 140, 110, 105];
    assert_eq!(
        standing(&log(Kind::Turned, &readings, &[2])).cool_since,
        Some(first().plus_days(2))
    );
    assert_eq!(
        standing(&log(Kind::Turned, &readings, &[1])).cool_since,
        None,
        "140 °F after it"
    );
    assert_eq!(
        standing(&log(Kind::Turned, &readings, &[4])).cool_since,
        None,
        "nobody looked since"
    );
}

#[test]
fn days_out_of_order_are_refused() {
    let mut pile = log(Kind::Turned, &[140, 140], &[]);
    pile.entries.swap(0, 1);
    let refusal = judge(&pile, US).unwrap_err().to_string();
    assert!(
        refusal.starts_with("entries: expected one a day, earliest first"),
        "{refusal}"
    );
    pile.entries[1] = pile.entries[0].clone();
    assert!(judge(&pile, US).is_err());
    let endless = log(Kind::Turned, &[140; 2_001], &[]);
    let refusal = judge(&endless, US).unwrap_err().to_string();
    assert!(
        refusal.starts_with("entries: expected at most 2000"),
        "{refusal}"
    );
}

#[test]
fn what_is_still_raw_says_so_first_and_carries_its_caution() {
    let answer = judge(&log(Kind::Turned, &[140, 172], &[]), US).unwrap();
    let said = answer.to_string();
    assert!(
        said.starts_with("Still raw manure: 15 hot days, so far 1; 5 turnings"),
        "{said}"
    );
    assert!(said.contains("172 °F, too hot"), "{said}");
    assert_eq!(answer.cautions, [Caution::RawManure]);
}

proptest! {
    /// Another hot day at the end never takes back what was met, and never makes the counts smaller.
    #[test]
    fn more_heat_is_never_worse(readings in prop::collection::vec(60_i64..190, 1..60), turned in prop::collection::vec(0_usize..60, 0..12)) {
        for kind in [Kind::Turned, Kind::AirBlown] {
            let mut more = readings.clone();
            more.push(140);
            let (before, after) = (standing(&log(kind, &readings, &turned)), standing(&log(kind, &more, &turned)));
            prop_assert!(after.days == before.days + 1 && after.longest_run >= before.longest_run);
            prop_assert!(before.met_on.is_none() || after.met_on == before.met_on);
        }
    }
}
