//! Whether a bed is likely dry enough to work, from the drying of its top layer; the hand always has the last word.
//!
//! Each day `De` millimetres have gone from the top 10 cm: rain comes off, then bare soil gives `Kr (Kc max − Kcb) ET0`, with
//! `Kr = 1` while `De ≤ REW`, else `(TEW − De) / (TEW − REW)` [FAO-56 Eqs 71, 74, 77; Kc max 1.20 and Kcb 0.15 as in Ex. 31].
//! The flag over it is ours, not a published rule: below REW probably too wet, to three quarters of TEW the squeeze test
//! decides, above it likely workable. A soaking rain of more than 10 mm begins anew.
//!
//! ```
//! use selion_core::quantities::{Depth, Units};
//! use selion_core::work::workable::{DryDay, Flag, TopLayer, flag};
//!
//! let day = DryDay { et0: Depth::parse("4.5 mm")?, rain: Depth::ZERO };
//! let loam = TopLayer::of_texture("loam")?;
//! let answer = flag(loam, &[day; 3], Units::Metric)?;
//! assert_eq!(answer.result.flag, Flag::SqueezeTest);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::FAO_56;
use crate::geometry::{approximate, whole};
use crate::quantities::{BadInput, Depth, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The most days of one account.
const MOST_DAYS: usize = 60;
/// A rain that soaks: more than 10 mm.
const SOAKING: Depth = Depth::from_micrometres(10_000);
/// What bare soil gives at most for each millimetre of ET0: Kc max 1.20 less Kcb 0.15.
const GIVES: f64 = 1.05;

/// Water of the top 10 cm: what goes readily (REW) and in all (TEW), at the wet end of what is printed, since a soil that is
/// taken for too wet does no harm [FAO-56 Table 19].
const TEXTURES: [(&str, i64, i64); 9] = [
    ("sand", 7, 12),
    ("loamy sand", 8, 14),
    ("sandy loam", 10, 20),
    ("loam", 10, 22),
    ("silt loam", 11, 25),
    ("silt", 11, 26),
    ("silty clay loam", 11, 27),
    ("silty clay", 12, 28),
    ("clay", 12, 29),
];

/// How much water the top of a soil gives before it is dry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TopLayer {
    /// What goes as fast as the air takes it.
    pub readily: Depth,
    /// What goes in all.
    pub in_all: Depth,
}

impl TopLayer {
    /// By the name of a texture, at the wet end of the table.
    pub fn of_texture(name: &str) -> Result<Self, BadInput> {
        let row = TEXTURES.iter().find(|(texture, ..)| *texture == name);
        let (_, readily, in_all) = row.ok_or_else(|| {
            let names = TEXTURES.map(|(texture, ..)| texture).join(", ");
            BadInput::new("texture", names, name)
        })?;
        Ok(Self {
            readily: Depth::from_micrometres(readily * 1_000),
            in_all: Depth::from_micrometres(in_all * 1_000),
        })
    }
}

/// One day over a bare bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DryDay {
    /// Reference evapotranspiration.
    pub et0: Depth,
    /// Rain.
    pub rain: Depth,
}

/// What the account says; the hand decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Flag {
    /// Probably too wet.
    TooWet,
    /// The squeeze test decides.
    SqueezeTest,
    /// Likely workable.
    Likely,
}

impl Flag {
    fn of(layer: TopLayer, gone: Depth) -> Self {
        if gone < layer.readily {
            Self::TooWet
        } else if gone.micrometres() * 4 < layer.in_all.micrometres() * 3 {
            Self::SqueezeTest
        } else {
            Self::Likely
        }
    }
}

/// The flag after the last day, with what has gone from the top layer by the end of each.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Workable {
    /// The flag.
    pub flag: Flag,
    /// What has gone by the end of each day.
    pub gone: Vec<Depth>,
}

impl fmt::Display for Workable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self.flag {
            Flag::TooWet => "Probably too wet: leave it, and squeeze a handful tomorrow",
            Flag::SqueezeTest => "Squeeze a handful from working depth: that decides",
            Flag::Likely => "Likely workable; squeeze a handful from working depth first",
        })
    }
}

