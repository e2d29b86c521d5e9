//! How many plants a planting has, where its rows run, and the seed to buy for it and for all beds together.

use super::Books;
use crate::document::Garden;
use crate::document::ground_change::units_of;
use crate::document::ids::PlantingId;
use crate::document::records::{Planting, PlantingState, StartsAs};
use crate::geometry::{Direction, Outline};
use crate::ordered::Map;
use crate::quantities::{Percent, SmallMass, Spacing, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};
use crate::season::cover;
use crate::season::known::{Known, Span};
use crate::season::rows::{Ends, OutlineCase, Pattern, PlantsInOutline, in_outline};
use crate::season::seed::{SeedToBuy, StationsCase, USUAL_FIELD_FACTOR, for_stations};

/// The ground of a planting: its part of the bed, or all of the bed.
pub fn ground_of<'a>(garden: &'a Garden, planting: &'a Planting) -> Option<&'a Outline> {
    let bed = garden.beds.get(&planting.bed).map(|bed| &bed.outline);
    planting.part.as_ref().or(bed)
}

/// The side that rows run along where nobody says another: the longest, the first of two alike.
pub fn longest_side(outline: &Outline) -> Direction {
    let corners = outline.corners();
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    let longest = (1..)
        .zip(sides)
        .map(|(number, (from, to))| (from.distance(*to), number))
        .reduce(|best, side| if side.0 > best.0 { side } else { best });
    Direction::Side(longest.map_or(1, |(_, number)| number))
}

/// How many plants stand there, row by row, at the spacing said or the widest of the table.
pub fn plants_of(
    garden: &Garden,
    books: &Books,
    planting: &Planting,
) -> Result<Reckoning<PlantsInOutline>, Refusal> {
    in_outline(&case_of(garden, books, planting)?)
}

/// What its rows are laid by, without laying them.
pub fn case_of(
    garden: &Garden,
    books: &Books,
    planting: &Planting,
) -> Result<OutlineCase, Refusal> {
    let ground = ground_of(garden, planting).ok_or_else(|| Refusal::Missing {
        what: "The bed of the planting".to_owned(),
        why: "it is not there".to_owned(),
    })?;
    let crop = books.crop(planting)?;
    let said = |own: Option<Spacing>, table: &Option<Known<Span<Spacing>>>, what: &str| {
        own.or_else(|| table.as_ref().map(|known| known.value.most))
            .ok_or_else(|| Refusal::Missing {
                what: format!("{what} of {}", crop.name),
                why: "the table has no figure, so put in the packet's".to_owned(),
            })
    };
    let between = said(planting.rows.between, &crop.rows, "The row spacing")?;
    let spacing = said(planting.rows.in_row, &crop.in_row, "The spacing in the row")?;
    let along = planting
        .rows
        .along
        .and_then(|side| usize::try_from(side).ok())
        .map_or_else(|| longest_side(ground), Direction::Side);
    Ok(OutlineCase {
        outline: ground.clone(),
        along,
        pattern: Pattern::Rows(between),
        spacing,
        ends: Ends::HalfSpace,
        side_margin: None,
        units: units_of(garden),
    })
}

/// What to buy for one planting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ToBuy {
    /// Seed, by count and weight.
    Seed(SeedToBuy),
    /// Plants, ready to set out.
    Plants(i64),
    /// Seed of a cover crop, from the least to the most.
    Cover(Span<crate::quantities::Mass>),
}

/// What to buy for a planting: seed for its stations by germination and field factor, or the plants themselves.
pub fn to_buy(
    garden: &Garden,
    books: &Books,
    planting: &Planting,
) -> Result<Reckoning<ToBuy>, Refusal> {
    if planting.cover {
        return cover_seed(garden, books, planting);
    }
    let plants = plants_of(garden, books, planting)?;
    let count = plants.result.plants;
    if planting.starts_as == StartsAs::Set {
        return Ok(plants.map(|_| ToBuy::Plants(count)));
    }
    let crop = books.crop(planting)?;
    let germination = crop.germination.as_ref().map(|known| known.value);
    let seed = for_stations(&StationsCase {
        stations: count,
        seeds_each: 1,
        germination: germination.unwrap_or(Percent::HUNDRED),
        field_factor: USUAL_FIELD_FACTOR,
        past_keeping: false,
        seeds_per_oz: crop.seeds_per_oz.as_ref().map(|known| known.value),
        units: units_of(garden),
    })?;
    let mut seed = seed.map(ToBuy::Seed);
    if germination.is_none() {
        seed = seed.on("No legal minimum of germination is known for it: the packet's lowers the count that comes up.");
    }
    Ok(seed.on("One seed a station; what is sown thick and thinned takes the amount of the table for the length of its rows."))
}

