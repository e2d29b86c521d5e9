//! Objects, field by field.

use serde_json::{Map, Value};

use super::{Json, Unreadable};

/// What a record is written into.
pub type Object = Map<String, Value>;

/// The fields of an object that is read.
#[derive(Clone, Copy, Debug)]
pub struct Fields<'a>(&'a Object);

impl<'a> Fields<'a> {
    /// The fields, if it is an object.
    pub fn of(value: &'a Value) -> Result<Self, Unreadable> {
        value
            .as_object()
            .map(Self)
            .ok_or_else(|| Unreadable::expected("an object", value))
    }

    /// A field that must be there, unless its type can be absent.
    pub fn read<T: Json>(self, name: &str) -> Result<T, Unreadable> {
        match self.0.get(name) {
            Some(value) => T::from_json(value).map_err(|error| error.inside(name)),
            None => T::absent().ok_or_else(|| missing(name)),
        }
    }

    /// A field that reads as the default where it is missing.
    pub fn read_or_default<T: Json + Default>(self, name: &str) -> Result<T, Unreadable> {
        match self.0.get(name) {
            Some(value) => T::from_json(value).map_err(|error| error.inside(name)),
            None => Ok(T::default()),
        }
    }

    /// The word in a field.
    pub fn word(self, name: &str) -> Result<&'a str, Unreadable> {
        match self.0.get(name) {
            Some(Value::String(word)) => Ok(word),
            Some(other) => Err(Unreadable::expected("a word", other).inside(name)),
            None => Err(missing(name)),
        }
    }
}

fn missing(name: &str) -> Unreadable {
    Unreadable::because(&format!("the field {name} is missing"))
}

/// Writes a field.
pub fn put<T: Json>(object: &mut Object, name: &str, it: &T) {
    put_value(object, name, it.to_json());
}

/// Writes a field that holds a word.
pub fn put_word(object: &mut Object, name: &str, word: &str) {
    put_value(object, name, Value::String(word.to_owned()));
}

#[inline(never)]
fn put_value(object: &mut Object, name: &str, value: Value) {
    object.insert(name.to_owned(), value);
}
