//! What a fence under current takes: wire, insulators, gate handles, warning signs.
//!
//! `wire = wires × fence`, `insulators = wires × posts`, `handles = wires × gates`. Signs stand at every gate, corner and end
//! and, where the public can touch the fence, every 10 m along it. The annex for fences of animals asks for signs at frequent
//! intervals without a number; 10 m is the rule of security fences and trade codes say 50 or 90 m, so the strictest is taken.
//!
//! ```
//! use selion_core::quantities::{Length, Units};
//! use selion_core::work::fence::electric::{ElectricCase, take_off};
//! use selion_core::work::fence::{Layout, kinds};
//!
//! let layout = Layout::measured(&[Length::parse("20 m")?, Length::parse("10 m")?], false, &[])?;
//! let wires = kinds::find_wires("raccoon, 5 and 9 in")?;
//! let case = ElectricCase { layout, wires, spacing: "5 m".parse()?, public: Length::ZERO, units: Units::Metric };
//! let answer = take_off(&case)?.result;
//! assert_eq!((answer.wire, answer.insulators, answer.signs), (Length::parse("60 m")?, 14, 3));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::kinds::WireKind;
use super::layout::Layout;
use super::posts::{Bracing, FenceCase, take_off as count_posts};
use crate::quantities::exact::up;
use crate::quantities::{Length, Spacing, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Step};

/// The strictest distance between signs that is printed.
const SIGN_EVERY: Length = Length::from_mm(10_000);

/// A fence of wires under current.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ElectricCase {
    /// Its pieces, corners and gates.
    pub layout: Layout,
    /// Its wires.
    pub wires: &'static WireKind,
    /// How far apart posts stand, at most.
    pub spacing: Spacing,
    /// Along how much of it the public can touch it.
    pub public: Length,
    /// The garden's units.
    pub units: Units,
}

/// What a fence under current takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ElectricTakeOff {
    /// All wires together.
    pub wire: Length,
    /// All posts.
    pub posts: i64,
    /// One for each wire on each post.
    pub insulators: i64,
    /// One for each wire at each gate.
    pub handles: i64,
    /// Warning signs.
    pub signs: i64,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for ElectricTakeOff {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "{} of wire, {} posts, {} insulators, {} gate handles, {} warning signs",
            self.wire.show(self.units),
            self.posts,
            self.insulators,
            self.handles,
            self.signs
        )
    }
}

/// Counts what a fence under current takes.
pub fn take_off(case: &ElectricCase) -> Result<Reckoning<ElectricTakeOff>, Refusal> {
    let (layout, units) = (&case.layout, case.units);
    let fence = layout.fence();
    if case.public < Length::ZERO || case.public.mm() > fence.mm() + 2 {
        let expected = format!("a length from nothing to the fence's {}", fence.show(units));
        return Err(Refusal::bad("public", expected, case.public.show(units)));
    }
    let wires = i64::try_from(case.wires.inches.len()).unwrap_or(0);
    let gates = i64::try_from(layout.gates().len()).unwrap_or(0);
    let posts = posts(case)?;
    let along = up(i128::from(case.public.mm()), i128::from(SIGN_EVERY.mm())).unwrap_or(0);
    let fixed = gates + layout.corners() + layout.ends();
    let result = ElectricTakeOff {
        wire: Length::from_mm(fence.mm().saturating_mul(wires)),
        posts,
        insulators: wires * posts,
        handles: wires * gates,
        signs: fixed + along,
        units,
    };
    let answer = Reckoning::new(result, case.wires.source())
        .step(Step::new("Wires", heights(case.wires)))
        .step(Step::new("Fence without gates", fence.show(units)))
        .step(Step::new(format!("Wire, {wires} times"), result.wire.show(units)))
        .step(Step::new("Posts", posts.to_string()))
        .step(Step::new(format!("Insulators, {wires} a post"), result.insulators.to_string()))
        .step(Step::new(format!("Handles, {wires} a gate"), result.handles.to_string()))
        .step(Step::new("Signs at gates, corners and ends", fixed.to_string()))
        .step(Step::new("Signs where the public can touch it", along.to_string()))
        .step(Step::sum("Signs", result.signs.to_string()))
        .on(case.wires.remark)
        .on("Signs every 10 m along public ways, the strictest of the printed distances (10, 50, 90 m); at least 10 by 20 cm (4 by 8 in), yellow on both sides.")
        .on("Ground rods of 6 to 8 ft (1.8 to 2.4 m), 10 ft (3 m) apart [USDA-NRCS Rhode Island, job sheet 382(c)], at least 10 m (33 ft) from earths of the mains or the telephone; how many, the energizer's papers say.")
        .on("Two fences on two energizers stand at least 2.5 m (8 ft) apart; no barbed wire under current; weeds off the wire [IEC 60335-2-76, annex BB].")
        .on("Clearance to overhead lines: 3 m up to 1 kV, 4 m up to 33 kV, 8 m above; wires near them below 3 m.")
        .rounded("Posts and signs up to whole ones.");
    Ok(answer
        .caution(Caution::ElectricFence)
        .caution(Caution::Digging))
}

