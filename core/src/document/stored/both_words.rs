//! Two versions of a note, with and without knowing what they came from.

/// What two people made of the same text, each change where it was made. Where both changed the same words, both stand.
pub(super) fn both_changes(before: &str, stands: &str, written: &str) -> String {
    if before == stands {
        return written.to_owned();
    }
    if before == written {
        return stands.to_owned();
    }
    let old = words(before);
    let (theirs, mine) = (Change::of(&old, stands), Change::of(&old, written));
    // Both put words in at the same spot: nothing there tells them apart.
    let same_spot = theirs.begin == mine.begin && theirs.end == mine.end;
    let (first, second) = if same_spot {
        return both_words(stands, written);
    } else if theirs.end <= mine.begin {
        (theirs, mine)
    } else if mine.end <= theirs.begin {
        (mine, theirs)
    } else {
        return both_words(stands, written);
    };
    let part = |from: usize, to: usize| old.iter().skip(from).take(to - from).copied();
    part(0, first.begin)
        .chain(first.put_in)
        .chain(part(first.end, second.begin))
        .chain(second.put_in)
        .chain(part(second.end, old.len()))
        .collect()
}

/// The words of a text from `begin` to before `end`, and what stands in their place.
struct Change<'a> {
    begin: usize,
    end: usize,
    put_in: Vec<&'a str>,
}

impl<'a> Change<'a> {
    fn of(old: &[&str], text: &'a str) -> Self {
        let new = words(text);
        let begin = same(old.iter(), new.iter());
        let shorter = old.len().min(new.len());
        let same_at_end = same(old.iter().rev(), new.iter().rev()).min(shorter - begin);
        let middle = new.iter().skip(begin).take(new.len() - begin - same_at_end);
        Self {
            begin,
            end: old.len() - same_at_end,
            put_in: middle.copied().collect(),
        }
    }
}

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
    fn changes_in_different_places_stand_where_they_were_made() {
        for (before, stands, written, both) in [
            ("a b c", "a b c", "a c", "a c"),
            ("a b c", "a c", "a b c", "a c"),
            (
                "hoe the beans",
                "hoe the peas",
                "hoe all the beans",
                "hoe all the peas",
            ),
            (
                "hoe the beans",
                "hoe all the beans",
                "hoe the peas",
                "hoe all the peas",
            ),
            ("water", "water daily", "water weekly", "water daily weekly"),
            (
                "water beds 1 and 2",
                "water bed 1",
                "please water beds 1 and 2",
                "please water bed 1",
            ),
            ("", "bring gloves", "bring water", "bring gloves water"),
            (
                "hoe the beans",
                "hoe the peas",
                "hoe the corn",
                "hoe the peas corn",
            ),
        ] {
            let found = both_changes(before, stands, written);
            assert_eq!(found, both, "{before}: {stands} + {written}");
        }
    }

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
