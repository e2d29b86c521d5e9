//! Which pH a bed should have for its crops, and where lime stays off.
//!
//! Most vegetables are at home about 6.5, a value that lies within every range that is published for them (5.8 to 6.5, 6.0 to 6.8,
//! at least 6.5 for mixed small plots). Some crops move the floor or the ceiling. Potatoes take no lime, ash or manure, this
//! year or next year (UMN-SCAB); blueberries want it sour. A bed whose crops ask for opposite things is refused: the answer is
//! another bed, not a middle.
//!
//! ```
//! use selion_core::quantities::Ph;
//! use selion_core::soil::targets::{Verdict, bed_target};
//!
//! let brassicas = bed_target(&["brassicas"], &[], Some(Ph::parse("5.9")?))?;
//! assert_eq!((brassicas.result.aim.to_string(), brassicas.result.verdict), ("6.5".to_owned(), Some(Verdict::BelowTheRange)));
//! assert!(!bed_target(&["beans"], &["potato"], None)?.result.takes_lime);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::quantities::Ph;
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// What one crop, or a group of crops, asks of the pH.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CropPh {
    /// What it is called here.
    pub crop: &'static str,
    /// The lowest pH that it does well at.
    pub least: Option<Ph>,
    /// The highest.
    pub most: Option<Ph>,
    /// Whether lime, ash and manure stay off its bed, this year and the year before.
    pub keeps_lime_off: bool,
    /// Who says so.
    pub source: &'static str,
}

/// Every crop or group with something to say about the pH. What is not listed counts as `vegetables`.
pub const CROPS: &[CropPh] = &[
    crop(
        "vegetables",
        Some(600),
        Some(680),
        "UConn; Clemson HGIC 1650; Oregon State EM 9057 [UCONN, CLEM-1650, OSU-9057]",
    ),
    crop(
        "beans",
        Some(580),
        None,
        "Oregon State EM 9057, Table 1, a minimum [OSU-9057]",
    ),
    crop(
        "cucurbits",
        Some(580),
        None,
        "Oregon State EM 9057, Table 1, a minimum [OSU-9057]",
    ),
    crop(
        "sweet corn",
        Some(580),
        None,
        "Oregon State EM 9057, Table 1, a minimum [OSU-9057]",
    ),
    crop(
        "brassicas",
        Some(630),
        None,
        "Oregon State EM 9057, Table 1, a minimum [OSU-9057]",
    ),
    crop(
        "garlic",
        Some(650),
        None,
        "Oregon State EM 9057, Table 1, a minimum [OSU-9057]",
    ),
    crop(
        "brassicas with clubroot",
        Some(720),
        None,
        "Weekend Gardener 194; lime holds clubroot down, it does not cure it [RNZIH]",
    ),
    CropPh {
        keeps_lime_off: true,
        ..crop(
            "potato",
            None,
            Some(520),
            "Minnesota P241P, 2000, for scab [UMN-SCAB]",
        )
    },
    CropPh {
        keeps_lime_off: true,
        ..crop(
            "blueberry",
            Some(450),
            Some(550),
            "TerraLink, Michigan State table; Oregon State EM 9057 [TERRA, OSU-9057]",
        )
    },
];

/// Where a bed is aimed at, as far as its crops allow.
const USUAL_AIM: Ph = Ph::from_hundredths(650);
/// The most crops of one bed that are looked at.
const MOST_CROPS: usize = 50;

/// The pH that a bed should have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BedTarget {
    /// The lowest pH that suits all its crops.
    pub least: Option<Ph>,
    /// The highest.
    pub most: Option<Ph>,
    /// The pH to aim at, when it is limed at all.
    pub aim: Ph,
    /// Whether it may have lime or ash now.
    pub takes_lime: bool,
    /// Where the soil stands, if its pH is known.
    pub verdict: Option<Verdict>,
}

/// Where a soil stands for its crops.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Too acid: lime, where the bed takes it.
    BelowTheRange,
    /// Fine as it is.
    InTheRange,
    /// Not acid enough.
    AboveTheRange,
}

/// The crop or group of this name.
pub fn find(name: &str) -> Result<&'static CropPh, Refusal> {
    CROPS.iter().find(|crop| crop.crop == name).ok_or_else(|| {
        let names: Vec<&str> = CROPS.iter().map(|crop| crop.crop).collect();
        Refusal::bad("crop", format!("one of {}", names.join(", ")), name)
    })
}

