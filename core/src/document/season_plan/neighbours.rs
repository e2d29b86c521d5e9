//! What speaks against a planting where it is: what grew there before, and what grows beside it.
//!
//! Rotation goes by family and the years between, see [`rotation`]. The rules for neighbours are common practice: potato not
//! beside tomato, since they share beetle and blight; running vines a row spacing apart, and not at the edge of somebody
//! else's bed; corn in a block of at least four rows; tall crops not south of short ones. Two plantings on the same ground at
//! the same time are pointed out and not forbidden: catch crops are sown between rows.

use super::{Books, dates, plants};
use crate::document::Garden;
use crate::document::ground_change::units_of;
use crate::document::ids::{BedId, PlantingId};
use crate::document::records::Planting;
use crate::geometry::{Outline, Point, Turn, common_area, snap};
use crate::quantities::{Area, Length};
use crate::reckoning::{Reckoning, Source, Step};
use crate::season::rotation::{self, Weight};

/// Beds nearer than this are side by side: 3 m.
const BESIDE: Length = Length::from_mm(3_000);
/// Corn is pollinated by wind, so it wants as many rows side by side.
const CORN_ROWS: usize = 4;
/// The room that running vines want between them where the table says none: 6 ft.
const VINE_ROOM: Length = Length::from_mm(1_829);
/// Less ground in common comes from rounding alone: 0.05 m².
const TOUCHING: Area = Area::from_mm2(50_000);

/// One thing that speaks against a planting.
#[derive(Clone, Debug, PartialEq)]
pub struct Objection {
    /// How much it weighs.
    pub weight: Weight,
    /// The reason, in a sentence.
    pub words: String,
    /// The planting that it is about, if it is one of this year.
    pub other: Option<PlantingId>,
    /// The rule behind it, and what it was held against.
    pub working: Reckoning<()>,
}

/// Everything that speaks against a planting of a year, rotation first. What cannot be told, for want of a family, is left out.
pub fn objections(
    garden: &Garden,
    books: &Books,
    year: i16,
    id: PlantingId,
    planting: &Planting,
) -> Vec<Objection> {
    let mut found = rotation_of(garden, books, year, planting);
    found.extend(on_the_same_ground(garden, books, year, id, planting));
    if planting.cover {
        return found;
    }
    if is_corn(&planting.crop)
        && let Ok(plants) = plants::plants_of(garden, books, planting)
        && plants.result.rows.len() < CORN_ROWS
    {
        let rows = plants.result.rows.len();
        found.push(note(
            format!("Corn is pollinated by wind: {rows} rows are few, at least {CORN_ROWS} side by side are better."),
            None,
            "Corn in a block of four or more rows, for its pollen.",
            vec![Step::new("Rows", rows.to_string()), Step::new("At least", CORN_ROWS.to_string())],
        ));
    }
    let mine = dates::of(garden, books, planting).map(|answer| answer.result);
    let season = garden.seasons.get(&year);
    let others = season.into_iter().flat_map(|season| &season.plantings);
    for (other_id, other) in others {
        if *other_id == id || other.cover || other.ended_on.is_some() {
            continue;
        }
        // Where the days of one are not known, both stand in the same year, and so perhaps together.
        let theirs = dates::of(garden, books, other).map(|answer| answer.result);
        let together = match (&mine, &theirs) {
            (Ok(mine), Ok(theirs)) => theirs.start <= mine.last && mine.start <= theirs.last,
            _unknown => true,
        };
        if together {
            found.extend(beside(garden, planting, *other_id, other));
        }
    }
    found.extend(at_an_edge(garden, planting));
    found
}

