//! What the soil holds for roots, and how much of it they take without trouble (FAO-56, Table 19, Eqs 82 to 84).
//!
//! ```text
//! TAW = (FC − WP) · Zr            all that roots can take
//! RAW = p · TAW                   what they take easily
//! p   = p(table) + 0.04 (5 − ETc in mm), kept between 0.1 and 0.8
//! Ks  = (TAW − Dr) / (TAW − RAW)  once more than RAW is gone
//! ```
//!
//! ```
//! use selion_core::quantities::{Depth, Percent, Units};
//! use selion_core::work::water::root_zone::{Holding, RootZone, refill};
//!
//! let percent = |text: &str| Percent::parse(text);
//! let loam = Holding::Own { capacity: percent("25 %")?, wilting: percent("12 %")? };
//! let zone = RootZone { holding: loam, roots: Depth::parse("70 cm")?, easy: percent("40 %")? };
//! let answer = refill(&zone, Some(Depth::parse("5.75 mm")?), Units::Metric)?.result;
//! assert_eq!(answer.to_string(), "33.7 mm of 91 mm are taken easily: 5.9 dry days from full to refill");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Depth, Percent, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::work::FAO_56;

/// A soil of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Soil {
    /// Its texture.
    pub name: &'static str,
    /// Between field capacity and wilting point, least and most, in percent of its volume.
    pub held: (i64, i64),
}

/// FAO-56, Table 19.
pub const SOILS: [Soil; 9] = [
    Soil {
        name: "sand",
        held: (5, 11),
    },
    Soil {
        name: "loamy sand",
        held: (6, 12),
    },
    Soil {
        name: "sandy loam",
        held: (11, 15),
    },
    Soil {
        name: "loam",
        held: (13, 18),
    },
    Soil {
        name: "silt loam",
        held: (13, 19),
    },
    Soil {
        name: "silt",
        held: (16, 20),
    },
    Soil {
        name: "silty clay loam",
        held: (13, 18),
    },
    Soil {
        name: "silty clay",
        held: (13, 19),
    },
    Soil {
        name: "clay",
        held: (12, 20),
    },
];

/// How the water that a soil holds is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holding {
    /// Measured, in percent of the soil's volume.
    Own {
        /// At field capacity.
        capacity: Percent,
        /// At the wilting point.
        wilting: Percent,
    },
    /// By texture: the smaller printed figure, which waters sooner.
    Texture(&'static Soil),
}

impl Holding {
    /// By the name of a texture.
    pub fn of_texture(name: &str) -> Result<Self, BadInput> {
        SOILS
            .iter()
            .find(|soil| soil.name == name.trim())
            .map(Self::Texture)
            .ok_or_else(|| {
                let names = SOILS.map(|soil| soil.name).join(", ");
                BadInput::new("texture", format!("one of {names}"), name)
            })
    }

    /// What roots can take of it, in hundredths of a percent.
    fn held(self) -> Result<i64, Refusal> {
        match self {
            Self::Texture(soil) => Ok(soil.held.0 * 100),
            Self::Own { capacity, wilting }
                if wilting < capacity
                    && wilting >= Percent::ZERO
                    && capacity <= Percent::HUNDRED =>
            {
                Ok(capacity.hundredths() - wilting.hundredths())
            }
            Self::Own { capacity, wilting } => Err(Refusal::bad(
                "field_capacity",
                "at most 100 % and more than the wilting point",
                format!("{capacity} and {wilting}"),
            )),
        }
    }

    fn words(self) -> String {
        match self {
            Self::Own { capacity, wilting } => format!("{capacity} − {wilting}, own values"),
            Self::Texture(soil) => format!("{} to {} % of {}", soil.held.0, soil.held.1, soil.name),
        }
    }
}

/// The soil that roots reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RootZone {
    /// What it holds.
    pub holding: Holding,
    /// How deep roots go.
    pub roots: Depth,
    /// The part that is taken easily (p).
    pub easy: Percent,
}

impl RootZone {
    /// All that roots can take (TAW).
    pub fn all(&self) -> Result<Depth, Refusal> {
        if !(10_000..=3_000_000).contains(&self.roots.micrometres()) {
            let came = self.roots.show(Units::Metric);
            return Err(Refusal::bad("roots", "from 1 cm to 3 m", came));
        }
        let product = i128::from(self.holding.held()?) * i128::from(self.roots.micrometres());
        Ok(Depth::from_micrometres(
            nearest(product, 10_000).unwrap_or(0),
        ))
    }

    /// What they take easily (RAW).
    pub fn easily(&self) -> Result<Depth, Refusal> {
        if !(1..10_000).contains(&self.easy.hundredths()) {
            return Err(Refusal::bad(
                "p",
                "more than 0 % and less than 100 %",
                self.easy.to_string(),
            ));
        }
        let product = i128::from(self.all()?.micrometres()) * i128::from(self.easy.hundredths());
        Ok(Depth::from_micrometres(
            nearest(product, 10_000).unwrap_or(0),
        ))
    }
}

