//! What a material for the pile is made of.

use serde::Serialize;

use super::super::exact::nearest;
use super::feedstocks::Feedstock;
use crate::quantities::{CarbonToNitrogen, Density, Mass, Percent, Volume};
use crate::reckoning::Refusal;

/// Ten-thousandths of a percent in a hundred percent.
const WHOLE: i64 = 1_000_000;
/// The heaviest portion of a pile: 100 t.
pub(super) const HEAVIEST: Mass = Mass::from_grams(100_000_000);

/// Water, nitrogen and carbon of a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Makeup {
    /// Water, of the weight as is.
    pub moisture: Percent,
    /// Nitrogen, of what is dry.
    pub nitrogen: Percent,
    /// Carbon, of what is dry, in ten-thousandths of a percent, so that a ratio times a percentage loses nothing.
    carbon: i64,
}

impl Makeup {
    /// Nothing but water.
    pub const WATER: Self = Self {
        moisture: Percent::HUNDRED,
        nitrogen: Percent::ZERO,
        carbon: 0,
    };

    /// From moisture, nitrogen of the dry part, and the ratio of carbon to nitrogen.
    ///
    /// ```
    /// use selion_core::quantities::{CarbonToNitrogen, Percent};
    /// use selion_core::soil::pile::Makeup;
    ///
    /// let of = |moisture, nitrogen, ratio| {
    ///     Makeup::by_ratio(Percent::from_hundredths(moisture), Percent::from_hundredths(nitrogen), CarbonToNitrogen::from_hundredths(ratio))
    /// };
    /// assert!(of(3_500, 11, 50_000).is_ok(), "sawdust: 0.11 % nitrogen at 500:1 is 55 % carbon");
    /// assert!(of(3_500, 80, 20_000).is_err(), "0.8 % nitrogen at 200:1 would be 160 % carbon");
    /// ```
    pub fn by_ratio(
        moisture: Percent,
        nitrogen: Percent,
        ratio: CarbonToNitrogen,
    ) -> Result<Self, Refusal> {
        share("moisture", moisture)?;
        share("nitrogen", nitrogen)?;
        if nitrogen == Percent::ZERO || ratio <= CarbonToNitrogen::ZERO {
            return Err(Refusal::bad(
                "carbon to nitrogen",
                "a ratio above 0 of a material that holds nitrogen; give the carbon in percent otherwise",
                ratio.to_string(),
            ));
        }
        // Hundredths of a percent times hundredths are ten-thousandths.
        let carbon = nitrogen
            .hundredths()
            .checked_mul(ratio.hundredths())
            .filter(|carbon| *carbon <= WHOLE)
            .ok_or_else(|| {
                let expected =
                    format!("a ratio that leaves carbon within 100 % at {nitrogen} nitrogen");
                Refusal::bad("carbon to nitrogen", expected, ratio.to_string())
            })?;
        Ok(Self {
            moisture,
            nitrogen,
            carbon,
        })
    }

    /// From moisture, and nitrogen and carbon of the dry part.
    pub fn by_carbon(
        moisture: Percent,
        nitrogen: Percent,
        carbon: Percent,
    ) -> Result<Self, Refusal> {
        share("moisture", moisture)?;
        share("nitrogen", nitrogen)?;
        share("carbon", carbon)?;
        Ok(Self {
            moisture,
            nitrogen,
            carbon: carbon.hundredths().saturating_mul(100),
        })
    }

    /// Half of this and half of another, by dry weight and by water alike.
    pub(super) fn halfway(self, other: Self) -> Self {
        let half = |one: Percent, two: Percent| {
            Percent::from_hundredths(i64::midpoint(one.hundredths(), two.hundredths()))
        };
        Self {
            moisture: half(self.moisture, other.moisture),
            nitrogen: half(self.nitrogen, other.nitrogen),
            carbon: i64::midpoint(self.carbon, other.carbon),
        }
    }

    /// The same with another moisture.
    pub(super) fn at_moisture(self, moisture: Percent) -> Self {
        Self { moisture, ..self }
    }

