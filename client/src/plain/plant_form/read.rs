//! Reads the form: the first planting, the days of the series and the ground of each sowing.

use selion_core::document::edit::NewPlanting;
use selion_core::document::ids::{BedId, PlantingId, SeriesId};
use selion_core::document::records::{PlantingRows, StartsAs};
use selion_core::document::season_plan::{Books, series};
use selion_core::document::{Edit, Garden};
use selion_core::geometry::{Outline, length_along, stretch};
use selion_core::quantities::{BadInput, Day, Length, Moment, Spacing, Units};
use selion_core::season::succession;

use super::{PlantBox, PlantTyped, Wrong, length_unit, sides, spacing_unit};
use crate::plain::typed::with_unit;
use crate::plain::wording::capital;

/// The most sowings of one series.
const MOST_SOWINGS: i64 = 60;
/// The longest from one sowing to the next.
const LONGEST_INTERVAL: i64 = 200;

/// A form that can be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planned {
    /// The first sowing, or the only one.
    pub first: NewPlanting,
    /// The day of each.
    pub days: Vec<Day>,
    /// The ground of each: a part of the bed, or all of it.
    pub parts: Vec<Option<Outline>>,
}

impl Planned {
    /// The edit that puts them into the plan under these ids.
    pub fn edit(&self, ids: &[PlantingId], in_series: SeriesId) -> Edit {
        let edit = series::planted(&self.first, &self.days, ids, in_series);
        let Edit::Plant { mut plantings, .. } = edit else {
            return edit;
        };
        for (id, part) in ids.iter().zip(&self.parts) {
            if let Some(planting) = plantings.get_mut(id) {
                planting.part.clone_from(part);
            }
        }
        Edit::Plant {
            plantings,
            series: (self.days.len() > 1).then_some(in_series),
        }
    }

    /// Each sowing as it would be planned, under an id made up to look at it.
    pub fn sowings(&self) -> Vec<(PlantingId, NewPlanting)> {
        let ids: Vec<PlantingId> = (0_u8..).take(self.days.len()).map(made_up).collect();
        let series = SeriesId::fresh(Moment::from_millis(0), [0; 10]);
        let Edit::Plant { plantings, .. } = self.edit(&ids, series) else {
            return Vec::new();
        };
        ids.into_iter()
            .filter_map(|id| Some((id, plantings.get(&id)?.clone())))
            .collect()
    }
}

/// An id for looking at what is not written down yet; no phone makes one in the first millisecond of 1970.
pub fn made_up(number: u8) -> PlantingId {
    PlantingId::fresh(Moment::from_millis(0), [number; 10])
}

/// What the form means, or what is wrong with it.
pub fn read(
    garden: &Garden,
    books: &Books,
    bed: BedId,
    typed: &PlantTyped,
    units: Units,
) -> Result<Planned, Wrong> {
    let mut reader = Reader {
        wrong: Wrong::new(),
        units,
    };
    let outline = garden.beds.get(&bed).map(|bed| bed.outline.clone());
    let Some(outline) = outline else {
        let gone = BadInput::new("bed", "one that is on this phone", "none");
        reader.refuse(PlantBox::Crop, &gone);
        return Err(reader.wrong);
    };
    let crop = reader.crop(books, typed);
    let start = reader.day(PlantBox::Day, &typed.day, "a day, such as 2027-05-12");
    let first = reader.later(PlantBox::First, &typed.first, start);
    let last = reader.later(PlantBox::Last, &typed.last, first.or(start));
    let rows = PlantingRows {
        along: reader.side(PlantBox::Along, &typed.along),
        between: reader.spacing(PlantBox::Between, &typed.between),
        in_row: reader.spacing(PlantBox::InRow, &typed.in_row),
    };
    let sowings = if typed.cover {
        Some(1)
    } else {
        reader.sowings(&typed.sowings)
    };
    let interval = reader.interval(books, typed);
    let parts = sowings.and_then(|sowings| reader.parts(&outline, typed, sowings));
    let (Some(crop), Some(start), Some(interval), Some(parts), true) =
        (crop, start, interval, parts, reader.wrong.is_empty())
    else {
        return Err(reader.wrong);
    };
    let days = (0..)
        .take(parts.len())
        .map(|step| start.plus_days(step * interval));
    let new = NewPlanting {
        bed,
        crop,
        cover: typed.cover,
        part: parts.first().cloned().flatten(),
        rows: if typed.cover {
            PlantingRows::default()
        } else {
            rows
        },
        start,
        starts_as: if typed.set && !typed.cover {
            StartsAs::Set
        } else {
            StartsAs::Sown
        },
        first_picking: first.filter(|_| !typed.cover),
        last_picking: last,
        word: typed.word.trim().to_owned(),
    };
    Ok(Planned {
        first: new,
        days: days.collect(),
        parts,
    })
}

struct Reader {
    wrong: Wrong,
    units: Units,
}

impl Reader {
    fn refuse(&mut self, of: PlantBox, bad: &BadInput) {
        self.wrong.insert(of, capital(&bad.to_string()));
    }

    fn keep<T>(&mut self, of: PlantBox, read: Result<T, BadInput>) -> Option<T> {
        read.map_err(|bad| self.refuse(of, &bad)).ok()
    }

