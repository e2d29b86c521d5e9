//! Two versions of a note of which nobody knows how the later came from the earlier.

/// Both texts in one: what they share at the beginning and at the end stands once, and between that stand the words of
/// the one and then of the other. Nothing is taken away, since nobody knows what the writer meant to take away.
pub(super) fn both_words(stands: &str, written: &str) -> String {
    let (old, new) = (words(stands), words(written));
    let begin = same(old.iter(), new.iter());
    let shorter = old.len().min(new.len());
    let end = same(old.iter().rev(), new.iter().rev()).min(shorter - begin);
    let middle = |words: &[&str]| -> String {
        let inner = words.iter().skip(begin).take(words.len() - begin - end);
        inner.copied().collect()
    };
    let mut both: String = old.iter().take(begin).copied().collect();
    push_apart(&mut both, &middle(&old));
    push_apart(&mut both, &middle(&new));
    let rest: String = old.iter().skip(old.len() - end).copied().collect();
    push_apart(&mut both, &rest);
    both
}

/// Adds words, with a space where two would run into one.
fn push_apart(text: &mut String, words: &str) {
    let touch = text.ends_with(|c: char| !c.is_whitespace())
        && words.starts_with(|c: char| !c.is_whitespace());
    if touch {
        text.push(' ');
    }
    text.push_str(words);
}

/// A text cut into words and what is between them.
fn words(text: &str) -> Vec<&str> {
    let mut words = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let space = first.is_whitespace();
        let length = rest
            .find(|c: char| c.is_whitespace() != space)
            .unwrap_or(rest.len());
        let (word, after) = rest.split_at(length);
        words.push(word);
        rest = after;
    }
    words
}

fn same<'a>(
    one: impl Iterator<Item = &'a &'a str>,
    other: impl Iterator<Item = &'a &'a str>,
) -> usize {
    one.zip(other)
        .take_while(|(one, other)| one == other)
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_either_is_in_it() {
        for (stands, written, both) in [
            ("", "", ""),
            ("water", "water", "water"),
            ("", "bring gloves", "bring gloves"),
            ("bring gloves", "", "bring gloves"),
            ("water daily", "water weekly", "water daily weekly"),
            ("hoe the beans", "hoe the peas", "hoe the beans peas"),
            ("a", "a b c", "a b c"),
            ("a d", "a b c", "a d b c"),
            ("a c", "a b c", "a b c"),
            ("one end", "other end", "one other end"),
            ("a a", "a", "a a"),
        ] {
            assert_eq!(both_words(stands, written), both, "{stands} + {written}");
        }
    }
}
