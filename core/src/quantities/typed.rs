//! Reads what people type: `12 ft 6 in`, `85.3 lb/1000 sq ft`, `1 1/2 h`, `$47.85`.
//!
//! The rules, the same for every amount:
//!
//! - An amount has its unit with it; a bare number is refused, since a guessed unit is a wrong bed.
//! - The point is the decimal mark. A comma marks thousands where it stands before groups of three digits (`8,000`), and is
//!   a decimal mark otherwise (`47,85`, `3,5`, `0,125`).
//! - Halves and quarters may be written as fractions: `1 1/2`, `3/4`, `½`.
//! - Larger units come first: `12 ft 6 in`, `1 h 30 min`, `5 lb 8 oz`.
//! - What is finer than the stored unit is rounded to it, halves up. Money is never rounded: too many digits are refused.

use std::str::FromStr;

use super::fraction::Fraction;
use super::unit_table::{AREAS, LENGTHS, MASSES, SPANS, Unit, VOLUMES};
use super::{Area, BadInput, Currency, Length, Mass, Minutes, Money, Rate, Volume};

/// More digits than any amount in a garden has.
const MOST_DIGITS: usize = 15;
/// The longest text that is looked at, in bytes.
const LONGEST_TEXT: usize = 80;

/// Writes `parse` and `FromStr` for a measure with a table of units.
macro_rules! typed {
    ($name:ident, $make:ident, $table:ident, $field:literal, $expected:literal) => {
        impl $name {
            #[doc = concat!("Reads ", $expected, ".")]
            pub fn parse(text: &str) -> Result<Self, BadInput> {
                whole_amount(text, $table)
                    .map(Self::$make)
                    .ok_or_else(|| BadInput::new($field, $expected, text))
            }
        }

        impl FromStr for $name {
            type Err = BadInput;

            fn from_str(text: &str) -> Result<Self, BadInput> {
                Self::parse(text)
            }
        }
    };
}

typed!(
    Length,
    from_mm,
    LENGTHS,
    "length",
    "a length with its unit, such as 3.5 m or 12 ft 6 in"
);
typed!(
    Area,
    from_mm2,
    AREAS,
    "area",
    "an area with its unit, such as 12 m2 or 360 sq ft"
);
typed!(
    Mass,
    from_grams,
    MASSES,
    "weight",
    "a weight with its unit, such as 25 kg or 50 lb"
);
typed!(
    Volume,
    from_ml,
    VOLUMES,
    "volume",
    "a volume with its unit, such as 10 l or 3 gal"
);
typed!(
    Minutes,
    new,
    SPANS,
    "time",
    "a time with its unit, such as 90 min or 1 1/2 h"
);

impl Rate {
    /// Reads a weight on an area, such as `366 g/m2`, `85.3 lb/1000 sq ft` or `2 tons per acre`.
    ///
    /// ```
    /// use selion_core::quantities::{Rate, Units};
    ///
    /// let rate = Rate::parse("75 lb per 1000 sq ft")?;
    /// assert_eq!(rate.micrograms_per_m2(), 366_182_073);
    /// assert_eq!(rate.show(Units::Metric), "366 g/m²");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        rate(text).map(Self::from_micrograms_per_m2).ok_or_else(|| {
            BadInput::new(
                "rate",
                "a weight on an area, such as 366 g/m2 or 85.3 lb/1000 sq ft",
                text,
            )
        })
    }
}

impl FromStr for Rate {
    type Err = BadInput;

    fn from_str(text: &str) -> Result<Self, BadInput> {
        Self::parse(text)
    }
}

impl Money {
    /// Reads an amount of this currency, with or without its sign or code: `47.85`, `47,85`, `$47.85`, `47.85 USD`.
    ///
    /// ```
    /// use selion_core::quantities::{Currency, Money};
    ///
    /// let dollars = Currency::new("USD")?;
    /// assert_eq!(Money::parse("$1,047.85", dollars)?, Money::from_minor(104_785));
    /// assert_eq!(Money::parse("47,85", dollars)?, Money::from_minor(4_785));
    /// assert!(Money::parse("47.855", dollars).is_err(), "nobody rounds money in silence");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    pub fn parse(text: &str, currency: Currency) -> Result<Self, BadInput> {
        money(text, currency).map(Self::from_minor).ok_or_else(|| {
            let example = Self::from_minor(4_785).show(currency);
            BadInput::new(
                "money",
                format!("an amount in {} such as {example}", currency.code()),
                text,
            )
        })
    }
}

