//! The soil: a laboratory's report sheets and what the garden spreads (in the ground), what was spread on a bed and what
//! grows there (in a season).
//!
//! The values stand as the laboratory printed them, each with its unit or method in the type; what they mean is for
//! [`crate::soil`] to say.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::document::ids::{BedId, MemberId};
use crate::quantities::{
    Area, Day, Density, Depth, Mass, Money, PartsPerMillion, Percent, Ph, Rate, Volume,
};
use crate::soil::compost::ceiling::Origin;
use crate::soil::liming_material::{Product, ProductKind, Scheme};
use crate::soil::test_report::{AcidityReading, Ground, Level, Recommendation, Texture};

/// One report sheet of a laboratory. A mistake is put right by striking it out and entering the sheet anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SoilTest {
    /// What stands on the sheet.
    pub sheet: SoilSheet,
    /// Who entered it.
    pub member: MemberId,
    /// The day it was struck out as a mistake, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// What stands on a report sheet. Everything but the day and the beds may be missing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SoilSheet {
    /// When the soil was taken.
    pub sampled_on: Day,
    /// The beds that the sample stands for.
    pub beds: BTreeMap<BedId, bool>,
    /// Who looked at it.
    #[serde(default)]
    pub laboratory: String,
    /// The pH in water, or read as such by the laboratory.
    #[serde(default)]
    pub ph: Option<Ph>,
    /// What the laboratory itself says should be spread.
    #[serde(default)]
    pub recommendation: Option<Recommendation>,
    /// Its buffer or acidity reading, by the method that gives it its meaning.
    #[serde(default)]
    pub acidity: Option<AcidityReading>,
    /// How coarse the soil is.
    #[serde(default)]
    pub texture: Option<Texture>,
    /// What the ground is made of.
    #[serde(default)]
    pub ground: Ground,
    /// Organic matter.
    #[serde(default)]
    pub organic_matter: Option<Percent>,
    /// Phosphorus.
    #[serde(default)]
    pub phosphorus: Nutrient,
    /// Potassium.
    #[serde(default)]
    pub potassium: Nutrient,
    /// Calcium.
    #[serde(default)]
    pub calcium: Nutrient,
    /// Magnesium.
    #[serde(default)]
    pub magnesium: Nutrient,
    /// By which method the nutrients were drawn out, as printed: Mehlich-3, Bray-1, Olsen.
    #[serde(default)]
    pub extraction: String,
    /// The phosphate (P2O5) that the laboratory recommends for the crop.
    #[serde(default)]
    pub phosphate_needed: Option<Rate>,
    /// A word about it.
    #[serde(default)]
    pub word: String,
}

/// A nutrient as a laboratory prints it: an amount, a word on its own scale, or both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Nutrient {
    /// The amount.
    #[serde(default)]
    pub amount: Option<PartsPerMillion>,
    /// Where it lies on the laboratory's own scale.
    #[serde(default)]
    pub level: Option<Level>,
}

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
            beds: beds.into_iter().map(|bed| (bed, true)).collect(),
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
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GardenLime {
    /// What it is called.
    pub name: String,
    /// What kind of product it is.
    pub kind: ProductKind,
    /// Calcium carbonate equivalent.
    #[serde(default)]
    pub cce: Option<Percent>,
    /// The scheme of its effective value.
    #[serde(default)]
    pub scheme: Option<Scheme>,
    /// Its effective value by that scheme.
    #[serde(default)]
    pub effective: Option<Percent>,
    /// What equals a ton (2000 lb) of standard agricultural lime.
    #[serde(default)]
    pub equals_standard_ton: Option<Mass>,
    /// How much is in one bag.
    #[serde(default)]
    pub bag: Option<Mass>,
    /// What one bag costs.
    #[serde(default)]
    pub bag_price: Option<Money>,
}

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GardenCompost {
    /// What it was made of.
    pub origin: Origin,
    /// What it weighs by volume, from one full bucket.
    #[serde(default)]
    pub density: Option<Density>,
    /// The phosphate (P2O5) in it as is, from its analysis.
    #[serde(default)]
    pub phosphate: Option<Percent>,
}

/// Something that was spread on a bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Amendment {
    /// On which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// What.
    pub what: AmendmentKind,
    /// How much, if somebody knows.
    #[serde(default)]
    pub amount: Option<Amount>,
    /// The day it was dug in; while there is none, it lies on the surface.
    #[serde(default)]
    pub dug_in_on: Option<Day>,
    /// Who wrote it down.
    pub member: MemberId,
    /// A word about it.
    #[serde(default)]
    pub word: String,
    /// The day it was struck out as a mistake, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// What was spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
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

    /// Its key, as it is stored.
    pub fn key(self) -> &'static str {
        match self {
            Self::Lime => "lime",
            Self::Ash => "ash",
            Self::Compost => "compost",
            Self::RawManure => "raw_manure",
            Self::CompostedManure => "composted_manure",
            Self::Mulch => "mulch",
            Self::Sulfur => "sulfur",
            Self::Gypsum => "gypsum",
            Self::Other => "other",
        }
    }

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
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
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BedCrops {
    /// This year: the crops and groups of [`crate::soil::targets`] that are true.
    #[serde(default)]
    pub now: BTreeMap<String, bool>,
    /// Next year.
    #[serde(default)]
    pub next_year: BTreeMap<String, bool>,
}

impl BedCrops {
    /// The crops that grow there in a list of this record.
    pub fn chosen(crops: &BTreeMap<String, bool>) -> Vec<&str> {
        crops
            .iter()
            .filter(|(_, grows)| **grows)
            .map(|(crop, _)| crop.as_str())
            .collect()
    }
}
