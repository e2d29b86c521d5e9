//! What the form means, held against the tables and against plain counting.

use selion_core::document::Garden;
use selion_core::document::season_plan::Books;
use selion_core::geometry::Outline;
use selion_core::quantities::{Area, Units};

use super::*;
use crate::plain::sample::{bed, day, garden, planting, with_frost, with_plantings};

const US: Units = Units::UsCustomary;

fn beans() -> PlantTyped {
    PlantTyped {
        crop: "bean, bush snap".into(),
        day: "2026-05-20".into(),
        sowings: "3".into(),
        ..PlantTyped::begun(&Begun::default(), day("2026-05-01"))
    }
}

fn planned(garden: &Garden, typed: &PlantTyped) -> Result<Planned, Wrong> {
    read(garden, &Books::of(garden).unwrap(), bed(1), typed, US)
}

fn shown(garden: &Garden, typed: &PlantTyped) -> Preview {
    let planned = planned(garden, typed).unwrap();
    preview(garden, &Books::of(garden).unwrap(), &planned, typed.until)
}

#[test]
fn a_series_of_three_takes_the_interval_of_the_table_and_a_third_of_the_bed_each() {
    let garden = garden();
    let planned = planned(&garden, &beans()).unwrap();
    // Fourteen days between sowings of bush beans: P. Dawling, as the handbook has it.
    let days: Vec<String> = planned.days.iter().map(ToString::to_string).collect();
    assert_eq!(days, ["2026-05-20", "2026-06-03", "2026-06-17"]);
    // The bed is one metre by three.
    let areas: Vec<Area> = planned.parts.iter().flatten().map(Outline::area).collect();
    assert_eq!(areas, [Area::from_mm2(1_000_000); 3]);
    let sowings = planned.sowings();
    assert_eq!(sowings.len(), 3);
    assert!(
        sowings
            .iter()
            .zip(&planned.parts)
            .all(|((_, new), part)| new.part == *part)
    );
    let ids: Vec<_> = (0..3).map(read::made_up).collect();
    let edit = planned.edit(
        &ids,
        selion_core::document::ids::SeriesId::fresh(
            selion_core::quantities::Moment::from_millis(5),
            [1; 10],
        ),
    );
    assert_eq!(edit.check_bounds(), Ok(()));
}

#[test]
fn one_sowing_of_the_whole_bed_is_no_series() {
    let garden = garden();
    let typed = PlantTyped {
        sowings: "1".into(),
        ..beans()
    };
    let planned = planned(&garden, &typed).unwrap();
    assert_eq!(planned.parts, [None]);
    let series = selion_core::document::ids::SeriesId::fresh(
        selion_core::quantities::Moment::from_millis(5),
        [1; 10],
    );
    let edit = planned.edit(&[read::made_up(0)], series);
    assert!(matches!(
        edit,
        selion_core::document::Edit::Plant { series: None, .. }
    ));
}

#[test]
fn stretches_of_a_series_lie_beside_each_other_and_must_fit() {
    let garden = garden();
    let typed = PlantTyped {
        part: true,
        side: "2".into(),
        from: "1".into(),
        length: "2 ft".into(),
        ..beans()
    };
    let found = planned(&garden, &typed).unwrap();
    let south: Vec<i64> = found
        .parts
        .iter()
        .flatten()
        .map(|part| part.bounds().min.y.mm())
        .collect();
    assert_eq!(south, [305, 915, 1_525]);
    // The bed is 9 ft 10 in long.
    let typed = PlantTyped {
        length: "3.5".into(),
        ..typed
    };
    let wrong = planned(&garden, &typed).unwrap_err();
    assert!(
        wrong
            .get(&PlantBox::Length)
            .unwrap()
            .contains("3 stretches beside each other")
    );
    let together = PlantTyped {
        beside: false,
        ..typed
    };
    assert!(planned(&garden, &together).is_ok());
}

#[test]
fn every_wrong_field_says_so_at_once() {
    let typed = PlantTyped {
        crop: "moonbean".into(),
        day: "soon".into(),
        part: true,
        length: "a bit".into(),
        in_row: "close".into(),
        between: "wide".into(),
        interval: "0".into(),
        first: "2026-13-01".into(),
        ..beans()
    };
    let wrong = planned(&garden(), &typed).unwrap_err();
    let fields: Vec<PlantBox> = wrong.keys().copied().collect();
    let expected = [
        PlantBox::Crop,
        PlantBox::Day,
        PlantBox::Length,
        PlantBox::InRow,
        PlantBox::Between,
        PlantBox::Interval,
        PlantBox::First,
    ];
    assert_eq!(fields, expected);
    let backwards = PlantTyped {
        first: "2026-05-19".into(),
        ..beans()
    };
    let wrong = planned(&garden(), &backwards).unwrap_err();
    assert_eq!(wrong.keys().copied().collect::<Vec<_>>(), [PlantBox::First]);
}

