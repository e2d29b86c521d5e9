//! Recipes that work out, and those that cannot.

use proptest::prelude::*;

use super::*;

const METRIC: Units = Units::Metric;

fn material(name: &str, moisture: i64, nitrogen: i64, carbon: i64) -> Material {
    let makeup = Makeup::by_carbon(
        Percent::from_hundredths(moisture),
        Percent::from_hundredths(nitrogen),
        Percent::from_hundredths(carbon),
    );
    Material::analysed(name, makeup.unwrap())
}

fn grass() -> [Portion; 1] {
    [Portion {
        material: material("grass", 7_700, 240, 4_500),
        mass: Mass::from_grams(10_000),
    }]
}

fn leaves() -> Material {
    material("leaves", 3_500, 75, 5_000)
}

fn moisture(hundredths: i64) -> Goal {
    Goal::Moisture(Percent::from_hundredths(hundredths))
}

fn ratio(hundredths: i64) -> Goal {
    Goal::Ratio(CarbonToNitrogen::from_hundredths(hundredths))
}

#[test]
fn a_pile_at_its_goal_needs_nothing() {
    let recipe = add_one(&grass(), &leaves(), moisture(7_700), METRIC)
        .unwrap()
        .result;
    assert_eq!(recipe.add[0].mass, Mass::ZERO);
}

#[test]
fn one_material_on_the_wrong_side_is_refused_with_what_would_help() {
    for (extra, goal, helps) in [
        (
            material("fish", 8_000, 800, 3_000),
            moisture(6_000),
            "a material that is drier than 60 %",
        ),
        (
            leaves(),
            moisture(8_000),
            "water, or a material wetter than 80 %",
        ),
        (leaves(), ratio(1_500), "a material rich in nitrogen"),
        (
            material("fish", 8_000, 800, 3_000),
            ratio(3_000),
            "a material rich in carbon",
        ),
        (Material::water(), ratio(3_000), "a material rich in carbon"),
        (
            material("peelings", 6_000, 240, 4_500),
            moisture(6_000),
            "a material that is drier",
        ),
    ] {
        let refusal = add_one(&grass(), &extra, goal, METRIC).unwrap_err();
        assert_eq!(refusal.code(), "cannot_be_met", "{refusal}");
        assert!(refusal.to_string().contains(helps), "{refusal}");
    }
}

#[test]
fn both_goals_that_need_less_than_no_water_are_refused_with_what_each_goal_alone_would_give() {
    let goals = Goals {
        moisture: Percent::from_hundredths(6_000),
        ratio: CarbonToNitrogen::from_hundredths(3_000),
    };
    let refusal = add_two(&grass(), &leaves(), &Material::water(), goals, METRIC).unwrap_err();
    let said = refusal.to_string();
    assert_eq!(refusal.code(), "cannot_be_met");
    assert!(said.contains("it would take −2.1 kg of water"), "{said}");
    assert!(
        said.contains("3.5 kg of leaves alone meets C:N 30:1 at 66.17 % moisture"),
        "{said}"
    );
    assert!(
        said.contains("6.8 kg of leaves alone meets 60 % moisture at C:N 36.73:1"),
        "{said}"
    );
}

#[test]
fn two_materials_that_pull_the_same_way_are_refused() {
    let goals = Goals {
        moisture: Percent::from_hundredths(6_000),
        ratio: CarbonToNitrogen::from_hundredths(3_000),
    };
    let refusal = add_two(&grass(), &leaves(), &leaves(), goals, METRIC).unwrap_err();
    assert!(
        refusal.to_string().contains("pull the pile the same way"),
        "{refusal}"
    );
}

#[test]
fn a_heap_that_nobody_has_is_no_recipe() {
    let tons = [Portion {
        mass: Mass::from_grams(1_000_000),
        ..grass()[0].clone()
    }];
    let hardly_drier = material("damp straw", 5_999, 70, 5_000);
    let refusal = add_one(&tons, &hardly_drier, moisture(6_000), METRIC).unwrap_err();
    assert!(refusal.to_string().contains("more than 100 t"), "{refusal}");
    let goals = Goals {
        moisture: Percent::from_hundredths(6_000),
        ratio: CarbonToNitrogen::from_hundredths(3_000),
    };
    let hardly_wetter = material("damp fish", 6_001, 800, 3_000);
    let refusal = add_two(&tons, &hardly_drier, &hardly_wetter, goals, METRIC).unwrap_err();
    assert_eq!(refusal.code(), "cannot_be_met", "{refusal}");
}

#[test]
fn goals_that_no_pile_has_are_refused_by_name() {
    for (goal, field) in [
        (moisture(0), "moisture wanted"),
        (moisture(10_000), "moisture wanted"),
        (ratio(0), "carbon to nitrogen wanted"),
    ] {
        let refusal = add_one(&grass(), &leaves(), goal, METRIC)
            .unwrap_err()
            .to_string();
        assert!(refusal.starts_with(field), "{refusal}");
    }
}

#[test]
fn an_answer_names_the_goal_and_shows_water_by_volume() {
    let dry = [Portion {
        material: leaves(),
        mass: Mass::from_grams(10_000),
    }];
    let answer = add_one(&dry, &Material::water(), moisture(5_500), METRIC).unwrap();
    assert!(
        answer
            .to_string()
            .starts_with("Add 4.4 kg (4.4 l) of water\nMix: 14.4 kg at 55 % moisture"),
        "{answer}"
    );
    assert!(
        answer.to_string().contains("Wanted: 55 % moisture."),
        "{answer}"
    );
}

fn any_material(name: &'static str) -> impl Strategy<Value = Material> {
    (0_i64..9_000, 5_i64..800, 1_000_i64..6_000)
        .prop_map(move |(moisture, nitrogen, carbon)| material(name, moisture, nitrogen, carbon))
}

proptest! {
    #[test]
    fn every_recipe_meets_its_goals(
        base in any_material("base"),
        first in any_material("first"),
        second in prop_oneof![any_material("second"), Just(Material::water())],
        wet in 3_000_i64..7_500,
        rich in 1_000_i64..6_000,
    ) {
        let pile = [Portion { material: base, mass: Mass::from_grams(1_000_000) }];
        let goals = Goals { moisture: Percent::from_hundredths(wet), ratio: CarbonToNitrogen::from_hundredths(rich) };
        match add_two(&pile, &first, &second, goals, METRIC) {
            Ok(answer) => {
                let mix = answer.result.mix;
                prop_assert!((mix.moisture.hundredths() - wet).abs() <= 1, "{answer}");
                // Half a gram on a ton moves the ratio by far less than a tenth.
                prop_assert!((mix.ratio.unwrap().hundredths() - rich).abs() <= 10, "{answer}");
            }
            Err(refusal) => prop_assert_eq!(refusal.code(), "cannot_be_met"),
        }
    }

    #[test]
    fn a_larger_pile_takes_more_in_proportion(grams in 10_000_i64..1_000_000, times in 2_i64..20) {
        let pile = |grams| [Portion { material: material("grass", 7_700, 240, 4_500), mass: Mass::from_grams(grams) }];
        let once = add_one(&pile(grams), &leaves(), moisture(6_000), METRIC).unwrap().result.add[0].mass.grams();
        let more = add_one(&pile(grams * times), &leaves(), moisture(6_000), METRIC).unwrap().result.add[0].mass.grams();
        prop_assert!((once * times - more).abs() <= times);
    }
}
