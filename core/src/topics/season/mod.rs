//! Topics over [`crate::season`]: what stands where, from when to when, and how much of it.
//!
//! A crop is named as in the table; `own` brings the garden's own values for it (or a crop that the table does not have), under
//! the names of the table's columns.

mod care;
mod cover;
mod dates;
mod planting;

use super::Topic;
use super::case::Case;
use crate::quantities::BadInput;
use crate::season::crops::{COLUMNS, Crop, CropBook, OwnCrop};

pub(super) const PLANTING: &[Topic] = planting::TOPICS;
pub(super) const DATES: &[Topic] = dates::TOPICS;
pub(super) const COVER: &[Topic] = cover::TOPICS;
pub(super) const CARE: &[Topic] = care::TOPICS;

/// The crop of the field `crop`, with the values of the field `own`.
fn crop(case: &Case) -> Result<Crop, BadInput> {
    let name = case.words("crop")?;
    crop_named(case, &name)
}

/// The same where the case may do without a crop.
fn crop_if(case: &Case) -> Result<Option<Crop>, BadInput> {
    let name = case.words_if("crop")?;
    let crop = name.map(|name| crop_named(case, &name)).transpose()?;
    if crop.is_none() && case.has("own") {
        return Err(BadInput::new(
            "crop",
            "the crop that the own values are for",
            "",
        ));
    }
    Ok(crop)
}

fn crop_named(case: &Case, name: &str) -> Result<Crop, BadInput> {
    let own = case
        .inner_if("own")?
        .map(|values| own_values(&values, name, &COLUMNS))
        .transpose()?;
    let book = CropBook::with(own.as_slice())?;
    let found = book.find(name);
    found
        .cloned()
        .map_err(|refused| refused.named(case.name("crop")))
}

/// Own values under the names of a table's columns.
fn own_values(values: &Case, name: &str, columns: &[&'static str]) -> Result<OwnCrop, BadInput> {
    let mut own = OwnCrop::new(name, &[]);
    for column in columns {
        if let Some(text) = values.words_if(column)? {
            own.values.push(((*column).to_owned(), text));
        }
    }
    Ok(own)
}

/// Own crops of a list, each with its name.
fn own_list(
    case: &Case,
    field: &'static str,
    columns: &[&'static str],
) -> Result<Vec<OwnCrop>, BadInput> {
    let list = case.list_if(field)?.unwrap_or_default();
    let read = |values: &Case| own_values(values, &values.words("name")?, columns);
    list.iter().map(read).collect()
}

#[cfg(test)]
mod tests {
    use crate::topics::run;

    #[test]
    fn own_values_are_shown_as_own_and_mistyped_ones_refused() {
        let sheet = run("crop", r#"{"crop": "beet", "own": {"days": "70"}}"#).unwrap();
        assert!(
            sheet.text.contains("To first harvest, own value"),
            "{}",
            sheet.text
        );
        assert_eq!(sheet.json["result"]["crop"]["days"]["origin"], "own");
        let refused = run("crop", r#"{"crop": "beet", "own": {"hours": "70"}}"#).unwrap_err();
        assert!(
            refused.to_string().starts_with("field of own: "),
            "{refused}"
        );
        let refused = run("crop", r#"{"crop": "beet", "own": {"days": "soon"}}"#).unwrap_err();
        assert!(
            refused.to_string().starts_with("own beet, days: "),
            "{refused}"
        );
        let refused = run("crop", r#"{"crop": "lettuce"}"#).unwrap_err();
        assert!(
            refused.to_string().contains("lettuce, leaf; lettuce, head"),
            "{refused}"
        );
    }

    #[test]
    fn a_bed_by_its_sides_and_by_its_outline_hold_the_same() {
        let plants = |bed: &str| {
            let case = format!(r#"{{{bed}, "pattern": "square", "spacing": "30 cm"}}"#);
            run("plants-in-bed", &case).unwrap().json["result"]["plants"].clone()
        };
        let sides = plants(r#""length": "6 m", "width": "1.2 m""#);
        assert_eq!(
            sides,
            plants(r#""outline": "POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))""#)
        );
        assert_eq!(sides, 80);
    }
}
