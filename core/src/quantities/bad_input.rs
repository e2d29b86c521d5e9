//! The one error for everything that a person typed or a file said.

use std::fmt;

/// The longest piece of somebody's input that is repeated in a message.
const LONGEST_QUOTE: usize = 60;

/// Something that was typed, or stood in a file, and cannot be taken: which field, what was expected, what came.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct BadInput {
    /// The field, in the reader's words.
    pub field: String,
    /// What would have been taken.
    pub expected: String,
    /// What came instead, shortened where it was long.
    pub came: String,
}

impl BadInput {
    /// One refused field.
    pub fn new(
        field: impl Into<String>,
        expected: impl Into<String>,
        came: impl AsRef<str>,
    ) -> Self {
        Self {
            field: field.into(),
            expected: expected.into(),
            came: shortened(came.as_ref()),
        }
    }

    /// The same refusal under the name that the reader knows the field by.
    #[must_use]
    pub fn named(self, field: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            ..self
        }
    }
}

impl fmt::Display for BadInput {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: expected {}, but ", self.field, self.expected)?;
        if self.came.is_empty() {
            out.write_str("nothing came.")
        } else {
            write!(out, "“{}” came.", self.came)
        }
    }
}

/// One line of text, cut where it would swamp the sentence.
fn shortened(text: &str) -> String {
    let mut quote: String = text
        .trim()
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .take(LONGEST_QUOTE)
        .collect();
    if text.trim().chars().nth(LONGEST_QUOTE).is_some() {
        quote.push('…');
    }
    quote
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_message_is_one_sentence_that_names_the_field() {
        let refusal = BadInput::new("length", "a length such as 3.5 m", "tall\nish");
        assert_eq!(
            refusal.to_string(),
            "length: expected a length such as 3.5 m, but “tall ish” came."
        );
        assert_eq!(
            BadInput::new("area", "an area", " ").to_string(),
            "area: expected an area, but nothing came."
        );
    }

    #[test]
    fn a_long_input_is_cut() {
        assert_eq!(
            BadInput::new("note", "less", "x".repeat(10_000))
                .came
                .chars()
                .count(),
            LONGEST_QUOTE + 1
        );
    }
}
