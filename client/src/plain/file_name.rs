//! What a saved file is called.

/// A garden's name as part of the name of a file.
pub fn file_word(name: &str) -> String {
    let letter = |letter: char| {
        if letter.is_alphanumeric() {
            letter
        } else {
            '-'
        }
    };
    name.to_lowercase().chars().map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_left_that_a_folder_would_not_take() {
        assert_eq!(file_word("Sorrel Bank / 2"), "sorrel-bank---2");
        assert_eq!(file_word("Küche"), "küche");
    }
}
