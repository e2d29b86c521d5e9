//! The macros that write down the names of fields and words beside a type.

/// A struct as an object: `record!(Bed { label, outline, note = default })`.
#[macro_export]
macro_rules! record {
    ($name:ident { $($field:ident $(= $default:ident)?),* $(,)? }) => {
        impl $crate::json::Record for $name {
            fn from_fields(fields: $crate::json::Fields<'_>) -> Result<Self, $crate::json::Unreadable> {
                Ok(Self { $($field: $crate::json::field!(fields, $field $(, $default)?)),* })
            }

            fn put_fields(&self, object: &mut $crate::json::Object) {
                let Self { $($field),* } = self;
                $($crate::json::put(object, stringify!($field), $field);)*
            }
        }

        $crate::json::one_object!($name);
    };
}

/// An enum of bare variants as words: `words!(Units { "metric" => Metric, "us" => UsCustomary })`.
#[macro_export]
macro_rules! words {
    ($name:ident { $($word:literal => $variant:ident),* $(,)? }) => {
        impl $name {
            const WORDS: &[(&str, Self)] = &[$(($word, Self::$variant)),*];

            /// Its word, as it is stored and sent.
            pub const fn key(self) -> &'static str {
                match self {
                    $(Self::$variant => $word),*
                }
            }
        }

        impl $crate::json::Json for $name {
            fn from_json(value: &$crate::json::Value) -> Result<Self, $crate::json::Unreadable> {
                $crate::json::word_of(value, Self::WORDS)
            }

            fn to_json(&self) -> $crate::json::Value {
                $crate::json::Value::String(self.key().to_owned())
            }
        }
    };
}

/// An enum as a word with what the variant holds: `choice!(NoteOf { "bed" => Bed(bed), "task" => Task(task) })`.
#[macro_export]
macro_rules! choice {
    ($name:ident {
        $($word:literal => $variant:ident
            $(($inner:ident $(, $second:ident)?))?
            $({ $($field:ident $(= $default:ident)?),* $(,)? })?
        ),* $(,)?
    }) => {
        impl $crate::json::Json for $name {
            fn from_json(value: &$crate::json::Value) -> Result<Self, $crate::json::Unreadable> {
                let (word, _content) = $crate::json::chosen(value)?;
                match word {
                    $($word => {
                        $($crate::json::let_content!(_content, $inner $(, $second)?);)?
                        $(
                            let fields = $crate::json::Fields::of(_content)?;
                            $(let $field = $crate::json::field!(fields, $field $(, $default)?);)*
                        )?
                        Ok(Self::$variant $(($inner $(, $second)?))? $({ $($field),* })?)
                    })*
                    _ => Err($crate::json::Unreadable::unknown_word(word)),
                }
            }

            fn to_json(&self) -> $crate::json::Value {
                match self {
                    $(Self::$variant $(($inner $(, $second)?))? $({ $($field),* })? => {
                        $crate::json::with_word($word, $crate::json::content!($($inner $(, $second)?)? $({ $($field),* })?))
                    })*
                }
            }
        }
    };
}

/// An enum as one object that holds the word of the variant beside its fields:
/// `tagged!(Notice by "notice" { "got_place" => GotPlace { of }, "pong" => Pong })`. A variant may hold a record too.
#[macro_export]
macro_rules! tagged {
    ($name:ident by $tag:literal {
        $($word:literal => $variant:ident
            $(($inner:ident))?
            $({ $($field:ident $(= $default:ident)?),* $(,)? })?
        ),* $(,)?
    }) => {
        impl $crate::json::Record for $name {
            fn from_fields(fields: $crate::json::Fields<'_>) -> Result<Self, $crate::json::Unreadable> {
                let word = fields.word($tag)?;
                match word {
                    $($word => {
                        $(let $inner = $crate::json::Record::from_fields(fields)?;)?
                        $($(let $field = $crate::json::field!(fields, $field $(, $default)?);)*)?
                        Ok(Self::$variant $(($inner))? $({ $($field),* })?)
                    })*
                    _ => Err($crate::json::Unreadable::unknown_word(word)),
                }
            }

            fn put_fields(&self, object: &mut $crate::json::Object) {
                match self {
                    $(Self::$variant $(($inner))? $({ $($field),* })? => {
                        $crate::json::put_word(object, $tag, $word);
                        $($crate::json::Record::put_fields($inner, object);)?
                        $($($crate::json::put(object, stringify!($field), $field);)*)?
                    })*
                }
            }
        }

        $crate::json::one_object!($name);
    };
}

