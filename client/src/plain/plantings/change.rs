//! What a form changes of a planting, and what puts it back.

use selion_core::document::edit::PlantingField;
use selion_core::document::records::{Planting, PlantingRows};

use crate::plain::plant_form::Planned;

/// The fields that differ from the planting as it stands; its ground only where another was chosen.
pub fn changes(before: &Planting, planned: &Planned, keeps_ground: bool) -> Vec<PlantingField> {
    let new = &planned.first;
    let rows = if before.cover {
        PlantingRows::default()
    } else {
        new.rows
    };
    let part = planned.parts.first().cloned().flatten();
    [
        (new.crop != before.crop).then(|| PlantingField::Crop(new.crop.clone())),
        (new.word != before.word).then(|| PlantingField::Word(new.word.clone())),
        (!keeps_ground && part != before.part).then_some(PlantingField::Part(part)),
        (rows != before.rows).then_some(PlantingField::Rows(rows)),
        (new.start != before.start).then_some(PlantingField::Start(new.start)),
        (new.starts_as != before.starts_as).then_some(PlantingField::StartsAs(new.starts_as)),
        (new.first_picking != before.first_picking)
            .then_some(PlantingField::FirstPicking(new.first_picking)),
        (new.last_picking != before.last_picking)
            .then_some(PlantingField::LastPicking(new.last_picking)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The same fields as they stood.
pub fn back(before: &Planting, set: &[PlantingField]) -> Vec<PlantingField> {
    let stood = |field: &PlantingField| match field {
        PlantingField::Bed(_) => PlantingField::Bed(before.bed),
        PlantingField::Crop(_) => PlantingField::Crop(before.crop.clone()),
        PlantingField::Part(_) => PlantingField::Part(before.part.clone()),
        PlantingField::Rows(_) => PlantingField::Rows(before.rows),
        PlantingField::Start(_) => PlantingField::Start(before.start),
        PlantingField::StartsAs(_) => PlantingField::StartsAs(before.starts_as),
        PlantingField::FirstPicking(_) => PlantingField::FirstPicking(before.first_picking),
        PlantingField::LastPicking(_) => PlantingField::LastPicking(before.last_picking),
        PlantingField::Series(_) => PlantingField::Series(before.series),
        PlantingField::Word(_) => PlantingField::Word(before.word.clone()),
        PlantingField::EndedOn(_) => PlantingField::EndedOn(before.ended_on),
    };
    set.iter().map(stood).collect()
}

#[cfg(test)]
mod tests {
    use selion_core::document::season_plan::Books;
    use selion_core::quantities::Units;

    use super::*;
    use crate::plain::plant_form::{PlantTyped, read};
    use crate::plain::sample::{bed, day, garden, planting};

    #[test]
    fn what_was_left_alone_is_not_set_and_the_rest_can_be_put_back() {
        let garden = garden();
        let books = Books::of(&garden).unwrap();
        let mut before = planting("bean, bush snap", "2026-05-20");
        before.rows.in_row = Some("4 in".parse().unwrap());
        before.last_picking = Some(day("2026-08-10"));
        let typed = PlantTyped::of(&before, Units::UsCustomary);
        let planned =
            |typed: &PlantTyped| read(&garden, &books, bed(1), typed, Units::UsCustomary).unwrap();
        assert!(changes(&before, &planned(&typed), true).is_empty());
        let typed = PlantTyped {
            in_row: "6".into(),
            last: String::new(),
            word: "Early Green".into(),
            ..typed
        };
        let set = changes(&before, &planned(&typed), true);
        assert_eq!(set.len(), 3, "{set:?}");
        let back = back(&before, &set);
        let expected = [
            PlantingField::Word(String::new()),
            PlantingField::Rows(before.rows),
            PlantingField::LastPicking(before.last_picking),
        ];
        assert_eq!(back, expected);
    }
}
