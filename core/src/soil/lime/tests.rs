//! What holds for every way to a lime rate: the guard, the refusals, more acid never less lime.

use proptest::prelude::*;

use super::super::test_report::{Ground, Recommendation, Texture};
use super::*;
use crate::quantities::{Acidity, Area, Day, Depth, RateUnit};

const US: Units = Units::UsCustomary;

fn ph(hundredths: i64) -> Ph {
    Ph::from_hundredths(hundredths)
}

fn acidity(hundredths: i64) -> Acidity {
    Acidity::from_hundredths(hundredths)
}

fn case(report: TestReport, target: i64) -> LimeCase {
    LimeCase {
        report,
        target: ph(target),
        credit: None,
        turf: false,
        units: US,
    }
}

fn read(soil: i64, reading: AcidityReading) -> TestReport {
    TestReport {
        ph: Some(ph(soil)),
        acidity: Some(reading),
        ..TestReport::default()
    }
}

fn by_texture(soil: i64) -> TestReport {
    TestReport {
        ph: Some(ph(soil)),
        texture: Some(Texture::Loam),
        ..TestReport::default()
    }
}

/// One report for each way, all below their target.
fn every_way(soil: i64) -> Vec<LimeCase> {
    let recommended = TestReport {
        ph: Some(ph(soil)),
        recommendation: Some(Recommendation {
            rate: Rate::of(50_000, RateUnit::PoundsPer1000SqFt),
            basis: LimeBasis::CalciumCarbonateEquivalent,
            target: ph(650),
            depth: None,
        }),
        ..TestReport::default()
    };
    let lawn = LimeCase {
        turf: true,
        ..case(
            read(soil, AcidityReading::ExchangeablePennState(acidity(520))),
            650,
        )
    };
    vec![
        case(recommended, 650),
        case(read(soil, AcidityReading::MehlichBufferNc(ph(610))), 650),
        case(
            read(soil, AcidityReading::MehlichAcidityNc(acidity(200))),
            650,
        ),
        case(
            read(soil, AcidityReading::ExchangeablePennState(acidity(520))),
            650,
        ),
        lawn,
        case(read(soil, AcidityReading::SikoraOregon(ph(620))), 640),
        case(by_texture(soil), 650),
    ]
}

#[test]
fn at_or_above_the_target_no_way_asks_for_lime() {
    for soil in [650, 660, 720] {
        for case in every_way(soil) {
            let answer = need(&case).unwrap();
            assert_eq!(answer.result.method, LimeMethod::AtTarget);
            assert_eq!(answer.result.rate, Rate::ZERO);
            assert!(answer.to_string().starts_with("No lime\n"));
        }
    }
    assert!(
        every_way(550)
            .iter()
            .all(|case| need(case).unwrap().result.rate.is_positive())
    );
}

#[test]
fn soil_at_its_target_may_show_no_acidity_at_all() {
    let answer = need(&case(
        read(660, AcidityReading::MehlichBufferNc(ph(680))),
        650,
    ))
    .unwrap();
    assert_eq!(answer.result.rate, Rate::ZERO);
}

#[test]
fn a_sample_of_soil_that_was_just_limed_is_refused() {
    let day = |text: &str| Day::parse(text).unwrap();
    let sampled = |taken: &str, limed: &str| {
        let mut case = every_way(550).remove(1);
        case.report.taken_on = Some(day(taken));
        case.report.limed_on = vec![day(limed)];
        need(&case)
    };
    let refusal = sampled("2026-12-31", "2026-10-01").unwrap_err();
    assert!(
        refusal
            .to_string()
            .starts_with("soil test: the rule holds for soil not limed within three months"),
        "{refusal}"
    );
    assert!(sampled("2027-01-01", "2026-10-01").is_ok());
    assert!(sampled("2026-09-30", "2026-10-01").is_ok());
}