    fn crop(&mut self, books: &Books, typed: &PlantTyped) -> Option<String> {
        let name = typed.crop.trim();
        if name.is_empty() {
            let empty = BadInput::new("crop", "one of the list, or an own one", "");
            self.refuse(PlantBox::Crop, &empty);
            return None;
        }
        let found = if typed.cover {
            books.covers.find(name).map(|cover| cover.name.clone())
        } else {
            books.crops.find(name).map(|crop| crop.name.clone())
        };
        self.keep(PlantBox::Crop, found)
    }

    fn day(&mut self, of: PlantBox, typed: &str, expected: &str) -> Option<Day> {
        let day = Day::parse(typed.trim());
        self.keep(
            of,
            day.map_err(|_unread| BadInput::new("day", expected, typed)),
        )
    }

    /// A day that may be left away, and that cannot come before another.
    fn later(&mut self, of: PlantBox, typed: &str, not_before: Option<Day>) -> Option<Day> {
        if typed.trim().is_empty() {
            return None;
        }
        let day = self.day(of, typed, "a day, or nothing")?;
        if let Some(before) = not_before.filter(|before| day < *before) {
            let late = BadInput::new("day", format!("{before} or later"), day.to_string());
            self.refuse(of, &late);
            return None;
        }
        Some(day)
    }

    fn side(&mut self, of: PlantBox, typed: &str) -> Option<u32> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        let number = typed.parse::<u32>();
        let refused = |_unread| BadInput::new("side", "the number of a side", typed);
        self.keep(of, number.map_err(refused))
    }

    fn spacing(&mut self, of: PlantBox, typed: &str) -> Option<Spacing> {
        if typed.trim().is_empty() {
            return None;
        }
        let read = Spacing::parse(&with_unit(typed, spacing_unit(self.units)));
        self.keep(of, read)
    }

    fn length(&mut self, of: PlantBox, typed: &str) -> Option<Length> {
        let read = Length::parse(&with_unit(typed, length_unit(self.units)));
        self.keep(of, read)
    }

    fn count(&mut self, of: PlantBox, field: &str, typed: &str, most: i64) -> Option<i64> {
        let number = typed.trim().parse::<i64>().ok();
        let read = number.filter(|number| (1..=most).contains(number));
        let expected = format!("a whole number from 1 to {most}");
        self.keep(
            of,
            read.ok_or_else(|| BadInput::new(field, expected, typed)),
        )
    }

    fn sowings(&mut self, typed: &str) -> Option<i64> {
        self.count(PlantBox::Sowings, "sowings", typed, MOST_SOWINGS)
    }

    /// Days from sowing to sowing: as typed, or the table's.
    fn interval(&mut self, books: &Books, typed: &PlantTyped) -> Option<i64> {
        let text = typed.interval.trim();
        if !text.is_empty() && !typed.cover {
            let days = text.trim_end_matches("days").trim_end_matches('d').trim();
            return self.count(PlantBox::Interval, "interval", days, LONGEST_INTERVAL);
        }
        let crop = books.crops.find(&typed.crop).ok();
        Some(crop.map_or(succession::USUAL_INTERVAL, |crop| {
            succession::interval_of(crop).value
        }))
    }

    /// The ground of each sowing.
    fn parts(
        &mut self,
        bed: &Outline,
        typed: &PlantTyped,
        sowings: i64,
    ) -> Option<Vec<Option<Outline>>> {
        let apart = typed.beside && sowings > 1;
        let count = usize::try_from(sowings).unwrap_or(1);
        if !typed.part && !apart {
            return Some(vec![None; count]);
        }
        let side = self.side(PlantBox::Side, &typed.side);
        let side = side.and_then(|side| usize::try_from(side).ok());
        let side = side.unwrap_or_else(|| sides::longest(bed));
        let whole = self.keep(PlantBox::Side, length_along(bed, side))?;
        let (from, length) = if typed.part {
            let from = match typed.from.trim() {
                "" => Some(Length::ZERO),
                typed => self.length(PlantBox::From, typed),
            };
            let length = self.length(PlantBox::Length, &typed.length);
            (from?, length?)
        } else {
            (Length::ZERO, Length::from_mm(whole.mm() / sowings))
        };
        let each = if apart { sowings } else { 1 };
        let room = Length::from_mm((whole.mm() - from.mm()).max(0));
        if length.mm().saturating_mul(each) > room.mm().saturating_add(each) {
            let (units, room) = (self.units, room.show(self.units));
            let (expected, came) = if each > 1 {
                let expected = format!("{each} stretches beside each other within {room}");
                (expected, format!("{} each", length.show(units)))
            } else {
                (format!("at most {room} from there on"), length.show(units))
            };
            self.refuse(PlantBox::Length, &BadInput::new("length", expected, came));
            return None;
        }
        let mut parts = Vec::new();
        for step in 0..sowings {
            let begin = from.mm() + if apart { step * length.mm() } else { 0 };
            let part = stretch(bed, side, Length::from_mm(begin), length);
            parts.push(Some(self.keep_part(part)?));
        }
        Some(parts)
    }

    fn keep_part(&mut self, part: Result<Outline, BadInput>) -> Option<Outline> {
        part.map_err(|bad| {
            let of = match bad.field.as_str() {
                "from" => PlantBox::From,
                "side" => PlantBox::Side,
                _length => PlantBox::Length,
            };
            self.refuse(of, &bad);
        })
        .ok()
    }
}