#[test]
fn plants_seed_days_and_what_fits_are_shown_before_it_is_kept() {
    let garden = with_frost(garden());
    let shown = shown(&garden, &beans());
    let first = shown.sowings.first().unwrap();
    // A square metre with rows 24 in apart and plants 4 in apart: one row of 9, counted with half a space at each end. The
    // longest side of the part is the first of two alike.
    let plants = first.plants.as_ref().unwrap().as_ref().unwrap();
    assert_eq!(plants.result.rows.len(), 1);
    assert_eq!(plants.result.plants, 9);
    let days = first.days.as_ref().unwrap().result;
    assert_eq!(days.first_picking, Some(day("2026-07-19")));
    assert!(shown.buy_in_all.unwrap().result.contains("seeds"));
    assert!(shown.minds.is_empty(), "{:?}", shown.minds);
    assert!(!shown.no_frost);
    let late = PlantTyped {
        day: "2026-07-15".into(),
        ..beans()
    };
    // Albany: 15 October less 60, 14 and 14 days is 19 July, so that one more sowing does not fit.
    let late = self::shown(&garden, &late);
    assert!(
        late.minds
            .iter()
            .any(|words| words.starts_with("Only the first sowing")),
        "{:?}",
        late.minds
    );
}

#[test]
fn without_frost_dates_the_form_says_so() {
    assert!(shown(&garden(), &beans()).no_frost);
}

#[test]
fn what_stands_on_the_same_ground_is_named_once_for_a_series() {
    let mut peas = planting("pea, garden", "2026-04-20");
    peas.state = selion_core::document::records::PlantingState::Standing;
    let garden = with_frost(with_plantings([peas]));
    let shown = shown(&garden, &beans());
    let same: Vec<&str> = shown
        .objections
        .iter()
        .map(|it| it.words.as_str())
        .filter(|words| words.starts_with("Stands on the same ground as pea, garden"))
        .collect();
    assert_eq!(same.len(), 1, "{:?}", shown.objections);
}

#[test]
fn a_cover_crop_shows_its_gap_its_seed_and_what_it_leaves() {
    let garden = with_frost(with_plantings([planting("carrot", "2026-08-01")]));
    let rye = PlantTyped {
        cover: true,
        crop: "cereal rye".into(),
        day: "2026-09-20".into(),
        last: "2027-04-20".into(),
        ..beans()
    };
    let shown = shown(&garden, &rye);
    let cover = shown.cover.unwrap();
    assert!(cover.fit.is_some(), "{:?}", shown.minds);
    assert!(cover.nitrogen.is_none(), "rye brings none");
    // Two to four weeks of waiting.
    let free = cover.free_from.unwrap().result;
    assert_eq!(
        (free.least, free.most),
        (day("2027-05-04"), day("2027-05-18"))
    );
    let clover = PlantTyped {
        crop: "Austrian winter pea".into(),
        ..rye
    };
    let shown = self::shown(&garden, &clover);
    assert!(shown.cover.unwrap().nitrogen.is_some());
    let july = PlantTyped {
        day: "2026-07-20".into(),
        last: String::new(),
        crop: "buckwheat".into(),
        ..clover
    };
    // The carrots go in on the first of August.
    let shown = self::shown(&garden, &july);
    assert!(
        shown
            .minds
            .iter()
            .any(|words| words.contains("does not fit")),
        "{:?}",
        shown.minds
    );
}

#[test]
fn letters_find_crops_by_name_first_and_then_by_family() {
    let garden = garden();
    let books = Books::of(&garden).unwrap();
    let names = |typed: &str| -> Vec<String> {
        let found = suggest::crops(&books, typed, &[], day("2026-05-01"));
        found.into_iter().map(|it| it.name).collect()
    };
    let beans = names("Bean");
    assert!(
        beans.iter().take(3).all(|name| name.starts_with("bean")),
        "{beans:?}"
    );
    assert!(names("fabaceae").contains(&"pea, garden".to_owned()));
    assert!(names("no such thing").is_empty());
    assert_eq!(names("radish").first().map(String::as_str), Some("radish"));
    assert_eq!(
        names("carrot").len(),
        books.crops.crops().len(),
        "a whole name opens the list again"
    );
}