fn cover_seed(
    garden: &Garden,
    books: &Books,
    planting: &Planting,
) -> Result<Reckoning<ToBuy>, Refusal> {
    let ground = ground_of(garden, planting).ok_or_else(|| Refusal::Missing {
        what: "The bed of the planting".to_owned(),
        why: "it is not there".to_owned(),
    })?;
    let part = cover::seed::Part {
        cover: books.cover(planting)?.clone(),
        share: None,
    };
    let answer = cover::seed::seed(&cover::seed::SeedCase {
        parts: vec![part],
        area: ground.area(),
        sown: cover::seed::Sown::Garden,
        units: units_of(garden),
    })?;
    let seed = answer.result.parts.first().map(|part| part.seed);
    let missing = || Refusal::Missing {
        what: format!("The rate of {}", planting.crop),
        why: "the table has none for gardens".to_owned(),
    };
    let seed = seed.ok_or_else(missing)?;
    Ok(answer.map(|_| ToBuy::Cover(seed)))
}

/// What is bought of one crop for all beds together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BoughtOfCrop {
    /// How many plantings it is for.
    pub plantings: usize,
    /// Seeds, where they are counted.
    pub seeds: i64,
    /// Their weight, where it is known of all of them.
    pub weight: Option<SmallMass>,
    /// Plants to set out.
    pub plants: i64,
    /// Seed of a cover crop, at the most.
    pub cover: crate::quantities::Mass,
    /// Plantings of it that nothing could be worked out for, with the reason.
    pub missing: Vec<String>,
}

impl BoughtOfCrop {
    /// For a sentence: `212 seeds, 0.6 oz`, `19 plants`; empty where nothing could be worked out.
    pub fn show(&self, units: Units) -> String {
        let mut parts = Vec::new();
        if self.seeds > 0 {
            parts.push(format!("{} seeds", self.seeds));
            parts.extend(self.weight.map(|weight| weight.show(units)));
        }
        if self.plants > 0 {
            parts.push(format!("{} plants", self.plants));
        }
        if self.cover.is_positive() {
            parts.push(self.cover.show(units));
        }
        parts.join(", ")
    }
}

/// What is planned and not sown yet in a year.
pub fn to_sow(garden: &Garden, year: i16) -> Vec<(PlantingId, &Planting)> {
    let seasons = garden.seasons.get(&year).into_iter();
    let plantings = seasons.flat_map(|season| &season.plantings);
    plantings
        .filter(|(_, it)| it.ended_on.is_none() && it.state == PlantingState::Planned)
        .map(|(id, planting)| (*id, planting.as_ref()))
        .collect()
}

/// What to buy for everything that is planned and not sown yet in a year, crop by crop.
pub fn shopping(garden: &Garden, books: &Books, year: i16) -> Reckoning<Map<String, BoughtOfCrop>> {
    let planned = to_sow(garden, year);
    let plantings = planned.into_iter().map(|(_, planting)| planting);
    shopping_for(garden, books, plantings)
}

/// What to buy for these plantings, crop by crop.
pub fn shopping_for<'a>(
    garden: &Garden,
    books: &Books,
    plantings: impl IntoIterator<Item = &'a Planting>,
) -> Reckoning<Map<String, BoughtOfCrop>> {
    let mut crops: Map<String, BoughtOfCrop> = Map::new();
    for planting in plantings {
        let bought = crops.entry(planting.crop.clone()).or_default();
        bought.plantings += 1;
        match to_buy(garden, books, planting).map(|answer| answer.result) {
            Ok(ToBuy::Seed(seed)) => {
                let before = bought.seeds;
                bought.seeds = before.saturating_add(seed.seeds.unwrap_or(0));
                bought.weight = match (bought.weight, seed.weight) {
                    (None, weight) if before == 0 => weight,
                    (Some(one), Some(other)) => one.checked_add(other),
                    _unknown => None,
                };
            }
            Ok(ToBuy::Plants(plants)) => bought.plants = bought.plants.saturating_add(plants),
            Ok(ToBuy::Cover(seed)) => {
                bought.cover = [bought.cover, seed.most].into_iter().sum();
            }
            Err(refusal) => bought.missing.push(refusal.to_string()),
        }
    }
    let units = units_of(garden);
    let source = Source::arithmetic("The seed and plants of every planting that is not sown yet.");
    let mut answer = Reckoning::new(crops.clone(), source);
    for (crop, bought) in &crops {
        let beds = format!("{crop}, {} plantings", bought.plantings);
        answer = answer.step(Step::new(beds, bought.show(units)));
    }
    answer.rounded("Up to whole seeds for each planting.")
}