/// The part that is taken easily when a crop drinks so much in a day.
pub fn adjusted(easy: Percent, per_day: Depth) -> Percent {
    // 0.04 to a millimetre are 400 hundredths of a percent to 1000 micrometres.
    let change = nearest(
        i128::from(5_000 - per_day.micrometres().clamp(0, 1_000_000)) * 4,
        10,
    );
    let hundredths = easy.hundredths().saturating_add(change.unwrap_or(0));
    Percent::from_hundredths(hundredths.clamp(1_000, 8_000))
}

/// How long a full root zone lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Refill {
    /// All that roots can take.
    pub all: Depth,
    /// What they take easily: the most to bring at once.
    pub easily: Depth,
    /// The part that is.
    pub easy: Percent,
    /// Dry days from full to refill, in tenths, where it is known what the crop drinks.
    pub tenths_of_days: Option<i64>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Refill {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (easily, all) = (
            self.easily.show_water(self.units),
            self.all.show_water(self.units),
        );
        write!(out, "{easily} of {all} are taken easily")?;
        match self.tenths_of_days {
            Some(tenths) => write!(
                out,
                ": {}.{} dry days from full to refill",
                tenths / 10,
                tenths % 10
            ),
            None => Ok(()),
        }
    }
}

/// What a root zone holds, and how many dry days it lasts at so much a day.
pub fn refill(
    zone: &RootZone,
    per_day: Option<Depth>,
    units: Units,
) -> Result<Reckoning<Refill>, Refusal> {
    let mut zone = *zone;
    let all = zone.all()?;
    let printed = zone.easy;
    if let Some(per_day) = per_day {
        if !(1..=30_000).contains(&per_day.micrometres()) {
            let came = per_day.show_water(units);
            return Err(Refusal::bad(
                "crop water of a day",
                "more than nothing and at most 30 mm",
                came,
            ));
        }
        zone.easily()?;
        zone.easy = adjusted(printed, per_day);
    }
    let easily = zone.easily()?;
    let days = |per_day: Depth| {
        nearest(
            i128::from(easily.micrometres()) * 10,
            i128::from(per_day.micrometres()),
        )
    };
    let result = Refill {
        all,
        easily,
        easy: zone.easy,
        tenths_of_days: per_day.and_then(days),
        units,
    };
    let source = Source::published(format!(
        "{FAO_56}, Tables 19 and 22, Eqs 82 and 83, p. 162."
    ));
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Held for roots", zone.holding.words()))
        .step(Step::new("Roots", zone.roots.show(units)))
        .step(Step::new("All that they can take", all.show_water(units)))
        .step(Step::new("Part that is easy", printed.to_string()));
    if let Some(per_day) = per_day {
        let label = format!("The same at {} a day", per_day.show_water(units));
        answer = answer.step(Step::new(label, zone.easy.to_string()));
    }
    answer = answer.step(Step::sum("Taken easily", easily.show_water(units)));
    if matches!(zone.holding, Holding::Texture(_)) {
        answer = answer.on("By texture the smaller printed figure is taken, which waters sooner.");
    }
    Ok(answer
        .on("Some clays want a part that is 5 to 10 % smaller, some sands one that is as much larger.")
        .rounded("To the micrometre; days to the nearest tenth."))
}

/// How much less a thirsty crop drinks, in millionths (Ks).
pub(super) fn stress(all: Depth, easily: Depth, gone: Depth) -> i64 {
    let (all, easily, gone) = (all.micrometres(), easily.micrometres(), gone.micrometres());
    if gone <= easily {
        return 1_000_000;
    }
    let left = i128::from((all - gone).max(0)) * 1_000_000;
    nearest(left, i128::from(all - easily)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn zone(texture: &str, centimetres: i64, easy: i64) -> RootZone {
        RootZone {
            holding: Holding::of_texture(texture).unwrap(),
            roots: Depth::from_micrometres(centimetres * 10_000),
            easy: Percent::from_hundredths(easy * 100),
        }
    }

    #[test]
    fn what_cannot_be_is_refused_by_name() {
        let refused = |zone: RootZone, per_day: Option<i64>| {
            let per_day = per_day.map(Depth::from_micrometres);
            refill(&zone, per_day, Units::Metric)
                .unwrap_err()
                .to_string()
        };
        assert!(refused(zone("loam", 0, 40), None).starts_with("roots:"));
        assert!(refused(zone("loam", 50, 0), None).starts_with("p:"));
        assert!(refused(zone("loam", 50, 100), Some(5_000)).starts_with("p:"));
        assert!(refused(zone("loam", 50, 40), Some(0)).starts_with("crop water"));
        let mut upside_down = zone("loam", 50, 40);
        upside_down.holding = Holding::Own {
            capacity: Percent::ZERO,
            wilting: Percent::HUNDRED,
        };
        assert!(refused(upside_down, None).starts_with("field_capacity:"));
        assert_eq!(Holding::of_texture("gravel").unwrap_err().field, "texture");
    }

    proptest! {
        #[test]
        fn a_thirstier_day_never_lasts_longer(easy in 1_i64..99, one in 1_i64..30_000, other in 1_i64..30_000) {
            let zone = zone("loam", 60, easy);
            let days = |um: i64| refill(&zone, Some(Depth::from_micrometres(um)), Units::Metric).unwrap().result.tenths_of_days;
            prop_assert!(days(one.min(other)) >= days(one.max(other)));
        }
    }
}
