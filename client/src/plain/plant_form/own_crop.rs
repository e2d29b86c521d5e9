//! A crop that the table does not have, or a garden's own values for one that it has: the small form for it.

use selion_core::document::Garden;
use selion_core::document::ids::CropId;
use selion_core::document::records::GardenCrop;
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Units};
use selion_core::season::cover::CoverBook;
use selion_core::season::crops::{CropBook, OwnCrop};

use super::spacing_unit;
use crate::plain::typed::with_unit;

/// A value that the form asks for.
#[derive(Clone, Copy, Debug)]
pub struct OwnField {
    /// The column of the table.
    pub column: &'static str,
    /// What is asked for.
    pub label: &'static str,
    /// A sentence of help.
    pub help: &'static str,
    /// Whether a bare number is a spacing.
    spacing: bool,
    /// What there is to choose from; none for a field to be typed into.
    pub choices: &'static [&'static str],
}

const fn typed(column: &'static str, label: &'static str, help: &'static str) -> OwnField {
    OwnField {
        column,
        label,
        help,
        spacing: false,
        choices: &[],
    }
}

const fn spacing(column: &'static str, label: &'static str) -> OwnField {
    OwnField {
        spacing: true,
        ..typed(
            column,
            label,
            "As the packet says; from and to with a dash is fine.",
        )
    }
}

/// What is asked of a crop.
pub const CROP_FIELDS: [OwnField; 8] = [
    typed("days", "Days to the first picking", "Such as 55 or 50-60."),
    spacing("in_row", "From plant to plant"),
    spacing("rows", "From row to row"),
    OwnField {
        choices: &["", "very hardy", "hardy", "tender", "warm-loving"],
        ..typed(
            "frost_class",
            "How it stands frost",
            "Its first sowing is counted from this.",
        )
    },
    typed(
        "family",
        "Botanical family",
        "Such as Fabaceae. Rotation goes by it.",
    ),
    typed(
        "seeds_per_oz",
        "Seeds in an ounce (28 g)",
        "For the weight of seed to buy.",
    ),
    typed("sow_every", "Days from sowing to sowing", "For a series."),
    typed("pick_every", "Days from picking to picking", "Such as 2-3."),
];

/// What is asked of a cover crop.
pub const COVER_FIELDS: [OwnField; 6] = [
    typed(
        "garden",
        "Seed",
        "With its unit, such as 2-4 lb/1000 sq ft or 10 g/m2.",
    ),
    typed(
        "needs_days",
        "Days that it needs",
        "For one that frost ends; empty for one that stands the winter.",
    ),
    typed(
        "family",
        "Botanical family",
        "Such as Poaceae. Rotation goes by it.",
    ),
    typed(
        "nitrogen",
        "Nitrogen in a full stand",
        "Such as 90-150 lb/acre; empty for none.",
    ),
    typed(
        "wait_weeks",
        "Weeks to wait after it",
        "Before the next sowing, such as 2-3.",
    ),
    typed(
        "stop_when",
        "When to end it",
        "In words, such as: at full bloom.",
    ),
];

/// What is asked of this kind.
pub fn fields(cover: bool) -> &'static [OwnField] {
    if cover { &COVER_FIELDS } else { &CROP_FIELDS }
}

/// The own values that a garden has under this name, if any.
pub fn existing(garden: &Garden, cover: bool, name: &str) -> Option<(CropId, GardenCrop)> {
    let mut open = garden
        .crops
        .iter()
        .filter(|(_, crop)| crop.ended_on.is_none());
    let found = open.find(|(_, crop)| {
        crop.cover == cover && crop.name.trim().eq_ignore_ascii_case(name.trim())
    });
    found.map(|(id, crop)| (*id, GardenCrop::clone(crop)))
}

