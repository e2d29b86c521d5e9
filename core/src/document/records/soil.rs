//! The soil: a laboratory's report sheets and what the garden spreads (in the ground), what was spread on a bed and what
//! grows there (in a season).
//!
//! The values stand as the laboratory printed them, each with its unit or method in the type; what they mean is for
//! [`crate::soil`] to say.

use crate::document::ids::{BedId, MemberId};
use crate::json::{choice, record, words};
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::{
    Area, Day, Density, Depth, Mass, Money, PartsPerMillion, Percent, Ph, Rate, Volume,
};
use crate::soil::compost::ceiling::Origin;
use crate::soil::liming_material::{Product, ProductKind, Scheme};
use crate::soil::test_report::{AcidityReading, Ground, Level, Recommendation, Texture};

/// One report sheet of a laboratory. A mistake is put right by striking it out and entering the sheet anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoilTest {
    /// What stands on the sheet.
    pub sheet: SoilSheet,
    /// Who entered it.
    pub member: MemberId,
    /// The day it was struck out as a mistake, if it was.
    pub ended_on: Option<Day>,
}

record!(SoilTest {
    sheet,
    member,
    ended_on
});

/// What stands on a report sheet. Everything but the day and the beds may be missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoilSheet {
    /// When the soil was taken.
    pub sampled_on: Day,
    /// The beds that the sample stands for.
    pub beds: Map<BedId, bool>,
    /// Who looked at it.
    pub laboratory: String,
    /// The pH in water, or read as such by the laboratory.
    pub ph: Option<Ph>,
    /// What the laboratory itself says should be spread.
    pub recommendation: Option<Recommendation>,
    /// Its buffer or acidity reading, by the method that gives it its meaning.
    pub acidity: Option<AcidityReading>,
    /// How coarse the soil is.
    pub texture: Option<Texture>,
    /// What the ground is made of.
    pub ground: Ground,
    /// Organic matter.
    pub organic_matter: Option<Percent>,
    /// Phosphorus.
    pub phosphorus: Nutrient,
    /// Potassium.
    pub potassium: Nutrient,
    /// Calcium.
    pub calcium: Nutrient,
    /// Magnesium.
    pub magnesium: Nutrient,
    /// By which method the nutrients were drawn out, as printed: Mehlich-3, Bray-1, Olsen.
    pub extraction: String,
    /// The phosphate (P2O5) that the laboratory recommends for the crop.
    pub phosphate_needed: Option<Rate>,
    /// A word about it.
    pub word: String,
}

record!(SoilSheet {
    sampled_on,
    beds,
    laboratory = default,
    ph,
    recommendation,
    acidity,
    texture,
    ground = default,
    organic_matter,
    phosphorus = default,
    potassium = default,
    calcium = default,
    magnesium = default,
    extraction = default,
    phosphate_needed,
    word = default,
});

/// A nutrient as a laboratory prints it: an amount, a word on its own scale, or both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Nutrient {
    /// The amount.
    pub amount: Option<PartsPerMillion>,
    /// Where it lies on the laboratory's own scale.
    pub level: Option<Level>,
}

record!(Nutrient { amount, level });

impl SoilTest {
    /// Whether it counts for this bed.
    pub fn counts_for(&self, bed: BedId) -> bool {
        self.ended_on.is_none() && self.sheet.beds.get(&bed).copied().unwrap_or(false)
    }
}

impl SoilSheet {
    /// An empty sheet.
    pub fn taken(sampled_on: Day, beds: impl IntoIterator<Item = BedId>) -> Self {
        Self {
            sampled_on,
            beds: ordered::map(beds.into_iter().map(|bed| (bed, true))),
            laboratory: String::new(),
            ph: None,
            recommendation: None,
            acidity: None,
            texture: None,
            ground: Ground::default(),
            organic_matter: None,
            phosphorus: Nutrient::default(),
            potassium: Nutrient::default(),
            calcium: Nutrient::default(),
            magnesium: Nutrient::default(),
            extraction: String::new(),
            phosphate_needed: None,
            word: String::new(),
        }
    }
}

/// The lime that the garden buys, by its label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GardenLime {
    /// What it is called.
    pub name: String,
    /// What kind of product it is.
    pub kind: ProductKind,
    /// Calcium carbonate equivalent.
    pub cce: Option<Percent>,
    /// The scheme of its effective value.
    pub scheme: Option<Scheme>,
    /// Its effective value by that scheme.
    pub effective: Option<Percent>,
    /// What equals a ton (2000 lb) of standard agricultural lime.
    pub equals_standard_ton: Option<Mass>,
    /// How much is in one bag.
    pub bag: Option<Mass>,
    /// What one bag costs.
    pub bag_price: Option<Money>,
}

