//! How food is handled that others are to eat, and through whom it is best given.
//!
//! ```
//! use selion_core::reckoning::Caution;
//! use selion_core::season::giving::{Receiver, handling};
//!
//! let answer = handling("tomato", Receiver::Nonprofit);
//! assert!(answer.basis.iter().any(|line| line.contains("41 °F")));
//! assert_eq!(answer.cautions, [Caution::SharedFood]);
//! ```

use crate::reckoning::{Caution, Reckoning, Source};

/// Who receives it, in the order of how much there is to mind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Receiver {
    /// The people of the garden.
    Garden,
    /// A nonprofit that hands food on.
    Nonprofit,
    /// A neighbour, a friend, anybody else.
    Other,
}

/// Crops that are kept cold once they are cut, by a word of their name (FDA Food Code: cut leafy greens, tomatoes, melons).
const COLD_WHEN_CUT: [&str; 11] = [
    "lettuce",
    "salad",
    "spinach",
    "chard",
    "kale",
    "collard",
    "mustard",
    "greens",
    "tomato",
    "melon",
    "cantaloupe",
];

/// How this crop is handled for those who receive it.
pub fn handling(crop: &str, receiver: Receiver) -> Reckoning<&'static str> {
    let source = Source::published(
        "Colorado State University Extension; University of Minnesota Extension; Penn State Extension (2017).",
    );
    let mut answer = Reckoning::new("Ask first, keep it clean and cool, label it", source)
        .on("Ask before bringing it what is wanted, and when.")
        .on("Clean boxes made for food, no used shopping bags; wipe soil off and mostly do not wash. If it is washed: \
             drinking water, and dry it.")
        .on("Cool it promptly; write crop and weight on the box.");
    let name = crop.to_lowercase();
    if COLD_WHEN_CUT.iter().any(|word| name.contains(word)) {
        answer = answer.on(
            "Cut leafy greens, tomatoes and melons are held at 41 °F (5 °C) or below; whole ones need not be (FDA Food Code).",
        );
    }
    match receiver {
        Receiver::Garden => answer,
        Receiver::Nonprofit => answer.on(
            "In the United States whoever gives sound food in good faith to a nonprofit for people in need is protected by law \
             (42 U.S.C. 1791). This is no legal advice.",
        ),
        Receiver::Other => answer.on(
            "In the United States the law that protects givers of food (42 U.S.C. 1791) is made for gifts through a nonprofit. \
             This is no legal advice.",
        ),
    }
    .caution(Caution::SharedFood)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_cold_and_who_receives_it_change_what_is_said() {
        let says = |crop, receiver, word: &str| {
            let answer = handling(crop, receiver);
            answer.basis.iter().any(|line| line.contains(word))
        };
        // FDA Food Code: cut leafy greens, tomatoes and melons; a potato is none of them.
        assert!(says("Kale", Receiver::Garden, "41 °F"));
        assert!(!says("potato", Receiver::Garden, "41 °F"));
        assert!(!says("potato", Receiver::Garden, "1791"));
        assert!(says("potato", Receiver::Nonprofit, "is protected by law"));
        assert!(says("potato", Receiver::Other, "through a nonprofit"));
    }
}
