//! How much of the reference water a crop drinks on each day of its life (FAO-56, Tables 11, 12 and 22, Eq. 66).
//!
//! `ETc = Kc · ET0`. Kc is level in the first and the middle stage and runs straight between them and to the end:
//! `Kc(i) = Kprev + (i − Σ earlier stages) / stage · (Knext − Kprev)`. One row a crop is kept, though the tables have several for
//! other places and dates; a garden's own stages and coefficients come before them and are shown as its own.
//!
//! ```
//! use selion_core::work::water::crops::{Kc, find, on_day};
//!
//! let tomato = find("tomato")?;
//! let answer = on_day(tomato, None, None, 50)?;
//! assert_eq!(answer.result, Kc::from_thousandths(875));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;
use std::str::FromStr;

use serde::Serialize;

use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Depth, Percent};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::work::FAO_56;

/// A crop coefficient, in whole thousandths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub struct Kc(i64);

impl Kc {
    /// From whole thousandths.
    pub const fn from_thousandths(count: i64) -> Self {
        Self(count)
    }

    /// In whole thousandths.
    pub const fn thousandths(self) -> i64 {
        self.0
    }

    /// What a crop drinks of this reference water, to the nearest micrometre.
    pub fn of(self, reference: Depth) -> Option<Depth> {
        let product = i128::from(self.0) * i128::from(reference.micrometres());
        nearest(product, 1_000).map(Depth::from_micrometres)
    }
}

impl FromStr for Kc {
    type Err = BadInput;

    /// Reads a coefficient from 0 to 2 such as `1.15`.
    fn from_str(text: &str) -> Result<Self, BadInput> {
        let expected =
            "a crop coefficient from 0 to 2 with at most two digits behind the point, such as 1.15";
        let refused = || BadInput::new("kc", expected, text);
        let hundredths = Percent::parse(text)
            .map_err(|_other| refused())?
            .hundredths();
        if (0..=200).contains(&hundredths) && !text.contains('%') {
            Ok(Self(hundredths * 10))
        } else {
            Err(refused())
        }
    }
}

impl fmt::Display for Kc {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{}.{:03}", self.0 / 1_000, self.0 % 1_000);
        out.write_str(text.strip_suffix('0').unwrap_or(&text))
    }
}

/// A crop of the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WaterCrop {
    /// What it is called; where and when the stages were seen.
    pub name: &'static str,
    /// Days of the first, the developing, the middle and the late stage, where they are printed.
    pub stages: Option<[i64; 4]>,
    /// Coefficient of the first stage, of the middle one and at the end.
    pub kc: [Kc; 3],
    /// How deep it roots at most: shallow soil or planning first, deep soil second.
    pub roots: (Depth, Depth),
    /// The part of the held water that it takes without trouble, when it drinks 5 mm a day.
    pub easy: Percent,
}

/// Values as in the tables: days, hundredths, centimetres of root, percent.
const fn row(
    name: &'static str,
    stages: Option<[i64; 4]>,
    kc: [i64; 3],
    roots: (i64, i64),
    easy: i64,
) -> WaterCrop {
    let [first, middle, end] = kc;
    WaterCrop {
        name,
        stages,
        kc: [Kc(first * 10), Kc(middle * 10), Kc(end * 10)],
        roots: (
            Depth::from_micrometres(roots.0 * 10_000),
            Depth::from_micrometres(roots.1 * 10_000),
        ),
        easy: Percent::from_hundredths(easy * 100),
    }
}

/// One row a crop.
pub const CROPS: [WaterCrop; 22] = [
    row(
        "bean, green",
        Some([20, 30, 30, 10]),
        [50, 105, 90],
        (50, 70),
        45,
    ),
    row(
        "bean, dry",
        Some([20, 30, 40, 20]),
        [40, 115, 35],
        (60, 90),
        45,
    ),
    row(
        "beet, table",
        Some([15, 25, 20, 10]),
        [50, 105, 95],
        (60, 100),
        50,
    ),
    row(
        "broccoli",
        Some([35, 45, 40, 15]),
        [70, 105, 95],
        (40, 60),
        45,
    ),
    row(
        "cabbage",
        Some([40, 60, 50, 15]),
        [70, 105, 95],
        (50, 80),
        45,
    ),
    row(
        "carrot",
        Some([30, 40, 60, 20]),
        [70, 105, 95],
        (50, 100),
        35,
    ),
    row(
        "cucumber",
        Some([20, 30, 40, 15]),
        [60, 100, 75],
        (70, 120),
        50,
    ),
    row(
        "eggplant",
        Some([30, 45, 40, 25]),
        [60, 105, 90],
        (70, 120),
        45,
    ),
    row("garlic", None, [70, 100, 70], (30, 50), 30),
    row(
        "lettuce",
        Some([20, 30, 15, 10]),
        [70, 100, 95],
        (30, 50),
        30,
    ),
    row(
        "onion, dry",
        Some([15, 25, 70, 40]),
        [70, 105, 75],
        (30, 60),
        30,
    ),
    row(
        "pea, fresh",
        Some([15, 25, 35, 15]),
        [50, 115, 110],
        (60, 100),
        35,
    ),
    row(
        "pepper, bell",
        Some([30, 35, 40, 20]),
        [60, 105, 90],
        (50, 100),
        30,
    ),
    row(
        "potato",
        Some([30, 35, 50, 30]),
        [50, 115, 75],
        (40, 60),
        35,
    ),
    row("radish", Some([5, 10, 15, 5]), [70, 90, 85], (30, 50), 30),
    row(
        "spinach",
        Some([20, 20, 20, 5]),
        [70, 100, 95],
        (30, 50),
        20,
    ),
    row(
        "squash, zucchini",
        Some([20, 30, 25, 15]),
        [50, 95, 75],
        (60, 100),
        50,
    ),
    row(
        "squash, winter",
        Some([25, 35, 35, 25]),
        [50, 100, 80],
        (100, 150),
        35,
    ),
    row("strawberry", None, [40, 85, 75], (20, 30), 20),
    row(
        "sweet corn, fresh",
        Some([20, 25, 25, 10]),
        [30, 115, 105],
        (80, 120),
        50,
    ),
    row(
        "sweet potato",
        Some([20, 30, 60, 40]),
        [50, 115, 65],
        (100, 150),
        65,
    ),
    row(
        "tomato",
        Some([30, 40, 45, 30]),
        [60, 115, 80],
        (70, 150),
        40,
    ),
];

