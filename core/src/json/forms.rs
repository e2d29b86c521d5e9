//! The forms of what records are made of: texts, whole numbers, lists, maps, words.

use std::collections::BTreeSet;
use std::fmt::Display;
use std::str::FromStr;
use std::sync::Arc;

use serde_json::{Number, Value};

use super::{Json, Object, Unreadable};
use crate::ordered::Map;

impl Json for Value {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        Ok(value.clone())
    }

    fn to_json(&self) -> Value {
        self.clone()
    }
}

impl Json for String {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        text(value).map(str::to_owned)
    }

    fn to_json(&self) -> Value {
        Value::String(self.clone())
    }
}

impl Json for bool {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        value
            .as_bool()
            .ok_or_else(|| Unreadable::expected("yes or no", value))
    }

    fn to_json(&self) -> Value {
        Value::Bool(*self)
    }
}

impl Json for i64 {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        value.as_i64().ok_or_else(|| no_number(value))
    }

    fn to_json(&self) -> Value {
        Value::Number(Number::from(*self))
    }
}

impl Json for u64 {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        value.as_u64().ok_or_else(|| no_number(value))
    }

    fn to_json(&self) -> Value {
        Value::Number(Number::from(*self))
    }
}

/// Whole numbers of fewer bits.
macro_rules! whole {
    ($($narrow:ty)*) => {$(
        impl Json for $narrow {
            fn from_json(value: &Value) -> Result<Self, Unreadable> {
                i64::from_json(value)?
                    .try_into()
                    .map_err(|_out_of_range| no_number(value))
            }

            fn to_json(&self) -> Value {
                Value::Number(Number::from(*self))
            }
        }
    )*};
}

whole!(i16 u16 u32 usize);

fn no_number(value: &Value) -> Unreadable {
    Unreadable::expected("a whole number within its bounds", value)
}

impl<T: Json> Json for Option<T> {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        if value.is_null() {
            Ok(None)
        } else {
            T::from_json(value).map(Some)
        }
    }

    fn to_json(&self) -> Value {
        self.as_ref().map_or(Value::Null, T::to_json)
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl<T: Json> Json for Arc<T> {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        T::from_json(value).map(Self::new)
    }

    fn to_json(&self) -> Value {
        T::to_json(self)
    }
}

impl<T: Json> Json for Box<T> {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        T::from_json(value).map(Self::new)
    }

    fn to_json(&self) -> Value {
        T::to_json(self)
    }
}

impl<T: Json> Json for Vec<T> {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        let mut items = Self::new();
        for item in list(value)? {
            items.push(T::from_json(item)?);
        }
        Ok(items)
    }

    fn to_json(&self) -> Value {
        Value::Array(self.iter().map(T::to_json).collect())
    }
}

impl<T: Json + Ord> Json for BTreeSet<T> {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        let mut items = Self::new();
        for item in list(value)? {
            items.insert(T::from_json(item)?);
        }
        Ok(items)
    }

    fn to_json(&self) -> Value {
        Value::Array(self.iter().map(T::to_json).collect())
    }
}

/// Two that belong together, as a list of both.
impl<A: Json, B: Json> Json for (A, B) {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        match list(value)? {
            [one, other] => Ok((A::from_json(one)?, B::from_json(other)?)),
            _ => Err(Unreadable::expected("a list of two", value)),
        }
    }

    fn to_json(&self) -> Value {
        Value::Array(vec![self.0.to_json(), self.1.to_json()])
    }
}

impl<K: FromStr + Display + Ord, T: Json> Json for Map<K, T> {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        let Value::Object(entries) = value else {
            return Err(Unreadable::expected("an object", value));
        };
        let mut map = Self::new();
        for (key, item) in entries {
            let item = T::from_json(item).map_err(|error| error.inside(key))?;
            map.insert(key.parse().map_err(|_not_a_key| no_key(key))?, item);
        }
        Ok(map)
    }

    fn to_json(&self) -> Value {
        let mut object = Object::new();
        for (key, item) in self {
            object.insert(key.to_string(), item.to_json());
        }
        Value::Object(object)
    }
}

fn no_key(key: &str) -> Unreadable {
    Unreadable::because(&format!("“{key}” is no key of this map"))
}

fn list(value: &Value) -> Result<&[Value], Unreadable> {
    value
        .as_array()
        .map(Vec::as_slice)
        .ok_or_else(|| Unreadable::expected("a list", value))
}

/// The text that a value is.
fn text(value: &Value) -> Result<&str, Unreadable> {
    value
        .as_str()
        .ok_or_else(|| Unreadable::expected("text", value))
}

/// What a word stands for, in a list of all of them.
pub fn word_of<T: Copy>(value: &Value, words: &[(&str, T)]) -> Result<T, Unreadable> {
    let word = text(value)?;
    words
        .iter()
        .find(|(name, _)| *name == word)
        .map(|(_, meant)| *meant)
        .ok_or_else(|| Unreadable::expected("one of the known words", value))
}

/// The word of a variant, and what the variant holds.
pub fn chosen(value: &Value) -> Result<(&str, &Value), Unreadable> {
    if let Some(word) = value.as_str() {
        return Ok((word, &Value::Null));
    }
    value
        .as_object()
        .filter(|object| object.len() == 1)
        .and_then(|object| object.iter().next())
        .map(|(word, content)| (word.as_str(), content))
        .ok_or_else(|| Unreadable::expected("a word with what it holds", value))
}

/// The word of a variant with what the variant holds.
pub fn with_word(word: &str, content: Option<Value>) -> Value {
    match content {
        None => Value::String(word.to_owned()),
        Some(content) => {
            let mut object = Object::new();
            object.insert(word.to_owned(), content);
            Value::Object(object)
        }
    }
}

/// Reads something by its text, such as a day.
pub(crate) fn from_text<T: FromStr<Err: Display>>(value: &Value) -> Result<T, Unreadable> {
    text(value)?
        .parse()
        .map_err(|error: T::Err| Unreadable::because(&error.to_string()))
}
