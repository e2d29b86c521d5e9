//! How the records, edits and messages of a garden stand as JSON.
//!
//! Each type says itself, through [`Json`], which [`Value`] it is; text is made and read in one place. The names of fields
//! and words are written down beside the types by four macros:
//!
//! - [`record!`]: a struct as an object of its fields;
//! - [`words!`]: an enum of bare variants as one word each;
//! - [`choice!`]: an enum as the word of its variant, or an object of that word and what the variant holds;
//! - [`tagged!`]: an enum whose fields stand in one object with the word of the variant.
//!
//! A field marked `= default` may be missing, and so may an optional one; fields that nobody asks for are passed over.
//! Serde's derived readers do the same, but weigh ten times as much in the program that phones load.

mod fields;
mod forms;
mod macros;
mod text;

pub use fields::{Fields, Object, put, put_word};
pub(crate) use forms::from_text;
pub use forms::{chosen, with_word, word_of};
pub(crate) use macros::{form, serde_form};

pub use serde_json::Value;

pub use crate::{choice, content, field, let_content, one_object, record, tagged, words};

/// A type with one JSON form.
pub trait Json: Sized {
    /// Reads it.
    fn from_json(value: &Value) -> Result<Self, Unreadable>;

    /// Writes it.
    fn to_json(&self) -> Value;

    /// What a missing field of this type reads as, if a field of it may be missing.
    fn absent() -> Option<Self> {
        None
    }
}

/// A type whose JSON form is an object, so that its fields can stand in an object with others.
pub trait Record {
    /// Reads its fields.
    fn from_fields(fields: Fields<'_>) -> Result<Self, Unreadable>
    where
        Self: Sized;

    /// Writes its fields.
    fn put_fields(&self, object: &mut Object);
}

/// Why something is not of its form, with the way to the field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable(Box<str>);

impl Unreadable {
    /// Something else was expected.
    pub fn expected(what: &str, came: &Value) -> Self {
        let came = match came {
            Value::Null => "nothing",
            Value::Bool(_) => "yes or no",
            Value::Number(_) => "a number",
            Value::String(text) => {
                return Self::because(&format!("{what} was expected, but “{text}” came"));
            }
            Value::Array(_) => "a list",
            Value::Object(_) => "an object",
        };
        Self::because(&format!("{what} was expected, but {came} came"))
    }

    /// In these words.
    pub fn because(sentence: &str) -> Self {
        Self(sentence.into())
    }

    /// That a word is none of the variants.
    pub fn unknown_word(word: &str) -> Self {
        Self::because(&format!("“{word}” is none of the known words"))
    }

    #[must_use]
    fn inside(self, field: &str) -> Self {
        Self::because(&format!("{field}: {}", self.0))
    }
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.0)
    }
}

impl std::error::Error for Unreadable {}

/// Reads a text.
pub fn read<T: Json>(text: &str) -> Result<T, Unreadable> {
    T::from_json(&text::parse(text.as_bytes())?)
}

/// Reads a text that stands as bytes.
pub fn read_bytes<T: Json>(text: &[u8]) -> Result<T, Unreadable> {
    T::from_json(&text::parse(text)?)
}

/// Writes as text on one line.
pub fn write<T: Json>(it: &T) -> String {
    text::write(&it.to_json())
}

#[cfg(test)]
mod tests;