    /// Its carbon to its nitrogen; nothing where it holds no nitrogen.
    pub fn ratio(self) -> Option<CarbonToNitrogen> {
        let ratio = nearest(
            i128::from(self.carbon),
            i128::from(self.nitrogen.hundredths()),
        );
        ratio.map(CarbonToNitrogen::from_hundredths)
    }

    /// What is not water, in hundredths of a percent of the weight as is.
    pub(super) fn dry(self) -> i128 {
        i128::from(Percent::HUNDRED.hundredths() - self.moisture.hundredths())
    }

    /// Nitrogen in a gram as is, in units of 10⁻⁸ g.
    pub(super) fn nitrogen_weight(self) -> i128 {
        self.dry() * i128::from(self.nitrogen.hundredths())
    }

    /// Carbon in a gram as is, in units of 10⁻¹⁰ g.
    pub(super) fn carbon_weight(self) -> i128 {
        self.dry() * i128::from(self.carbon)
    }
}

/// A material as it is talked about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Material {
    /// What it is called.
    pub name: String,
    /// What it is made of.
    pub makeup: Makeup,
    /// The row of the table that the values are taken from, where nobody had it analysed.
    pub printed: Option<&'static Feedstock>,
    /// What it weighs by volume, where that is known.
    pub density: Option<Density>,
}

impl Material {
    /// A material with values of its own.
    pub fn analysed(name: impl Into<String>, makeup: Makeup) -> Self {
        Self {
            name: name.into(),
            makeup,
            printed: None,
            density: None,
        }
    }

    /// Water.
    pub fn water() -> Self {
        Self {
            density: Some(Density::from_grams_per_m3(1_000_000)),
            ..Self::analysed("water", Makeup::WATER)
        }
    }

    /// A material by the middle of its printed values.
    pub fn printed(feedstock: &'static Feedstock) -> Self {
        Self {
            printed: Some(feedstock),
            ..Self::analysed(feedstock.name, feedstock.middle())
        }
    }
}

/// Some of a material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Portion {
    /// Of what.
    pub material: Material,
    /// How much, as is.
    pub mass: Mass,
}

impl Portion {
    /// The room that it takes, where its bulk density is known.
    pub fn volume(&self) -> Option<Volume> {
        self.material.density?.room(self.mass)
    }
}

fn share(field: &str, percent: Percent) -> Result<(), Refusal> {
    if (Percent::ZERO..=Percent::HUNDRED).contains(&percent) {
        return Ok(());
    }
    Err(Refusal::bad(
        field,
        "a percentage from 0 to 100",
        percent.to_string(),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn percent(hundredths: i64) -> Percent {
        Percent::from_hundredths(hundredths)
    }

    #[test]
    fn shares_of_more_than_the_whole_are_refused_by_name() {
        let (fine, much) = (percent(100), percent(10_001));
        let ratio = CarbonToNitrogen::from_hundredths(3_000);
        for (refusal, field) in [
            (Makeup::by_ratio(much, fine, ratio), "moisture"),
            (Makeup::by_ratio(fine, much, ratio), "nitrogen"),
            (
                Makeup::by_ratio(fine, fine, CarbonToNitrogen::from_hundredths(10_001)),
                "carbon to nitrogen",
            ),
            (
                Makeup::by_ratio(fine, Percent::ZERO, ratio),
                "carbon to nitrogen",
            ),
            (Makeup::by_carbon(fine, fine, much), "carbon"),
        ] {
            let refusal = refusal.unwrap_err().to_string();
            assert!(refusal.starts_with(field), "{refusal}");
        }
    }

    #[test]
    fn water_has_no_ratio() {
        assert_eq!(Makeup::WATER.ratio(), None);
        let grass = Makeup::by_carbon(percent(7_700), percent(240), percent(4_500)).unwrap();
        assert_eq!(
            grass.ratio(),
            Some(CarbonToNitrogen::from_hundredths(1_875))
        );
    }
}
