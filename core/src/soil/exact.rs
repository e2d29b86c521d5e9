//! Divisions of whole numbers that round once, to the nearest, halves up.

use crate::quantities::{Density, Depth, Mass, Percent, Rate};

/// The nearest whole number to a fraction, halves up; nothing for a bottom of nought or a result that cannot be stored.
pub(super) fn nearest(top: i128, bottom: i128) -> Option<i64> {
    let (top, bottom) = if bottom < 0 {
        (top.checked_neg()?, bottom.checked_neg()?)
    } else {
        (top, bottom)
    };
    let double = top.checked_mul(2)?.checked_add(bottom)?;
    i64::try_from(double.checked_div_euclid(bottom.checked_mul(2)?)?).ok()
}

/// The smallest count of the one that reaches the other; nothing where the one is nothing.
pub(super) fn count_to_reach(amount: i128, each: i128) -> Option<i64> {
    if each <= 0 || amount < 0 {
        return None;
    }
    i64::try_from(amount.checked_add(each - 1)? / each).ok()
}

/// This share of a weight.
pub(super) fn part(share: Percent, mass: Mass) -> Option<Mass> {
    let product = i128::from(mass.grams()).checked_mul(i128::from(share.hundredths()))?;
    nearest(product, i128::from(Percent::HUNDRED.hundredths())).map(Mass::from_grams)
}

/// The layer that a weight on an area makes.
pub(super) fn layer(rate: Rate, density: Density) -> Option<Depth> {
    // A microgram a square metre over a gram a cubic metre is a micrometre.
    let (top, bottom) = (rate.micrograms_per_m2(), density.grams_per_m3());
    nearest(i128::from(top), i128::from(bottom)).map(Depth::from_micrometres)
}

/// The weight on an area that a layer makes.
pub(super) fn weight_of_layer(depth: Depth, density: Density) -> Option<Rate> {
    depth
        .micrometres()
        .checked_mul(density.grams_per_m3())
        .map(Rate::from_micrograms_per_m2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_go_up_whatever_the_signs() {
        let values = [(5, 2), (-5, 2), (5, -2), (-5, -2), (1, 3), (0, 7)];
        assert_eq!(
            values.map(|(top, bottom)| nearest(top, bottom).unwrap()),
            [3, -2, -2, 3, 0, 0]
        );
        assert_eq!(nearest(1, 0), None);
        assert_eq!(nearest(i128::MAX, 1), None);
    }

    #[test]
    fn a_count_reaches_and_is_not_idle() {
        assert_eq!(count_to_reach(27, 27), Some(1));
        assert_eq!(count_to_reach(28, 27), Some(2));
        assert_eq!(count_to_reach(0, 27), Some(0));
        assert_eq!(count_to_reach(1, 0), None);
    }

    #[test]
    fn a_ton_on_a_thousand_square_feet_is_a_thin_layer() {
        // C05: 0.648 in at 1000 lb/cu yd.
        let rate = Rate::parse("1 ton/1000 sq ft").unwrap();
        let density = Density::parse("1000 lb/cu yd").unwrap();
        let depth = layer(rate, density).unwrap();
        assert_eq!(depth.micrometres(), 16_459);
        let back = weight_of_layer(depth, density).unwrap();
        assert!(back.micrograms_per_m2().abs_diff(rate.micrograms_per_m2()) < 1_000_000);
        assert_eq!(
            part(Percent::parse("19 %").unwrap(), Mass::from_grams(1_000)),
            Some(Mass::from_grams(190))
        );
    }
}
