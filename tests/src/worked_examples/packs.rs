//! Which whole packs to buy, against worked cases and a theorem.

use selion_core::quantities::{Currency, Mass, Money};
use selion_core::shares::packs::{PackSize, cheapest_mix};

fn pack(mass: &str, price: &str) -> PackSize {
    let price = Money::parse(price, Currency::new("USD").unwrap()).unwrap();
    PackSize {
        mass: Mass::parse(mass).unwrap(),
        price,
    }
}

fn three_sizes() -> [PackSize; 3] {
    [
        pack("50 lb", "$22.00"),
        pack("25 lb", "$12.50"),
        pack("10 lb", "$6.00"),
    ]
}

#[test]
fn a_mix_beats_the_size_that_is_cheapest_by_weight() {
    // Worked out by hand: for 130 lb two bags of 50 and three of 10 cost $62.00; three bags of 50 would cost $66.00.
    let mix = cheapest_mix(Mass::parse("130 lb").unwrap(), &three_sizes()).unwrap();
    assert_eq!(mix.counts, [2, 0, 3]);
    assert_eq!(mix.price, Money::from_minor(6_200));
}

#[test]
fn an_exact_fit_is_not_always_cheapest() {
    // Worked out by hand: for 90 or 95 lb two bags of 50, $44.00, cost less than any mix that fits exactly.
    for need in ["90 lb", "95 lb"] {
        let mix = cheapest_mix(Mass::parse(need).unwrap(), &three_sizes()).unwrap();
        assert_eq!(
            (mix.counts.as_slice(), mix.price),
            ([2, 0, 0].as_slice(), Money::from_minor(4_400)),
            "{need}"
        );
    }
}

#[test]
fn taking_the_largest_first_needs_a_pack_too_many() {
    // The standard example against the greedy rule: 6 from sizes 1, 3, 4 is 3 + 3, where greedy takes 4 + 1 + 1.
    let sizes = [1, 3, 4].map(|grams| PackSize {
        mass: Mass::from_grams(grams),
        price: Money::from_minor(1),
    });
    assert_eq!(
        cheapest_mix(Mass::from_grams(6), &sizes).unwrap().counts,
        [0, 2, 0]
    );
}

/// The amounts up to a limit that no mix of these sizes fills exactly.
///
/// Where a gram costs the same in every size, the cheapest mix is the one that buys least.
fn impossible(sizes: &[i64], limit: i64) -> Vec<i64> {
    let sizes: Vec<PackSize> = sizes
        .iter()
        .map(|grams| PackSize {
            mass: Mass::from_grams(*grams),
            price: Money::from_minor(*grams),
        })
        .collect();
    let exact = |need: i64| {
        cheapest_mix(Mass::from_grams(need), &sizes)
            .unwrap()
            .left_over
            .is_zero()
    };
    (1..=limit).filter(|need| !exact(*need)).collect()
}

#[test]
fn the_largest_amounts_that_no_mix_fills() {
    // Wolfram MathWorld, "Frobenius Number": sizes 6, 9, 20 cannot make 43, the largest of 22 such amounts; two sizes
    // without a common divisor cannot make ab − a − b: 23 for 4 and 9, 151 for 9 and 20.
    let of_three = impossible(&[6, 9, 20], 300);
    assert_eq!((of_three.len(), of_three.last()), (22, Some(&43)));
    assert_eq!(impossible(&[4, 9], 300).last(), Some(&23));
    assert_eq!(impossible(&[9, 20], 400).last(), Some(&151));
}