/// The pH that a bed should have for what grows there now, with an eye on what comes next year.
pub fn bed_target(
    now: &[&str],
    next_year: &[&str],
    ph: Option<Ph>,
) -> Result<Reckoning<BedTarget>, Refusal> {
    let now = all_found("crops", now)?;
    let next_year = all_found("next year's crops", next_year)?;
    let (least, most) = shared_range(&now)?;
    let from_below = USUAL_AIM.max(least.unwrap_or(Ph::ZERO));
    let aim = most.map_or(from_below, |most| from_below.min(most));
    let kept_off = kept_off(&now, &next_year);
    let verdict = ph.map(|ph| match (least, most) {
        (Some(least), _) if ph < least => Verdict::BelowTheRange,
        (_, Some(most)) if ph > most => Verdict::AboveTheRange,
        _ => Verdict::InTheRange,
    });
    let target = BedTarget {
        least,
        most,
        aim,
        takes_lime: kept_off.is_none(),
        verdict,
    };
    let mut answer = Reckoning::new(target, source_of(&now, kept_off));
    for crop in &now {
        answer = answer.step(Step::new(crop.crop, range_words(crop.least, crop.most)));
    }
    if let Some((crop, when)) = kept_off {
        answer = answer.step(Step::new(
            format!("{}, {when}", crop.crop),
            "no lime, no ash",
        ));
    }
    if let Some(ph) = ph {
        answer = answer.step(Step::new("pH of the soil", ph.to_string()));
    }
    Ok(answer
        .step(Step::sum("Aim", aim.to_string()))
        .on("6.5 as far as the crops of the bed allow; pH is set for each bed by itself."))
}

/// The highest floor and the lowest ceiling, if the crops can share a pH.
fn shared_range(crops: &[&CropPh]) -> Result<(Option<Ph>, Option<Ph>), Refusal> {
    let floor = crops
        .iter()
        .filter_map(|crop| Some((crop.least?, crop.crop)));
    let ceiling = crops
        .iter()
        .filter_map(|crop| Some((crop.most?, crop.crop)));
    match (floor.max(), ceiling.min()) {
        (Some((least, one)), Some((most, other))) if least > most => Err(Refusal::OutsideTheRule {
            field: "crops".to_owned(),
            bounds: "crops that can share one pH".to_owned(),
            came: format!("{one} (at least {least}) beside {other} (at most {most})"),
        }),
        (floor, ceiling) => Ok((floor.map(|(ph, _)| ph), ceiling.map(|(ph, _)| ph))),
    }
}

