//! What is noted when the program stops in the middle, and when stopping has become a circle.

/// Two stops within this time are a circle: loading the page anew did not help.
const CIRCLE_MILLIS: i64 = 60_000;

/// The last stop, as it is noted on the phone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stop {
    /// When, in milliseconds since 1970 began.
    pub at: i64,
    /// Where and why; empty once it has been told.
    pub words: String,
}

impl Stop {
    /// Reads a note.
    pub fn read(note: &str) -> Option<Self> {
        let (at, words) = note.split_once(' ')?;
        Some(Self {
            at: at.parse().ok()?,
            words: words.to_owned(),
        })
    }

    /// Writes the note.
    pub fn note(&self) -> String {
        format!("{} {}", self.at, self.words)
    }

    /// The same stop once its words have been told. The time stays: it is what shows a circle.
    #[must_use]
    pub fn told(&self) -> Self {
        Self {
            at: self.at,
            words: String::new(),
        }
    }

    /// Whether a stop now, after this one, is a circle. A clock that was set back counts as one, to be safe.
    pub fn is_circle(&self, now: i64) -> bool {
        now.saturating_sub(self.at) <= CIRCLE_MILLIS
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_comes_back_as_written() {
        let stop = Stop {
            at: 1_767_263_400_000,
            words: "index 3 out of bounds\nat plan.rs".into(),
        };
        assert_eq!(Stop::read(&stop.note()), Some(stop));
    }

    #[test]
    fn a_stop_at_the_next_start_is_a_circle_though_the_first_was_told() {
        let first = Stop {
            at: 1_000_000,
            words: "why".into(),
        };
        let told = Stop::read(&first.told().note()).unwrap();
        assert_eq!(told.words, "");
        assert!(told.is_circle(1_000_900));
        assert!(!told.is_circle(1_100_000));
    }

    #[test]
    fn what_is_no_note_is_none() {
        assert_eq!(Stop::read(""), None);
        assert_eq!(Stop::read("yesterday it stopped"), None);
    }
}
