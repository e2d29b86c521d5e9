//! An address inside the program, cut into its parts.

/// An address such as `/order/new?from=soil#top`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Address {
    /// Which screen: `/order/new`.
    pub path: String,
    /// What it is asked: `from=soil`.
    pub query: String,
    /// Which place on it, with its mark: `#top`; empty when none is named.
    pub hash: String,
}

impl Address {
    /// Cuts an address that begins at the root.
    pub fn read(text: &str) -> Self {
        let (rest, hash) = text.split_at(text.find('#').unwrap_or(text.len()));
        let (path, query) = rest.split_once('?').unwrap_or((rest, ""));
        Self {
            path: path.to_owned(),
            query: query.to_owned(),
            hash: hash.to_owned(),
        }
    }

    /// The address as one text.
    pub fn whole(&self) -> String {
        let mark = if self.query.is_empty() { "" } else { "?" };
        [&self.path, mark, &self.query, &self.hash].concat()
    }
}

/// What a query says of a name, the first time it says it.
pub fn asked(query: &str, name: &str) -> Option<String> {
    query
        .split('&')
        .map(|part| part.split_once('=').unwrap_or((part, "")))
        .find(|(other, _)| decoded(other) == name)
        .map(|(_, value)| decoded(value))
}

/// A part of a query as it was before it was put into an address: `+` is a space, `%2B` a plus.
fn decoded(part: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = part.as_bytes();
    while let [byte, after @ ..] = rest {
        rest = after;
        let digit = |byte: u8| char::from(byte).to_digit(16);
        let coded = match after {
            [high, low, behind @ ..] if *byte == b'%' => digit(*high)
                .zip(digit(*low))
                .map(|(high, low)| (high * 16 + low, behind)),
            _ => None,
        };
        bytes.push(if let Some((code, behind)) = coded {
            rest = behind;
            u8::try_from(code).unwrap_or(b'?')
        } else if *byte == b'+' {
            b' '
        } else {
            *byte
        });
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_cut_and_put_together() {
        let parts = |text: &str| {
            let Address { path, query, hash } = Address::read(text);
            (path, query, hash)
        };
        for (text, path, query, hash) in [
            ("/week", "/week", "", ""),
            ("/week#aside", "/week", "", "#aside"),
            ("/picking?turn=7", "/picking", "turn=7", ""),
            ("/a?b=c#d?e#f", "/a", "b=c", "#d?e#f"),
        ] {
            assert_eq!(parts(text), (path.into(), query.into(), hash.into()));
            assert_eq!(Address::read(text).whole(), text);
        }
    }

    // The examples are those of the URL standard's section on application/x-www-form-urlencoded, and our own.
    #[test]
    fn what_is_asked_is_read_as_forms_write_it() {
        for (query, name, value) in [
            ("from=soil&lime=on+top", "lime", Some("on top")),
            (
                "word=%C3%A9t%C3%A9%20%2B%26",
                "word",
                Some("\u{e9}t\u{e9} +&"),
            ),
            ("print", "print", Some("")),
            ("a=1&a=2", "a", Some("1")),
            ("b=%zz%4", "b", Some("%zz%4")),
            ("a%62=7", "ab", Some("7")),
            ("", "a", None),
        ] {
            assert_eq!(asked(query, name).as_deref(), value, "{query}");
        }
    }
}