/// The crop that keeps lime off the bed, and when it stands there.
fn kept_off(
    now: &[&'static CropPh],
    next_year: &[&'static CropPh],
) -> Option<(&'static CropPh, &'static str)> {
    let first = |crops: &[&'static CropPh]| crops.iter().find(|crop| crop.keeps_lime_off).copied();
    first(now)
        .map(|crop| (crop, "now"))
        .or_else(|| first(next_year).map(|crop| (crop, "next year")))
}

/// Everybody whose word the target rests on, each once.
fn source_of(now: &[&CropPh], kept_off: Option<(&CropPh, &str)>) -> Source {
    let mut sources: Vec<&str> = Vec::new();
    let all = now.iter().map(|crop| crop.source);
    for source in all.chain(kept_off.map(|(crop, _)| crop.source)) {
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    if sources.is_empty() {
        // No crop named: the usual aim for mixed small plots.
        sources.push("Oregon State EM 9057, mixed small plots [OSU-9057]");
    }
    Source::published(format!("{}.", sources.join("; ")))
}

const fn crop(
    crop: &'static str,
    least: Option<i64>,
    most: Option<i64>,
    source: &'static str,
) -> CropPh {
    CropPh {
        crop,
        least: from_hundredths(least),
        most: from_hundredths(most),
        keeps_lime_off: false,
        source,
    }
}

const fn from_hundredths(hundredths: Option<i64>) -> Option<Ph> {
    match hundredths {
        Some(hundredths) => Some(Ph::from_hundredths(hundredths)),
        None => None,
    }
}

fn all_found(field: &str, names: &[&str]) -> Result<Vec<&'static CropPh>, Refusal> {
    if names.len() > MOST_CROPS {
        return Err(Refusal::bad(
            field,
            format!("at most {MOST_CROPS} crops"),
            format!("{} crops", names.len()),
        ));
    }
    names.iter().map(|name| find(name)).collect()
}

fn range_words(least: Option<Ph>, most: Option<Ph>) -> String {
    match (least, most) {
        (Some(least), Some(most)) => format!("{least} to {most}"),
        (Some(least), None) => format!("at least {least}"),
        (None, Some(most)) => format!("at most {most}"),
        (None, None) => "any".to_owned(),
    }
}

impl fmt::Display for BedTarget {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let range = range_words(self.least, self.most);
        match self.verdict {
            _ if !self.takes_lime => write!(out, "No lime and no ash on this bed (pH {range})"),
            None => write!(out, "pH {range}, aim at {}", self.aim),
            Some(Verdict::BelowTheRange) => {
                write!(out, "Too acid: lime to {} (pH {range})", self.aim)
            }
            Some(Verdict::InTheRange) => write!(out, "Fine as it is (pH {range})"),
            Some(Verdict::AboveTheRange) => write!(out, "Not acid enough: no lime (pH {range})"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(crops: &[&str], next_year: &[&str], hundredths: i64) -> Reckoning<BedTarget> {
        bed_target(crops, next_year, Some(Ph::from_hundredths(hundredths))).unwrap()
    }

    #[test]
    fn the_table_is_sound() {
        for (index, crop) in CROPS.iter().enumerate() {
            assert!(
                CROPS[..index].iter().all(|other| other.crop != crop.crop),
                "{}",
                crop.crop
            );
            assert!(crop.least.is_some() || crop.most.is_some(), "{}", crop.crop);
            assert!(crop.source.ends_with(']'), "{}", crop.crop);
            let within = |ph: Ph| (400..=800).contains(&ph.hundredths());
            assert!(
                crop.least.is_none_or(within) && crop.most.is_none_or(within),
                "{}",
                crop.crop
            );
        }
    }

    #[test]
    fn potatoes_keep_lime_off_this_year_and_the_year_before() {
        let now = judged(&["potato"], &[], 480);
        assert!(
            now.to_string()
                .starts_with("No lime and no ash on this bed (pH at most 5.2)\n")
        );
        let next = judged(&["vegetables"], &["potato"], 550).result;
        assert!(!next.takes_lime);
        assert_eq!(
            next.verdict,
            Some(Verdict::BelowTheRange),
            "too acid for now, and yet no lime"
        );
        assert!(
            bed_target(&["potato"], &["vegetables"], None)
                .unwrap()
                .result
                .most
                .is_some()
        );
    }

    #[test]
    fn crops_that_cannot_share_a_ph_are_refused_with_their_names() {
        let refusal = bed_target(&["potato", "brassicas with clubroot"], &[], None).unwrap_err();
        assert_eq!(
            refusal.to_string(),
            "crops: the rule holds for crops that can share one pH, and brassicas with clubroot (at least 7.2) beside potato \
             (at most 5.2) lies outside it."
        );
        assert_eq!(
            bed_target(&["kale"], &[], None).unwrap_err().code(),
            "bad_input"
        );
    }

    #[test]
    fn the_aim_stays_within_the_range() {
        let aim = |crops: &[&str]| {
            bed_target(crops, &[], None)
                .unwrap()
                .result
                .aim
                .hundredths()
        };
        assert_eq!(aim(&[]), 650);
        assert_eq!(aim(&["vegetables", "brassicas"]), 650);
        assert_eq!(aim(&["brassicas with clubroot"]), 720);
        assert_eq!(aim(&["blueberry"]), 550);
    }

    #[test]
    fn between_floor_and_ceiling_a_soil_is_left_alone() {
        let verdict = |hundredths| judged(&["vegetables"], &[], hundredths).result.verdict;
        assert_eq!(verdict(599), Some(Verdict::BelowTheRange));
        assert_eq!(verdict(600), Some(Verdict::InTheRange));
        assert_eq!(verdict(680), Some(Verdict::InTheRange));
        assert_eq!(verdict(681), Some(Verdict::AboveTheRange));
    }
}
