//! A fence line as it is built: straight pieces of fence between corners, ends and gates.
//!
//! A gate splits its side into two pieces, and each piece is counted by itself, since a distance between posts that does not
//! divide one side is not made up on the next. A gate that begins or ends at a corner, or at another gate, shares that post.
//!
//! ```
//! use selion_core::quantities::Length;
//! use selion_core::work::fence::{Gate, Layout};
//!
//! let feet = |text: &str| Length::parse(text);
//! let sides = [feet("100 ft")?, feet("60 ft")?, feet("100 ft")?, feet("60 ft")?];
//! let gate = Gate { at: feet("204 ft")?, width: feet("12 ft")? };
//! let layout = Layout::measured(&sides, true, &[gate])?;
//! assert_eq!(layout.pieces().len(), 5);
//! assert_eq!((layout.corners(), layout.gate_posts()), (4, 2));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use crate::geometry::{Line, MOST_CORNERS};
use crate::quantities::{BadInput, Length, Units};

/// Ten kilometres.
const LONGEST: Length = Length::from_mm(10_000_000);
const MOST_GATES: usize = 100;
/// Places on the ground are whole millimetres: what is this close together touches.
const TOUCHING: i64 = 2;

/// An opening in a fence line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gate {
    /// How far along the line it begins.
    pub at: Length,
    /// How wide it is.
    pub width: Length,
}

/// The pieces that a fence line falls into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    pieces: Vec<Length>,
    gates: Vec<Length>,
    corners: i64,
    ends: i64,
    gate_posts: i64,
}

impl Layout {
    /// From a line as it is drawn.
    pub fn drawn(line: &Line, gates: &[Gate]) -> Result<Self, BadInput> {
        let (sides, began_with) = line.sides();
        let whole = line.length().mm();
        let moved: Vec<Gate> = gates
            .iter()
            .map(|gate| Gate {
                at: began_with.map_or(gate.at, |first| {
                    Length::from_mm(
                        gate.at
                            .mm()
                            .saturating_sub(first.mm())
                            .rem_euclid(whole.max(1)),
                    )
                }),
                width: gate.width,
            })
            .collect();
        if let Some(gate) = gates.iter().find(|gate| !inside(**gate, whole)) {
            return Err(beyond(*gate, whole));
        }
        Self::measured(&sides, line.is_closed(), &moved)
    }

    /// From straight sides in order, as they were measured; places of gates are counted along all of them.
    pub fn measured(sides: &[Length], closed: bool, gates: &[Gate]) -> Result<Self, BadInput> {
        check(sides, closed, gates)?;
        let whole: Length = sides.iter().copied().sum();
        let mut gates = gates.to_vec();
        gates.sort_unstable_by_key(|gate| gate.at);
        let mut layout = Self {
            pieces: Vec::new(),
            gates: gates.iter().map(|gate| gate.width).collect(),
            corners: count(sides.len()) - i64::from(!closed),
            ends: if closed { 0 } else { 2 },
            gate_posts: 2 * count(gates.len()),
        };
        let mut waiting = gates.into_iter().peekable();
        let mut begins = 0;
        for side in sides {
            let ends = begins + side.mm();
            let mut reached = begins;
            let mut has_gate = false;
            while let Some(gate) = waiting.next_if(|gate| gate.at.mm() < ends - TOUCHING) {
                let to = gate.at.mm().saturating_add(gate.width.mm());
                if !inside(gate, whole.mm()) {
                    return Err(beyond(gate, whole.mm()));
                }
                if gate.at.mm() < reached - TOUCHING {
                    return Err(refuse(gate, "gates that do not lie on one another"));
                }
                if to > ends + TOUCHING {
                    return Err(refuse(gate, "a gate that ends before the next corner"));
                }
                has_gate = true;
                layout.piece(gate.at.mm() - reached, true);
                reached = to;
            }
            layout.piece(ends - reached, has_gate);
            begins = ends;
        }
        match waiting.next() {
            Some(gate) => Err(beyond(gate, whole.mm())),
            None => Ok(layout),
        }
    }

    /// Straight pieces of fence, in order.
    pub fn pieces(&self) -> &[Length] {
        &self.pieces
    }

    /// The gates' widths, in order along the line.
    pub fn gates(&self) -> &[Length] {
        &self.gates
    }

    /// Where the line turns.
    pub const fn corners(&self) -> i64 {
        self.corners
    }

    /// Where the line ends: none or two.
    pub const fn ends(&self) -> i64 {
        self.ends
    }

    /// Posts of gates that are no corner or end post, each counted once.
    pub const fn gate_posts(&self) -> i64 {
        self.gate_posts
    }

    /// All pieces together: the line without its gates.
    pub fn fence(&self) -> Length {
        self.pieces.iter().copied().sum()
    }

    /// A piece beside a gate that has no length is one post with two uses.
    fn piece(&mut self, mm: i64, beside_gate: bool) {
        if mm > TOUCHING {
            self.pieces.push(Length::from_mm(mm));
        } else if beside_gate {
            self.gate_posts -= 1;
        }
    }
}

