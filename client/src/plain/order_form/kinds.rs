//! What gardens buy together, and what is usual for each: a line begins with it, and all of it can be changed.

use selion_core::json::words;
use selion_core::ordered;
use selion_core::quantities::{CountedIn, Units};
use selion_core::shares::order::{HandOut, ShareRule};

use super::{LineTyped, Origin, PackTyped};

/// What a line is about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Kind {
    #[default]
    Lime,
    Ash,
    Compost,
    Manure,
    Straw,
    Fencing,
    Seed,
    Hire,
    Other,
}

words!(Kind {
    "lime" => Lime,
    "ash" => Ash,
    "compost" => Compost,
    "manure" => Manure,
    "straw" => Straw,
    "fencing" => Fencing,
    "seed" => Seed,
    "hire" => Hire,
    "other" => Other,
});

impl Kind {
    /// Every kind with its name in the form.
    pub const ALL: [(Self, &'static str); 9] = [
        (Self::Lime, "Lime"),
        (Self::Ash, "Wood ash"),
        (Self::Compost, "Compost"),
        (Self::Manure, "Manure"),
        (Self::Straw, "Hay or straw"),
        (Self::Fencing, "Fencing material"),
        (Self::Seed, "Seed"),
        (Self::Hire, "Hire of a machine"),
        (Self::Other, "Something else"),
    ];

    /// The name that a line of this kind begins with.
    pub fn material(self) -> &'static str {
        match self {
            Self::Lime => "Ground limestone",
            Self::Ash => "Wood ash",
            Self::Compost => "Compost",
            Self::Manure => "Composted manure",
            Self::Straw => "Straw bales",
            Self::Fencing => "Fence posts",
            Self::Seed => "Seed potatoes",
            Self::Hire => "Tiller, hours",
            Self::Other => "",
        }
    }

    /// The kind that a material is likely of.
    pub fn of(material: &str) -> Self {
        const SIGNS: [(&str, Kind); 14] = [
            ("lime", Kind::Lime),
            ("ash", Kind::Ash),
            ("manure", Kind::Manure),
            ("compost", Kind::Compost),
            ("straw", Kind::Straw),
            ("hay", Kind::Straw),
            ("fence", Kind::Fencing),
            ("post", Kind::Fencing),
            ("mesh", Kind::Fencing),
            ("wire", Kind::Fencing),
            ("seed", Kind::Seed),
            ("hire", Kind::Hire),
            ("hours", Kind::Hire),
            ("tiller", Kind::Hire),
        ];
        let material = material.to_lowercase();
        let found = SIGNS.iter().find(|(sign, _)| material.contains(sign));
        found.map_or(Self::Other, |(_, kind)| *kind)
    }

    /// A line of this kind with what is usual for it.
    pub fn line(self, units: Units) -> LineTyped {
        let (counted_in, from, rule) = match self {
            Self::Lime | Self::Ash => (CountedIn::Weight, Origin::Rate, ShareRule::Need),
            Self::Compost | Self::Manure => (CountedIn::Volume, Origin::Rate, ShareRule::Need),
            Self::Straw | Self::Hire => (CountedIn::Pieces, Origin::Wishes, ShareRule::Taken),
            Self::Fencing => (CountedIn::Pieces, Origin::Even, ShareRule::Area),
            Self::Seed | Self::Other => (CountedIn::Weight, Origin::Wishes, ShareRule::Taken),
        };
        let size = match (counted_in, units) {
            (CountedIn::Pieces, _) => "1",
            (CountedIn::Volume, Units::UsCustomary) => "1 cu yd",
            (CountedIn::Volume, Units::Metric) => "1 m³",
            (CountedIn::Weight, _) => "",
        };
        let whole_packs = matches!(self, Self::Straw | Self::Hire);
        let pack = PackTyped {
            size: size.to_owned(),
            ..PackTyped::default()
        };
        LineTyped {
            kind: self,
            material: self.material().to_owned(),
            counted_in,
            from,
            packs: ordered::map([(1.into(), pack)]),
            loose: counted_in == CountedIn::Volume,
            hand_out: if whole_packs {
                HandOut::WholePacks
            } else {
                HandOut::Loose
            },
            rule,
            ..LineTyped::default()
        }
    }
}

impl LineTyped {
    /// The same line turned into another kind: what is usual for it, with the prices and beds that were put in, and the
    /// name if somebody gave it one.
    #[must_use]
    pub fn turned_into(&self, kind: Kind, units: Units) -> Self {
        let mut line = kind.line(units);
        if !self.material.is_empty() && self.material != self.kind.material() {
            line.material.clone_from(&self.material);
        }
        if let (Some(before), Some(pack)) =
            (self.packs.first_key_value(), line.packs.get_mut(&1.into()))
        {
            pack.price.clone_from(&before.1.price);
        }
        line.left_out.clone_from(&self.left_out);
        line
    }
}
