//! Divisions of whole numbers that round once, in a stated direction.

/// The nearest whole number to a fraction, halves up; nothing for a bottom of nought or less, or beyond what can be stored.
pub(crate) fn nearest(top: i128, bottom: i128) -> Option<i64> {
    if bottom <= 0 {
        return None;
    }
    let double = top.checked_mul(2)?.checked_add(bottom)?;
    i64::try_from(double.checked_div_euclid(bottom.checked_mul(2)?)?).ok()
}

/// The smallest whole number that reaches a fraction.
pub(crate) fn up(top: i128, bottom: i128) -> Option<i64> {
    if bottom <= 0 {
        return None;
    }
    let raised = top.checked_add(bottom - 1)?;
    i64::try_from(raised.checked_div_euclid(bottom)?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rounds_its_own_way() {
        let fractions = [(5, 2), (-5, 2), (1, 3), (4, 2), (0, 7)];
        assert_eq!(
            fractions.map(|(top, bottom)| nearest(top, bottom)),
            [Some(3), Some(-2), Some(0), Some(2), Some(0)]
        );
        assert_eq!(
            fractions.map(|(top, bottom)| up(top, bottom)),
            [Some(3), Some(-2), Some(1), Some(2), Some(0)]
        );
        assert_eq!((nearest(1, 0), up(1, -1)), (None, None));
        assert_eq!((nearest(i128::MAX, 1), up(i128::MAX, 2)), (None, None));
    }
}