record!(GardenLime {
    name,
    kind,
    cce,
    scheme,
    effective,
    equals_standard_ton,
    bag,
    bag_price
});

impl GardenLime {
    /// Its label, for the arithmetic.
    pub fn product(&self) -> Product {
        Product {
            kind: self.kind,
            cce: self.cce,
            effective: self.scheme.zip(self.effective),
            equals_standard_ton: self.equals_standard_ton,
        }
    }
}

/// The compost that the garden has, by what is known of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GardenCompost {
    /// What it was made of.
    pub origin: Origin,
    /// What it weighs by volume, from one full bucket.
    pub density: Option<Density>,
    /// The phosphate (P2O5) in it as is, from its analysis.
    pub phosphate: Option<Percent>,
}

record!(GardenCompost {
    origin,
    density,
    phosphate
});

/// Something that was spread on a bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amendment {
    /// On which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// What.
    pub what: AmendmentKind,
    /// How much, if somebody knows.
    pub amount: Option<Amount>,
    /// The day it was dug in; while there is none, it lies on the surface.
    pub dug_in_on: Option<Day>,
    /// Who wrote it down.
    pub member: MemberId,
    /// A word about it.
    pub word: String,
    /// The day it was struck out as a mistake, if it was.
    pub ended_on: Option<Day>,
}

record!(Amendment { bed, day, what, amount, dug_in_on, member, word = default, ended_on });

/// What was spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AmendmentKind {
    /// Ground or pelletized lime.
    Lime,
    /// Wood ash.
    Ash,
    /// Compost of plants.
    Compost,
    /// Fresh, aged or heaped manure without a record of its heat.
    RawManure,
    /// Manure whose pile was hot for long enough, by its log.
    CompostedManure,
    /// Mulch.
    Mulch,
    /// Elemental sulfur.
    Sulfur,
    /// Gypsum.
    Gypsum,
    /// Anything else; the word says what.
    Other,
}

words!(AmendmentKind {
    "lime" => Lime,
    "ash" => Ash,
    "compost" => Compost,
    "raw_manure" => RawManure,
    "composted_manure" => CompostedManure,
    "mulch" => Mulch,
    "sulfur" => Sulfur,
    "gypsum" => Gypsum,
    "other" => Other,
});

impl AmendmentKind {
    /// Every kind, the commonest first.
    pub const ALL: [Self; 9] = [
        Self::Lime,
        Self::Ash,
        Self::Compost,
        Self::RawManure,
        Self::CompostedManure,
        Self::Mulch,
        Self::Sulfur,
        Self::Gypsum,
        Self::Other,
    ];

    /// The word for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Lime => "lime",
            Self::Ash => "wood ash",
            Self::Compost => "compost",
            Self::RawManure => "raw manure",
            Self::CompostedManure => "composted manure",
            Self::Mulch => "mulch",
            Self::Sulfur => "sulfur",
            Self::Gypsum => "gypsum",
            Self::Other => "something else",
        }
    }
}

/// How much was spread, in the way it was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Amount {
    /// By weight, on the whole bed.
    Mass(Mass),
    /// By volume, on the whole bed.
    Volume(Volume),
    /// By weight on an area.
    Rate(Rate),
    /// As a layer.
    Depth(Depth),
}

choice!(Amount {
    "mass" => Mass(it),
    "volume" => Volume(it),
    "rate" => Rate(it),
    "depth" => Depth(it),
});

impl Amount {
    /// The same as a weight on an area, for a bed of this size; nothing for a volume or a layer.
    pub fn rate_on(self, area: Area) -> Option<Rate> {
        match self {
            Self::Rate(rate) => Some(rate),
            Self::Mass(mass) => Rate::spread(mass, area),
            Self::Volume(_) | Self::Depth(_) => None,
        }
    }

    /// The same as a layer, for a bed of this size; by weight only where its bulk density is known.
    pub fn depth_on(self, area: Area, density: Option<Density>) -> Option<Depth> {
        let volume = match self {
            Self::Depth(depth) => return Some(depth),
            Self::Volume(volume) => volume,
            Self::Mass(mass) => density?.room(mass)?,
            Self::Rate(rate) => density?.room(rate.over(area))?,
        };
        Depth::of(volume, area)
    }
}

/// What grows in a bed, as far as its soil is concerned.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BedCrops {
    /// This year: the crops and groups of [`crate::soil::targets`] that are true.
    pub now: Map<String, bool>,
    /// Next year.
    pub next_year: Map<String, bool>,
}

record!(BedCrops { now = default, next_year = default });

impl BedCrops {
    /// The crops that grow there in a list of this record.
    pub fn chosen(crops: &Map<String, bool>) -> Vec<&str> {
        crops
            .iter()
            .filter(|(_, grows)| **grows)
            .map(|(crop, _)| crop.as_str())
            .collect()
    }
}
