//! What pure compounds neutralise, from their molar masses.
//!
//! `CCE = 100 × n × M(CaCO₃) / M(x)`, n being the calcium and magnesium in one formula unit. Molar masses are sums of standard
//! atomic weights in thousandths of a gram a mole; printed tables round the results (magnesium carbonate 119, quicklime 178).
//!
//! ```
//! use selion_core::soil::liming_material::compound::Compound;
//!
//! assert_eq!(Compound::Dolomite.cce().to_string(), "108.55 %");
//! ```

use crate::quantities::{Mass, Percent};

/// Standard atomic weights in thousandths.
mod weight {
    pub(super) const HYDROGEN: i64 = 1_008;
    pub(super) const CARBON: i64 = 12_011;
    pub(super) const OXYGEN: i64 = 15_999;
    pub(super) const MAGNESIUM: i64 = 24_305;
    pub(super) const SULFUR: i64 = 32_060;
    pub(super) const CALCIUM: i64 = 40_078;
}

/// A pure compound that stands in liming and gypsum.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Compound {
    /// Calcium carbonate, `CaCO₃`: what everything is compared with.
    Calcite,
    /// Magnesium carbonate, `MgCO₃`.
    MagnesiumCarbonate,
    /// Dolomite, CaMg(CO₃)₂.
    Dolomite,
    /// Hydrated lime, Ca(OH)₂.
    CalciumHydroxide,
    /// Magnesium hydroxide, Mg(OH)₂.
    MagnesiumHydroxide,
    /// Quicklime, `CaO`.
    CalciumOxide,
    /// Magnesia, `MgO`.
    MagnesiumOxide,
    /// Gypsum, CaSO₄·2H₂O: it neutralises nothing.
    Gypsum,
}

impl Compound {
    /// Every compound here.
    pub const ALL: [Self; 8] = [
        Self::Calcite,
        Self::MagnesiumCarbonate,
        Self::Dolomite,
        Self::CalciumHydroxide,
        Self::MagnesiumHydroxide,
        Self::CalciumOxide,
        Self::MagnesiumOxide,
        Self::Gypsum,
    ];

    /// Thousandths of a gram a mole.
    pub fn molar_mass(self) -> i64 {
        let carbonate = weight::CARBON + 3 * weight::OXYGEN;
        let hydroxide = weight::OXYGEN + weight::HYDROGEN;
        let water = 2 * weight::HYDROGEN + weight::OXYGEN;
        match self {
            Self::Calcite => weight::CALCIUM + carbonate,
            Self::MagnesiumCarbonate => weight::MAGNESIUM + carbonate,
            Self::Dolomite => weight::CALCIUM + weight::MAGNESIUM + 2 * carbonate,
            Self::CalciumHydroxide => weight::CALCIUM + 2 * hydroxide,
            Self::MagnesiumHydroxide => weight::MAGNESIUM + 2 * hydroxide,
            Self::CalciumOxide => weight::CALCIUM + weight::OXYGEN,
            Self::MagnesiumOxide => weight::MAGNESIUM + weight::OXYGEN,
            Self::Gypsum => weight::CALCIUM + weight::SULFUR + 4 * weight::OXYGEN + 2 * water,
        }
    }

    /// Its calcium carbonate equivalent, to the hundredth of a percent.
    pub fn cce(self) -> Percent {
        let units = match self {
            Self::Gypsum => 0,
            Self::Dolomite => 2,
            Self::Calcite
            | Self::MagnesiumCarbonate
            | Self::CalciumHydroxide
            | Self::MagnesiumHydroxide
            | Self::CalciumOxide
            | Self::MagnesiumOxide => 1,
        };
        self.share_of_mass(units * Self::Calcite.molar_mass())
    }

    /// How much of it does as much as this much pure calcium carbonate, to the nearest gram; nothing does where it neutralises
    /// nothing.
    pub fn equal_to_calcite(self, calcite: Mass) -> Option<Mass> {
        let cce = i128::from(self.cce().hundredths());
        if cce == 0 {
            return None;
        }
        // From the molar masses themselves, so that the rounding of the percentage does not come in.
        let units = if self == Self::Dolomite { 2 } else { 1 };
        let top = i128::from(calcite.grams()) * i128::from(self.molar_mass());
        let bottom = i128::from(units * Self::Calcite.molar_mass());
        let grams = (2 * top + bottom).div_euclid(2 * bottom);
        i64::try_from(grams).ok().map(Mass::from_grams)
    }

    /// How much of its weight is calcium.
    pub fn calcium(self) -> Percent {
        match self {
            Self::Calcite
            | Self::Dolomite
            | Self::CalciumHydroxide
            | Self::CalciumOxide
            | Self::Gypsum => self.share_of_mass(weight::CALCIUM),
            Self::MagnesiumCarbonate | Self::MagnesiumHydroxide | Self::MagnesiumOxide => {
                Percent::ZERO
            }
        }
    }

    /// How much of its weight is magnesium.
    pub fn magnesium(self) -> Percent {
        match self {
            Self::MagnesiumCarbonate
            | Self::Dolomite
            | Self::MagnesiumHydroxide
            | Self::MagnesiumOxide => self.share_of_mass(weight::MAGNESIUM),
            Self::Calcite | Self::CalciumHydroxide | Self::CalciumOxide | Self::Gypsum => {
                Percent::ZERO
            }
        }
    }

    /// How much of its weight is sulfur.
    pub fn sulfur(self) -> Percent {
        if self == Self::Gypsum {
            self.share_of_mass(weight::SULFUR)
        } else {
            Percent::ZERO
        }
    }

    fn share_of_mass(self, part: i64) -> Percent {
        let whole = self.molar_mass();
        Percent::from_hundredths((2 * 10_000 * part + whole).div_euclid(2 * whole))
    }
}

/// How many ten-thousandths of its weight in calcium carbonate elemental sulfur offsets: one mole against one mole.
pub fn calcite_offset_by_sulfur() -> i64 {
    (2 * 10_000 * Compound::Calcite.molar_mass() + weight::SULFUR).div_euclid(2 * weight::SULFUR)
}
