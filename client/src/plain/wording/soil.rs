//! What an edit about soil does, in a line.

use selion_core::document::ids::{AmendmentId, BedId};
use selion_core::document::{Edit, Garden};
use selion_core::quantities::Day;

use super::days::in_a_sentence;

/// What the edit does, such as `Spread: lime on C4 on Sat 14 March`.
pub(super) fn edit_words(garden: &Garden, edit: &Edit, today: Day) -> String {
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "only edits about soil are sent here"
    )]
    match edit {
        Edit::AddSoilTest { sheet, .. } => format!(
            "New soil test of {}, taken {}",
            labels(garden, sheet.beds.keys()),
            in_a_sentence(sheet.sampled_on, today)
        ),
        Edit::StrikeSoilTest { test, .. } => {
            let found = garden.soil_tests.get(test);
            let of = found.map(|test| format!(" of {}", labels(garden, test.sheet.beds.keys())));
            format!("Strike out the soil test{}", of.unwrap_or_default())
        }
        Edit::SetBedCrops { bed, .. } => {
            format!("What grows in {}", garden.label_of(Some(*bed)))
        }
        Edit::LogAmendment { what, bed, day, .. } => format!(
            "Spread: {} on {} {}",
            what.words(),
            garden.label_of(Some(*bed)),
            in_a_sentence(*day, today)
        ),
        Edit::DigIn { amendment, on } => format!(
            "Dug in {}: {}",
            in_a_sentence(*on, today),
            spread_words(garden, *amendment)
        ),
        Edit::StrikeAmendment { amendment, .. } => {
            format!("Strike out: {}", spread_words(garden, *amendment))
        }
        _ => "Something about soil".to_owned(),
    }
}

fn labels<'a>(garden: &Garden, beds: impl Iterator<Item = &'a BedId>) -> String {
    let labels: Vec<&str> = beds.map(|bed| garden.label_of(Some(*bed))).collect();
    labels.join(", ")
}

fn spread_words(garden: &Garden, amendment: AmendmentId) -> String {
    let found = garden
        .seasons
        .values()
        .find_map(|season| season.amendments.get(&amendment));
    found.map_or_else(
        || "something that is not here".to_owned(),
        |spread| {
            let bed = garden.label_of(Some(spread.bed));
            format!("{} on {bed}", spread.what.words())
        },
    )
}
