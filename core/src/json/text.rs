//! JSON as text, by RFC 8259, without floats: nothing of a garden is one.
//!
//! `serde_json` reads and writes the same, but brings its ways to any type and the tables for floats along, all of which
//! phones would load. A number that is no whole one of 64 bits is read as the text it stands as, so that whoever wanted a
//! number can say what came instead.

use serde_json::{Number, Value};

use super::{Object, Unreadable};

/// Lists and objects inside each other; more would be somebody's mischief.
const DEPTH: usize = 127;

/// Reads a text.
pub(super) fn parse(text: &[u8]) -> Result<Value, Unreadable> {
    let text = std::str::from_utf8(text)
        .map_err(|_not_a_text| Unreadable::because("UTF-8 text was expected"))?;
    let mut reader = Reader { text, at: 0 };
    let value = reader.value(DEPTH)?;
    if reader.at < text.len() {
        return Err(reader.expected("the end"));
    }
    Ok(value)
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl Reader<'_> {
    fn expected(&self, what: &str) -> Unreadable {
        let before = self.text.get(..self.at).unwrap_or_default();
        let place = before.chars().count() + 1;
        Unreadable::because(&format!(
            "{what} was expected at character {place} of the JSON"
        ))
    }

    fn next(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn skip(&mut self, wanted: fn(u8) -> bool) {
        while self.next().is_some_and(wanted) {
            self.at += 1;
        }
    }

    fn space(&mut self) {
        self.skip(|byte| matches!(byte, b' ' | b'\n' | b'\r' | b'\t'));
    }

    /// Steps over a mark and the space behind it, if it stands here.
    fn mark(&mut self, mark: u8) -> bool {
        let stands = self.next() == Some(mark);
        if stands {
            self.at += 1;
            self.space();
        }
        stands
    }

    /// A value with the space around it.
    fn value(&mut self, depth: usize) -> Result<Value, Unreadable> {
        self.space();
        let value = match self.next() {
            Some(b'{') => self.object(depth),
            Some(b'[') => self.list(depth),
            Some(b'"') => self.string().map(Value::String),
            Some(b'-' | b'0'..=b'9') => self.number(),
            Some(b't') => self.word("true", Value::Bool(true)),
            Some(b'f') => self.word("false", Value::Bool(false)),
            Some(b'n') => self.word("null", Value::Null),
            _ => Err(self.expected("a value")),
        }?;
        self.space();
        Ok(value)
    }

    fn word(&mut self, word: &str, value: Value) -> Result<Value, Unreadable> {
        let rest = self.text.get(self.at..).unwrap_or_default();
        if !rest.starts_with(word) {
            return Err(self.expected("a value"));
        }
        self.at += word.len();
        Ok(value)
    }

    fn list(&mut self, depth: usize) -> Result<Value, Unreadable> {
        let depth = inner(depth)?;
        let mut items = Vec::new();
        self.mark(b'[');
        if self.mark(b']') {
            return Ok(Value::Array(items));
        }
        loop {
            items.push(self.value(depth)?);
            if self.mark(b']') {
                return Ok(Value::Array(items));
            }
            if !self.mark(b',') {
                return Err(self.expected("a comma or the end of the list"));
            }
        }
    }

    fn object(&mut self, depth: usize) -> Result<Value, Unreadable> {
        let depth = inner(depth)?;
        let mut fields = Object::new();
        self.mark(b'{');
        if self.mark(b'}') {
            return Ok(Value::Object(fields));
        }
        loop {
            if self.next() != Some(b'"') {
                return Err(self.expected("the name of a field"));
            }
            let name = self.string()?;
            self.space();
            if !self.mark(b':') {
                return Err(self.expected("a colon"));
            }
            let value = self.value(depth)?;
            fields.insert(name, value);
            if self.mark(b'}') {
                return Ok(Value::Object(fields));
            }
            if !self.mark(b',') {
                return Err(self.expected("a comma or the end of the object"));
            }
        }
    }

    fn string(&mut self) -> Result<String, Unreadable> {
        let mut string = String::new();
        self.at += 1;
        loop {
            let from = self.at;
            self.skip(|byte| byte >= b' ' && byte != b'"' && byte != b'\\');
            string.push_str(self.text.get(from..self.at).unwrap_or_default());
            match self.next() {
                Some(b'"') => {
                    self.at += 1;
                    return Ok(string);
                }
                Some(b'\\') => string.push(self.escaped()?),
                _ => return Err(self.expected("the end of a text")),
            }
        }
    }

    fn escaped(&mut self) -> Result<char, Unreadable> {
        self.at += 1;
        let letter = match self.next() {
            Some(plain @ (b'"' | b'\\' | b'/')) => char::from(plain),
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => return self.by_number(),
            _ => return Err(self.expected("a mark that may follow a stroke")),
        };
        self.at += 1;
        Ok(letter)
    }

    /// `\u00e9`, or two of them for a letter beyond 16 bits.
    fn by_number(&mut self) -> Result<char, Unreadable> {
        let first = self.four_digits()?;
        let number = if (0xD800..0xDC00).contains(&first) {
            if self.next() != Some(b'\\') {
                return Err(self.expected("the second half of a letter"));
            }
            self.at += 1;
            if self.next() != Some(b'u') {
                return Err(self.expected("the second half of a letter"));
            }
            let second = self.four_digits()?;
            if !(0xDC00..0xE000).contains(&second) {
                return Err(self.expected("the second half of a letter"));
            }
            0x1_0000 + ((first - 0xD800) << 10) + (second - 0xDC00)
        } else {
            first
        };
        char::from_u32(number).ok_or_else(|| self.expected("a letter"))
    }

    fn four_digits(&mut self) -> Result<u32, Unreadable> {
        self.at += 1;
        let digits = self.text.get(self.at..self.at + 4).unwrap_or_default();
        if digits.is_empty() || !digits.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return Err(self.expected("four hexadecimal digits"));
        }
        self.at += 4;
        u32::from_str_radix(digits, 16).map_err(|_no_number| self.expected("a letter"))
    }

    fn digits(&mut self) -> Result<(), Unreadable> {
        let from = self.at;
        self.skip(|byte| byte.is_ascii_digit());
        if from == self.at {
            return Err(self.expected("a digit"));
        }
        Ok(())
    }

    fn number(&mut self) -> Result<Value, Unreadable> {
        let from = self.at;
        if self.next() == Some(b'-') {
            self.at += 1;
        }
        if self.next() == Some(b'0') {
            self.at += 1;
        } else {
            self.digits()?;
        }
        if self.next() == Some(b'.') {
            self.at += 1;
            self.digits()?;
        }
        if matches!(self.next(), Some(b'e' | b'E')) {
            self.at += 1;
            if matches!(self.next(), Some(b'+' | b'-')) {
                self.at += 1;
            }
            self.digits()?;
        }
        let number = self.text.get(from..self.at).unwrap_or_default();
        let whole = number.parse::<i64>().map(Number::from);
        let whole = whole.or_else(|_too_large| number.parse::<u64>().map(Number::from));
        Ok(whole.map_or_else(|_no_whole| Value::String(number.to_owned()), Value::Number))
    }
}

