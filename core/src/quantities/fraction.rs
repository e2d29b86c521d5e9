//! Exact fractions between what is typed, what is stored and what is shown; no floating point in between.

/// A fraction of whole numbers, in lowest terms, its bottom above nought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Fraction {
    top: i128,
    bottom: i128,
}

impl Fraction {
    pub(super) const NOTHING: Self = Self { top: 0, bottom: 1 };

    /// The fraction, unless its bottom is nought or too large to handle.
    pub(super) fn new(top: i128, bottom: i128) -> Option<Self> {
        let common =
            i128::try_from(common_divisor(top.unsigned_abs(), bottom.unsigned_abs())).ok()?;
        let (top, bottom) = (top.checked_div(common)?, bottom.checked_div(common)?);
        match bottom.signum() {
            1 => Some(Self { top, bottom }),
            -1 => Some(Self {
                top: top.checked_neg()?,
                bottom: bottom.checked_neg()?,
            }),
            _ => None,
        }
    }

    pub(super) fn whole(number: i64) -> Self {
        Self {
            top: i128::from(number),
            bottom: 1,
        }
    }

    pub(super) fn plus(self, other: Self) -> Option<Self> {
        let top = self
            .top
            .checked_mul(other.bottom)?
            .checked_add(other.top.checked_mul(self.bottom)?)?;
        Self::new(top, self.bottom.checked_mul(other.bottom)?)
    }

    pub(super) fn times(self, other: Self) -> Option<Self> {
        // Across first, so that the products stay small.
        let (one, two) = (
            Self::new(self.top, other.bottom)?,
            Self::new(other.top, self.bottom)?,
        );
        Self::new(
            one.top.checked_mul(two.top)?,
            one.bottom.checked_mul(two.bottom)?,
        )
    }

    pub(super) fn over(self, other: Self) -> Option<Self> {
        self.times(Self::new(other.bottom, other.top)?)
    }

    /// Whether it is smaller; what is too large to compare is not.
    pub(super) fn is_below(self, other: Self) -> bool {
        match (
            self.top.checked_mul(other.bottom),
            other.top.checked_mul(self.bottom),
        ) {
            (Some(one), Some(two)) => one < two,
            _ => false,
        }
    }

    /// The nearest whole number, halves up.
    pub(super) fn rounded(self) -> Option<i128> {
        let double = self.top.checked_mul(2)?.checked_add(self.bottom)?;
        Some(double.div_euclid(self.bottom.checked_mul(2)?))
    }

    /// As a decimal number with so many digits behind the point, halves away from nought, thousands marked: `1,250.5`.
    pub(super) fn decimal(self, digits: u32) -> String {
        let scaled = 10_i128
            .checked_pow(digits)
            .and_then(|scale| Self::new(scale, 1));
        let size = Self {
            top: self.top.saturating_abs(),
            bottom: self.bottom,
        };
        // Stored amounts are at most 64 bits, their units at most 48: nothing that can be shown overflows.
        let count = scaled
            .and_then(|scale| size.times(scale)?.rounded())
            .unwrap_or(i128::MAX);
        let sign = if self.top < 0 && count > 0 { "−" } else { "" };
        format!("{sign}{}", with_marks(count.unsigned_abs(), digits))
    }
}

/// A count of the smallest shown digit as text, with a point and thousands marks.
pub(super) fn with_marks(count: u128, digits: u32) -> String {
    let scale = 10_u128.checked_pow(digits).unwrap_or(1);
    let (mut whole, behind) = (count / scale, count % scale);
    let mut groups = Vec::new();
    while whole >= 1_000 {
        groups.push(format!(",{:03}", whole % 1_000));
        whole /= 1_000;
    }
    let mut text = whole.to_string();
    text.extend(groups.iter().rev().map(String::as_str));
    if digits > 0 {
        let width = usize::try_from(digits).unwrap_or(0);
        text = format!("{text}.{behind:0width$}");
    }
    text
}

/// A decimal without the noughts at its end: `3.50` is `3.5`, `12.0` is `12`.
pub(super) fn trimmed(decimal: &str) -> &str {
    if decimal.contains('.') {
        decimal.trim_end_matches('0').trim_end_matches('.')
    } else {
        decimal
    }
}

/// The greatest common divisor, at least 1.
fn common_divisor(mut one: u128, mut other: u128) -> u128 {
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decimal(top: i128, bottom: i128, digits: u32) -> String {
        Fraction::new(top, bottom).unwrap().decimal(digits)
    }

    #[test]
    fn decimals_round_halves_away_from_nought_and_mark_thousands() {
        assert_eq!(decimal(1, 8, 2), "0.13");
        assert_eq!(decimal(-1, 8, 2), "−0.13");
        assert_eq!(decimal(-1, 1_000, 2), "0.00");
        assert_eq!(decimal(1_234_567, 1, 0), "1,234,567");
        assert_eq!(decimal(999_999, 1_000, 1), "1,000.0");
    }

    #[test]
    fn too_large_is_an_answer() {
        assert_eq!(
            Fraction::new(i128::MAX, 1)
                .unwrap()
                .times(Fraction::new(2, 1).unwrap()),
            None
        );
        assert_eq!(Fraction::new(1, 0), None);
    }
}