/// The crop of this name.
pub fn find(name: &str) -> Result<&'static WaterCrop, BadInput> {
    CROPS
        .iter()
        .find(|crop| crop.name == name.trim())
        .ok_or_else(|| {
            let names = CROPS.map(|crop| crop.name).join("; ");
            BadInput::new("crop", format!("one of {names}"), name)
        })
}

/// The coefficient on a day after sowing or planting, with own stages and coefficients before those of the table.
pub fn on_day(
    crop: &WaterCrop,
    own_stages: Option<[i64; 4]>,
    own_kc: Option<[Kc; 3]>,
    day: i64,
) -> Result<Reckoning<Kc>, Refusal> {
    let stages = own_stages.or(crop.stages).ok_or_else(|| Refusal::Missing {
        what: format!("How long the stages of {} are", crop.name),
        why: "the table has none, so put in the own four".to_owned(),
    })?;
    if !stages.iter().all(|days| (1..=400).contains(days)) {
        return Err(Refusal::bad(
            "stages",
            "four stages of 1 to 400 days",
            said(&stages),
        ));
    }
    let kc = own_kc.unwrap_or(crop.kc);
    let [first, developing, middle, late] = stages;
    let whole: i64 = stages.iter().sum();
    if !(0..=whole).contains(&day) {
        return Err(Refusal::OutsideTheRule {
            field: "day".to_owned(),
            bounds: format!("the {whole} days of its stages"),
            came: format!("day {day}"),
        });
    }
    let [begin, full, end] = kc;
    let between = |from: Kc, to: Kc, gone: i64, of: i64| {
        let top = i128::from(to.0 - from.0) * i128::from(gone);
        Kc(from.0 + nearest(top, i128::from(of)).unwrap_or(0))
    };
    let (stage, result) = if day <= first {
        ("first", begin)
    } else if day <= first + developing {
        ("developing", between(begin, full, day - first, developing))
    } else if day <= whole - late {
        ("middle", full)
    } else {
        (
            "late",
            between(full, end, day - (first + developing + middle), late),
        )
    };
    let mark = |own: bool| if own { ", own values" } else { "" };
    let coefficients = kc.map(|kc| kc.to_string()).join(", ");
    let source = Source::published(format!(
        "{FAO_56}, Tables 11 and 12, Eq. 66, after an open transcription."
    ));
    Ok(Reckoning::new(result, source)
        .step(Step::new(format!("Stages{}", mark(own_stages.is_some())), said(&stages)))
        .step(Step::new(format!("Kc first, middle, end{}", mark(own_kc.is_some())), coefficients))
        .step(Step::new(format!("Day {day}"), format!("{stage} stage")))
        .step(Step::sum("Kc", result.to_string()))
        .on("Stages are of one place and date; Kc is for moist soil, low wind and a relative humidity of 45 % at noon.")
        .on("The first value depends on how often bare soil is wetted; it is too high for a dry spring.")
        .rounded("To the nearest thousandth."))
}

fn said(stages: &[i64; 4]) -> String {
    format!("{} days", stages.map(|days| days.to_string()).join(", "))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn own_values_come_first_and_say_so() {
        let garlic = find("garlic").unwrap();
        assert_eq!(on_day(garlic, None, None, 5).unwrap_err().code(), "missing");
        let text = on_day(garlic, Some([10, 10, 10, 10]), None, 20)
            .unwrap()
            .to_string();
        assert!(
            text.contains("Stages, own values") && text.starts_with("1.00\n"),
            "{text}"
        );
        assert!(
            on_day(garlic, Some([10, 0, 10, 10]), None, 5)
                .unwrap_err()
                .to_string()
                .starts_with("stages:")
        );
        assert_eq!(
            on_day(&CROPS[0], None, None, 91).unwrap_err().code(),
            "outside_the_rule"
        );
        assert_eq!(find("moss").unwrap_err().field, "crop");
    }

    #[test]
    fn coefficients_are_read_and_shown() {
        assert_eq!("1.15".parse(), Ok(Kc(1_150)));
        assert_eq!(
            (Kc(1_150).to_string(), Kc(695).to_string()),
            ("1.15".to_owned(), "0.695".to_owned())
        );
        for text in ["", "2.01", "-1", "115 %", "1.155"] {
            assert_eq!(text.parse::<Kc>().unwrap_err().field, "kc", "{text}");
        }
    }

    proptest! {
        #[test]
        fn it_never_leaves_its_three_values(row in 0_usize..22, day in 0_i64..400) {
            let crop = &CROPS[row];
            if let Ok(answer) = on_day(crop, None, None, day) {
                let (least, most) = (crop.kc.iter().min().unwrap(), crop.kc.iter().max().unwrap());
                prop_assert!((least..=most).contains(&&answer.result));
            }
        }
    }
}
