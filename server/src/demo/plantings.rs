//! The demonstration garden's plan: frost dates and latitude, what grows in this year's beds, and some of the next year.
//!
//! Days are days of the calendar, since seed knows no other; what lies before today was sown, and what was over was cleared.

use selion_core::document::edit::{NewPlanting, NewPlantings, ProfileField};
use selion_core::document::ids::{BedId, PlantingId, SeriesId};
use selion_core::document::records::{GardenFrost, PlantingRows, PlantingState, StartsAs};
use selion_core::document::season_plan::plants::longest_side;
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::geometry::{Direction, Outline, length_along, stretch};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Latitude, Length};

use super::soil::bed_of;
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// A planting of this year, or with `next` of the year after it.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one choice of two of a planting"
)]
struct Grown {
    bed: &'static str,
    crop: &'static str,
    word: &'static str,
    /// Month and day of each sowing; several are a series, each on its own stretch of the bed.
    start: &'static [&'static str],
    set: bool,
    cover: bool,
    /// Month and day on which it is cleared or ended, in the year after for what stands the winter.
    over: Option<&'static str>,
    first: Option<&'static str>,
    winters: bool,
    next: bool,
}

const PLAIN: Grown = Grown {
    bed: "",
    crop: "",
    word: "",
    start: &[],
    set: false,
    cover: false,
    over: None,
    first: None,
    winters: false,
    next: false,
};

const GROWN: [Grown; 19] = [
    Grown {
        bed: "A1",
        crop: "pea, garden",
        start: &["04-14"],
        over: Some("07-18"),
        ..PLAIN
    },
    Grown {
        bed: "A1",
        crop: "kale",
        start: &["07-22"],
        ..PLAIN
    },
    Grown {
        bed: "A2",
        crop: "bean, bush snap",
        word: "green pods",
        start: &["05-12", "05-26", "06-09"],
        over: Some("09-20"),
        ..PLAIN
    },
    Grown {
        bed: "A3",
        crop: "carrot",
        start: &["05-02"],
        over: Some("09-05"),
        ..PLAIN
    },
    Grown {
        bed: "A7",
        crop: "tomato",
        word: "staked",
        start: &["05-22"],
        set: true,
        over: Some("10-04"),
        ..PLAIN
    },
    Grown {
        bed: "A8",
        crop: "garlic",
        start: &["10-12"],
        first: Some("07-08"),
        over: Some("07-20"),
        winters: true,
        ..PLAIN
    },
    Grown {
        bed: "B1",
        crop: "cabbage",
        start: &["04-20"],
        set: true,
        over: Some("08-28"),
        ..PLAIN
    },
    Grown {
        bed: "B2",
        crop: "onion (sets or plants)",
        start: &["04-16"],
        set: true,
        over: Some("08-20"),
        ..PLAIN
    },
    Grown {
        bed: "B3",
        crop: "spinach",
        start: &["08-20"],
        ..PLAIN
    },
    Grown {
        bed: "B4",
        crop: "cereal rye",
        start: &["09-22"],
        cover: true,
        over: Some("04-24"),
        winters: true,
        ..PLAIN
    },
    Grown {
        bed: "C1",
        crop: "cabbage",
        start: &["04-28"],
        set: true,
        over: Some("07-30"),
        ..PLAIN
    },
    Grown {
        bed: "C4",
        crop: "bean, pole snap",
        start: &["05-18"],
        over: Some("09-28"),
        ..PLAIN
    },
    Grown {
        bed: "C5",
        crop: "hairy vetch",
        start: &["09-08"],
        cover: true,
        over: Some("05-20"),
        winters: true,
        ..PLAIN
    },
    Grown {
        bed: "A1",
        crop: "pea, garden",
        start: &["04-14"],
        next: true,
        ..PLAIN
    },
    Grown {
        bed: "A3",
        crop: "bean, bush snap",
        start: &["05-11", "05-25", "06-08"],
        next: true,
        ..PLAIN
    },
    Grown {
        bed: "A7",
        crop: "broccoli",
        start: &["04-20"],
        set: true,
        next: true,
        ..PLAIN
    },
    Grown {
        bed: "B1",
        crop: "carrot",
        start: &["05-02"],
        next: true,
        ..PLAIN
    },
    Grown {
        bed: "B4",
        crop: "squash, winter",
        start: &["05-25"],
        next: true,
        ..PLAIN
    },
    Grown {
        bed: "C4",
        crop: "lettuce, leaf",
        start: &["04-20"],
        next: true,
        ..PLAIN
    },
];

