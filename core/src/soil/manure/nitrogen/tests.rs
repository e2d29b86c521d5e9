//! Rates for a wanted amount of nitrogen, and what is refused.

use proptest::prelude::*;

use super::*;

const US: Units = Units::UsCustomary;

fn percent(text: &str) -> Percent {
    Percent::parse(text).unwrap()
}

fn case() -> PlanCase {
    PlanCase {
        wanted: Rate::parse("100 lb/acre").unwrap(),
        analysis: NitrogenAnalysis {
            ammonium: percent("0.25 %"),
            organic: percent("0.25 %"),
        },
        dug_in: DugInAfter::Days(1),
        release: Release::CornellCattleWet,
        earlier: Vec::new(),
        area: Area::parse("1000 sq ft").unwrap(),
        units: US,
    }
}

#[test]
fn the_basis_is_always_said() {
    let nutrients = Nutrients {
        nitrogen: percent("1 %"),
        phosphate: None,
        potash: None,
    };
    let area = Area::parse("1000 sq ft").unwrap();
    let wanted = Rate::parse("2 lb/1000 sq ft").unwrap();
    let all = rate_for(wanted, nutrients, Counted::All, area, US).unwrap();
    assert!(all.to_string().contains("All nitrogen is counted"), "{all}");
    let available = rate_for(
        wanted,
        nutrients,
        Counted::Available(percent("35 %")),
        area,
        US,
    )
    .unwrap();
    assert!(
        available
            .to_string()
            .contains("becomes available this season is counted: 35 %"),
        "{available}"
    );
    assert!(available.result.rate > all.result.rate);
}

#[test]
fn ammonium_and_organic_nitrogen_add_up() {
    let answer = available(
        case().analysis,
        DugInAfter::Days(1),
        Release::CornellCattleWet,
        US,
    )
    .unwrap();
    // 5 lb/ton × 0.80 + 5 lb/ton × 0.35.
    assert!(
        answer
            .to_string()
            .starts_with("5.75 lb/ton become available this season\n"),
        "{answer}"
    );
    let plan = plan(&case()).unwrap();
    assert_eq!(
        plan.result
            .rate
            .shown_in(crate::quantities::RateUnit::TonsPerAcre, 2)
            .to_string(),
        "17.39 tons/acre"
    );
}

#[test]
fn earlier_years_are_taken_off_and_never_below_nothing() {
    let year = EarlierYear {
        years_ago: 1,
        rate: Rate::parse("10 tons/acre").unwrap(),
        organic: percent("0.25 %"),
    };
    let with = PlanCase {
        earlier: vec![year],
        ..case()
    };
    assert!(plan(&with).unwrap().result.rate < plan(&case()).unwrap().result.rate);
    let rich = PlanCase {
        wanted: Rate::parse("1 lb/acre").unwrap(),
        ..with
    };
    assert_eq!(plan(&rich).unwrap().result.rate, Rate::ZERO);
}

#[test]
fn what_cannot_be_reckoned_is_refused() {
    let nothing = PlanCase {
        analysis: NitrogenAnalysis {
            ammonium: percent("1 %"),
            organic: Percent::ZERO,
        },
        dug_in: DugInAfter::Never,
        ..case()
    };
    assert_eq!(plan(&nothing).unwrap_err().code(), "cannot_be_met");
    let long_ago = PlanCase {
        earlier: vec![EarlierYear {
            years_ago: 3,
            rate: Rate::ZERO,
            organic: Percent::ZERO,
        }],
        ..case()
    };
    assert!(
        plan(&long_ago)
            .unwrap_err()
            .to_string()
            .starts_with("years ago: expected 1 or 2")
    );
    let no_wish = PlanCase {
        wanted: Rate::ZERO,
        ..case()
    };
    assert!(
        plan(&no_wish)
            .unwrap_err()
            .to_string()
            .starts_with("nitrogen wanted")
    );
    let too_rich = PlanCase {
        analysis: NitrogenAnalysis {
            ammonium: percent("101 %"),
            organic: Percent::ZERO,
        },
        ..case()
    };
    assert!(
        plan(&too_rich)
            .unwrap_err()
            .to_string()
            .starts_with("ammonium nitrogen")
    );
    assert!(ammonium_kept(Mass::from_grams(-1), DugInAfter::Never, US).is_err());
    assert!(autumn(percent("101 %"), US).is_err());
    let empty = Nutrients {
        nitrogen: Percent::ZERO,
        phosphate: None,
        potash: None,
    };
    let refusal = rate_for(case().wanted, empty, Counted::All, case().area, US).unwrap_err();
    assert!(
        refusal.to_string().starts_with("nitrogen in the manure"),
        "{refusal}"
    );
}

#[test]
fn the_later_dug_in_the_more_is_lost() {
    let days = [
        DugInAfter::AtOnceBelow,
        DugInAfter::Days(0),
        DugInAfter::Days(1),
        DugInAfter::Days(2),
        DugInAfter::Days(3),
        DugInAfter::Days(4),
        DugInAfter::Days(5),
        DugInAfter::Days(6),
        DugInAfter::Never,
    ];
    assert!(days.is_sorted_by_key(|dug_in| dug_in.loss()));
    for (_, release) in Release::ALL {
        assert!(
            release.shares().is_sorted_by(|one, next| one > next),
            "{release:?}"
        );
    }
}

proptest! {
    #[test]
    fn the_manure_brings_the_nitrogen_that_was_wanted(
        wanted in 1_000_i64..100_000_000,
        nitrogen in 10_i64..500,
        share in 500_i64..=10_000,
    ) {
        let wanted = Rate::from_micrograms_per_m2(wanted);
        let nutrients = Nutrients { nitrogen: Percent::from_hundredths(nitrogen), phosphate: None, potash: None };
        let counted = Counted::Available(Percent::from_hundredths(share));
        let answer = rate_for(wanted, nutrients, counted, Area::from_mm2(1_000_000), Units::Metric).unwrap();
        let brought = answer.result.nitrogen.unwrap().scaled(share, 10_000).unwrap();
        prop_assert!((brought.micrograms_per_m2() - wanted.micrograms_per_m2()).abs() <= 1);
    }
}
