//! Mixes by hand, and what holds for every mix.

use proptest::prelude::*;

use super::super::Material;
use super::super::feedstocks::{FEEDSTOCKS, feedstock};
use super::*;

fn portion(name: &str, grams: i64, moisture: i64, nitrogen: i64, ratio: i64) -> Portion {
    let makeup = Makeup::by_ratio(
        Percent::from_hundredths(moisture),
        Percent::from_hundredths(nitrogen),
        CarbonToNitrogen::from_hundredths(ratio),
    );
    Portion {
        material: Material::analysed(name, makeup.unwrap()),
        mass: Mass::from_grams(grams),
    }
}

#[test]
fn ratios_are_never_averaged() {
    // One to one by weight of 10:1 and 100:1 is nowhere near 55:1, since the first holds most of the nitrogen.
    let pile = [
        portion("hen manure", 1_000, 5_000, 400, 1_000),
        portion("straw", 1_000, 5_000, 40, 10_000),
    ];
    let mix = of(&pile, Units::Metric).unwrap().result;
    assert_eq!(mix.ratio.unwrap().to_string(), "18.18:1");
}

#[test]
fn a_wet_or_hungry_mix_is_called_so() {
    let hungry = of(&[portion("straw", 1_000, 1_200, 40, 10_000)], Units::Metric).unwrap();
    let said = hungry.to_string();
    assert!(
        said.contains("above 40, the most that is acceptable"),
        "{said}"
    );
    assert!(
        said.contains("below 45 %, the least that is acceptable"),
        "{said}"
    );
    let fine = of(&[portion("mix", 1_000, 5_500, 150, 2_800)], Units::Metric).unwrap();
    assert!(fine.to_string().contains("within the preferred 25 to 30"));
    assert_eq!(fine.basis.len(), 2, "{:?}", fine.basis);
}

#[test]
fn what_is_no_pile_is_refused_by_name() {
    let refusal = of(&[], Units::Metric).unwrap_err().to_string();
    assert!(refusal.starts_with("materials: "), "{refusal}");
    let nothing = portion("straw", 0, 1_200, 40, 10_000);
    let refusal = of(&[nothing], Units::Metric).unwrap_err().to_string();
    assert!(refusal.starts_with("weight of the pile: "), "{refusal}");
    let below = portion("straw", -1, 1_200, 40, 10_000);
    let refusal = of(&[below], Units::Metric).unwrap_err().to_string();
    assert!(refusal.starts_with("weight of straw: "), "{refusal}");
}

#[test]
fn water_alone_has_no_ratio() {
    let water = Portion {
        material: Material::water(),
        mass: Mass::from_grams(5_000),
    };
    let mix = of(&[water], Units::Metric).unwrap().result;
    assert_eq!(mix.to_string(), "5.0 kg at 100 % moisture, no nitrogen");
}

#[test]
fn printed_values_make_an_estimate_with_a_range() {
    let pile = [
        Portion {
            material: Material::printed(feedstock("horse manure with bedding").unwrap()),
            mass: Mass::from_grams(100_000),
        },
        Portion {
            material: Material::printed(feedstock("leaves").unwrap()),
            mass: Mass::from_grams(20_000),
        },
    ];
    let answer = of(&pile, Units::Metric).unwrap();
    let range = answer.result.range.unwrap();
    assert!(range.ratio.0 < answer.result.ratio.unwrap());
    assert!(answer.result.ratio.unwrap() < range.ratio.1);
    assert!(answer.to_string().contains("(estimate)"), "{answer}");
    assert!(
        answer.to_string().contains("By the printed ranges: "),
        "{answer}"
    );
}

/// The lowest and highest ratio over every combination of corners.
fn by_trying(pile: &[(usize, i64)]) -> (CarbonToNitrogen, CarbonToNitrogen) {
    let mut all = vec![Sums::default()];
    for &(index, grams) in pile {
        let corners = FEEDSTOCKS[index].corners();
        all = all
            .iter()
            .flat_map(|sums| corners.map(|corner| sums.with(Mass::from_grams(grams), corner)))
            .collect();
    }
    let ratios = || all.iter().map(|sums| sums.ratio().unwrap());
    (ratios().min().unwrap(), ratios().max().unwrap())
}

proptest! {
    #[test]
    fn the_range_is_the_widest_that_the_printed_ends_give(
        pile in prop::collection::vec((0_usize..FEEDSTOCKS.len(), 1_i64..1_000_000), 1..5)
    ) {
        let portions: Vec<Portion> = pile
            .iter()
            .map(|&(index, grams)| Portion { material: Material::printed(&FEEDSTOCKS[index]), mass: Mass::from_grams(grams) })
            .collect();
        let mix = of(&portions, Units::Metric).unwrap().result;
        prop_assert_eq!(mix.range.unwrap().ratio, by_trying(&pile));
    }

    #[test]
    fn the_mix_lies_between_its_materials_and_does_not_change_with_their_size(
        one in (1_i64..100_000, 500_i64..8_000, 20_i64..100, 500_i64..10_000),
        two in (1_i64..100_000, 500_i64..8_000, 20_i64..100, 500_i64..10_000),
        times in 1_i64..20,
    ) {
        let pile = |times: i64| [
            portion("one", one.0 * times, one.1, one.2, one.3),
            portion("two", two.0 * times, two.1, two.2, two.3),
        ];
        let mix = of(&pile(1), Units::Metric).unwrap().result;
        let ratio = mix.ratio.unwrap().hundredths();
        prop_assert!((one.3.min(two.3)..=one.3.max(two.3)).contains(&ratio));
        prop_assert!((one.1.min(two.1)..=one.1.max(two.1)).contains(&mix.moisture.hundredths()));
        let larger = of(&pile(times), Units::UsCustomary).unwrap().result;
        prop_assert_eq!((larger.ratio, larger.moisture), (mix.ratio, mix.moisture));
    }
}
