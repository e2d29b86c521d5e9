//! Fences against what comes: heights, depths and distances as printed.
//!
//! Where two sources differ, both stand here and the choice is the garden's. What a source does not say is left out, and has
//! to be put in.
//!
//! ```
//! use selion_core::quantities::Units;
//! use selion_core::work::fence::kinds;
//!
//! let deer = kinds::find("deer, woven wire")?;
//! assert_eq!(deer.height.map(|height| height.show(Units::UsCustomary)), Some("8 ft".to_owned()));
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use crate::quantities::{BadInput, Length, Spacing};
use crate::reckoning::Source;

/// A fence of mesh or woven wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FenceKind {
    /// What it is called.
    pub name: &'static str,
    /// Above the ground.
    pub height: Option<Length>,
    /// How deep posts stand, at least.
    pub in_ground: Option<Length>,
    /// How far apart posts stand, at most.
    pub spacing: Option<Spacing>,
    /// How much of the mesh goes into or onto the ground at its foot, the larger printed figure.
    pub foot: Length,
    /// What else its source says.
    pub remark: &'static str,
    source: &'static str,
}

impl FenceKind {
    /// Who printed it.
    pub fn source(&self) -> Source {
        Source::published(self.source)
    }
}

/// Fences that stand in print. Inches are exact in tenths of a millimetre only; posts are cut in whole millimetres.
pub const KINDS: [FenceKind; 4] = [
    FenceKind {
        name: "deer, woven wire",
        height: Some(inches(96)),
        in_ground: Some(inches(36)),
        spacing: Some(Spacing::from_micrometres(6_096_000)),
        foot: Length::ZERO,
        remark: "Wood line posts of at least 4 in (10 cm); corners, gates and ends braced by an H of 16 ft (4.9 m) or a \
                 double one of 8 ft (2.4 m) each; wire on the outside, 9 ga staples across the grain and not tight.",
        source: "USDA-NRCS Maine, job sheet 382, woven wire for wildlife, August 2014; 8 ft of woven wire taken as nearly \
                 100 % effective against deer: Rutgers FS889.",
    },
    FenceKind {
        name: "deer, poly mesh",
        height: Some(inches(84)),
        in_ground: None,
        spacing: None,
        foot: inches(6),
        remark: "The mesh turns 6 in (15 cm) outward on the ground and is pegged about every 6 ft (1.8 m); 5 to 6 ties a post.",
        source: "A maker's guide to poly mesh against deer.",
    },
    FenceKind {
        name: "woodchuck, foot of 12 in",
        height: Some(inches(36)),
        in_ground: None,
        spacing: None,
        foot: inches(12),
        remark: "Mesh of at most 2 in (5 cm), its foot buried 10 to 12 in (25 to 30 cm). Another source buries 12 to 14 in.",
        source: "After Bollengier 1994, Prevention and Control of Wildlife Damage.",
    },
    FenceKind {
        name: "woodchuck, foot of 14 in turned out",
        height: Some(inches(36)),
        in_ground: None,
        spacing: None,
        foot: inches(18),
        remark: "Buried 12 to 14 in (30 to 36 cm) with 2 to 4 in (5 to 10 cm) turned out, the top bent by 45°, one hot wire \
                 outside at 4 to 5 in (10 to 13 cm). The height is from the other woodchuck fence.",
        source: "walterreeves.com, Georgia; height after Bollengier 1994.",
    },
];

/// The fence of this name.
pub fn find(name: &str) -> Result<&'static FenceKind, BadInput> {
    KINDS
        .iter()
        .find(|kind| kind.name == name.trim())
        .ok_or_else(|| {
            let names = KINDS.map(|kind| kind.name).join("; ");
            BadInput::new("kind of fence", format!("one of {names}"), name)
        })
}

/// Wires under current, by height above the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WireKind {
    /// What it is called.
    pub name: &'static str,
    /// The height of each wire from the ground up, least and most, in inches.
    pub inches: &'static [(i64, i64)],
    /// What else its source says.
    pub remark: &'static str,
    source: &'static str,
}

impl WireKind {
    /// Who printed it.
    pub fn source(&self) -> Source {
        Source::published(self.source)
    }
}

/// Fences of wire under current that stand in print.
pub const WIRES: [WireKind; 3] = [
    WireKind {
        name: "raccoon, 4 to 6 and 12 in",
        inches: &[(4, 6), (12, 12)],
        remark: "On before the milk stage of the corn, about two weeks ahead. Another source says 5 and 9 in.",
        source: "Iowa State University, horticulture news 1992.",
    },
    WireKind {
        name: "raccoon, 5 and 9 in",
        inches: &[(5, 5), (9, 9)],
        remark: "Another source says 4 to 6 and 12 in.",
        source: "Kansas State University, W. Upham 2023.",
    },
    WireKind {
        name: "deer, one wire at 30 in",
        inches: &[(30, 30)],
        remark: "Only where few deer come; flags of foil with peanut butter every 3 to 4 ft (0.9 to 1.2 m).",
        source: "Agriculture column, wvnews.com, December 2020.",
    },
];

/// The wires of this name.
pub fn find_wires(name: &str) -> Result<&'static WireKind, BadInput> {
    WIRES
        .iter()
        .find(|kind| kind.name == name.trim())
        .ok_or_else(|| {
            let names = WIRES.map(|kind| kind.name).join("; ");
            BadInput::new("kind of wires", format!("one of {names}"), name)
        })
}

/// To the nearest millimetre.
const fn inches(count: i64) -> Length {
    Length::from_mm((count * 254 + 5) / 10)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantities::Units;

    #[test]
    fn every_kind_is_found_by_its_name_and_others_are_refused() {
        for kind in KINDS {
            assert_eq!(find(kind.name), Ok(&kind));
        }
        for kind in WIRES {
            assert_eq!(find_wires(kind.name), Ok(&kind));
        }
        assert_eq!(find("moat").unwrap_err().field, "kind of fence");
        assert_eq!(find_wires("moat").unwrap_err().field, "kind of wires");
    }

    #[test]
    fn eight_feet_and_three_are_eleven() {
        let deer = find("deer, woven wire").unwrap();
        let post: Length = deer.height.into_iter().chain(deer.in_ground).sum();
        assert_eq!(post.show(Units::UsCustomary), "11 ft", "as printed");
    }
}