/// The flag after these days, of which the first follows a soaking rain.
pub fn flag(
    layer: TopLayer,
    days: &[DryDay],
    units: Units,
) -> Result<Reckoning<Workable>, Refusal> {
    check(layer, days, units)?;
    let show = |depth: Depth| depth.show_water(units);
    let source = Source::published(format!(
        "{FAO_56}, Eqs 71 to 77 and Table 19; the flag is a garden's rule of thumb."
    ));
    let mut gone = Depth::ZERO;
    let mut each = Vec::new();
    let mut steps = vec![
        Step::new(
            "Goes readily from the top 10 cm (4 in)",
            show(layer.readily),
        ),
        Step::new("Goes in all", show(layer.in_all)),
    ];
    for (number, day) in (1..).zip(days) {
        gone = after(layer, gone, *day);
        each.push(gone);
        steps.push(Step::new(format!("Gone after day {number}"), show(gone)));
    }
    let result = Workable {
        flag: Flag::of(layer, gone),
        gone: each,
    };
    let mut answer = Reckoning::new(result, source)
        .on("Counted from a soaking rain, on bare soil; under mulch it dries more slowly.")
        .on("Squeeze test: drips is far too wet; a ball that only dents, wait; a ball that crumbles when pushed, go.")
        .on("Treading and digging wet soil makes clods that may last all season.")
        .rounded("Each day to the micrometre.");
    answer.steps = steps;
    Ok(answer)
}

/// What has gone by the end of a day.
fn after(layer: TopLayer, gone: Depth, day: DryDay) -> Depth {
    let gone = if day.rain > SOAKING {
        0
    } else {
        (gone.micrometres() - day.rain.micrometres()).max(0)
    };
    let (readily, in_all) = (layer.readily.micrometres(), layer.in_all.micrometres());
    let number = |micrometres: i64| approximate(i128::from(micrometres));
    let kr = if gone <= readily {
        1.0
    } else {
        number(in_all - gone) / number(in_all - readily)
    };
    let gives = whole(kr * GIVES * number(day.et0.micrometres()));
    Depth::from_micrometres((gone + gives).min(in_all))
}

fn check(layer: TopLayer, days: &[DryDay], units: Units) -> Result<(), Refusal> {
    if !layer.readily.is_positive() || layer.readily >= layer.in_all {
        return Err(Refusal::bad(
            "readily",
            "more than nothing and less than goes in all",
            layer.readily.show_water(units),
        ));
    }
    if days.is_empty() || days.len() > MOST_DAYS {
        return Err(Refusal::bad(
            "days",
            format!("1 to {MOST_DAYS} days since the soaking rain"),
            format!("{} days", days.len()),
        ));
    }
    let most = Depth::from_micrometres(1_000_000);
    for day in days {
        for (field, depth) in [("et0", day.et0), ("rain", day.rain)] {
            if !(Depth::ZERO..=most).contains(&depth) {
                return Err(Refusal::bad(
                    field,
                    format!("from nothing to {}", most.show_water(units)),
                    depth.show_water(units),
                ));
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn dry(et0: i64) -> DryDay {
        DryDay {
            et0: Depth::from_micrometres(et0),
            rain: Depth::ZERO,
        }
    }

    fn loam() -> TopLayer {
        TopLayer::of_texture("loam").unwrap()
    }

    fn flag_of(days: &[DryDay]) -> Flag {
        flag(loam(), days, Units::Metric).unwrap().result.flag
    }

    #[test]
    fn a_loam_leaves_too_wet_on_the_third_warm_day_and_later_in_the_cool() {
        assert_eq!(flag_of(&[dry(4_500); 2]), Flag::TooWet);
        assert_eq!(flag_of(&[dry(4_500); 3]), Flag::SqueezeTest);
        assert_eq!(flag_of(&[dry(4_500); 6]), Flag::Likely);
        assert_eq!(flag_of(&[dry(2_000); 4]), Flag::TooWet);
        let mut rained = [dry(4_500); 7];
        rained[6].rain = Depth::from_micrometres(12_000);
        assert_eq!(flag_of(&rained), Flag::TooWet);
    }

    #[test]
    fn what_is_no_account_is_refused() {
        let refused =
            |layer, days: &[DryDay]| flag(layer, days, Units::Metric).unwrap_err().to_string();
        assert!(refused(loam(), &[]).starts_with("days:"));
        assert!(refused(loam(), &[dry(4_500); 61]).starts_with("days:"));
        assert!(refused(loam(), &[dry(-1)]).starts_with("et0:"));
        let flat = TopLayer {
            readily: loam().in_all,
            ..loam()
        };
        assert!(refused(flat, &[dry(1)]).starts_with("readily:"));
        let unknown = TopLayer::of_texture("gravel").unwrap_err().to_string();
        assert!(unknown.starts_with("texture:"), "{unknown}");
    }

    proptest! {
        #[test]
        fn what_is_gone_lies_between_nothing_and_all(days in prop::collection::vec((0_i64..12_000, 0_i64..40_000), 1..60)) {
            let days: Vec<DryDay> = days.into_iter().map(|(et0, rain)| DryDay { rain: Depth::from_micrometres(rain), ..dry(et0) }).collect();
            for gone in flag(loam(), &days, Units::Metric).unwrap().result.gone {
                prop_assert!((Depth::ZERO..=loam().in_all).contains(&gone));
            }
        }
    }
}