/// How much deeper it may still go, one step further in.
fn inner(depth: usize) -> Result<usize, Unreadable> {
    depth
        .checked_sub(1)
        .ok_or_else(|| Unreadable::because("the JSON lies too deep inside itself"))
}

/// Writes on one line.
pub(super) fn write(value: &Value) -> String {
    let mut text = String::new();
    put(value, &mut text);
    text
}

fn put(value: &Value, text: &mut String) {
    match value {
        Value::Null => text.push_str("null"),
        Value::Bool(true) => text.push_str("true"),
        Value::Bool(false) => text.push_str("false"),
        Value::Number(number) => {
            if let Some(number) = number.as_i64() {
                text.push_str(&number.to_string());
            } else if let Some(number) = number.as_u64() {
                text.push_str(&number.to_string());
            } else {
                // No type here writes a float.
                text.push_str("null");
            }
        }
        Value::String(string) => put_string(string, text),
        Value::Array(items) => {
            text.push('[');
            for (place, item) in items.iter().enumerate() {
                if place > 0 {
                    text.push(',');
                }
                put(item, text);
            }
            text.push(']');
        }
        Value::Object(fields) => {
            text.push('{');
            for (place, (name, value)) in fields.iter().enumerate() {
                if place > 0 {
                    text.push(',');
                }
                put_string(name, text);
                text.push(':');
                put(value, text);
            }
            text.push('}');
        }
    }
}

