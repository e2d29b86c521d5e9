//! Bars that overlap are laid in lanes below one another, each with room for its words.

use super::scale::{WHOLE, share};

/// How many days of the drawing a letter takes, at the narrowest that a year is drawn.
const DAYS_A_LETTER: i64 = 4;
/// And the space after the words, in days.
const DAYS_AFTER: i64 = 5;

/// Something along the year with words that may be longer than it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Where it begins.
    pub from: i64,
    /// Where it ends.
    pub to: i64,
    /// How much room its words take.
    pub words: i64,
}

/// Where a stretch came to lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// The lane, from 0.
    pub lane: usize,
    /// Whether its words end with it, because they would run out of the year.
    pub words_at_end: bool,
}

/// The room that words take in a year.
pub fn room(words: &str, year: i16) -> i64 {
    let letters = i64::try_from(words.chars().count()).unwrap_or(0);
    share(letters * DAYS_A_LETTER + DAYS_AFTER, year)
}

/// Lays stretches into as few lanes as their order allows: each into the first lane that is free there.
pub fn lay(stretches: &[Stretch]) -> Vec<Laid> {
    let mut taken: Vec<Vec<(i64, i64)>> = Vec::new();
    let mut laid = Vec::new();
    for stretch in stretches {
        let words_at_end = stretch.from + stretch.words > WHOLE && stretch.to > stretch.words;
        let (from, to) = if words_at_end {
            (stretch.from.min(stretch.to - stretch.words), stretch.to)
        } else {
            (stretch.from, stretch.to.max(stretch.from + stretch.words))
        };
        let is_free = |lane: &Vec<(i64, i64)>| lane.iter().all(|(f, t)| to <= *f || *t <= from);
        let lane = taken.iter().position(is_free).unwrap_or_else(|| {
            taken.push(Vec::new());
            taken.len() - 1
        });
        if let Some(lane) = taken.get_mut(lane) {
            lane.push((from, to));
        }
        laid.push(Laid { lane, words_at_end });
    }
    laid
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(from: i64, to: i64, words: i64) -> Stretch {
        Stretch { from, to, words }
    }

    #[test]
    fn what_follows_stays_in_the_lane_and_what_overlaps_goes_below() {
        let lanes: Vec<usize> = lay(&[
            stretch(1_000, 3_000, 500),
            stretch(2_000, 4_000, 500),
            stretch(3_000, 5_000, 500),
        ])
        .iter()
        .map(|laid| laid.lane)
        .collect();
        assert_eq!(lanes, [0, 1, 0]);
    }

    #[test]
    fn words_longer_than_their_bar_keep_their_room() {
        let lanes: Vec<usize> = lay(&[stretch(1_000, 1_200, 900), stretch(1_500, 2_500, 900)])
            .iter()
            .map(|laid| laid.lane)
            .collect();
        assert_eq!(lanes, [0, 1]);
    }

    #[test]
    fn words_do_not_run_out_of_the_year() {
        let laid = lay(&[stretch(9_500, WHOLE, 1_500)]);
        assert_eq!(
            laid,
            [Laid {
                lane: 0,
                words_at_end: true
            }]
        );
    }

    #[test]
    fn nothing_lies_on_top_of_anything() {
        // Numbers that look like chance and are always the same (Lehmer's generator of 1951, with 48271 after Park and Miller).
        let mut seed = 1_i64;
        let mut below = |most: i64| {
            seed = seed * 48_271 % 2_147_483_647;
            seed % most
        };
        for _ in 0..200 {
            let bars: Vec<Stretch> = (0..below(30))
                .map(|_| {
                    let from = below(9_900);
                    stretch(from, (from + 1 + below(3_000)).min(WHOLE), below(1_500))
                })
                .collect();
            let laid = lay(&bars);
            assert_eq!(laid.len(), bars.len());
            for (one, (bar, place)) in bars.iter().zip(&laid).enumerate() {
                for (other, next) in bars.iter().zip(&laid).skip(one + 1) {
                    if place.lane == next.lane {
                        assert!(bar.to <= other.from || other.to <= bar.from);
                    }
                }
            }
        }
    }
}