/// The record of what was typed, by column; values that the form does not ask for stay as they are.
pub fn read(
    name: &str,
    cover: bool,
    typed: &Map<&'static str, String>,
    before: Option<&GardenCrop>,
    units: Units,
) -> Result<GardenCrop, BadInput> {
    let name = name.trim();
    if name.is_empty() {
        return Err(BadInput::new("name", "what gardeners call it", ""));
    }
    let mut values = before.map(|crop| crop.values.clone()).unwrap_or_default();
    for field in fields(cover) {
        let text = typed.get(field.column).map_or("", |text| text.trim());
        let text = if field.spacing {
            with_unit_of_span(text, spacing_unit(units))
        } else {
            text.to_owned()
        };
        // What was there before is emptied, not left out: people who both write it would else keep the old value.
        if !text.is_empty() || values.contains_key(field.column) {
            values.insert(field.column.to_owned(), text);
        }
    }
    let said = values.iter().filter(|(_, text)| !text.trim().is_empty());
    let own = OwnCrop {
        name: name.to_owned(),
        values: said
            .map(|(column, text)| (column.clone(), text.clone()))
            .collect(),
    };
    let refused = |bad: BadInput| {
        // `own NAME, COLUMN` names the field of the form behind the comma.
        let column = bad.field.rsplit(", ").next().unwrap_or_default().to_owned();
        bad.named(column)
    };
    if cover {
        CoverBook::with(&[own]).map_err(refused)?;
    } else {
        CropBook::with(&[own]).map_err(refused)?;
    }
    Ok(GardenCrop {
        name: name.to_owned(),
        cover,
        values,
        ended_on: None,
    })
}

/// `2-4` takes the unit as `2` does.
fn with_unit_of_span(text: &str, unit: &str) -> String {
    let bare = text.replace(['-', '–'], " ");
    if with_unit(&bare, unit) == bare.trim() {
        text.to_owned()
    } else {
        format!("{} {unit}", text.trim())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed_in(values: &[(&'static str, &str)]) -> Map<&'static str, String> {
        values
            .iter()
            .map(|(column, text)| (*column, (*text).to_owned()))
            .collect()
    }

    #[test]
    fn an_own_crop_is_kept_as_the_table_would_write_it() {
        let typed = typed_in(&[
            ("days", "50-60"),
            ("in_row", "4-6"),
            ("rows", "18"),
            ("family", ""),
        ]);
        let crop = read(" skirret ", false, &typed, None, Units::UsCustomary).unwrap();
        assert_eq!(crop.name, "skirret");
        let values: Vec<(&str, &str)> = crop
            .values
            .iter()
            .map(|(column, text)| (column.as_str(), text.as_str()))
            .collect();
        assert_eq!(
            values,
            [("days", "50-60"), ("in_row", "4-6 in"), ("rows", "18 in")]
        );
    }

    #[test]
    fn a_value_that_cannot_be_read_is_named_by_its_column() {
        let typed = typed_in(&[("days", "soon")]);
        let wrong = read("skirret", false, &typed, None, Units::Metric).unwrap_err();
        assert_eq!(wrong.field, "days");
        let typed = typed_in(&[("garden", "a handful")]);
        let wrong = read("lupin", true, &typed, None, Units::Metric).unwrap_err();
        assert_eq!(wrong.field, "garden");
        let wrong = read(" ", true, &typed, None, Units::Metric).unwrap_err();
        assert_eq!(wrong.field, "name");
    }

    #[test]
    fn what_is_taken_out_again_is_emptied_and_the_rest_stays() {
        let typed = typed_in(&[("days", "60")]);
        let before = GardenCrop {
            values: [("days", "50"), ("rows", "18 in"), ("depth", "1 in")]
                .map(|(column, text)| (column.to_owned(), text.to_owned()))
                .into_iter()
                .collect(),
            ..GardenCrop::default()
        };
        let crop = read("beet", false, &typed, Some(&before), Units::Metric).unwrap();
        let value = |column: &str| crop.values.get(column).map(String::as_str);
        assert_eq!(
            (value("days"), value("rows"), value("depth")),
            (Some("60"), Some(""), Some("1 in"))
        );
    }
}
