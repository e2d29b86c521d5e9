//! What is typed into a field with a unit beside it, links that are pasted, and values in addresses.

/// A bare number is meant in the unit that stands beside the field; anything with a unit of its own stays as it is.
pub fn with_unit(text: &str, unit: &str) -> String {
    let text = text.trim();
    let is_bare = text.chars().any(char::is_numeric)
        && text
            .chars()
            .all(|letter| letter.is_numeric() || matches!(letter, '.' | ',' | '/' | ' '));
    if is_bare {
        format!("{text} {unit}")
    } else {
        text.to_owned()
    }
}

/// The secret in what somebody pasted: a whole link, or the secret alone.
pub fn secret_in(pasted: &str) -> Option<String> {
    let pasted = pasted.trim();
    let secret = pasted
        .split_once('#')
        .map_or(pasted, |(_, secret)| secret)
        .trim();
    let is_secret = secret.len() >= 16
        && secret
            .chars()
            .all(|letter| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_'));
    is_secret.then(|| secret.to_owned())
}

/// A value as it may stand in an address.
pub fn escaped(value: &str) -> String {
    let byte = |byte: u8| {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.') {
            char::from(byte).to_string()
        } else {
            format!("%{byte:02X}")
        }
    };
    value.bytes().map(byte).collect()
}

#[cfg(test)]
mod tests {
    use selion_core::quantities::{Mass, Minutes};

    use super::*;

    #[test]
    fn a_bare_number_takes_the_unit_beside_the_field() {
        assert_eq!(
            Minutes::parse(&with_unit("30", "min")),
            Ok(Minutes::new(30))
        );
        assert_eq!(
            Minutes::parse(&with_unit(" 1 1/2 h", "min")),
            Ok(Minutes::new(90))
        );
        assert_eq!(
            Mass::parse(&with_unit("2,5", "kg")),
            Ok(Mass::from_grams(2_500))
        );
        assert_eq!(
            Mass::parse(&with_unit("½", "lb")),
            Ok(Mass::from_grams(227))
        );
        assert_eq!(with_unit("", "kg"), "", "nothing stays nothing");
        assert_eq!(
            with_unit("a few", "kg"),
            "a few",
            "so that the refusal repeats what came"
        );
    }

    #[test]
    fn a_secret_is_found_in_a_link_or_alone() {
        let secret = "bWFkZSB1cCBmb3IgdGhpcw";
        let found = Some(secret.to_owned());
        assert_eq!(
            secret_in(&format!(" https://sorrel-bank.example/join#{secret}\n")),
            found
        );
        assert_eq!(secret_in(secret), found);
        assert_eq!(secret_in("https://sorrel-bank.example/join"), None);
        assert_eq!(secret_in("#short"), None);
        assert_eq!(secret_in(""), None);
    }
}
