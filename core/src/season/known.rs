//! A value of a table, or the garden's own in its place, and a span from the least to the most.

use std::fmt;

use serde::Serialize;

use super::source;
use crate::quantities::BadInput;

/// A value together with whose it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Known<T> {
    /// The value.
    pub value: T,
    /// Whose it is.
    pub origin: Origin,
}

/// Whose value it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// The garden's own, put in by its people.
    Own,
    /// A table's, with the keys of those who printed it.
    Table(String),
}

impl Origin {
    /// Behind a label in the working: `, own value`, or the keys of who printed it, ` [KSU]`.
    pub fn mark(&self) -> String {
        match self {
            Self::Own => ", own value".to_owned(),
            Self::Table(keys) => format!(" [{}]", keys.replace('+', ", ")),
        }
    }

    /// In one line: `own value`, or who printed it.
    pub fn words(&self) -> String {
        match self {
            Self::Own => "own value".to_owned(),
            Self::Table(keys) => source::words(keys),
        }
    }
}

/// From the least to the most; both the same where one value was printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Span<T> {
    /// The least.
    pub least: T,
    /// The most.
    pub most: T,
}

impl<T: Copy + PartialOrd> Span<T> {
    /// One value.
    pub fn one(value: T) -> Self {
        Self {
            least: value,
            most: value,
        }
    }

    /// Reads `50-60` or `2–4 in`, each end by its own rules; a unit stands behind the last number.
    pub fn parse(text: &str, read: impl Fn(&str) -> Result<T, BadInput>) -> Result<Self, BadInput> {
        let text = text.trim();
        let Some((least, most)) = ends(text) else {
            return read(text).map(Self::one);
        };
        let unit = most.trim_start_matches(|letter: char| {
            letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/' | ' ' | '-' | '−')
        });
        // `2 in - 4 in` names its unit twice.
        let bare = least
            .trim()
            .ends_with(|letter: char| letter.is_ascii_digit());
        let least = if bare {
            format!("{} {unit}", least.trim())
        } else {
            least.to_owned()
        };
        let span = Self {
            least: read(least.trim())?,
            most: read(most.trim())?,
        };
        if span.least > span.most {
            let expected = "the smaller end first, such as 50-60";
            return Err(BadInput::new("span", expected, text));
        }
        Ok(span)
    }

    /// For people: one value, or both ends with a dash between.
    pub fn show(self, show: impl Fn(T) -> String) -> String {
        if self.least == self.most {
            show(self.least)
        } else {
            format!("{} to {}", show(self.least), show(self.most))
        }
    }
}

/// The two texts beside the dash; a dash in front is a minus.
fn ends(text: &str) -> Option<(&str, &str)> {
    let (place, dash) = text
        .char_indices()
        .skip(1)
        .find(|(_, letter)| matches!(letter, '-' | '–'))?;
    let (least, rest) = text.split_at_checked(place)?;
    Some((least, rest.strip_prefix(dash)?))
}

impl fmt::Display for Span<i64> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.show(|value| value.to_string()))
    }
}

/// Reads a whole number of something, nothing or more.
pub(super) fn count(text: &str) -> Result<i64, BadInput> {
    let expected = "a whole number from 0 to 1000000";
    match text.trim().parse::<i64>() {
        Ok(number) if (0..=1_000_000).contains(&number) => Ok(number),
        _ => Err(BadInput::new("number", expected, text)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantities::{Spacing, Temperature};

    #[test]
    fn spans_share_the_unit_of_their_end() {
        let span = Span::parse("2–4 in", Spacing::parse).unwrap();
        assert_eq!(span, Span::parse("2 in - 4 in", Spacing::parse).unwrap());
        assert_eq!(span.most, Spacing::parse("4 in").unwrap());
        assert_eq!(Span::parse("14", count), Ok(Span::one(14)));
        let warm = Span::parse("60-85 °F", Temperature::parse).unwrap();
        assert_eq!(warm.least, Temperature::parse("60 °F").unwrap());
        assert_eq!(Span::parse("50-60", count).unwrap().to_string(), "50 to 60");
    }

    #[test]
    fn a_span_that_runs_backwards_or_says_nothing_is_refused() {
        for text in ["60-50", "", "-", "5-", "-5", "a-b"] {
            assert!(Span::parse(text, count).is_err(), "{text}");
        }
    }
}
