//! A year of all beds as it is drawn and told: bars in lanes, what is free, the lines through the year.
//!
//! - [`scale`]: days as places along the year. [`lanes`]: what overlaps lies below one another.
//! - [`choose`]: which year, whose beds, which crop. [`told`]: the same in words.
//! - [`filling`]: what fits where a bed is free. [`buy`]: seed and plants to buy.

pub mod buy;
pub mod choose;
pub mod filling;
pub mod lanes;
pub mod scale;
pub mod told;

#[cfg(test)]
mod sample;
#[cfg(test)]
mod tests;

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, MemberId, PlantingId};
use selion_core::document::records::{Bed, PlantingState};
use selion_core::document::season_plan::fits::Gap;
use selion_core::document::season_plan::year_view::{Bar, BedYear, SHORTEST_GAP, YearView};
use selion_core::quantities::Day;

use self::choose::Choice;
use self::lanes::{Stretch, lay, room};
use self::scale::{place, share};
use super::ground_rows;
use super::wording::counted;

/// Days of a week.
const WEEK: i64 = 7;

/// A bed's year as it is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Band {
    /// Which.
    pub bed: BedId,
    /// Its label.
    pub label: String,
    /// Who holds it.
    pub holders: String,
    /// Whether whoever looks holds a part of it.
    pub mine: bool,
    /// How many lanes its bars take; at least one.
    pub lanes: usize,
    /// Its plantings.
    pub bars: Vec<DrawnBar>,
    /// When it is free.
    pub free: Vec<DrawnGap>,
    /// Plantings whose days could not be worked out, with what and why.
    pub unknown: Vec<(PlantingId, String)>,
}

/// A planting as a bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawnBar {
    /// What is drawn.
    pub bar: Bar,
    /// In which lane.
    pub lane: usize,
    /// Where it begins.
    pub from: i64,
    /// How long it is.
    pub width: i64,
    /// Where picking begins and how long it goes on, as parts of the bar.
    pub picked: Option<(i64, i64)>,
    /// Whether it began in the year before.
    pub from_before: bool,
    /// Whether it goes on into the year after.
    pub goes_on: bool,
    /// Whether its words end with it.
    pub words_at_end: bool,
    /// All of it in words, for who does not see it.
    pub spoken: String,
}

/// Days on which a bed is free.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawnGap {
    /// Its days.
    pub gap: Gap,
    /// In which lane.
    pub lane: usize,
    /// Where it begins.
    pub from: i64,
    /// How long it is.
    pub width: i64,
    /// What stands in it, such as `free 12 weeks`.
    pub words: String,
    /// The same with its days.
    pub spoken: String,
}

/// Who looks, and from when.
#[derive(Clone, Copy, Debug)]
pub struct Looks {
    /// Whose beds are marked as their own.
    pub me: Option<MemberId>,
    /// Today, or the day that is looked back to.
    pub today: Day,
    /// Whether what is free is pointed out: not in a year that is closed, nor when looking back.
    pub plans: bool,
}

/// The bands of a year, bed by bed, as far as they were chosen.
pub fn bands(
    garden: &Garden,
    view: &YearView,
    year: i16,
    looks: Looks,
    choice: &Choice,
) -> Vec<Band> {
    let mut bands = Vec::new();
    for of_bed in &view.beds {
        let Some(bed) = garden.beds.get(&of_bed.bed) else {
            continue;
        };
        if !choice.takes_bed(of_bed.bed, bed) {
            continue;
        }
        let band = band(garden, (of_bed, bed), year, looks, choice);
        if choice.crop.is_none() || !band.bars.is_empty() {
            bands.push(band);
        }
    }
    bands
}