/// Wires need no braces, and the height of the posts is that of the highest wire.
fn posts(case: &ElectricCase) -> Result<i64, Refusal> {
    let mut fence = FenceCase::of(case.layout.clone(), case.units);
    fence.spacing = Some(case.spacing);
    fence.bracing = Bracing::None;
    fence.height = Some(Length::from_mm(1_000));
    fence.in_ground = Some(Length::ZERO);
    count_posts(&fence).map(|answer| answer.result.posts)
}

fn heights(wires: &WireKind) -> String {
    let inches = |&(least, most): &(i64, i64)| {
        if least == most {
            least.to_string()
        } else {
            format!("{least} to {most}")
        }
    };
    let each: Vec<String> = wires.inches.iter().map(inches).collect();
    format!("at {} in", each.join(" and "))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::{Gate, kinds};
    use super::*;

    fn ring(public: i64) -> ElectricCase {
        let gate = Gate {
            at: Length::from_mm(4_000),
            width: Length::from_mm(1_000),
        };
        ElectricCase {
            layout: Layout::measured(&[Length::from_mm(10_000); 4], true, &[gate]).unwrap(),
            wires: kinds::find_wires("raccoon, 4 to 6 and 12 in").unwrap(),
            spacing: Spacing::from_micrometres(5_000_000),
            public: Length::from_mm(public),
            units: Units::Metric,
        }
    }

    #[test]
    fn a_ring_with_a_gate() {
        let answer = take_off(&ring(15_000)).unwrap();
        // Pieces 4, 5, 10, 10, 10 m: three line posts, four corners, two gate posts.
        assert_eq!(answer.result.posts, 9);
        assert_eq!(answer.result.insulators, 18);
        assert_eq!(answer.result.wire, Length::from_mm(78_000));
        assert_eq!((answer.result.handles, answer.result.signs), (2, 7));
        assert_eq!(answer.cautions, [Caution::ElectricFence, Caution::Digging]);
        assert!(answer.to_string().contains("at 4 to 6 and 12 in"));
    }

    #[test]
    fn more_public_than_fence_is_refused() {
        for public in [-1, 39_010] {
            let refused = take_off(&ring(public)).unwrap_err().to_string();
            assert!(refused.starts_with("public:"), "{refused}");
        }
    }

    proptest! {
        #[test]
        fn twice_the_side_is_twice_the_wire(mm in 1_000_i64..100_000) {
            let wire = |mm: i64| {
                let mut case = ring(0);
                case.layout = Layout::measured(&[Length::from_mm(mm)], false, &[]).unwrap();
                take_off(&case).unwrap().result.wire.mm()
            };
            prop_assert_eq!(wire(2 * mm), 2 * wire(mm));
        }
    }
}