fn put_string(string: &str, text: &mut String) {
    text.push('"');
    for letter in string.chars() {
        match letter {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            '\n' => text.push_str("\\n"),
            '\r' => text.push_str("\\r"),
            '\t' => text.push_str("\\t"),
            '\u{8}' => text.push_str("\\b"),
            '\u{c}' => text.push_str("\\f"),
            control if control < ' ' => {
                text.push_str("\\u00");
                for digit in [u32::from(control) >> 4, u32::from(control) & 15] {
                    text.push(char::from_digit(digit, 16).unwrap_or('0'));
                }
            }
            plain => text.push(plain),
        }
    }
    text.push('"');
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Any value that our types write.
    fn any_value() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::Bool),
            any::<i64>().prop_map(|number| Value::Number(Number::from(number))),
            any::<u64>().prop_map(|number| Value::Number(Number::from(number))),
            any::<String>().prop_map(Value::String),
        ];
        leaf.prop_recursive(4, 40, 6, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..6).prop_map(Value::Array),
                prop::collection::btree_map(any::<String>(), inner, 0..6)
                    .prop_map(|fields| Value::Object(fields.into_iter().collect())),
            ]
        })
    }

    /// What `serde_json` reads, with the numbers that are no whole ones as the text they stand as.
    fn by_serde(text: &[u8]) -> Option<Value> {
        fn bare(value: &Value) -> Value {
            match value {
                Value::Number(number) if number.is_f64() => Value::Null,
                Value::Array(items) => Value::Array(items.iter().map(bare).collect()),
                Value::Object(fields) => {
                    let fields = fields.iter();
                    Value::Object(fields.map(|(name, it)| (name.clone(), bare(it))).collect())
                }
                plain @ (Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_)) => {
                    plain.clone()
                }
            }
        }
        serde_json::from_slice(text).ok().map(|value| bare(&value))
    }

    proptest! {
        #[test]
        fn what_is_written_is_what_serde_json_writes(value in any_value()) {
            let text = write(&value);
            prop_assert_eq!(&text, &value.to_string());
            prop_assert_eq!(parse(text.as_bytes()), Ok(value));
        }

        // Letters that JSON is made of, in any order: most of it is none.
        #[test]
        fn what_serde_json_refuses_is_refused(text in r#"[\[\]{}:,"\\ue0-9a-fntr. +-]{0,12}"#) {
            let read = parse(text.as_bytes());
            match by_serde(text.as_bytes()) {
                Some(value) if !text.contains(['.', 'e', 'E', '-']) && text.len() < 10 => {
                    prop_assert_eq!(read, Ok(value));
                }
                Some(_) => prop_assert!(read.is_ok(), "{}", text),
                // Too large for a float, which is none of our business.
                None => prop_assert!(read.is_err() || text.contains(['e', 'E']), "{}", text),
            }
        }

        #[test]
        fn a_text_cut_short_or_changed_is_refused_with_a_sentence_or_read(
            value in any_value(),
            place in any::<prop::sample::Index>(),
            byte in any::<u8>(),
        ) {
            let mut bytes = write(&value).into_bytes();
            // A number with thousands of digits is none to `serde_json`, and a text to us.
            prop_assume!(!matches!(byte, b'e' | b'E'));
            let place = place.index(bytes.len());
            bytes[place] = byte;
            let same = |text: &[u8]| parse(text).is_ok() == by_serde(text).is_some();
            prop_assert!(same(&bytes));
            prop_assert!(same(&bytes[..place]));
        }
    }

    // Of the examples of RFC 8259: section 13, and the letter beyond 16 bits of section 7.
    #[test]
    fn the_examples_of_the_standard_are_read() {
        let image = r#"{ "Image": { "Width": 800, "Title": "View from 15th Floor", "Animated" : false,
            "IDs": [116, 943, 234, 38793], "Thumbnail": { "Url": "http://www.example.com/image/481989943" } } }"#;
        assert_eq!(parse(image.as_bytes()).ok(), by_serde(image.as_bytes()));
        assert_eq!(
            parse(br#""\uD834\uDD1E""#),
            Ok(Value::String("\u{1D11E}".to_owned()))
        );
    }

    #[test]
    fn a_number_that_is_no_whole_one_says_what_came() {
        let read: Result<i64, _> = crate::json::read("1.5");
        let why = read.unwrap_err().to_string();
        assert_eq!(
            why,
            "a whole number within its bounds was expected, but \u{201c}1.5\u{201d} came"
        );
    }

    #[test]
    fn what_lies_too_deep_is_refused() {
        let nested = |depth: usize| "[".repeat(depth) + &"]".repeat(depth);
        assert!(parse(nested(127).as_bytes()).is_ok());
        assert!(parse(nested(128).as_bytes()).is_err());
        assert!(parse(nested(100_000).as_bytes()).is_err());
    }
}