/// A whole text as one amount, in base units.
fn whole_amount(text: &str, table: &[Unit]) -> Option<i64> {
    let text = tidied(text)?;
    let (amount, rest) = amount(&text, table)?;
    if rest.is_empty() {
        i64::try_from(amount.rounded()?).ok()
    } else {
        None
    }
}

/// A whole text as one rate, in micrograms a square metre.
fn rate(text: &str) -> Option<i64> {
    let text = tidied(text)?;
    let (grams, rest) = amount(&text, MASSES)?;
    let ground = rest
        .strip_prefix('/')
        .or_else(|| rest.strip_prefix("per "))?
        .trim_start();
    let (count, ground) = leading_number(ground).unwrap_or((Fraction::whole(1), ground));
    let (unit, rest) = leading_unit(ground, AREAS)?;
    let square_millimetres = count.times(unit.size())?;
    // A gram on a square millimetre is 10¹² micrograms on a square metre.
    let micrograms = grams
        .times(Fraction::new(1_000_000_000_000, 1)?)?
        .over(square_millimetres)?;
    if rest.is_empty() {
        i64::try_from(micrograms.rounded()?).ok()
    } else {
        None
    }
}

/// A whole text as money, in minor units.
fn money(text: &str, currency: Currency) -> Option<i64> {
    let text = tidied(text)?;
    let (code, symbol) = (
        currency.code().to_lowercase(),
        currency.sign().to_lowercase(),
    );
    let bare = |text: &str| -> String {
        let without_front = text
            .strip_prefix(symbol.as_str())
            .or_else(|| text.strip_prefix(code.as_str()));
        let text = without_front.unwrap_or(text);
        let without_end = text
            .strip_suffix(code.as_str())
            .or_else(|| text.strip_suffix(symbol.as_str()));
        without_end.unwrap_or(text).trim().to_owned()
    };
    let unsigned = |text: &str| {
        text.strip_prefix(['-', '−'])
            .map(|rest| rest.trim_start().to_owned())
    };
    // The sign may stand before or behind the currency: -$5, $-5.
    let (below, text) = unsigned(&text).map_or((false, text), |rest| (true, rest));
    let text = bare(&text);
    let (below, text) = match unsigned(&text) {
        Some(_) if below => return None,
        Some(rest) => (true, rest),
        None => (below, text),
    };
    let (amount, rest) = decimal(&text)?;
    let minor = amount.times(Fraction::new(
        10_i128.checked_pow(currency.minor_digits())?,
        1,
    )?)?;
    let count = minor.rounded()?;
    let exact = Fraction::new(count, 1)? == minor;
    let count = i64::try_from(count).ok()?;
    (exact && rest.is_empty()).then_some(if below { -count } else { count })
}

/// Lower case, single spaces; nothing at all for a text that is too long to be an amount.
pub(super) fn tidied(text: &str) -> Option<String> {
    if text.len() > LONGEST_TEXT {
        return None;
    }
    Some(
        text.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .to_lowercase(),
    )
}

/// One or more numbers with units, larger units first, and what stands behind them.
pub(super) fn amount<'a>(text: &'a str, table: &[Unit]) -> Option<(Fraction, &'a str)> {
    let mut sum = Fraction::NOTHING;
    let mut smaller_than: Option<Fraction> = None;
    let mut rest = text;
    while let Some((number, after)) = leading_number(rest) {
        let (unit, after) = leading_unit(after, table)?;
        let size = unit.size();
        if smaller_than.is_some_and(|larger| !size.is_below(larger)) {
            return None;
        }
        sum = sum.plus(number.times(size)?)?;
        smaller_than = Some(size);
        rest = after;
    }
    smaller_than.map(|_| (sum, rest))
}

