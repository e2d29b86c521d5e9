//! Counts and places in words.

/// So many of something: `1 person`, `3 people`.
pub fn counted(count: usize, one: &str, several: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {several}")
    }
}

/// How many places are taken: `2 of 4`.
pub fn taken_of(taken: usize, places: usize) -> String {
    format!("{taken} of {places}")
}

/// Where a stand-by is in the line, the next one being 1.
pub fn stand_by(steps: usize) -> String {
    match steps {
        0 | 1 => "first stand-by".to_owned(),
        2 => "second stand-by".to_owned(),
        3 => "third stand-by".to_owned(),
        more => format!("stand-by number {more}"),
    }
}

/// The same words with a capital at the front.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