#[test]
fn the_better_of_two_ways_is_taken() {
    let mut case = every_way(550).remove(0);
    case.report.acidity = Some(AcidityReading::SikoraOregon(ph(560)));
    case.report.texture = Some(Texture::Clay);
    assert_eq!(need(&case).unwrap().result.method, LimeMethod::Laboratory);
    case.report.recommendation = None;
    case.target = ph(640);
    assert_eq!(need(&case).unwrap().result.method, LimeMethod::OregonSikora);
    case.report.acidity = None;
    case.target = ph(650);
    assert_eq!(
        need(&case).unwrap().result.method,
        LimeMethod::TextureEstimate
    );
}

#[test]
fn an_estimate_is_shown_as_a_range_and_says_so() {
    let answer = need(&case(by_texture(550), 650)).unwrap();
    assert!(
        answer
            .to_string()
            .starts_with("45.0 to 105.0 lb/1000 sq ft of limestone as it is sold: an estimate\n"),
        "{answer}"
    );
    assert!(answer.source.to_string().ends_with("(estimate)"));
}

/// One refusal: what was asked, and the code and the beginning of the sentence that come back.
fn refused(case: &LimeCase, code: &str, begins: &str) {
    let refusal = need(case).unwrap_err();
    assert_eq!(refusal.code(), code, "{refusal}");
    assert!(refusal.to_string().starts_with(begins), "{refusal}");
}

#[test]
fn outside_its_rule_every_way_refuses() {
    let outside = "outside_the_rule";
    let nc = |soil, target| {
        case(
            read(soil, AcidityReading::MehlichAcidityNc(acidity(200))),
            target,
        )
    };
    refused(
        &nc(660, 680),
        outside,
        "pH: the rule holds for a pH below 6.6, and 6.6",
    );
    refused(
        &nc(600, 680),
        outside,
        "target: the rule holds for targets up to 6.6",
    );
    refused(
        &case(read(550, AcidityReading::MehlichBufferNc(ph(670))), 650),
        outside,
        "buffer pH",
    );
    let penn = |ea, target| {
        case(
            read(550, AcidityReading::ExchangeablePennState(acidity(ea))),
            target,
        )
    };
    refused(
        &penn(520, 680),
        outside,
        "target: the rule holds for the targets 6.5 and 7.0",
    );
    let lawn = |ea, target| LimeCase {
        turf: true,
        ..penn(ea, target)
    };
    refused(&lawn(190, 650), outside, "exchangeable acidity");
    refused(&lawn(2_571, 650), outside, "exchangeable acidity");
    refused(&lawn(520, 680), outside, "target");
    let oregon = |buffer, target| case(read(550, AcidityReading::SikoraOregon(ph(buffer))), target);
    refused(&oregon(700, 640), outside, "Sikora buffer pH");
    refused(&oregon(575, 640), outside, "Sikora buffer pH");
    refused(&oregon(499, 640), outside, "Sikora buffer pH");
    refused(&oregon(620, 650), outside, "target");
    refused(
        &case(by_texture(399), 650),
        outside,
        "pH: the rule holds for a pH from 4.0 to 6.5",
    );
    refused(&case(by_texture(550), 600), outside, "target");
    for ground in [Ground::Peaty, Ground::CompostFilled] {
        let report = TestReport {
            ground,
            ..by_texture(550)
        };
        refused(
            &case(report, 650),
            outside,
            "ground: the rule holds for mineral soil",
        );
    }
}

#[test]
fn what_is_missing_is_asked_for() {
    refused(
        &case(TestReport::default(), 650),
        "missing",
        "The pH of the soil is missing",
    );
    let only_ph = TestReport {
        ph: Some(ph(550)),
        ..TestReport::default()
    };
    refused(
        &case(only_ph, 650),
        "missing",
        "A laboratory's recommendation or buffer reading",
    );
    let mut recommended = every_way(550).remove(0);
    recommended.target = ph(600);
    refused(
        &recommended,
        "outside_the_rule",
        "target: the rule holds for the target 6.5",
    );
}

