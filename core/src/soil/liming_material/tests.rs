//! A product is divided by the right number, once; what is not on the label is asked for.

use proptest::prelude::*;

use super::compound::Compound;
use super::fineness::{enp, enp_from_pounds_a_ton, mississippi_rnv, new_york_env};
use super::*;
use crate::quantities::{PartsPerMillion, RateUnit};
use crate::soil::test_report::Level;

const US: Units = Units::UsCustomary;

fn percent(whole: i64) -> Percent {
    Percent::from_hundredths(whole * 100)
}

fn rate() -> Rate {
    Rate::of(75_000, RateUnit::PoundsPer1000SqFt)
}

#[test]
fn what_the_basis_asks_for_must_stand_on_the_label() {
    let bare = Product::of(ProductKind::Ground);
    for basis in [
        LimeBasis::CalciumCarbonateEquivalent,
        LimeBasis::StandardAgriculturalLime,
        LimeBasis::Effective {
            scheme: Scheme::Ecce,
            value: percent(90),
        },
    ] {
        assert_eq!(
            product_rate(rate(), basis, &bare, US).unwrap_err().code(),
            "missing"
        );
    }
    let as_sold = product_rate(rate(), LimeBasis::ProductAsSold, &bare, US).unwrap();
    assert_eq!(as_sold.result.rate, rate());
}

#[test]
fn a_value_by_another_scheme_is_refused() {
    let product = Product {
        effective: Some((Scheme::NewYorkEnv, percent(73))),
        ..Product::of(ProductKind::Ground)
    };
    let basis = LimeBasis::Effective {
        scheme: Scheme::OregonLimeScore,
        value: percent(100),
    };
    let refusal = product_rate(rate(), basis, &product, US).unwrap_err();
    assert_eq!(
        refusal.to_string(),
        "effective value: the rule holds for a value by lime score (Oregon), and ENV (New York) lies outside it."
    );
}

#[test]
fn a_cce_does_not_come_in_when_the_basis_is_an_effective_value() {
    let basis = LimeBasis::Effective {
        scheme: Scheme::Ecce,
        value: percent(90),
    };
    let with = |cce| Product {
        cce,
        effective: Some((Scheme::Ecce, percent(60))),
        ..Product::of(ProductKind::Ground)
    };
    let one = product_rate(rate(), basis, &with(None), US).unwrap();
    let two = product_rate(rate(), basis, &with(Some(percent(80))), US).unwrap();
    assert_eq!(one.result, two.result);
    assert_eq!(one.result.rate.show(US), "112.5 lb/1000 sq ft");
}

#[test]
fn pellets_replace_stone_by_their_label_and_not_by_a_tenth() {
    let of = |kind| Product {
        cce: Some(percent(90)),
        ..Product::of(kind)
    };
    let basis = LimeBasis::CalciumCarbonateEquivalent;
    let stone = product_rate(rate(), basis, &of(ProductKind::Ground), US).unwrap();
    let pellets = product_rate(rate(), basis, &of(ProductKind::Pelletized), US).unwrap();
    assert_eq!(stone.result.rate, pellets.result.rate);
    assert!(pellets.basis.iter().any(|line| line.contains("tenth")));
}

#[test]
fn what_burns_stays_out_of_shared_orders() {
    assert!(ProductKind::Ground.check_for_shared_order().is_ok());
    for kind in [ProductKind::Hydrated, ProductKind::Quicklime] {
        assert_eq!(
            kind.check_for_shared_order().unwrap_err().code(),
            "outside_the_rule"
        );
    }
}

#[test]
fn labels_that_cannot_be_are_refused() {
    let with = |cce| Product {
        cce: Some(cce),
        ..Product::of(ProductKind::Ground)
    };
    let basis = LimeBasis::CalciumCarbonateEquivalent;
    for cce in [percent(0), percent(4), percent(251)] {
        assert!(
            product_rate(rate(), basis, &with(cce), US).is_err(),
            "{cce}"
        );
    }
    assert!(new_york_env(percent(95), percent(70), percent(95), percent(55)).is_err());
    assert!(mississippi_rnv(percent(90), percent(101), percent(50)).is_err());
    assert!(enp(percent(90), percent(101), percent(3)).is_err());
    assert!(enp_from_pounds_a_ton(0).is_err());
    let heavy = Product {
        equals_standard_ton: Some(Mass::from_grams(3_000_000)),
        ..Product::of(ProductKind::Ground)
    };
    let standard = LimeBasis::StandardAgriculturalLime;
    assert_eq!(
        product_rate(rate(), standard, &heavy, US)
            .unwrap_err()
            .code(),
        "bad_input"
    );
}

#[test]
fn the_kind_of_stone_follows_magnesium_and_nothing_else() {
    let kind = |level| kind_of_stone(Some(level), None).unwrap().result;
    assert_eq!(kind(Level::Low), StoneKind::Dolomitic);
    assert_eq!(kind(Level::Optimum), StoneKind::WhicheverIsCheaper);
    assert_eq!(kind(Level::VeryHigh), StoneKind::Calcitic);
    let little = PartsPerMillion::from_hundredths(4_999);
    assert_eq!(
        kind_of_stone(None, Some(little)).unwrap().result,
        StoneKind::Dolomitic
    );
    assert_eq!(kind_of_stone(None, None).unwrap_err().code(), "missing");
}

#[test]
fn gypsum_neutralises_nothing() {
    assert_eq!(Compound::Gypsum.cce(), Percent::ZERO);
    assert_eq!(Compound::Gypsum.equal_to_calcite(Mass::from_grams(1)), None);
}

proptest! {
    /// A weaker product takes more, and what it does is what was asked for.
    #[test]
    fn product_times_value_is_the_rate(pounds in 1_i64..500_000, cce in 500_i64..=25_000) {
        let asked = Rate::of(pounds, RateUnit::PoundsPer1000SqFt);
        let cce = Percent::from_hundredths(cce);
        let product = Product { cce: Some(cce), ..Product::of(ProductKind::Ground) };
        let spread = product_rate(asked, LimeBasis::CalciumCarbonateEquivalent, &product, US).unwrap().result.rate;
        let back = pure_equivalent(spread, cce).unwrap();
        let apart = (back.micrograms_per_m2() - asked.micrograms_per_m2()).abs();
        prop_assert!(apart <= 3, "{apart} µg/m²");
    }

    /// Finer stone is never worth less.
    #[test]
    fn finer_is_never_worth_less(cce in 5_i64..=250, coarse in 0_i64..=100, fine in 0_i64..=100, more in 0_i64..=100) {
        let (p60, p100) = (coarse.max(fine), coarse.min(fine));
        let finer = p100 + (p60 - p100) * more / 100;
        let value = |p100| new_york_env(percent(cce), percent(100), percent(p60), percent(p100)).unwrap().result.value;
        prop_assert!(value(finer) >= value(p100));
    }
}