fn rotation_of(garden: &Garden, books: &Books, year: i16, planting: &Planting) -> Vec<Objection> {
    let Ok(family) = rotation::family_of(&planting.crop, &books.crops, &books.covers) else {
        return Vec::new();
    };
    let mut grown = Vec::new();
    for (then, season) in garden.seasons.range(..year) {
        for past in season.plantings.values() {
            let here = past.bed == planting.bed && past.ended_on.is_none();
            if here
                && let Ok(past) =
                    rotation::grown(i64::from(*then), &past.crop, &books.crops, &books.covers)
            {
                grown.push(past);
            }
        }
    }
    let Ok(answer) = rotation::check(&planting.crop, &family, i64::from(year), &grown) else {
        return Vec::new();
    };
    let working = answer.clone().map(|_rotation| ());
    let objection = |finding: rotation::Finding| {
        let (name, then) = (&finding.grown.name, finding.grown.year);
        let years = finding.years;
        let words = format!("{family} stood here before: {name} in {then}, {years} years ago.");
        Objection {
            weight: finding.weight,
            words: words.replace(" 1 years", " 1 year"),
            other: None,
            working: working.clone(),
        }
    };
    answer.result.findings.into_iter().map(objection).collect()
}

/// What stands on the same ground while it does; last year's too, such as garlic and rye.
fn on_the_same_ground(
    garden: &Garden,
    books: &Books,
    year: i16,
    id: PlantingId,
    planting: &Planting,
) -> Vec<Objection> {
    let Ok(mine) = dates::of(garden, books, planting).map(|answer| answer.result) else {
        return Vec::new();
    };
    let units = units_of(garden);
    let years = garden
        .seasons
        .range(year.saturating_sub(1)..=year.saturating_add(1));
    let others = years.flat_map(|(_, season)| &season.plantings);
    let mut found = Vec::new();
    for (other_id, other) in others {
        if *other_id == id || other.bed != planting.bed || other.ended_on.is_some() {
            continue;
        }
        let Ok(theirs) = dates::of(garden, books, other).map(|answer| answer.result) else {
            continue;
        };
        let common = plants::ground_of(garden, planting)
            .zip(plants::ground_of(garden, other))
            .map(|(mine, theirs)| common_area(mine, theirs))
            .unwrap_or_default();
        if theirs.start > mine.last || mine.start > theirs.last || common <= TOUCHING {
            continue;
        }
        let words = format!(
            "Stands on the same ground as {}, which is there from {} to {}.",
            other.crop, theirs.start, theirs.last
        );
        let steps = vec![
            Step::new("This one", format!("{} to {}", mine.start, mine.last)),
            Step::new(
                other.crop.clone(),
                format!("{} to {}", theirs.start, theirs.last),
            ),
            Step::new("Ground in common", common.show(units)),
        ];
        let rule = "One crop at a time on a piece of ground, but for what is sown between rows.";
        found.push(note(words, Some(*other_id), rule, steps));
    }
    found
}

fn beside(
    garden: &Garden,
    planting: &Planting,
    id: PlantingId,
    other: &Planting,
) -> Vec<Objection> {
    let (Some(mine), Some(theirs)) = (
        plants::ground_of(garden, planting),
        plants::ground_of(garden, other),
    ) else {
        return Vec::new();
    };
    let between = gap(mine, theirs);
    let mut found = Vec::new();
    let label = garden.label_of(Some(other.bed));
    let units = units_of(garden);
    let apart = |within: Length| {
        let apart = Step::new("Apart", between.show(units));
        vec![apart, Step::new("Side by side within", within.show(units))]
    };
    if between <= BESIDE {
        if are(planting, other, is_potato, is_tomato) {
            let words = format!("Potato beside tomato ({label}): they share beetle and blight.");
            let rule = "Potato not beside tomato: they share beetle and blight.";
            found.push(note(words, Some(id), rule, apart(BESIDE)));
        }
        let tall_to_the_south =
            is_tall(&planting.crop) && !is_tall(&other.crop) && is_south_of(garden, mine, theirs);
        if tall_to_the_south {
            let words = format!(
                "{} stands south of {} ({label}) and takes its sun.",
                planting.crop, other.crop
            );
            let rule = "Corn, pole crops and sunflowers not south of short crops.";
            found.push(note(words, Some(id), rule, apart(BESIDE)));
        }
    }
    if between < VINE_ROOM && is_vine(&planting.crop) && is_vine(&other.crop) {
        let words = format!(
            "Two running vines side by side ({label}): leave a path of a row spacing between them."
        );
        let rule = "No two running vines side by side without a path of one row spacing.";
        found.push(note(words, Some(id), rule, apart(VINE_ROOM)));
    }
    found
}