fn band(
    garden: &Garden,
    (of_bed, bed): (&BedYear, &Bed),
    year: i16,
    looks: Looks,
    choice: &Choice,
) -> Band {
    let chosen = of_bed
        .bars
        .iter()
        .filter(|bar| choice.takes_crop(&bar.crop));
    let bars: Vec<&Bar> = chosen.collect();
    // Where only one crop is shown, the rest of the bed only seems to be free.
    let points_out = looks.plans && choice.crop.is_none();
    let gaps: Vec<Gap> = if points_out {
        let still = |gap: &Gap| still_free(*gap, looks.today);
        of_bed.gaps.iter().filter_map(still).collect()
    } else {
        Vec::new()
    };
    let stretch = |from: Day, to: Day, words: &str| Stretch {
        from: place(from, year),
        to: place(to.plus_days(1), year),
        words: room(words, year),
    };
    let mut stretches: Vec<Stretch> = bars
        .iter()
        .map(|bar| stretch(bar.from, bar.to, &bar.crop))
        .collect();
    // What is free takes the room of its days alone: its words are cut off rather than pushed into a lane of their own.
    stretches.extend(gaps.iter().map(|gap| stretch(gap.from, gap.to, "")));
    let laid = lay(&stretches);
    let lanes = laid.iter().map(|laid| laid.lane + 1).max().unwrap_or(1);
    let mut places = stretches.iter().zip(&laid);
    let drawn = bars.iter().zip(places.by_ref()).map(|(bar, (at, laid))| {
        let width = (at.to - at.from).max(share(2, year));
        DrawnBar {
            bar: (*bar).clone(),
            lane: laid.lane,
            from: at.from,
            width,
            picked: bar
                .picked_from
                .and_then(|first| picked(place(first, year), at.from, width)),
            from_before: bar.from.year() < year,
            goes_on: bar.to.year() > year,
            words_at_end: laid.words_at_end,
            spoken: told::spoken(bar, &of_bed.label, year),
        }
    });
    let bars: Vec<DrawnBar> = drawn.collect();
    let free = gaps.iter().zip(places).map(|(gap, (at, laid))| {
        let (words, days) = (format!("free {}", weeks(*gap)), told::free_days(*gap, year));
        DrawnGap {
            gap: *gap,
            lane: laid.lane,
            from: at.from,
            width: at.to - at.from,
            // What is read out begins with what is seen, so that it can be pressed by voice.
            spoken: format!("{words}, {}, {days}: what fits?", of_bed.label),
            words,
        }
    });
    let free: Vec<DrawnGap> = free.collect();
    let unknown = of_bed.unknown.iter().filter_map(|(id, why)| {
        let (_, planting) = garden.planting(*id)?;
        let named = format!("{}: {why}", planting.crop);
        choice.takes_crop(&planting.crop).then_some((*id, named))
    });
    Band {
        bed: of_bed.bed,
        label: of_bed.label.clone(),
        holders: ground_rows::holders(garden, bed, looks.me),
        mine: looks.me.is_some_and(|me| bed.is_held_by(me)),
        lanes,
        bars,
        free,
        unknown: unknown.collect(),
    }
}

/// The weeks of a gap in words.
fn weeks(gap: Gap) -> String {
    let weeks = usize::try_from(gap.days() / WEEK).unwrap_or(0);
    counted(weeks, "week", "weeks")
}

/// Where picking stands in a bar, and how long it goes on there.
fn picked(first: i64, from: i64, width: i64) -> Option<(i64, i64)> {
    let begins = (first - from).clamp(0, width);
    let part = |of: i64| of * scale::WHOLE / width.max(1);
    (begins < width).then(|| (part(begins), scale::WHOLE - part(begins)))
}

/// What is left of a gap from today on, if that is worth filling.
fn still_free(gap: Gap, today: Day) -> Option<Gap> {
    let left = Gap {
        from: gap.from.max(today),
        ..gap
    };
    (left.days() >= SHORTEST_GAP).then_some(left)
}

/// How many plantings a year has that are drawn or named, and in how many beds.
pub fn count(bands: &[Band]) -> (usize, usize) {
    let plantings = bands
        .iter()
        .map(|band| band.bars.len() + band.unknown.len());
    let planted = bands
        .iter()
        .filter(|band| !band.bars.is_empty() || !band.unknown.is_empty());
    (plantings.sum(), planted.count())
}

/// How far a planting has come, in a word; sown and set are different things.
pub fn state_word(bar: &Bar) -> &'static str {
    match (bar.state, bar.cover) {
        (PlantingState::Planned, _) => "planned",
        (PlantingState::Standing, _) => "in the ground",
        (PlantingState::Cleared, true) => "ended",
        (PlantingState::Cleared, false) => "cleared",
    }
}