#[test]
fn the_laboratory_s_credit_is_taken_off_and_never_more_than_there_is() {
    let tons = |thousandths| Rate::of(thousandths, RateUnit::TonsPerAcre);
    let need = |credit| {
        mehlich_nc(acidity(200), ph(520), ph(650), credit, US)
            .unwrap()
            .result
            .rate
    };
    assert_eq!(
        need(Some(tons(500)))
            .shown_in(RateUnit::TonsPerAcre, 3)
            .number,
        "1.357"
    );
    assert_eq!(need(Some(tons(5_000))), Rate::ZERO);
}

#[test]
fn another_depth_scales_the_rate_where_the_rule_names_its_own() {
    let answer = || penn_state(acidity(1_030), ph(550), ph(650), US).unwrap();
    let six = for_depth(answer(), Depth::parse("6 in").unwrap()).unwrap();
    assert_eq!(
        six.result.rate.shown_in(RateUnit::PoundsPerAcre, 0).number,
        "7,416"
    );
    assert!(for_depth(answer(), Depth::ZERO).is_err());
    let nc = mehlich_nc(acidity(200), ph(520), ph(650), None, US).unwrap();
    let refusal = for_depth(nc, Depth::from_micrometres(150_000)).unwrap_err();
    assert_eq!(refusal.code(), "missing");
}

#[test]
fn where_the_publication_is_open_the_lower_amount_is_taken_and_said() {
    let answer = penn_state(acidity(400), ph(550), ph(650), US).unwrap();
    assert_eq!(
        answer
            .result
            .rate
            .shown_in(RateUnit::PoundsPerAcre, 0)
            .number,
        "2,000"
    );
    assert!(
        answer
            .basis
            .iter()
            .any(|line| line.contains("the lower amount is taken"))
    );
}

proptest! {
    #[test]
    fn more_acid_is_never_less_lime(soil in 400_i64..650, one in 0_i64..=3_000, more in 0_i64..=500) {
        for (target, turf) in [(650, false), (700, false), (600, true), (650, true), (700, true)] {
            let rate = |ea| {
                let answer = if turf {
                    penn_state_turf(acidity(ea), ph(soil), ph(target), US)
                } else {
                    penn_state(acidity(ea), ph(soil), ph(target), US)
                };
                answer.map(|answer| answer.result.rate)
            };
            if let (Ok(less), Ok(more)) = (rate(one), rate(one + more)) {
                prop_assert!(less <= more);
            }
        }
        let nc = |ac| mehlich_nc(acidity(ac), ph(soil), ph(650), None, US).unwrap().result.rate;
        prop_assert!(nc(one) <= nc(one + more));
    }

    #[test]
    fn a_lower_reading_is_never_less_lime(soil in 400_i64..550, buffer in 500_i64..=690, lower in 0_i64..=190, target in 0_usize..5) {
        let target = ph([560, 600, 640, 680, 720][target]);
        let oregon = |buffer| oregon_sikora(ph(buffer), ph(soil), target, US).map(|answer| answer.result.rate);
        if let (Ok(less), Ok(more)) = (oregon(buffer), oregon(buffer - lower)) {
            prop_assert!(less <= more);
        }
        let estimate = |soil| need(&case(by_texture(soil), 650)).unwrap().result.rate;
        prop_assert!(estimate(soil + 100) <= estimate(soil));
    }

    /// Twice the bed takes twice the lime, to the gram of each rounding; metric and customary answers are the same amount.
    #[test]
    fn amounts_scale_with_area_and_not_with_units(way in 0_usize..7, mm2 in 1_000_000_i64..1_000_000_000) {
        let case = every_way(550).remove(way);
        let rate = need(&case).unwrap().result.rate;
        let once = rate.over(Area::from_mm2(mm2)).grams();
        let twice = rate.over(Area::from_mm2(2 * mm2)).grams();
        prop_assert!((twice - 2 * once).abs() <= 1);
        let metric = need(&LimeCase { units: Units::Metric, ..case }).unwrap();
        prop_assert_eq!(metric.result.rate, rate);
    }
}
