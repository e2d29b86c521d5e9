//! Rolls of mesh for the pieces of a fence.
//!
//! Mesh is the pieces together, and at both ends of each piece what is wrapped around the post. Rolls are joined with an
//! overlap, so every roll after the first is shorter by it:
//! `rolls = ⌈(mesh − overlap) / (roll − overlap)⌉`. What is left of a roll goes on with the next piece.
//!
//! ```
//! use selion_core::quantities::Length;
//! use selion_core::work::fence::mesh::{Roll, rolls_for};
//!
//! let roll = Roll { length: Length::parse("100 ft")?, overlap: Length::ZERO, wrap: Length::ZERO };
//! let mesh = rolls_for(&[Length::parse("308 ft")?], roll)?;
//! assert_eq!(mesh.rolls, 4);
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use serde::Serialize;

use crate::quantities::exact::up;
use crate::quantities::{BadInput, Length, Units};

/// A roll as it is sold and put up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Roll {
    /// How long it is.
    pub length: Length,
    /// What two rolls share where they are joined.
    pub overlap: Length,
    /// What goes around the post at each end of a piece.
    pub wrap: Length,
}

/// Mesh for a fence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Mesh {
    /// Along all pieces, ends included.
    pub needed: Length,
    /// How many rolls.
    pub rolls: i64,
    /// How often two rolls are joined.
    pub joins: i64,
    /// What is left of the last roll.
    pub left_over: Length,
}

/// The rolls that these pieces take.
pub fn rolls_for(pieces: &[Length], roll: Roll) -> Result<Mesh, BadInput> {
    check(roll)?;
    let ends = i128::try_from(pieces.len()).unwrap_or(i128::MAX);
    let along: Length = pieces.iter().copied().sum();
    let needed = i128::from(along.mm()) + 2 * ends * i128::from(roll.wrap.mm());
    let (length, overlap) = (i128::from(roll.length.mm()), i128::from(roll.overlap.mm()));
    let too_much = || BadInput::new("roll", "a roll that this fence takes at most 10000 of", "");
    let rolls = up((needed - overlap).max(0), length - overlap)
        .filter(|rolls| *rolls <= 10_000)
        .ok_or_else(too_much)?
        .max(i64::from(needed > 0));
    let joins = (rolls - 1).max(0);
    let left = i128::from(rolls) * length - i128::from(joins) * overlap - needed;
    Ok(Mesh {
        needed: Length::from_mm(i64::try_from(needed).unwrap_or(i64::MAX)),
        rolls,
        joins,
        left_over: Length::from_mm(i64::try_from(left).unwrap_or(0)),
    })
}

fn check(roll: Roll) -> Result<(), BadInput> {
    let bounds = Length::from_mm(1_000)..=Length::from_mm(1_000_000);
    if !bounds.contains(&roll.length) {
        let came = roll.length.show(Units::Metric);
        return Err(BadInput::new("roll", "a roll of 1 m to 1 km", came));
    }
    for (field, length) in [("overlap", roll.overlap), ("wrap", roll.wrap)] {
        if length < Length::ZERO || length.mm() > roll.length.mm() / 2 {
            let came = length.show(Units::Metric);
            return Err(BadInput::new(
                field,
                "nothing, or at most half of a roll",
                came,
            ));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn roll(length: i64, overlap: i64, wrap: i64) -> Roll {
        Roll {
            length: Length::from_mm(length),
            overlap: Length::from_mm(overlap),
            wrap: Length::from_mm(wrap),
        }
    }

    #[test]
    fn each_join_costs_an_overlap() {
        let rolls = |needed, roll| rolls_for(&[Length::from_mm(needed)], roll).unwrap().rolls;
        assert_eq!(rolls(100_000, roll(50_000, 0, 0)), 2);
        assert_eq!(rolls(100_000, roll(50_000, 1, 0)), 3);
        assert_eq!(rolls(99_999, roll(50_000, 1, 0)), 2);
        assert_eq!(rolls(99_998, roll(50_000, 1, 1)), 3);
        assert_eq!(rolls_for(&[], roll(50_000, 1, 1)).unwrap().rolls, 0);
    }

    #[test]
    fn rolls_that_cannot_be_are_refused_by_name() {
        for (bad, field) in [
            (roll(0, 0, 0), "roll"),
            (roll(50_000, 25_001, 0), "overlap"),
            (roll(50_000, 0, -1), "wrap"),
        ] {
            assert_eq!(rolls_for(&[], bad).unwrap_err().field, field);
        }
        let long = Length::from_mm(i64::MAX / 4);
        assert_eq!(
            rolls_for(&[long], roll(1_000, 0, 0)).unwrap_err().field,
            "roll"
        );
    }

    proptest! {
        #[test]
        fn the_rolls_reach_and_none_is_idle(
            pieces in prop::collection::vec(10_i64..100_000, 1..20),
            length in 5_000_i64..100_000, overlap in 0_i64..500, wrap in 0_i64..300,
        ) {
            let pieces: Vec<Length> = pieces.into_iter().map(Length::from_mm).collect();
            let mesh = rolls_for(&pieces, roll(length, overlap, wrap)).unwrap();
            prop_assert!(mesh.left_over >= Length::ZERO);
            prop_assert!(mesh.left_over.mm() < length);
        }
    }
}