/// Writes the plan.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let picture = desk
        .hall
        .picture(desk.store.as_read(), hand.garden)?
        .clone();
    let ground = DocumentName::Ground;
    let next = today.year().saturating_add(1);
    let set = vec![
        ProfileField::Frost(Some(frost())),
        ProfileField::Latitude(Some(Latitude::parse("42.7 N")?)),
    ];
    let mut edits = vec![
        (ground, Edit::ChangeProfile { set }),
        (ground, Edit::OpenYear { year: next }),
    ];
    for grown in &GROWN {
        let year = if grown.next { next } else { today.year() };
        let season = DocumentName::Season(year);
        let bed = bed_of(&picture, grown.bed)?;
        let plantings = plantings(desk, &picture, grown, bed, year)?;
        let series = SeriesId::fresh(desk.now, chance::bytes());
        let series = (plantings.len() > 1).then_some(series);
        let marked = marks(&plantings, grown, year, today)?;
        edits.push((season, Edit::Plant { plantings, series }));
        edits.extend(marked.into_iter().map(|edit| (season, edit)));
    }
    hand.make(desk, edits)
}

/// The dates of a station that is as invented as the garden.
fn frost() -> GardenFrost {
    let dates = |dates: [(u32, &str); 3]| {
        Map::from(dates.map(|(chance, date)| (chance.into(), date.to_owned())))
    };
    GardenFrost {
        chance: 20,
        spring: dates([(10, "05-11"), (50, "04-27"), (90, "04-16")]),
        fall: dates([(10, "10-03"), (50, "10-15"), (90, "11-01")]),
        station: "Valley station".to_owned(),
    }
}

fn plantings(
    desk: &Desk<'_>,
    picture: &Garden,
    grown: &Grown,
    bed: BedId,
    year: i16,
) -> Result<NewPlantings, ByHandError> {
    let outline = picture.beds.get(&bed).map(|bed| &bed.outline);
    let mut plantings = NewPlantings::new();
    for (place, start) in grown.start.iter().enumerate() {
        let start = date(year, start)?;
        let part = match outline {
            Some(outline) if grown.start.len() > 1 => {
                Some(part(outline, place, grown.start.len())?)
            }
            _ => None,
        };
        let over = if grown.winters {
            year.saturating_add(1)
        } else {
            year
        };
        let until = grown.over.filter(|_| grown.winters);
        let planting = NewPlanting {
            bed,
            crop: grown.crop.to_owned(),
            cover: grown.cover,
            part,
            rows: PlantingRows::default(),
            start,
            starts_as: if grown.set {
                StartsAs::Set
            } else {
                StartsAs::Sown
            },
            first_picking: grown.first.map(|first| date(over, first)).transpose()?,
            last_picking: until.map(|until| date(over, until)).transpose()?,
            word: grown.word.to_owned(),
        };
        plantings.insert(PlantingId::fresh(desk.now, chance::bytes()), planting);
    }
    Ok(plantings)
}

/// One of so many equal stretches along the longest side.
fn part(bed: &Outline, place: usize, parts: usize) -> Result<Outline, BadInput> {
    let side = match longest_side(bed) {
        Direction::Side(side) => side,
        Direction::East | Direction::North => 1,
    };
    let count = i64::try_from(parts).unwrap_or(1);
    let each = length_along(bed, side)?.mm() / count;
    let from = each * i64::try_from(place).unwrap_or(0);
    stretch(bed, side, Length::from_mm(from), Length::from_mm(each))
}

/// What has been said of them by today.
fn marks(
    plantings: &NewPlantings,
    grown: &Grown,
    year: i16,
    today: Day,
) -> Result<Vec<Edit>, BadInput> {
    let mut edits = Vec::new();
    for (id, planting) in plantings {
        let mark = |state, on| Edit::MarkPlanting {
            planting: *id,
            state,
            on,
        };
        if planting.start <= today {
            edits.push(mark(PlantingState::Standing, planting.start));
        }
        let over = grown.over.filter(|_| !grown.winters);
        let over = over.map(|over| date(year, over)).transpose()?;
        if let Some(over) = over.filter(|over| *over <= today) {
            edits.push(mark(PlantingState::Cleared, over));
        }
    }
    Ok(edits)
}

fn date(year: i16, date: &str) -> Result<Day, BadInput> {
    Day::parse(&format!("{year:04}-{date}"))
}

#[cfg(test)]
mod tests {
    use selion_core::document::season_plan::frost::FrostYear;
    use selion_core::document::season_plan::{Books, dates, plants};

    use super::*;
    use crate::demo;
    use crate::testing::Bench;

    #[test]
    fn the_plan_has_a_series_cover_crops_and_days_for_everything() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        let garden = bench
            .hall
            .picture(&bench.store, made.garden)
            .unwrap()
            .clone();
        let books = Books::of(&garden).unwrap();
        assert!(garden.profile.as_ref().unwrap().latitude.is_some());
        let mut series = Map::<SeriesId, usize>::new();
        let (mut all, mut covers) = (0, 0);
        for (year, season) in &garden.seasons {
            FrostYear::of(&garden, *year).unwrap();
            for planting in season.plantings.values() {
                all += 1;
                covers += usize::from(planting.cover);
                if let Some(of) = planting.series {
                    *series.entry(of).or_default() += 1;
                }
                dates::of(&garden, &books, planting).unwrap();
                plants::to_buy(&garden, &books, planting).unwrap();
            }
        }
        assert_eq!((all, covers), (24, 2));
        assert_eq!(series.values().copied().collect::<Vec<_>>(), [3, 3]);
    }
}