/// A vine beside a bed that somebody else holds.
fn at_an_edge(garden: &Garden, planting: &Planting) -> Option<Objection> {
    if !is_vine(&planting.crop) {
        return None;
    }
    let mine = plants::ground_of(garden, planting)?;
    let holders = |bed: BedId| -> Vec<_> {
        let bed = garden.beds.get(&bed);
        bed.map(|bed| bed.held_by().map(|(member, _)| member).collect())
            .unwrap_or_default()
    };
    let own = holders(planting.bed);
    let strange = garden.open_beds().into_iter().find(|(id, bed)| {
        *id != planting.bed && holders(*id) != own && gap(mine, &bed.outline) < VINE_ROOM
    })?;
    let words = format!(
        "A running vine at the edge of {}, which somebody else holds.",
        strange.1.label
    );
    let room = Step::new("Room for vines", VINE_ROOM.show(units_of(garden)));
    let rule = "Vines not at the edge of another member's bed.";
    Some(note(words, None, rule, vec![room]))
}

fn note(words: String, other: Option<PlantingId>, rule: &str, steps: Vec<Step>) -> Objection {
    let working = Reckoning::new((), Source::common_practice(rule));
    Objection {
        weight: Weight::Note,
        words,
        other,
        working: steps.into_iter().fold(working, Reckoning::step),
    }
}

fn are(
    one: &Planting,
    other: &Planting,
    first: fn(&str) -> bool,
    second: fn(&str) -> bool,
) -> bool {
    (first(&one.crop) && second(&other.crop)) || (second(&one.crop) && first(&other.crop))
}

fn is_potato(crop: &str) -> bool {
    crop.eq_ignore_ascii_case("potato")
}

fn is_tomato(crop: &str) -> bool {
    crop.to_lowercase().starts_with("tomato")
}

fn is_corn(crop: &str) -> bool {
    crop.to_lowercase().starts_with("corn")
}

fn is_tall(crop: &str) -> bool {
    let crop = crop.to_lowercase();
    is_corn(&crop) || crop.contains("pole") || crop.starts_with("sunflower")
}

/// Those of the table that run; bush squash and cucumber on a trellis do not, and nobody knows from the name.
fn is_vine(crop: &str) -> bool {
    let crop = crop.to_lowercase();
    [
        "squash, winter",
        "pumpkin",
        "watermelon",
        "muskmelon",
        "sweet potato",
    ]
    .iter()
    .any(|vine| crop.starts_with(vine))
}

/// How far two outlines are apart; nothing where one lies in the other.
fn gap(one: &Outline, other: &Outline) -> Length {
    let far = Length::from_mm(i64::MAX);
    let from = |outline: &Outline, corner: &Point| {
        if outline.contains(*corner) {
            return Length::ZERO;
        }
        let nearest = snap::to_side(*corner, outline, far);
        nearest.map_or(far, |place| place.distance(*corner))
    };
    let mine = one.corners().iter().map(|corner| from(other, corner));
    let theirs = other.corners().iter().map(|corner| from(one, corner));
    mine.chain(theirs).min().unwrap_or(far)
}

/// Whether the one lies south of the other, as the plan is turned.
fn is_south_of(garden: &Garden, one: &Outline, other: &Outline) -> bool {
    let north = garden.profile.as_ref().map_or(0, |it| it.north_degrees);
    // Turned so that north is up.
    let turn = Turn::from_degrees(i32::try_from(north).unwrap_or(0));
    let up = |outline: &Outline| turn.carry(outline.bounds().centre(), Point::default());
    let (mine, theirs) = (up(one), up(other));
    let north = theirs.y.mm() - mine.y.mm();
    north > 0 && north > (theirs.x.mm() - mine.x.mm()).abs()
}
