//! Which rule decides, and what is asked for first.

use proptest::prelude::*;

use super::*;

fn case() -> CeilingCase {
    CeilingCase {
        area: Area::parse("1000 sq ft").unwrap(),
        density: Density::parse("1000 lb/cu yd").unwrap(),
        origin: Origin::Manure,
        soil_phosphorus: Some(PartsPerMillion::parse("20 ppm").unwrap()),
        phosphate_needed: Some(Rate::parse("1 lb/1000 sq ft").unwrap()),
        phosphate_content: Some(Percent::parse("0.19 %").unwrap()),
        spread_this_year: Depth::ZERO,
        units: Units::UsCustomary,
    }
}

fn rule(case: &CeilingCase) -> CeilingRule {
    most(case).unwrap().result.rule
}

#[test]
fn phosphorus_decides_before_the_cap() {
    let rich = CeilingCase {
        soil_phosphorus: Some(PartsPerMillion::parse("25.01 ppm").unwrap()),
        ..case()
    };
    let none = most(&rich).unwrap();
    assert_eq!(none.result.rule, CeilingRule::NoMorePhosphorus);
    assert!(none.to_string().starts_with("No compost this year\n"));
    let at_the_limit = CeilingCase {
        soil_phosphorus: Some(VERY_HIGH),
        ..case()
    };
    assert_eq!(rule(&at_the_limit), CeilingRule::PhosphorusNeed);
    let hungry = CeilingCase {
        phosphate_needed: Some(Rate::parse("20 lb/1000 sq ft").unwrap()),
        ..case()
    };
    let capped = most(&hungry).unwrap().result;
    assert_eq!(
        (capped.rule, capped.depth),
        (CeilingRule::YearlyCap, YEARLY_CAP)
    );
}

#[test]
fn without_a_test_manure_and_unknown_compost_are_held_low_and_shown_as_a_range() {
    for (origin, expected) in [
        (Origin::Manure, "At most 0.25 in to 0.5 in on 1,000 sq ft"),
        (Origin::Unknown, "At most 0.25 in to 0.5 in on 1,000 sq ft"),
        (Origin::Plants, "At most 1 in on 1,000 sq ft"),
    ] {
        let untested = CeilingCase {
            origin,
            soil_phosphorus: None,
            ..case()
        };
        let answer = most(&untested).unwrap().to_string();
        assert!(answer.starts_with(expected), "{answer}");
    }
}

#[test]
fn what_was_spread_this_year_counts() {
    let spread = |depth: &str| {
        let case = CeilingCase {
            origin: Origin::Plants,
            soil_phosphorus: None,
            spread_this_year: Depth::parse(depth).unwrap(),
            ..case()
        };
        most(&case).unwrap().result.depth
    };
    assert_eq!(spread("3/4 in"), Depth::parse("1/4 in").unwrap());
    assert_eq!(spread("2 in"), Depth::ZERO);
}

#[test]
fn a_soil_test_without_what_belongs_to_it_is_refused() {
    let no_need = CeilingCase {
        phosphate_needed: None,
        ..case()
    };
    assert_eq!(most(&no_need).unwrap_err().code(), "missing");
    let no_content = CeilingCase {
        phosphate_content: None,
        ..case()
    };
    assert_eq!(most(&no_content).unwrap_err().code(), "missing");
    let nothing_in_it = CeilingCase {
        phosphate_content: Some(Percent::ZERO),
        ..case()
    };
    assert!(
        most(&nothing_in_it)
            .unwrap_err()
            .to_string()
            .starts_with("phosphate in the compost")
    );
    let weightless = CeilingCase {
        density: Density::default(),
        ..case()
    };
    assert!(
        most(&weightless)
            .unwrap_err()
            .to_string()
            .starts_with("bulk density")
    );
    let taken_off = CeilingCase {
        spread_this_year: Depth::from_micrometres(-1),
        ..case()
    };
    assert!(
        most(&taken_off)
            .unwrap_err()
            .to_string()
            .starts_with("already spread")
    );
}

proptest! {
    #[test]
    fn more_phosphorus_in_the_compost_never_allows_more_of_it(content in 1_i64..500, richer in 0_i64..500, need in 0_i64..1_000_000_000) {
        let depth = |content: i64| {
            let case = CeilingCase {
                phosphate_needed: Some(Rate::from_micrograms_per_m2(need)),
                phosphate_content: Some(Percent::from_hundredths(content)),
                ..case()
            };
            most(&case).unwrap().result.depth
        };
        prop_assert!(depth(content + richer) <= depth(content));
    }

    #[test]
    fn never_more_phosphate_than_needed_and_never_more_than_an_inch(content in 1_i64..500, need in 0_i64..1_000_000_000) {
        let need = Rate::from_micrograms_per_m2(need);
        let content = Percent::from_hundredths(content);
        let case = CeilingCase {
            phosphate_needed: Some(need),
            phosphate_content: Some(content),
            ..case()
        };
        let ceiling = most(&case).unwrap().result;
        prop_assert!(ceiling.depth <= YEARLY_CAP);
        let brought = phosphate_in(ceiling.depth, case.density, content).unwrap();
        // The layer is rounded to the micrometre.
        let slack = case.density.grams_per_m3() * content.hundredths() / 10_000 + 1;
        prop_assert!(brought.micrograms_per_m2() <= need.micrograms_per_m2() + slack);
    }
}