/// A record alone in its object.
#[macro_export]
#[doc(hidden)]
macro_rules! one_object {
    ($name:ident) => {
        impl $crate::json::Json for $name {
            fn from_json(value: &$crate::json::Value) -> Result<Self, $crate::json::Unreadable> {
                $crate::json::Record::from_fields($crate::json::Fields::of(value)?)
            }

            fn to_json(&self) -> $crate::json::Value {
                let mut object = $crate::json::Object::new();
                $crate::json::Record::put_fields(self, &mut object);
                $crate::json::Value::Object(object)
            }
        }
    };
}

/// One field, read.
#[macro_export]
#[doc(hidden)]
macro_rules! field {
    ($fields:ident, $field:ident) => {
        $fields.read(stringify!($field))?
    };
    ($fields:ident, $field:ident, default) => {
        $fields.read_or_default(stringify!($field))?
    };
}

/// What a variant of a choice holds, read: one thing, or two as a list.
#[macro_export]
#[doc(hidden)]
macro_rules! let_content {
    ($content:ident, $inner:ident) => {
        let $inner = $crate::json::Json::from_json($content)?;
    };
    ($content:ident, $inner:ident, $second:ident) => {
        let ($inner, $second) = $crate::json::Json::from_json($content)?;
    };
}

/// What a variant of a choice holds, written.
#[macro_export]
#[doc(hidden)]
macro_rules! content {
    () => {
        None
    };
    ($inner:ident) => {
        Some($crate::json::Json::to_json($inner))
    };
    ($inner:ident, $second:ident) => {
        Some($crate::json::Value::Array(vec![
            $crate::json::Json::to_json($inner),
            $crate::json::Json::to_json($second),
        ]))
    };
    ({ $($field:ident),* }) => {{
        let mut object = $crate::json::Object::new();
        $($crate::json::put(&mut object, stringify!($field), $field);)*
        Some($crate::json::Value::Object(object))
    }};
}

/// A type whose JSON form is its text, `form!(Day: text)`, or that of the one thing inside it, `form!(Mass: inside)`.
macro_rules! form {
    ($name:ident: text) => {
        impl $crate::json::Json for $name {
            fn from_json(value: &$crate::json::Value) -> Result<Self, $crate::json::Unreadable> {
                $crate::json::from_text(value)
            }

            fn to_json(&self) -> $crate::json::Value {
                $crate::json::Value::String(self.to_string())
            }
        }
    };
    ($name:ident: inside) => {
        impl $crate::json::Json for $name {
            fn from_json(value: &$crate::json::Value) -> Result<Self, $crate::json::Unreadable> {
                $crate::json::Json::from_json(value).map(Self)
            }

            fn to_json(&self) -> $crate::json::Value {
                $crate::json::Json::to_json(&self.0)
            }
        }
    };
}

/// Serde's traits for types that the service puts into files and answers of its own: the same JSON form.
macro_rules! serde_form {
    ($($name:ident)*) => {$(
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                $crate::json::Json::to_json(self).serialize(serializer)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let value = $crate::json::Value::deserialize(deserializer)?;
                $crate::json::Json::from_json(&value).map_err(serde::de::Error::custom)
            }
        }
    )*};
}

pub(crate) use {form, serde_form};
