//! How long the same plant family stays off a bed.
//!
//! Under three years it is warned of, under four it is noted: West Virginia University Extension says two to three years, a
//! California handbook once in three, common practice three to four. Cover crops count with their family: vetch, clover and
//! cowpea with the beans, rye and oats with the corn; potatoes belong to the tomatoes, sweet potatoes do not.
//!
//! ```
//! use selion_core::season::rotation::{Grown, Weight, check};
//!
//! let grown = Grown { year: 2025, name: "hairy vetch".to_owned(), family: "Fabaceae".to_owned() };
//! let answer = check("bean, bush snap", "Fabaceae", 2027, &[grown])?;
//! assert_eq!(answer.result.findings[0].weight, Weight::Warning);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::cover::CoverBook;
use super::crops::CropBook;
use crate::quantities::BadInput;
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Under so many years it is warned of.
const WARN_UNDER: i64 = 3;
/// Under so many years it is noted.
const NOTE_UNDER: i64 = 4;
/// Years that a garden's records may be from.
const YEARS: std::ops::RangeInclusive<i64> = 1_900..=2_300;

/// Something that grew on a bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Grown {
    /// In which year.
    pub year: i64,
    /// What.
    pub name: String,
    /// Its family.
    pub family: String,
}

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// Better elsewhere.
    Warning,
    /// To be known.
    Note,
}

/// The same family on the same bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// How much it weighs.
    pub weight: Weight,
    /// What stood there.
    pub grown: Grown,
    /// How many years lie between.
    pub years: i64,
}

/// What speaks against a crop on a bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Rotation {
    /// The crop that is planned.
    pub crop: String,
    /// Its family.
    pub family: String,
    /// What speaks against it, the latest first.
    pub findings: Vec<Finding>,
}

impl fmt::Display for Rotation {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(latest) = self.findings.first() else {
            return write!(out, "Nothing speaks against {}", self.crop);
        };
        let word = match latest.weight {
            Weight::Warning => "Warning",
            Weight::Note => "Note",
        };
        let (crop, family, before) = (&self.crop, &self.family, &latest.grown.name);
        write!(
            out,
            "{word} for {crop}: {family} stood here, {before} {}",
            ago(latest.years)
        )
    }
}

/// What speaks against a crop on a bed, by what grew there.
pub fn check(
    crop: &str,
    family: &str,
    year: i64,
    grown: &[Grown],
) -> Result<Reckoning<Rotation>, Refusal> {
    for year in grown.iter().map(|grown| grown.year).chain([year]) {
        if !YEARS.contains(&year) {
            return Err(Refusal::bad(
                "year",
                "a year from 1900 to 2300",
                year.to_string(),
            ));
        }
    }
    let mut findings: Vec<Finding> = grown
        .iter()
        .filter(|grown| grown.family.eq_ignore_ascii_case(family) && grown.year <= year)
        .filter_map(|grown| {
            let years = year - grown.year;
            let weight = match years {
                years if years < WARN_UNDER => Weight::Warning,
                years if years < NOTE_UNDER => Weight::Note,
                _ => return None,
            };
            Some(Finding {
                weight,
                grown: grown.clone(),
                years,
            })
        })
        .collect();
    findings.sort_by_key(|finding| finding.years);
    let source = Source::published(
        "J. Barrett, West Virginia University Extension, 1 June 2025: two to three years; California Master Gardener Handbook: \
         once in three years; three to four is common practice.",
    );
    let mut answer = Reckoning::new(
        Rotation {
            crop: crop.to_owned(),
            family: family.to_owned(),
            findings: findings.clone(),
        },
        source,
    )
    .step(Step::new("Planned", format!("{crop}, {family}, {year}")));
    for finding in &findings {
        let label = format!("{}, {}", finding.grown.name, finding.grown.year);
        answer = answer.step(Step::new(label, ago(finding.years)));
    }
    Ok(answer
        .on(format!("Warned of under {WARN_UNDER} years, noted under {NOTE_UNDER}; soil-borne disease wants longer."))
        .on("Only what was recorded for this bed is known."))
}

fn ago(years: i64) -> String {
    match years {
        0 => "the same year".to_owned(),
        1 => "1 year before".to_owned(),
        years => format!("{years} years before"),
    }
}

/// The family of a crop, own crop or cover crop.
pub fn family_of(name: &str, crops: &CropBook, covers: &CoverBook) -> Result<String, Refusal> {
    let family = match covers.find(name) {
        Ok(cover) => &cover.family,
        Err(_not_a_cover) => &crops.find(name)?.family,
    };
    family.clone().ok_or_else(|| Refusal::Missing {
        what: format!("The family of {}", name.trim()),
        why: "rotation goes by family; put it in as an own value".to_owned(),
    })
}

/// What grew, with its family looked up.
pub fn grown(
    year: i64,
    name: &str,
    crops: &CropBook,
    covers: &CoverBook,
) -> Result<Grown, Refusal> {
    if name.trim().is_empty() {
        return Err(BadInput::new("crop", "the name of a crop or cover crop", "").into());
    }
    Ok(Grown {
        year,
        name: name.trim().to_owned(),
        family: family_of(name, crops, covers)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::crops::OwnCrop;

    fn findings(planned: &str, grown_before: &[(i64, &str)]) -> Vec<(Weight, i64)> {
        let (book, covers) = (CropBook::with(&[]).unwrap(), CoverBook::with(&[]).unwrap());
        let grown: Vec<Grown> = grown_before
            .iter()
            .map(|(year, name)| grown(*year, name, &book, &covers).unwrap())
            .collect();
        let family = family_of(planned, &book, &covers).unwrap();
        let answer = check(planned, &family, 2027, &grown).unwrap();
        answer
            .result
            .findings
            .iter()
            .map(|found| (found.weight, found.years))
            .collect()
    }

    #[test]
    fn relatives_count_whatever_they_are_called() {
        assert_eq!(
            findings("tomato", &[(2026, "potato")]),
            [(Weight::Warning, 1)]
        );
        assert_eq!(
            findings("bean, pole snap", &[(2026, "Hairy Vetch")]),
            [(Weight::Warning, 1)]
        );
        assert_eq!(
            findings("corn, sweet", &[(2026, "cereal rye")]),
            [(Weight::Warning, 1)]
        );
        assert_eq!(findings("sweet potato", &[(2026, "potato")]), []);
        assert_eq!(
            findings("radish", &[(2026, "buckwheat"), (2026, "carrot")]),
            []
        );
    }

    #[test]
    fn three_years_are_noted_and_four_are_clear() {
        let grown = [
            (2023, "kale"),
            (2024, "kale"),
            (2025, "kale"),
            (2028, "kale"),
        ];
        assert_eq!(
            findings("cabbage", &grown),
            [(Weight::Warning, 2), (Weight::Note, 3)]
        );
    }

    #[test]
    fn without_a_family_there_is_no_answer() {
        let book = CropBook::with(&[OwnCrop::new("moon cabbage", &[("days", "60")])]).unwrap();
        let covers = CoverBook::with(&[]).unwrap();
        assert_eq!(
            family_of("moon cabbage", &book, &covers)
                .unwrap_err()
                .code(),
            "missing"
        );
        assert_eq!(
            family_of("moss", &book, &covers).unwrap_err().code(),
            "bad_input"
        );
        assert_eq!(
            grown(2026, " ", &book, &covers).unwrap_err().code(),
            "bad_input"
        );
        assert_eq!(
            check("beet", "Amaranthaceae", 27, &[]).unwrap_err().code(),
            "bad_input"
        );
    }
}