/// The longest name of a unit that the text begins with, and what stands behind it.
pub(super) fn leading_unit<'a, 'table>(
    text: &'a str,
    table: &'table [Unit],
) -> Option<(&'table Unit, &'a str)> {
    let mut best: Option<(&Unit, &str)> = None;
    for unit in table {
        for rest in unit.names.iter().filter_map(|name| text.strip_prefix(name)) {
            let ends = !rest.starts_with(char::is_alphabetic);
            if ends && best.is_none_or(|(_, shortest)| rest.len() < shortest.len()) {
                best = Some((unit, rest));
            }
        }
    }
    best.map(|(unit, rest)| {
        (
            unit,
            rest.strip_prefix(['.', ',']).unwrap_or(rest).trim_start(),
        )
    })
}

/// A number with or without a fraction, `12`, `3.5`, `1 1/2`, `½`, and what stands behind it.
pub(super) fn leading_number(text: &str) -> Option<(Fraction, &str)> {
    if let Some((fraction, rest)) = common_fraction(text) {
        return Some((fraction, rest.trim_start()));
    }
    let (number, rest) = decimal(text)?;
    match common_fraction(rest.trim_start()) {
        Some((fraction, rest)) => Some((number.plus(fraction)?, rest.trim_start())),
        None => Some((number, rest.trim_start())),
    }
}

/// A fraction such as `3/4` or `¾`.
fn common_fraction(text: &str) -> Option<(Fraction, &str)> {
    const SIGNS: [(char, i128, i128); 7] = [
        ('½', 1, 2),
        ('¼', 1, 4),
        ('¾', 3, 4),
        ('⅓', 1, 3),
        ('⅔', 2, 3),
        ('⅛', 1, 8),
        ('⅜', 3, 8),
    ];
    for (sign, top, bottom) in SIGNS {
        if let Some(rest) = text.strip_prefix(sign) {
            return Some((Fraction::new(top, bottom)?, rest));
        }
    }
    let (top, rest) = digits(text)?;
    let (bottom, rest) = digits(rest.strip_prefix('/')?)?;
    Some((
        Fraction::new(top.parse().ok()?, bottom.parse().ok()?)?,
        rest,
    ))
}

/// A few leading digits.
fn digits(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|letter: char| !letter.is_ascii_digit())
        .unwrap_or(text.len());
    if end == 0 || end > MOST_DIGITS {
        None
    } else {
        text.split_at_checked(end)
    }
}

/// A decimal number, its commas read by the rules above.
pub(super) fn decimal(text: &str) -> Option<(Fraction, &str)> {
    let end = text
        .find(|letter: char| !letter.is_ascii_digit() && letter != '.' && letter != ',')
        .unwrap_or(text.len());
    let (number, rest) = text.split_at_checked(end)?;
    let (whole, behind) = match (number.split_once('.'), number.split_once(',')) {
        (Some((whole, behind)), _) => (without_marks(whole)?, behind),
        (None, Some((whole, behind))) => match without_marks(number) {
            Some(whole) => (whole, ""),
            None => (whole.to_owned(), behind),
        },
        (None, None) => (number.to_owned(), ""),
    };
    let plain = whole
        .bytes()
        .chain(behind.bytes())
        .all(|byte| byte.is_ascii_digit());
    let count = whole.len() + behind.len();
    if !plain || count == 0 || count > MOST_DIGITS || number.ends_with(['.', ',']) {
        return None;
    }
    let scale = 10_i128.checked_pow(u32::try_from(behind.len()).ok()?)?;
    Some((
        Fraction::new(format!("{whole}{behind}").parse().ok()?, scale)?,
        rest,
    ))
}

/// Digits without their thousands marks, if every mark stands where one belongs.
fn without_marks(number: &str) -> Option<String> {
    let mut groups = number.split(',');
    let first = groups.next()?;
    let marked = number.contains(',');
    let placed = groups.all(|group| group.len() == 3)
        && (!marked || ((1..=3).contains(&first.len()) && first != "0"));
    placed.then(|| number.replace(',', ""))
}