fn check(sides: &[Length], closed: bool, gates: &[Gate]) -> Result<(), BadInput> {
    let least = if closed { 2 } else { 1 };
    if !(least..=MOST_CORNERS).contains(&sides.len()) {
        let expected = format!("{least} to {MOST_CORNERS} straight sides");
        return Err(BadInput::new(
            "sides",
            expected,
            format!("{} sides", sides.len()),
        ));
    }
    let whole = sides.iter().copied().sum::<Length>();
    if whole > LONGEST || !sides.iter().all(|side| side.is_positive()) {
        let expected = "sides that are longer than nothing and together at most 10 km";
        return Err(BadInput::new("sides", expected, whole.show(Units::Metric)));
    }
    if gates.len() > MOST_GATES {
        let came = format!("{} gates", gates.len());
        return Err(BadInput::new(
            "gates",
            format!("at most {MOST_GATES} gates"),
            came,
        ));
    }
    Ok(())
}

fn inside(gate: Gate, whole: i64) -> bool {
    let to = gate.at.mm().saturating_add(gate.width.mm());
    gate.at.mm() >= 0 && gate.width.is_positive() && to <= whole + TOUCHING
}

fn beyond(gate: Gate, whole: i64) -> BadInput {
    let whole = Length::from_mm(whole).show(Units::Metric);
    refuse(
        gate,
        &format!("a gate that is wider than nothing and within the line of {whole}"),
    )
}

fn refuse(gate: Gate, expected: &str) -> BadInput {
    let (width, at) = (gate.width.show(Units::Metric), gate.at.show(Units::Metric));
    BadInput::new("gates", expected, format!("{width} wide at {at}"))
}

fn count(number: usize) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn gate(at: i64, width: i64) -> Gate {
        Gate {
            at: Length::from_mm(at),
            width: Length::from_mm(width),
        }
    }

    fn square(gates: &[Gate]) -> Result<Layout, BadInput> {
        Layout::measured(&[Length::from_mm(10_000); 4], true, gates)
    }

    #[test]
    fn a_gate_at_a_corner_shares_its_post() {
        let posts = |gates: &[Gate]| {
            let layout = square(gates).unwrap();
            (layout.pieces().len(), layout.gate_posts())
        };
        assert_eq!(posts(&[]), (4, 0));
        assert_eq!(posts(&[gate(3_000, 2_000)]), (5, 2));
        assert_eq!(posts(&[gate(10_000, 2_000)]), (4, 1));
        assert_eq!(posts(&[gate(8_000, 2_000)]), (4, 1));
        assert_eq!(
            posts(&[gate(3_000, 2_000), gate(5_000, 1_000)]),
            (5, 3),
            "two gates with a post between"
        );
        assert_eq!(posts(&[gate(0, 10_000)]), (3, 0), "a side that is all gate");
    }

    #[test]
    fn gates_that_cannot_be_are_refused_by_name() {
        for gates in [
            vec![gate(9_000, 2_000)],
            vec![gate(39_000, 2_000)],
            vec![gate(41_000, 100)],
            vec![gate(-5, 100)],
            vec![gate(5, 0)],
            vec![gate(1_000, 2_000), gate(2_000, 2_000)],
            vec![gate(i64::MAX, i64::MAX)],
            vec![gate(1, 1); 101],
        ] {
            let refused = square(&gates).unwrap_err();
            assert_eq!(refused.field, "gates", "{refused}");
        }
        assert!(Layout::measured(&[], false, &[]).is_err());
        assert!(Layout::measured(&[Length::from_mm(5)], true, &[]).is_err());
        assert!(Layout::measured(&[Length::from_mm(i64::MAX)], false, &[]).is_err());
        assert!(Layout::measured(&[Length::from_mm(-4)], false, &[]).is_err());
    }

    #[test]
    fn a_ring_may_begin_in_the_middle_of_a_side() {
        let drawn = |wkt: &str, gates: &[Gate]| {
            let mut layout = Layout::drawn(&Line::parse(wkt).unwrap(), gates).unwrap();
            layout.pieces.sort_unstable();
            layout
        };
        let at_corner = "LINESTRING(0 0,6000 0,6000 4000,0 4000,0 0)";
        let within = "LINESTRING(2000 0,6000 0,6000 4000,0 4000,0 0,2000 0)";
        assert_eq!(
            drawn(at_corner, &[gate(3_000, 1_000)]),
            drawn(within, &[gate(1_000, 1_000)])
        );
        let open = drawn("LINESTRING(0 0,6000 0,6000 4000)", &[]);
        assert_eq!((open.corners(), open.ends()), (1, 2));
    }

    proptest! {
        #[test]
        fn pieces_and_gates_make_up_the_line(
            sides in prop::collection::vec(3_000_i64..50_000, 1..8),
            places in prop::collection::vec((0_i64..200_000, 800_i64..3_000), 0..4),
        ) {
            let sides: Vec<Length> = sides.into_iter().map(Length::from_mm).collect();
            let gates: Vec<Gate> = places.into_iter().map(|(at, width)| gate(at, width)).collect();
            if let Ok(layout) = Layout::measured(&sides, sides.len() > 2, &gates) {
                let whole: Length = sides.iter().copied().sum();
                let made_up = layout.fence().mm() + layout.gates().iter().map(|gate| gate.mm()).sum::<i64>();
                // What touches within two millimetres is no piece.
                prop_assert!((whole.mm() - made_up).abs() <= 2 * 16, "{layout:?}");
                prop_assert!(layout.gate_posts() >= 0);
            }
        }
    }
}
